//! Builds the page into a folder, and serves that folder on loopback.

pub mod assess;
pub mod build;
pub mod drawn;
mod map_picture;
mod pictures;
pub mod server;
