//! The sheet that goes to the vehicle: what to measure of the space and of the battery, and what to mind.

/// What to measure of the space and the battery, in order, for the sheet that goes to the vehicle: what, how, and what its
/// three blanks are for.
pub const TO_MEASURE: [(&str, &str, [&str; 3]); 9] = [
    (
        "Inside length",
        "the smallest counts",
        ["at the floor", "half-way up", "under the lid"],
    ),
    (
        "Inside depth",
        "the smallest counts",
        ["left", "middle", "right"],
    ),
    (
        "Inside height",
        "the smallest counts",
        ["front corners", "middle", "back corners"],
    ),
    (
        "The opening, and which face it is in",
        "the hole itself, not its frame",
        ["wide", "high", "begins at"],
    ),
    (
        "The battery",
        "and its maker's tolerance, ±",
        ["long", "wide", "high"],
    ),
    (
        "Its terminals, label to the front",
        "mark them in a sketch",
        ["from the end", "from the side", "width of the lug"],
    ),
    (
        "Above the terminals",
        "lug, fuse and cover on, cable bent",
        ["lug", "bend", "or link bar"],
    ),
    (
        "About the battery",
        "what its maker and your hold-down ask",
        ["beside", "to vent, above", "clamp at each end"],
    ),
    (
        "Floor, or a shelf to stand on",
        "what it may carry, and where it is weak",
        ["height", "bears", "weak where"],
    ),
];

/// What to measure of each thing in the way.
pub const OF_EACH_THING: [&str; 9] = [
    "what it is",
    "from the left",
    "from the front",
    "from the floor",
    "long",
    "deep",
    "high",
    "travels, how far",
    "stays, moves or goes",
];

/// What the trade reminds one of, tape in hand.
pub const REMINDERS: [&str; 7] = [
    "Measure twice, the second time from the other side. Write the smallest reading down.",
    "Take a thing with its screws, plugs and hoses; a slope or a wheel arch where it reaches farthest in, and say to which side it falls.",
    "Slide the seat through its full travel and open every door and drawer before you trust a free space.",
    "Ask before you move what belongs to the vehicle: electronics, belts, airbags, fuel.",
    "Look behind a panel before a hole goes through it: tanks, hoses and looms lie there.",
    "Cover wires against sparks and swarf while you cut, with the battery disconnected.",
    "Where a cable will pass an edge, note it: it needs a grommet or a sleeve.",
];
