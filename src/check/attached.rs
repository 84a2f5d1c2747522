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
