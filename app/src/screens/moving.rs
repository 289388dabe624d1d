//! Things in the locker moved by hand: dragged in the drawing, or nudged by arrow keys. The numbers follow, and a move is one
//! step of undo.

use crate::browser::pointer;
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press};
use larder::plan::{Plan, Units};
use larder::units::MM_PER_INCH;
use leptos::{ev, prelude::*};

/// A thing that is held: where it was, how its view lies, where the pointer took it.
#[derive(Clone, Copy)]
struct Grip {
    id: u32,
    across: usize,
    up: usize,
    mm_per_px: f64,
    at_mm: [f64; 3],
    from: (i32, i32),
}

/// Reads the mark of a drawing: id, axes across and up, pixels a millimetre.
fn grip(desk: Desk, event: &ev::PointerEvent) -> Option<Grip> {
    let mark = pointer::take(event)?;
    let mut words = mark.split(' ');
    let id = words.next()?.parse().ok()?;
    let (across, up) = (words.next()?.parse().ok()?, words.next()?.parse().ok()?);
    let px_per_mm: f64 = words.next()?.parse().ok()?;
    let plan = desk.plan_now();
    let thing = plan.locker.obstacles.iter().find(|thing| thing.id == id)?;
    Some(Grip {
        id,
        across,
        up,
        mm_per_px: 1.0 / px_per_mm.max(1e-3),
        at_mm: thing.at_mm,
        from: (event.client_x(), event.client_y()),
    })
}

/// The least move: a millimetre, or a sixteenth of an inch.
fn step_mm(plan: &Plan) -> f64 {
    match plan.units {
        Units::Metric => 1.0,
        Units::Imperial => MM_PER_INCH / 16.0,
    }
}

/// Puts a thing elsewhere, on whole steps from where it was, and within the walls as far as it was.
fn put(desk: Desk, id: u32, from_mm: [f64; 3], by_mm: [f64; 3]) {
    let path = format!("locker/obstacles/{id}/at_mm");
    let step = step_mm(&desk.plan_now());
    let mut moved = false;
    let mut with = desk.plan_now().as_ref().clone();
    let inside = with.locker.inside_mm;
    let Some(thing) = with
        .locker
        .obstacles
        .iter_mut()
        .find(|thing| thing.id == id)
    else {
        return;
    };
    let sides = thing.at_mm.iter_mut().zip(&thing.size_mm).zip(inside);
    for (((at, size), inside), (from, by)) in sides.zip(from_mm.into_iter().zip(by_mm)) {
        let (first, last) = (from.min(0.0), from.max(inside - size));
        let to = (from + (by / step).round() * step).clamp(first, last);
        moved |= to != *at;
        *at = to;
    }
    let to_mm = thing.at_mm;
    if !moved {
        return;
    }
    desk.edit(&path, |plan| {
        let things = &mut plan.locker.obstacles;
        if let Some(thing) = things.iter_mut().find(|thing| thing.id == id) {
            thing.at_mm = to_mm;
        }
        // What was typed and not read gives way to where it was put.
        let typed = format!("{path}/");
        plan.drafts.retain(|at, _| !at.starts_with(&typed));
        plan.guesses.retain(|at| !at.starts_with(&typed));
    });
    desk.draw();
}

/// A drawing in which things can be dragged, and beneath it a handle for each that arrow keys move.
pub fn movable(desk: Desk, drawing: AnyView) -> AnyView {
    let held = StoredValue::new(None::<Grip>);
    let take = move |event: ev::PointerEvent| {
        let grip = grip(desk, &event);
        if grip.is_some() {
            event.prevent_default();
        }
        held.set_value(grip);
    };
    let drag = move |event: ev::PointerEvent| {
        let Some(grip) = held.get_value() else { return };
        let mut by_mm = [0.0; 3];
        let (x, y) = grip.from;
        for (axis, px) in [
            (grip.across, event.client_x() - x),
            (grip.up, y - event.client_y()),
        ] {
            if let Some(slot) = by_mm.get_mut(axis) {
                *slot = f64::from(px) * grip.mm_per_px;
            }
        }
        put(desk, grip.id, grip.at_mm, by_mm);
    };
    let leave = move |_: ev::PointerEvent| {
        if held.get_value().is_some() {
            held.set_value(None);
            desk.settle();
        }
    };
    view! {
        <div class="movable-things" on:pointerdown=take on:pointermove=drag on:pointerup=leave on:pointercancel=leave>{drawing}</div>
        {handles(desk)}
    }
    .into_any()
}

fn handles(desk: Desk) -> AnyView {
    let things = memo(move || {
        let plan = desk.plan();
        let things = plan.locker.obstacles.iter();
        things
            .map(|thing| (thing.id, thing.name.clone()))
            .collect::<Vec<_>>()
    });
    part(move || {
        let things = things.get();
        if things.is_empty() {
            return none();
        }
        let each = things.into_iter().map(|(id, name)| handle(desk, id, &name));
        let each: Vec<_> = each.collect();
        view! {
            <div class="tools no-print">
                <span class="hint">"Drag a thing in the drawing to move it."</span>
                <span class="by-keys"><span class="hint">" Or choose it here and use the arrow keys, Page Up and Page Down, ten steps with Shift: "</span>{each}</span>
            </div>
        }
        .into_any()
    })
}

fn handle(desk: Desk, id: u32, name: &str) -> AnyView {
    let keys = move |event: ev::KeyboardEvent| {
        let (axis, sign) = match event.key().as_str() {
            "ArrowLeft" => (0, -1.0),
            "ArrowRight" => (0, 1.0),
            "ArrowDown" => (1, -1.0),
            "ArrowUp" => (1, 1.0),
            "PageDown" => (2, -1.0),
            "PageUp" => (2, 1.0),
            _ => return,
        };
        if event.alt_key() || event.ctrl_key() || event.meta_key() {
            return;
        }
        event.prevent_default();
        let plan = desk.plan_now();
        let Some(thing) = plan.locker.obstacles.iter().find(|thing| thing.id == id) else {
            return;
        };
        let steps = if event.shift_key() { 10.0 } else { 1.0 };
        let mut by_mm = [0.0; 3];
        if let Some(slot) = by_mm.get_mut(axis) {
            *slot = sign * steps * step_mm(&plan);
        }
        put(desk, id, thing.at_mm, by_mm);
    };
    let said = format!("Move the {name} by arrow keys");
    view! {
        <button type="button" class="quiet" aria-label=said on:keydown=keys on:blur=move |_| desk.settle()
            on:click=press(|| {})>{name.to_owned()}</button>
    }
    .into_any()
}
