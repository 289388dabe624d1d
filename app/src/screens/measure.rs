//! A measuring sheet to print: what to measure, in which order, with blanks, and what the trade reminds one of.

use super::list::button;
use crate::browser::page;
use crate::view::press;
use larder::words;
use leptos::prelude::*;

/// The sheet, shown in print alone, and the button that prints it.
pub fn sheet() -> AnyView {
    let rows = words::TO_MEASURE.iter().enumerate().map(|(at, (what, how))| {
        view! { <tr><th scope="row">{format!("{}. {what}", at + 1)}</th><td>{*how}</td><td class="blank"></td><td class="blank"></td><td class="blank"></td></tr> }.into_any()
    });
    let reminders = words::REMINDERS
        .iter()
        .map(|says| view! { <li>{*says}</li> }.into_any());
    let print = press(|| {
        page::set_root("data-print", "measure");
        page::print();
        page::unset_root("data-print");
    });
    view! {
        {button("Print a measuring sheet", "button plain no-print", print)}
        <div class="measure-sheet">
            <h2>"What to measure"</h2>
            <table>
                <thead><tr><th scope="col">"what"</th><th scope="col">"how"</th><th scope="col">"first"</th><th scope="col">"second"</th><th scope="col">"third"</th></tr></thead>
                <tbody>{rows.collect::<Vec<_>>()}</tbody>
            </table>
            <ul>{reminders.collect::<Vec<_>>()}</ul>
            <p>"All from the left end, the front and the floor, in one unit."</p>
        </div>
    }
    .into_any()
}
