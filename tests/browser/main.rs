//! The page itself, in a real browser: what a newcomer does, what goes wrong, what it costs.

mod access;
mod bad_input;
mod keeping;
mod locker;
mod planning;
mod printing;
mod speed;
mod sure;
mod visit;
