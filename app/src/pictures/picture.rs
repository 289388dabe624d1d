//! What a picture is made of; `app/serve` draws the map with it, too.

/// A picture with its spoken description.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The SVG document.
    pub svg: String,
    /// What it shows, in a sentence.
    pub says: String,
    /// The same facts: heads and rows.
    pub table: Table,
}

/// Facts in rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Column heads.
    pub heads: Vec<String>,
    /// Rows; the first cell names the row.
    pub rows: Vec<Vec<String>>,
}
