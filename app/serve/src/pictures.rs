//! The page's pictures, as far as the program draws them.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "the page draws more with the same hand"
)]

pub(crate) use picture::{Picture, Table};

#[path = "../../src/pictures/map.rs"]
pub(crate) mod map;
#[path = "../../src/pictures/picture.rs"]
pub(crate) mod picture;
#[path = "../../src/pictures/svg.rs"]
pub(crate) mod svg;
