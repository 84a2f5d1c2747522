//! Files from a scene or its pixels. The formats are siblings and do not know each other.
//!
//! | module | for | from |
//! | --- | --- | --- |
//! | [`png`](mod@png) | the screen of the exam room: each pixel's code as it was chosen | pixels |
//! | [`svg`] | slides and print; its viewer draws the edges, so not for examination | a scene |
//! | [`pdf`] | paper of true size; asks its viewer to print without scaling | scenes, one a page |
//! | [`font`](mod@font) | the letters in other programs' documents | the letters' outlines |
//!
//! Each encoder gives bytes or text and writes no file; what reaches the disk goes through [`store`](crate::store). The same
//! input gives the same bytes: no dates, no random names. What a chart says of itself, its [claim](crate::claim), goes along as
//! text in every format that has a place for it, so that a check can read it whatever program saved the file last.

pub mod font;
pub mod pdf;
mod pixels;
pub mod png;
pub mod svg;
