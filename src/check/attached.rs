//! A file that goes with a PDF, taken out of it.

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, Name, Object, Stream, String as PdfString};

use super::inflate;
use super::pdf::fenced;

/// The file of a name that a PDF carries; none where it carries none of that name.
///
/// # Errors
/// Where it is no PDF that can be read, or too large, in a few words.
pub fn attached(pdf: Vec<u8>, name: &str) -> Result<Option<Vec<u8>>, String> {
    inflate::bounded(&pdf)?;
    let name = name.to_owned();
    fenced(move || found(pdf, &name)).unwrap_or_else(|| Err("the library that reads it gave up".into()))
}

fn found(bytes: Vec<u8>, name: &str) -> Result<Option<Vec<u8>>, String> {
    let pdf = Pdf::new(bytes).map_err(|_| "it is not a whole PDF, or locked".to_owned())?;
    for object in pdf.objects() {
        let Object::Dict(spec) = object else { continue };
        if spec.get::<Name<'_>>("Type").is_none_or(|kind| &*kind != b"Filespec") {
            continue;
        }
        let named = spec.get::<PdfString<'_>>("F").is_some_and(|one| one.as_bytes() == name.as_bytes());
        let stream = spec.get::<Dict<'_>>("EF").and_then(|files| files.get::<Stream<'_>>("F"));
        if let Some(stream) = stream.filter(|_| named) {
            let data = stream.decoded_data().map_err(|_| "what it carries is damaged".to_owned())?;
            return Ok(Some(data.into_owned()));
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A file of these objects, from 1 on.
    fn pdf(objects: &[&str]) -> Vec<u8> {
        let mut file = String::from("%PDF-1.7\n");
        let mut table = format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1);
        for (object, number) in objects.iter().zip(1..) {
            table += &format!("{:010} 00000 n \n", file.len());
            file += &format!("{number} 0 obj\n{object}\nendobj\n");
        }
        let end = format!(
            "trailer\n<</Size {} /Root 1 0 R>>\nstartxref\n{}\n%%EOF\n",
            objects.len() + 1,
            file.len()
        );
        (file + &table + &end).into_bytes()
    }

    #[test]
    fn a_file_is_taken_out_by_its_name() {
        let file = pdf(&[
            "<</Type /Catalog /Pages 2 0 R>>",
            "<</Type /Pages /Kids [3 0 R] /Count 1>>",
            "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9]>>",
            "<</Type /Other /F (b) /EF <</F 6 0 R>>>>",
            "<</Type /Filespec /F (a) /EF <</F 6 0 R>>>>",
            "<</Length 3>>\nstream\none\nendstream",
            "<</Type /Filespec /F (c) /EF <</F 8 0 R>>>>",
            "<</Length 3>>\nstream\ntwo\nendstream",
        ]);
        let taken = |name: &str| attached(file.clone(), name).unwrap();
        assert_eq!(taken("a").as_deref(), Some(&b"one"[..]));
        assert_eq!(taken("c").as_deref(), Some(&b"two"[..]));
        // That of another type, and none.
        assert_eq!((taken("b"), taken("d")), (None, None));
        assert!(attached(b"no PDF".to_vec(), "a").is_err());
    }
}
