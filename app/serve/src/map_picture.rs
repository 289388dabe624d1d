//! The sizing map as a picture of its own, drawn by the page's hand.

use crate::pictures;
use larder::report::SizingMap;

/// Width of the picture [px].
const WIDTH: f64 = 720.0;
/// The classes that a map uses, in the page's light colours.
const STYLE: &str = "<style>text{font:13px sans-serif;fill:#24211B}.small{font-size:12.5px}\
    .map-open{fill:#F2EBDC}.map-0{fill:#84BD9F;fill-opacity:.14}.map-1,.map-2,.map-3,.map-4{fill:#D27F4B}\
    .map-1{fill-opacity:.24}.map-2{fill-opacity:.42}.map-3{fill-opacity:.72}.map-wall{fill:url(#hatch)}\
    .hatch-line{stroke:#8B8477;stroke-width:1.3}.stroke-edge{stroke:#24211B;stroke-width:3;fill:none}\
    .stroke-point{stroke:#1F5F8B;stroke-width:3;fill:none}</style>";

/// The picture; where a locker's limit would stand is not drawn.
pub(crate) fn svg(map: &SizingMap) -> String {
    let picture = pictures::map::map(map, WIDTH);
    let says = format!("<title>{}</title>", pictures::svg::escape(&picture.says));
    picture.svg.replacen('>', &format!(">{says}{STYLE}"), 1)
}
