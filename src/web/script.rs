//! The scripts of a page as one, from modules.
//!
//! A page that is opened from a folder may load no second file, so the modules become one script when the page is made. Names are
//! then common to all: a test stops where two modules declare one name.

/// Modules as one script, each after those that it imports from: browsers load no modules from files, so what one exports
/// the others find in the common scope, and the lines that name it are left out.
pub(super) fn joined(modules: &[&str]) -> String {
    let lines = modules.iter().flat_map(|module| module.lines()).filter(|line| !line.starts_with("import "));
    let lines: Vec<&str> = lines.map(|line| line.strip_prefix("export ").unwrap_or(line)).collect();
    lines.join("\n")
}

#[cfg(test)]
pub(super) mod tests {
    use super::joined;

    #[test]
    fn imports_go_and_what_is_exported_stays() {
        let modules = [
            "// One.\nexport const one = 1;\n",
            "import { one } from \"./one.js\";\n\nconst important = one;\n  // import this\n",
        ];
        assert_eq!(joined(&modules), "// One.\nconst one = 1;\n\nconst important = one;\n  // import this");
    }

    /// The name that a line declares for its whole module, without what is declared by pattern.
    fn declared(line: &str) -> Option<&str> {
        let words = ["const ", "let ", "function ", "async function ", "class "];
        let rest =
            words.iter().find_map(|word| line.strip_prefix("export ").unwrap_or(line).strip_prefix(word))?;
        rest.split(|letter: char| !letter.is_alphanumeric() && letter != '_').next()
    }

    /// Stops where modules cannot be joined: a name that two of them declare, a name that is imported before it is declared,
    /// under another name or not at all, an export that does not stand before a declaration.
    pub(in crate::web) fn can_be_joined(modules: &[&str]) {
        let mut names: Vec<&str> = Vec::new();
        for module in modules {
            for line in module.lines().filter(|line| line.starts_with("import ")) {
                let (_, list) = line.split_once('{').unwrap();
                for name in list.split('}').next().unwrap().split(',').map(str::trim) {
                    assert!(names.contains(&name), "{name} is imported before it is declared: {line}");
                }
            }
            for line in module.lines() {
                let name = declared(line).filter(|name| !name.is_empty());
                assert!(!line.starts_with("export ") || name.is_some(), "{line}");
                if let Some(name) = name {
                    assert!(!names.contains(&name), "{name} is declared twice");
                    names.push(name);
                }
            }
        }
        assert!(names.len() > modules.len());
    }
}
