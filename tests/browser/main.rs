//! The page itself, in a real browser: what a newcomer does, what goes wrong, what it costs.

mod access;
mod bad_input;
mod deploy;
mod firefox;
mod guesses;
mod host;
mod keeping;
mod legible;
mod locker;
mod newer;
mod place;
mod planning;
mod printing;
mod redraw;
mod same;
mod speed;
mod storage;
mod sure;
mod tabs;
mod typing;
mod visit;
