//! What a file says of itself beside its picture.

/// What a picture says about itself in any file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Metadata {
    /// A line for people.
    pub title: String,
    /// A few sentences for people.
    pub description: String,
    /// The request and the room for programs, as JSON.
    pub json: String,
}
