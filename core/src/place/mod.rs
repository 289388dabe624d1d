//! Where on earth: positions as people type them, towns by name, the clock of a place.
//! May use numeric, units and the compiled-in tables of data; never a topic.
//! Architecture invariant: nothing here guesses a place: a text that isn't known is refused with a sentence.

mod bearing;
mod position;

pub use bearing::read_bearing;
pub use position::{Axis, POSITION_EXAMPLE, read_position, show_position};
