//! Where on earth: positions as people type them, towns by name, the clock of a place.
//! May use numeric, units and the compiled-in tables of data; never a topic.
//! Architecture invariant: nothing here guesses a place: a text that isn't known is refused with a sentence.

mod bearing;
mod clock;
mod position;
mod towns;

pub use bearing::read_bearing;
pub use clock::{CLOCK_APART_H, Clock, ahead_of_sun_h};
pub use position::{Axis, POSITION_EXAMPLE, read_position, show_position};
pub use towns::{Town, Towns};

/// Compass direction towards the equator [°]: south, but north below the equator.
pub fn equatorward_deg(lat_deg: f64) -> f64 {
    if lat_deg < 0.0 { 0.0 } else { 180.0 }
}
