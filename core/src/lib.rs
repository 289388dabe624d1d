//! Amp Larder's core: plans a small off-grid electrical system, purely.
#![cfg_attr(
    not(test),
    deny(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing
    )
)]

pub mod battery;
pub mod charge;
pub mod data;
pub mod energy;
pub mod finding;
pub mod fit;
pub mod numeric;
pub mod solar;
