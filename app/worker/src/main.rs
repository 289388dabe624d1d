//! The core behind a message as a program of its own; the page's workers open it and lay out a bench.

use amp_larder_worker as _;

fn main() {}
