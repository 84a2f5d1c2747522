use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use super::*;

#[test]
fn a_file_appears_whole_with_ordinary_permissions_and_nothing_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new.txt");
    Target::new(&path, false).unwrap().write(b"whole").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"whole");
    let plainly_made = folder.path().join("plain.txt");
    fs::write(&plainly_made, b"").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&path), mode(&plainly_made));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn what_is_there_stays_without_force_and_links_stay_links() {
    let folder = tempfile::tempdir().unwrap();
    let (file, link) = (folder.path().join("file"), folder.path().join("link"));
    fs::write(&file, b"old").unwrap();
    std::os::unix::fs::symlink("file", &link).unwrap();
    assert!(matches!(Target::new(&link, false), Err(StoreError::Exists(_))));
    Target::new(&link, true).unwrap().write(b"new").unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::read(&file).unwrap(), b"new");
}

#[test]
fn a_file_that_came_in_between_is_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("file");
    let target = Target::new(&path, false).unwrap();
    fs::write(&path, b"of another program").unwrap();
    assert!(matches!(target.write(b"mine"), Err(StoreError::Exists(_))));
    assert_eq!(fs::read(&path).unwrap(), b"of another program");
}

#[test]
fn folders_missing_folders_and_devices_are_refused() {
    assert!(matches!(Target::new(Path::new("/dev/null"), true), Err(StoreError::NotAFile(_))));
    let folder = tempfile::tempdir().unwrap();
    assert!(matches!(Target::new(folder.path(), true), Err(StoreError::Folder(_))));
    let lost = folder.path().join("none/file.png");
    assert!(matches!(Target::new(&lost, false), Err(StoreError::NoFolder(_))));
}

#[test]
fn a_set_of_which_one_cannot_be_written_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let target = |name: &str| Target::new(&folder.path().join(name), false).unwrap();
    let set = ["a", "b", "c"].map(|name| (target(name), name.as_bytes().to_vec()));
    fs::write(folder.path().join("c"), b"of another program").unwrap();
    assert!(matches!(write_all(&set), Err(StoreError::Exists(_))));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    fs::remove_file(folder.path().join("c")).unwrap();
    write_all(&set).unwrap();
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn what_a_set_replaced_before_it_failed_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name);
    fs::write(place("a"), b"old").unwrap();
    let target = |name: &str| Target::new(&place(name), true).unwrap();
    let set = ["a", "b", "c"].map(|name| (target(name), name.as_bytes().to_vec()));
    fs::create_dir(place("c")).unwrap();
    let error = write_all(&set).unwrap_err().to_string();
    assert!(error.ends_with(&format!("replaced already: {}", place("a").display())), "{error}");
    assert!(!place("b").exists());
}

#[test]
fn what_was_read_is_not_replaced_unless_it_is_there_to_be_changed() {
    let folder = tempfile::tempdir().unwrap();
    let (file, other) = (folder.path().join("file"), folder.path().join("other"));
    fs::write(&file, b"old").unwrap();
    let early = Target::new(&file, true).unwrap();
    assert_eq!(early.present(3).unwrap(), b"old");
    early.write(b"new").unwrap();
    assert_eq!(read(&file, 3).unwrap(), b"new");
    fs::hard_link(&file, &other).unwrap();
    assert!(matches!(early.write(b"lost"), Err(StoreError::Input(_))));
    assert!(matches!(Target::new(&other, true), Err(StoreError::Input(_))));
    Target::replacing(&file).unwrap().write(b"changed").unwrap();
    assert_eq!(fs::read(&other).unwrap(), b"new");
}

#[test]
fn reading_is_bounded() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, b"1234").unwrap();
    assert_eq!(read(&file, 4).unwrap(), b"1234");
    assert!(matches!(read(&file, 3), Err(ReadError::TooLarge { most: 3 })));
    assert!(matches!(read(folder.path(), 3), Err(ReadError::NotAFile)));
    assert!(read(&folder.path().join("none"), 3).unwrap_err().is_missing());
    // What the system makes as it is read has no length.
    if let Ok(bytes) = read(Path::new("/proc/self/status"), 1 << 20) {
        assert!(!bytes.is_empty());
        assert!(matches!(read(Path::new("/proc/self/status"), 8), Err(ReadError::TooLarge { .. })));
    }
}

#[test]
fn what_is_added_to_is_judged_by_its_end_where_that_tells_and_by_all_of_it_otherwise() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("log");
    let longer_than_its_end = "é".repeat(40_000);
    fs::write(&path, format!("first\n{longer_than_its_end}\nlast")).unwrap();
    let seen = std::cell::RefCell::new(Vec::new());
    let tells = |word: &'static str| {
        let seen = &seen;
        move |text: &str| {
            seen.borrow_mut().push(text.len());
            text.contains(word).then_some(true)
        }
    };
    assert!(append_after(&path, "by its end", tells("last")).unwrap());
    assert!(append_after(&path, "by all of it", tells("first")).unwrap());
    assert!(!append_after(&path, "never", tells("none")).unwrap());
    let [all, more] = [6 + 80_001 + 4 + 12, 13];
    assert_eq!(seen.take(), [4, 4 + 12, all, 4 + 12 + more, all + more]);
    let whole = format!("first\n{longer_than_its_end}\nlast\nby its end\nby all of it\n");
    assert_eq!(fs::read_to_string(&path).unwrap(), whole);
}

#[test]
fn a_long_line_without_an_end_is_judged_by_all_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("log");
    let line = "a".repeat(100_000);
    fs::write(&path, &line).unwrap();
    assert!(append_after(&path, "next", |text| Some(text.len() == 100_000)).unwrap());
    assert_eq!(fs::read_to_string(&path).unwrap(), format!("{line}\nnext\n"));
}
