//! Where does it go? The inside, what is in the way, the drawings, what it would take.

use super::list::{RowView, Rows, button, row};
use super::measure;
use super::shell::Width;
use crate::fields::{field, say};
use crate::pictures::{figure, locker as locker_picture, turned};
use crate::state::desk::Desk;
use crate::view::{holds, memo, none, part, press, says, when};
use larder::plan::{CableExit, List, Obstacle, Opening, Shape};
use larder::words;
use leptos::prelude::*;

/// The three inside measures.
pub const INSIDE: &str = "{inside_mm/1} long, {inside_mm/2} deep and {inside_mm/3} high";
/// How far a press turns the view [degrees].
const TURN_DEG: f64 = 15.0;

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let measured = memo(move || desk.plan().locker.measured);
    view! {
        <section class="question" id="locker" aria-labelledby="locker-head">
            <h2 id="locker-head">"Where does it go?"</h2>
            {field(desk, "locker/measured")}
            <p class="second" hidden=holds(move || measured.get())>"The space isn't measured yet, so fit is left out."</p>
            {when(measured, move || space(desk, width))}
            {measure::sheet()}
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
    let to_scale = memo(move || {
        let report = desk.report()?;
        let plan = desk.plan();
        let fit = report.chosen_bank()?.fit.as_ref()?;
        Some(locker_picture::to_scale(&plan.locker, fit, plan.units))
    });
    let said = format!(
        "Inside it is {INSIDE}, each the smallest of three readings, good to ±{{within_mm}}. Beside each case stay {{side_gap_mm}}. The cables leave {{exit}}"
    );
    let add = press(move || {
        things.add(|plan, id| {
            plan.locker.obstacles.push(Obstacle {
                id,
                ..Obstacle::default()
            })
        })
    });
    let exit = memo(move || desk.plan_at("locker/exit").locker.exit);
    let above = part(move || {
        let says = match exit.get() {
            CableExit::Lug => {
                ": {terminal_gap_mm} stay free above the terminals, and {bend_mm} more for the cable's bend."
            }
            CableExit::Bar => ", which takes {bar_mm} above the case.",
            CableExit::Flush => ".",
        };
        say(desk, "locker", says)
    });
    let sentence = view! { {say(desk, "locker", &said)}{above} };
    view! {
        {row(desk, RowView {
            called: "the locker's inside".to_owned(),
            class: String::new(),
            at: "locker/inside_mm locker/within_mm locker/side_gap_mm locker/terminal_gap_mm locker/bend_mm locker/bar_mm".to_owned(),
            sentence: sentence.into_any(),
            side: none(),
            drawer: None,
        })}
        {opening(desk)}
        <p class="second lead">"Anything in the way? Positions count from the left end, the front and the floor."</p>
        {things.view(obstacle)}
        <div class="add-row">{button("Something is in the way", "button plain", add)}</div>
        {figure("The locker", "locker", picture)}
        <div class="to-scale" aria-hidden="true" inner_html=says(move || to_scale.get().unwrap_or_default())></div>
        {spun(desk, width)}
        {verdicts(desk)}
        {takes(desk)}
        {against(desk)}
    }
    .into_any()
}

/// What they are carried in through.
fn opening(desk: Desk) -> AnyView {
    let which = memo(move || desk.plan_at("locker/opening").locker.opening);
    let where_it_is = part(move || match which.get() {
        Opening::WholeTop => ".".into_any(),
        Opening::Top => say(
            desk,
            "locker",
            ": {opening_mm/1} long and {opening_mm/2} deep; it begins {opening_at_mm/1} from the left and {opening_at_mm/2} from the front.",
        ),
        Opening::Front | Opening::Back => say(
            desk,
            "locker",
            ": {opening_mm/1} wide and {opening_mm/2} high; it begins {opening_at_mm/1} from the left and {opening_at_mm/2} from the floor.",
        ),
        Opening::Left | Opening::Right => say(
            desk,
            "locker",
            ": {opening_mm/1} wide and {opening_mm/2} high; it begins {opening_at_mm/1} from the front and {opening_at_mm/2} from the floor.",
        ),
    });
    let sentence =
        view! { {say(desk, "locker", "They are carried in through {opening}")}{where_it_is} };
    row(
        desk,
        RowView {
            called: "the opening".to_owned(),
            class: String::new(),
            at: "locker/opening locker/opening_mm locker/opening_at_mm".to_owned(),
            sentence: sentence.into_any(),
            side: none(),
            drawer: None,
        },
    )
}

fn obstacle(things: Rows, id: u32) -> AnyView {
    let desk = things.desk;
    let at = things.at(id);
    let said = "{name} that {movable}: begins {at_mm/1} from the left, {at_mm/2} from the front, {at_mm/3} from the floor; it is {size_mm/1} long, {size_mm/2} deep, {size_mm/3} high.";
    let place = at.clone();
    let drawer = move || {
        let shape = memo({
            let place = place.clone();
            move || {
                let plan = desk.plan_at(&place);
                let thing = plan.locker.obstacles.iter().find(|thing| thing.id == id);
                thing.is_some_and(|thing| thing.shape != Shape::Block)
            }
        });
        let falls = place.clone();
        let falls = when(shape, move || say(desk, &falls, " that falls {falls}"));
        view! {
            <p>{say(desk, &place, "It is {what} and {carries}. It has the form of {shape}")}{falls}"."</p>
            <p>{say(desk, &place, "It travels {travel_mm/1} to the right, {travel_mm/2} to the back and {travel_mm/3} upward; less than nothing is the other way. All that it passes is kept clear.")}</p>
            {things.tools(id)}
        }
        .into_any()
    };
    row(
        desk,
        RowView {
            called: words::field_called(&desk.plan_now(), &at),
            class: String::new(),
            sentence: say(desk, &at, said),
            at,
            side: none(),
            drawer: Some(Box::new(drawer)),
        },
    )
}

/// The turned view, spun by buttons or by arrow keys.
fn spun(desk: Desk, width: Width) -> AnyView {
    let spin = RwSignal::new(30.0);
    let picture = memo(move || {
        let report = desk.report()?;
        let plan = desk.plan();
        let fit = report.chosen_bank()?.fit.as_ref()?;
        Some(turned::turned(
            &plan.locker,
            fit,
            spin.get(),
            width.column.get(),
        ))
    });
    let turn = move |by: f64| spin.update(|spin| *spin = (*spin + by).rem_euclid(360.0));
    let keys = move |event: leptos::ev::KeyboardEvent| {
        let by = match event.key().as_str() {
            "ArrowLeft" => TURN_DEG,
            "ArrowRight" => -TURN_DEG,
            _ => return,
        };
        event.prevent_default();
        turn(by);
    };
    view! {
        <figure class="figure turned" hidden=holds(move || picture.with(Option::is_none))>
            <div class="drawing" role="img" tabindex="0" on:keydown=keys
                aria-label=says(move || picture.with(|p| p.as_ref().map_or(String::new(), |p| p.says.clone())))
                inner_html=says(move || picture.with(|p| p.as_ref().map_or(String::new(), |p| p.svg.clone())))></div>
            <div class="tools no-print">
                {button("Turn to the left", "button plain", press(move || turn(TURN_DEG)))}
                {button("Turn to the right", "button plain", press(move || turn(-TURN_DEG)))}
            </div>
        </figure>
    }
    .into_any()
}

/// How every bank goes in, and how the chosen one is carried in.
fn verdicts(desk: Desk) -> AnyView {
    let lines = part(move || {
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
        let chosen = report.chosen_bank().and_then(|bank| bank.fit.as_ref());
        let carried = chosen.and_then(words::carried_line).unwrap_or_default();
        let carried = view! { <p>{carried}</p> }.into_any();
        lines.chain([carried]).collect::<Vec<_>>().into_any()
    });
    view! { <div class="fit-lines">{lines}</div> }.into_any()
}

/// What would it take, for the chosen bank, and behind a fold for the others.
fn takes(desk: Desk) -> AnyView {
    part(move || {
        let (Some(report), Some(space)) = (desk.report(), desk.space()) else {
            return none();
        };
        let units = desk.plan().units;
        let chosen = report.chosen_bank().map(|bank| bank.id);
        let of = |mine: bool| {
            let banks = space
                .banks
                .iter()
                .filter(|bank| (Some(bank.id) == chosen) == mine);
            let parts = banks.map(|bank| {
                let name = report
                    .banks
                    .iter()
                    .find(|one| one.id == bank.id)
                    .map_or(String::new(), words::bank_name);
                let (head, ways) = words::what_it_takes(bank, units);
                let ways = ways
                    .into_iter()
                    .map(|way| view! { <li>{way}</li> }.into_any());
                view! { <p>{format!("{name}. {head}")}</p><ol>{ways.collect::<Vec<_>>()}</ol> }
                    .into_any()
            });
            parts.collect::<Vec<_>>()
        };
        let others = of(false);
        let fold = if others.is_empty() {
            none()
        } else {
            view! { <details class="working-fold"><summary>"The same for the others"</summary>{others}</details> }.into_any()
        };
        view! {
            <h3>"What would it take?"</h3>
            <div class="takes">{of(true)}{fold}</div>
        }
        .into_any()
    })
}

/// One against another, a sentence each.
fn against(desk: Desk) -> AnyView {
    part(move || {
        let Some(report) = desk.report() else {
            return none();
        };
        let (units, year) = (desk.plan().units, desk.year());
        let Some(chosen) = report.chosen_bank() else {
            return none();
        };
        let others = report.banks.iter().filter(|bank| bank.id != chosen.id);
        let lines = others.map(|other| {
            let says =
                words::one_against(chosen, other, year.as_ref().map(|year| &year.report), units);
            view! { <p>{says}</p> }.into_any()
        });
        let lines: Vec<_> = lines.collect();
        if lines.is_empty() {
            return none();
        }
        view! {
            <h3>"One against another"</h3>
            {lines}
            <p class="note">{words::ONE_LATER}</p>
        }
        .into_any()
    })
}
