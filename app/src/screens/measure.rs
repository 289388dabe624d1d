//! A measuring sheet to print: what to measure, in which order, with blanks, room to sketch, and what the trade reminds one of.

use super::list::button;
use crate::state::desk::Desk;
use crate::view::press;
use larder::words;
use leptos::prelude::*;

/// Blank rows for things in the way.
const THINGS: usize = 7;
/// What is sketched, each in its frame.
const SKETCHES: [&str; 3] = [
    "from above, front at the foot",
    "from the front",
    "from the right end",
];

/// The sheet, shown in print alone, and the button that prints it.
pub fn sheet(desk: Desk) -> AnyView {
    let rows = words::TO_MEASURE.iter().enumerate().map(|(at, (what, how, blanks))| {
        let blanks = blanks.iter().map(|blank| view! { <td class="blank">{*blank}</td> }.into_any());
        view! { <tr><th scope="row">{format!("{}. {what}", at + 1)}</th><td>{*how}</td>{blanks.collect::<Vec<_>>()}</tr> }.into_any()
    });
    let heads = words::OF_EACH_THING
        .iter()
        .map(|head| view! { <th scope="col">{*head}</th> }.into_any());
    let things = (0..THINGS).map(|_| {
        let cells = words::OF_EACH_THING
            .iter()
            .map(|_| view! { <td></td> }.into_any());
        view! { <tr>{cells.collect::<Vec<_>>()}</tr> }.into_any()
    });
    let sketches = SKETCHES
        .iter()
        .map(|says| view! { <p class="sketch">{*says}</p> }.into_any());
    let reminders = words::REMINDERS
        .iter()
        .map(|says| view! { <li>{*says}</li> }.into_any());
    let print = press(move || desk.print("measure"));
    view! {
        {button("Print a measuring sheet", "button plain no-print", print)}
        <div class="measure-sheet">
            <h2>"What to measure"</h2>
            <p>"All from the left end, the front and the floor, in one unit: mm or inches. Good to ± ____ ."</p>
            <table><tbody>{rows.collect::<Vec<_>>()}</tbody></table>
            <h3>"Each thing in the way"</h3>
            <table><thead><tr>{heads.collect::<Vec<_>>()}</tr></thead><tbody>{things.collect::<Vec<_>>()}</tbody></table>
            <h3>"Sketches"</h3>
            <div class="sketches">{sketches.collect::<Vec<_>>()}</div>
            <ul>{reminders.collect::<Vec<_>>()}</ul>
        </div>
    }
    .into_any()
}
