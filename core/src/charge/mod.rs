//! What else charges the bank, the alternator and the shore, and how sources share out what they give.
//! May use: numeric and finding; never another topic: a bank is met as plain volts, ohms and amperes.
//! Architecture invariant: nothing in this module refuses input; import has done so. What sources give is all accounted for.

pub mod alternator;
pub mod sharing;
pub mod shore;

pub use alternator::{Alternator, Ask, Bus, Flow, HeldBy, Link, driving_hours_w};
pub use sharing::{Shared, share};
pub use shore::{Shore, Stage, shore_hours_w};
