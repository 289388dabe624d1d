//! The plan on the desk: what it is, what it answers, how it is changed, undone, kept and shared.
//! May use the core and `browser`; never a screen or a picture.
//! Architecture invariant: nothing here computes about batteries; the core's report does.

pub mod desk;
pub mod history;
pub mod larder_store;
pub mod seen;
pub mod starts;
pub mod sure;
pub mod towns;
