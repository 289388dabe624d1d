//! Where it goes: whether cases fit a locker past what is in the way, by how much, and what binds.
//! May use numeric and finding; never another topic.
//! Architecture invariant: nothing in this module refuses input; import has done so. A search cut short says so in its result.

mod arrange;
mod bounds;
mod case;
mod change;
mod feasible;
mod moves;
mod opening;
mod patterns;
mod purse;
mod search;
mod slack;
mod slope;
mod space;
mod spread;
mod way;
mod what_it_takes;

pub use arrange::{Search, most, place, place_all};
pub use case::{Case, Terminals, Turning};
pub use change::{Change, Offers, Taking, WhatItTakes, after};
pub use feasible::{all_may_stand, may_stand};
pub use moves::{into_place, may_go};
pub use opening::{CarryIn, Opening, Passage, carry_in, rectangle_passes};
pub use slack::{Outcome, Verdict, assess};
pub use slope::Slope;
pub use space::{Box3, Certainty, Goes, Locker, Obstacle, Placement, Rules, Spot};
pub use spread::{Gap, Neighbour, gaps, spread};
pub use what_it_takes::what_it_takes;

#[cfg(test)]
mod change_tests;
#[cfg(test)]
mod clear_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod way_tests;
