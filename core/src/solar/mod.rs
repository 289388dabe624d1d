//! What the sun gives: where it stands, what the sky lets through, what an array makes of it, what a controller passes on.
//! May use: numeric, finding and the compiled-in tables of data; never another topic.
//! Architecture invariant: nothing in this module refuses input; import has done so. No sun is 0, never not-a-number.

pub mod air;
pub mod array;
pub mod calendar;
pub mod climate;
pub mod clock;
pub mod controller;
pub mod day;
pub mod geometry;
pub mod plane;
pub mod sky;
pub mod strings;
mod table;

pub use air::Air;
pub use array::ArrayPart;
pub use calendar::{AVERAGE_DAYS, MONTH_DAYS};
pub use climate::{Monthly, Origin, RegionError, Site, SkyThanRegion, clearness, clearness_error};
pub use clock::{clock_offset_min, shift_hours};
pub use controller::Controller;
pub use day::{DayShape, Plane, SkyHours, expected_hours};
pub use plane::{Facing, Latitude};
