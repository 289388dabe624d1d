//! Where does it go? The inside, what is in the way, the drawing.

use super::list::{RowView, Rows, button, row};
use super::shell::Width;
use crate::fields::{field, say};
use crate::pictures::{figure, locker as locker_picture};
use crate::state::desk::Desk;
use crate::view::{holds, memo, none, part, press, when};
use larder::plan::{List, Obstacle};
use larder::words;
use leptos::prelude::*;

/// The three inside measures.
pub const INSIDE: &str = "{inside_mm/1} long, {inside_mm/2} deep and {inside_mm/3} high";

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let measured = memo(move || desk.plan().locker.measured);
    view! {
        <section class="question" id="locker" aria-labelledby="locker-head">
            <h2 id="locker-head">"Where does it go?"</h2>
            {field(desk, "locker/measured")}
            <p class="second" hidden=holds(move || measured.get())>"The space isn't measured yet, so fit is left out."</p>
            {when(measured, move || space(desk, width))}
        </section>
    }
    .into_any()
}

fn space(desk: Desk, width: Width) -> AnyView {
    let things = Rows::new(desk, List::Obstacles);
    let picture = memo(move || {
        let report = desk.report()?;
        let bank = report.chosen_bank()?;
        let plan = desk.plan();
        let name = words::bank_name(bank);
        Some(locker_picture::locker(
            &plan.locker,
            bank.fit.as_ref()?,
            &name,
            plan.units,
            width.column.get(),
        ))
    });
    let verdicts = part(move || {
        let units = desk.plan().units;
        let Some(report) = desk.report() else {
            return none();
        };
        let lines = report.banks.iter().filter_map(|bank| {
            let says = format!(
                "{}: {}.",
                words::bank_name(bank),
                words::fit_long(bank.fit.as_ref()?, units)
            );
            Some(view! { <p>{says}</p> }.into_any())
        });
        lines.collect::<Vec<_>>().into_any()
    });
    let said = format!(
        "Inside it is {INSIDE}, each the smallest of three readings, good to ±{{within_mm}}. Beside each case stay {{side_gap_mm}}, above the terminals {{terminal_gap_mm}}."
    );
    let add = press(move || {
        things.add(|plan, id| {
            plan.locker.obstacles.push(Obstacle {
                id,
                ..Obstacle::default()
            })
        })
    });
    view! {
        {row(desk, RowView {
            called: "the locker's inside".to_owned(),
            class: String::new(),
            at: "locker/inside_mm locker/within_mm locker/side_gap_mm locker/terminal_gap_mm".to_owned(),
            sentence: say(desk, "locker", &said),
            side: none(),
            drawer: None,
        })}
        <p class="second lead">"Anything in the way? Positions count from the left end, the front and the floor."</p>
        {things.view(obstacle)}
        <div class="add-row">{button("Something is in the way", "button plain", add)}</div>
        {figure("The locker", "locker", picture)}
        <div class="fit-lines">{verdicts}</div>
    }
    .into_any()
}

fn obstacle(things: Rows, id: u32) -> AnyView {
    let desk = things.desk;
    let at = things.at(id);
    let said = "{name} that {movable}: begins {at_mm/1} from the left, {at_mm/2} from the front, {at_mm/3} from the floor; it is {size_mm/1} long, {size_mm/2} deep, {size_mm/3} high.";
    row(
        desk,
        RowView {
            called: words::field_called(&desk.plan_now(), &at),
            class: String::new(),
            sentence: say(desk, &at, said),
            at,
            side: none(),
            drawer: Some(Box::new(move || things.tools(id))),
        },
    )
}
