//! A file that goes with a PDF: data that belongs to its pages, so that a program can read back what a person reads.

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::AssociationKind;
use pdf_writer::writers::Catalog;
use pdf_writer::{Date, Filter, Finish, Name, Pdf, Ref, Str, TextStr};

use super::COMPRESSION;

/// A file within a PDF.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its name, of ASCII alone.
    pub name: String,
    /// Its media type, such as `text/csv`.
    pub media_type: &'static str,
    /// What it is, in words.
    pub description: String,
    /// When it was last changed: year, month, day.
    pub changed: Option<[u16; 3]>,
    /// What it holds.
    pub bytes: Vec<u8>,
}

impl Attachment {
    /// Writes the file and what describes it under two numbers.
    pub(super) fn write(&self, pdf: &mut Pdf, [described, stream]: [Ref; 2]) {
        let packed = compress_to_vec_zlib(&self.bytes, COMPRESSION);
        let mut file = pdf.embedded_file(stream, &packed);
        file.filter(Filter::FlateDecode);
        file.subtype(Name(self.media_type.as_bytes()));
        let mut about = file.params();
        about.size(i32::try_from(self.bytes.len()).unwrap_or(i32::MAX));
        if let Some([year, month, day]) = self.changed {
            let [month, day] = [month, day].map(|part| u8::try_from(part).unwrap_or(1));
            about.modification_date(Date::new(year).month(month).day(day));
        }
        about.finish();
        file.finish();
        let mut spec = pdf.file_spec(described);
        spec.path(Str(self.name.as_bytes())).unic_file(TextStr(&self.name));
        spec.description(TextStr(&self.description));
        spec.embedded_file_with_unicode(stream).association_kind(AssociationKind::Data);
    }

    /// Names them all in the catalogue: for whoever opens the file, and as belonging to the whole of it.
    pub(super) fn name_all(attachments: &[(&Self, Ref)], catalog: &mut Catalog<'_>) {
        if attachments.is_empty() {
            return;
        }
        let mut sorted: Vec<(&str, Ref)> =
            attachments.iter().map(|(one, described)| (one.name.as_str(), *described)).collect();
        sorted.sort_unstable();
        {
            let mut names = catalog.names();
            let mut files = names.embedded_files();
            let mut tree = files.names();
            for (name, described) in sorted {
                tree.insert(Str(name.as_bytes()), described);
            }
        }
        let mut all = catalog.insert(Name(b"AF")).array();
        for (_, described) in attachments {
            all.item(*described);
        }
    }
}
