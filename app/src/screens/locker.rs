//! Where does it go? The inside, what is in the way, the drawings, what it would take.

use super::list::{RowView, Rows, button, row};
use super::measure;
use super::moving;
use super::shell::Width;
use crate::browser::pointer;
use crate::fields::{field, say};
use crate::pictures::{figure, locker as locker_picture, paragraphs, turned};
use crate::state::desk::Desk;
use crate::view::{Says, holds, inside, memo, none, part, press, says, when};
use larder::plan::{CableExit, Goes, List, Obstacle, Opening, Shape};
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
            {measure::sheet(desk)}
        </section>
    }
    .into_any()
}

/// The chosen bank in the locker, for paper alone: to scale in so much height of a page [px].
pub(super) fn to_scale(desk: Desk, room: f64) -> Says {
    let picture = memo(move || {
        if !desk.on_paper.get() {
            return None;
        }
        let (report, plan) = (desk.report()?, desk.plan());
        let fit = report.chosen_bank()?.fit.as_ref()?;
        let spark_mm = report.carries.spark_mm();
        Some(locker_picture::to_scale(
            &plan.locker,
            fit,
            plan.units,
            spark_mm,
            room,
        ))
    });
    says(move || picture.get().unwrap_or_default())
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
            report.carries.spark_mm(),
            width.column.get(),
        ))
    });
    let to_scale = to_scale(desk, locker_picture::WHOLE_PAGE);
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
    let weak = press(move || {
        things.add(|plan, id| {
            plan.locker.obstacles.push(Obstacle {
                id,
                name: "thin floor".into(),
                shape: Shape::WeakFloor,
                bears_kg: Some(25.0),
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
            CableExit::Bar => {
                ", which takes {bar_mm} above the case and {beside_mm} beyond it at the terminals."
            }
            CableExit::Flush => ", and take {beside_mm} beyond it at the terminals.",
        };
        say(desk, "locker", says)
    });
    let sentence = view! { {say(desk, "locker", &said)}{above} };
    view! {
        {row(desk, RowView {
            called: "the locker's inside".to_owned(),
            class: String::new(),
            at: "locker/inside_mm locker/within_mm locker/side_gap_mm locker/terminal_gap_mm locker/bend_mm locker/bar_mm locker/beside_mm locker/vent_gap_mm locker/hold_gap_mm locker/other".to_owned(),
            sentence: sentence.into_any(),
            side: none(),
            drawer: Some(Box::new(move || gaps(desk))),
        })}
        {opening(desk)}
        <p class="second lead">"Anything in the way? Positions count from the left end, the front and the floor."</p>
        {things.view(obstacle)}
        <div class="add-row">
            {button("Something is in the way", "button plain", add)}
            {button("The floor is weak somewhere", "button plain", weak)}
        </div>
        {moving::movable(desk, figure("The locker", "locker", picture))}
        <div class="to-scale" aria-hidden="true" inner_html=to_scale></div>
        {spun(desk, width)}
        {verdicts(desk)}
        {takes(desk)}
        {against(desk.of_year("locker/year"))}
    }
    .into_any()
}

/// Gaps of their own, and what stands in the space besides.
fn gaps(desk: Desk) -> AnyView {
    let there = memo(move || desk.plan_at("locker/other").locker.other.count > 0.0);
    let other = when(there, move || {
        say(
            desk,
            "locker",
            ": {other/name}, {other/case_mm/1} long, {other/case_mm/2} wide, {other/case_mm/3} high, of {other/mass_kg}. It may {other/turning}; its terminals sit {other/terminals}",
        )
    });
    let bends = says(move || {
        let report = desk.report();
        let line = report.and_then(|report| words::bend_line(&report, desk.plan().units));
        line.unwrap_or_default()
    });
    view! {
        <p>{say(desk, "locker", "Above the whole of each case {vent_gap_mm} stay free to vent. What holds it down takes {hold_gap_mm} at both of its ends.")}</p>
        <p class="note">{bends}</p>
        <p>{say(desk, "locker", "Besides the bank, {other/count} of another kind stand in it")}{other}"."</p>
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

/// What an obstacle's row and drawer depend on.
#[derive(Clone, Copy, Default, PartialEq)]
struct Form {
    shape: Shape,
    movable: bool,
    carries: bool,
    goes: Goes,
}

fn obstacle(things: Rows, id: u32) -> AnyView {
    let desk = things.desk;
    let at = things.at(id);
    let place = at.clone();
    let form = memo(move || {
        let plan = desk.plan_at(&place);
        let thing = plan.locker.obstacles.iter().find(|thing| thing.id == id);
        thing.map_or_else(Form::default, |thing| Form {
            shape: thing.shape,
            movable: thing.movable,
            carries: thing.carries,
            goes: thing.goes,
        })
    });
    let is = move |holds: fn(Form) -> bool| memo(move || holds(form.get()));
    let weak = is(|form| form.shape == Shape::WeakFloor);
    let place = at.clone();
    let sentence = part(move || {
        let said = if weak.get() {
            "{name}, a part of the floor that bears {bears_kg} in all: begins {at_mm/1} from the left, {at_mm/2} from the front; it is {size_mm/1} long, {size_mm/2} deep."
        } else {
            "{name} that {movable}: begins {at_mm/1} from the left, {at_mm/2} from the front, {at_mm/3} from the floor; it is {size_mm/1} long, {size_mm/2} deep, {size_mm/3} high."
        };
        say(desk, &place, said)
    });
    let place = at.clone();
    let drawer = move || {
        let more = |holds: fn(Form) -> bool, said: &'static str| {
            let place = place.clone();
            when(is(holds), move || say(desk, &place, said))
        };
        let falls = more(
            |form| matches!(form.shape, Shape::Slope | Shape::Arch),
            " that falls {falls}",
        );
        let bears = more(
            |form| form.carries && form.shape != Shape::WeakFloor,
            " that bears {bears_kg} in all",
        );
        let goes = more(|form| form.movable, " It may go {goes}");
        let to = more(
            |form| form.movable && form.goes == Goes::Within,
            " that begins {place_at_mm/1} from the left, {place_at_mm/2} from the front and {place_at_mm/3} from the floor, and is {place_mm/1} long, {place_mm/2} deep and {place_mm/3} high, where 0 stands for as much as the thing itself",
        );
        let stop = more(|form| form.movable, ".");
        let travels = more(
            |form| form.shape != Shape::WeakFloor,
            "It travels {travel_mm/1} to the right, {travel_mm/2} to the back and {travel_mm/3} upward; less than nothing is the other way. All that it passes is kept clear.",
        );
        view! {
            <p>{say(desk, &place, "It is {what} and {carries}")}{bears}{say(desk, &place, ". It has the form of {shape}")}{falls}"."{goes}{to}{stop}</p>
            <p>{travels}</p>
            {things.tools(id)}
        }
        .into_any()
    };
    row(
        desk,
        RowView {
            called: words::field_called(&desk.plan_now(), &at),
            class: String::new(),
            sentence,
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
    // A finger or a mouse spins it: half a degree a pixel.
    let held = StoredValue::new(None::<i32>);
    let take = move |event: leptos::ev::PointerEvent| {
        pointer::hold(&event);
        held.set_value(Some(event.client_x()));
    };
    let drag = move |event: leptos::ev::PointerEvent| {
        if let Some(from) = held.get_value() {
            held.set_value(Some(event.client_x()));
            turn(f64::from(from - event.client_x()) / 2.0);
        }
    };
    let leave = move |_: leptos::ev::PointerEvent| held.set_value(None);
    view! {
        <figure class="figure turned" hidden=holds(move || picture.with(Option::is_none))>
            <div class="drawing" role="img" tabindex="0" on:keydown=keys
                on:pointerdown=take on:pointermove=drag on:pointerup=leave on:pointercancel=leave
                aria-label=says(move || picture.with(|p| p.as_ref().map_or(String::new(), |p| p.says.clone())))
                node_ref=inside(says(move || picture.with(|p| p.as_ref().map_or(String::new(), |p| p.svg.clone()))))></div>
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
    paragraphs("fit-lines", move || {
        let units = desk.plan().units;
        let Some(report) = desk.report() else {
            return Vec::new();
        };
        let lines = report.banks.iter().filter_map(|bank| {
            let says = words::fit_long(bank.fit.as_ref()?, units);
            Some(format!("{}: {says}.", words::bank_name(bank)))
        });
        let chosen = report.chosen_bank().and_then(|bank| bank.fit.as_ref());
        lines.chain(chosen.and_then(words::carried_line)).collect()
    })
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
            let says = words::one_against(chosen, other, year.as_deref(), units);
            view! { <p>{says}</p> }.into_any()
        });
        let later = report.banks.iter();
        let later = later.filter_map(|bank| words::later_line(&report, bank));
        let later = later.map(|says| view! { <p>{says}</p> }.into_any());
        let lines: Vec<_> = lines.chain(later).collect();
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
