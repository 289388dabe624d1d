//! Where does it go? The inside, what is in the way, the drawing.

use super::findings::findings_at;
use super::list::{List, drawer};
use super::shell::Width;
use crate::fields::{Row, faults_beneath, part};
use crate::pictures::{figure, locker as locker_picture};
use crate::state::desk::Desk;
use larder::plan::{Locker, Obstacle};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// The part of the plan.
pub fn space(desk: Desk) -> Row<Locker> {
    part(desk, "locker", |plan| &plan.locker, |plan| &mut plan.locker)
}

/// The three inside measures.
pub fn inside(row: &Row<Locker>) -> AnyView {
    let axis = |at: usize, name: &str, label: &str| {
        row.number(
            name,
            label,
            Quantity::Length,
            move |l| l.inside_mm.get(at).copied().unwrap_or(0.0),
            move |l, v| {
                if let Some(slot) = l.inside_mm.get_mut(at) {
                    *slot = v;
                }
                l.measured = true;
            },
        )
    };
    view! {
        {axis(0, "inside_mm/1", "inside length")}" long, "{axis(1, "inside_mm/2", "inside width")}" deep and "
        {axis(2, "inside_mm/3", "inside height")}" high"
    }
    .into_any()
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let row = space(desk);
    let things: List<Obstacle> = List::new(
        desk,
        "locker/obstacles",
        |plan| &plan.locker.obstacles,
        |plan| &mut plan.locker.obstacles,
    );
    let measured = Memo::new(move |_| desk.plan.with(|plan| plan.locker.measured));
    let picture = Memo::new(move |_| {
        let wide = width.column.get();
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            let bank = report.chosen_bank()?;
            let verdict = bank.fit.as_ref()?;
            desk.plan.with(|plan| {
                Some(locker_picture::locker(
                    &plan.locker,
                    verdict,
                    &words::bank_name(bank),
                    plan.units,
                    wide,
                ))
            })
        })
    });
    let says = move || {
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            let units = desk.plan.with(|plan| plan.units);
            let lines: Vec<_> = report.banks.iter().filter_map(|bank| {
                let fit = bank.fit.as_ref()?;
                Some(view! { <p>{format!("{}: {}.", words::bank_name(bank), words::fit_long(fit, units))}</p> })
            }).collect();
            Some(lines)
        })
    };
    let inside_row = row.clone();
    let body = move || {
        let row = inside_row.clone();
        measured.get().then(move || {
            let rare = row.clone();
            view! {
                <div class="row" role="group" aria-label="the locker's inside">
                    <div class="sentence">
                        "Inside it is "{inside(&row)}", each the smallest of three readings, good to ±"
                        {rare.number("within_mm", "how far the measuring may be out", Quantity::Length, |l| l.within_mm, |l, v| l.within_mm = v)}
                        ". Beside each case stay "{rare.number("side_gap_mm", "free space beside each case", Quantity::Length, |l| l.side_gap_mm, |l, v| l.side_gap_mm = v)}
                        ", above the terminals "{rare.number("terminal_gap_mm", "free height above terminals", Quantity::Length, |l| l.terminal_gap_mm, |l, v| l.terminal_gap_mm = v)}"."
                        {faults_beneath(desk, "locker")}
                        {faults_beneath(desk, "locker/inside_mm")}
                        {findings_at(desk, "locker")}
                    </div>
                </div>
                <p class="second lead">"Anything in the way? Positions count from the left end, the front and the floor."</p>
                {things.view(move |id| obstacle(things, id))}
                <div class="add-row">
                    <button type="button" class="button plain" on:click=move |_| { things.append(Obstacle::default()); }>"Something is in the way"</button>
                </div>
                {figure("The locker", "locker", picture)}
                <div class="fit-lines">{says}</div>
            }
        })
    };
    let unmeasured = move || {
        (!measured.get()).then(
            || view! { <p class="second">"The space isn't measured yet, so fit is left out."</p> },
        )
    };
    view! {
        <section class="question" id="locker" aria-labelledby="locker-head">
            <h2 id="locker-head">"Where does it go?"</h2>
            {row.tick("measured", "I have measured the space.", |l| l.measured, |l, v| l.measured = v)}
            {unmeasured}
            {body}
        </section>
    }
    .into_any()
}

fn obstacle(things: List<Obstacle>, id: u32) -> AnyView {
    let row = things.row(id);
    let now = row.now;
    let called = Signal::derive(move || now.with(|thing| thing.name.clone()));
    let at = |axis: usize, label: &str| {
        row.number(
            &format!("at_mm/{}", axis + 1),
            label,
            Quantity::Length,
            move |o| o.at_mm.get(axis).copied().unwrap_or(0.0),
            move |o, v| {
                if let Some(slot) = o.at_mm.get_mut(axis) {
                    *slot = v
                }
            },
        )
    };
    let size = |axis: usize, label: &str| {
        row.number(
            &format!("size_mm/{}", axis + 1),
            label,
            Quantity::Length,
            move |o| o.size_mm.get(axis).copied().unwrap_or(0.0),
            move |o, v| {
                if let Some(slot) = o.size_mm.get_mut(axis) {
                    *slot = v
                }
            },
        )
    };
    let (opener, body) = drawer(called, move || things.tools(id));
    let desk = things.desk;
    view! {
        <div class="row" role="group" aria-label=move || called.get()>
            <div class="sentence">
                {row.text("name", "what it is", |o| &o.name, |o, v| o.name = v)}" that "
                {row.choice("movable", "whether it can move", vec![(false, "stays".into()), (true, "could be moved".into())], |o| o.movable, |o, v| o.movable = v)}
                ": begins "{at(0, "from the left")}" from the left, "{at(1, "from the front")}" from the front, "{at(2, "from the floor")}
                " from the floor; it is "{size(0, "its length")}" long, "{size(1, "its depth")}" deep, "{size(2, "its height")}" high."
                {faults_beneath(desk, &row.path)}
                {faults_beneath(desk, &format!("{}/at_mm", row.path))}
                {faults_beneath(desk, &format!("{}/size_mm", row.path))}
                {findings_at(desk, &row.path)}
            </div>
            {opener}
        </div>
        {body}
    }
    .into_any()
}
