//! Serves.
fn main() {}
