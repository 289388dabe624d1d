//! Mounts the page.
fn main() {}
