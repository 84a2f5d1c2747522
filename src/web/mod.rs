//! Pages for a browser. They interpret tables that are computed here: no optics and no second procedure in script.

mod exam;

pub use exam::{ExamError, exam_page};
