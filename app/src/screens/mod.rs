//! One file a question of the page, and the shell that holds them.
//! May use fields, pictures, state, `browser` and the core's words; no `web_sys`, no `style` attribute.
//! Architecture invariant: a screen has no `if` about batteries; the report and its words decide.

pub mod answer;
pub mod carries;
pub mod dialogs;
pub mod findings;
pub mod first;
mod guesses;
pub mod header;
pub mod list;
pub mod living;
pub mod loads;
pub mod locker;
pub mod measure;
pub mod moving;
pub mod paste;
pub mod refill;
pub mod sheet;
pub mod shell;
pub mod stores;
pub mod strip;
pub mod sure;
pub mod year;
