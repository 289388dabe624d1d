//! The starting points, for whatever measures them.

/// Name and plan file.
pub(crate) const STARTS: [(&str, &str); 3] = [
    (
        "orchard-van",
        include_str!("../../../demo-data/orchard-van.larder.json"),
    ),
    (
        "estuary-cutter",
        include_str!("../../../demo-data/estuary-cutter.larder.json"),
    ),
    (
        "hill-hut",
        include_str!("../../../demo-data/hill-hut.larder.json"),
    ),
];
