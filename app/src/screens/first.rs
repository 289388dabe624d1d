//! The first minute: three starting points, or five answers from nothing.

use super::{header, living, locker, refill, stores};
use crate::fields::{faults_beneath, part};
use crate::state::desk::Desk;
use crate::state::starts;
use larder::plan::{Candidate, MeterUnit};
use larder::units::Quantity;
use leptos::prelude::*;

/// Nothing stored: where to start.
pub fn starting_points(desk: Desk) -> AnyView {
    let cards = starts::STARTS
        .iter()
        .map(|start| {
            view! {
                <button type="button" class="start" on:click=move |_| match starts::open(start) {
                    Ok(plan) => desk.open_new(plan),
                    Err(says) => desk.say(says),
                }>
                    <span class="start-picture" inner_html=start.picture></span>
                    <span class="start-name">{start.name}</span>
                    <span class="start-about">{start.about}</span>
                </button>
            }
        })
        .collect_view();
    view! {
        <main class="welcome">
            <h1>"What will your batteries have to last?"</h1>
            <p class="second">"Plan the power of a van, a boat, a trailer or a hut: how many batteries, whether they fit the space you have, what fills them again, how long you can sit still. It works without a network, and what you type stays in this browser."</p>
            <h2 class="welcome-head">"Start from one of these"</h2>
            <div class="starts">{cards}</div>
            <h2 class="welcome-head">"or"</h2>
            <button type="button" class="button large" on:click=move |_| desk.open_new(starts::from_nothing())>"From nothing: five answers"</button>
            <p class="second caution-line">"What you get is an estimate to plan with, not a certificate. Local codes, the makers' instructions and licensed trades come first."</p>
        </main>
    }
    .into_any()
}

/// The five answers that sharpen a fresh plan, in any order, until they are put away.
pub fn five_answers(desk: Desk) -> AnyView {
    let shown = Memo::new(move |_| desk.plan.with(|plan| plan.rest.contains_key(starts::FIVE)));
    let body = move || {
        shown.get().then(|| {
            let meter = part(desk, "meter", |plan| &plan.meter, |plan| &mut plan.meter);
            let engine = refill::engine(desk);
            let place = living::living(desk);
            let banks = stores::list(desk);
            let first = desk.plan.with_untracked(|plan| plan.candidates.first().map_or(0, |bank: &Candidate| bank.id));
            let space = locker::space(desk);
            view! {
                <section class="five card" aria-labelledby="five-head">
                    <div class="five-title">{header::mark()}<h2 id="five-head">"Five answers"</h2></div>
                    <p class="second">"Everything below is guessed already. Answer what you know, in any order."</p>
                    <ol class="five-list">
                        <li class="sentence">"A parked day uses about "
                            {meter.number("amount", "what a day uses", Quantity::Number, |m| m.amount, |m, v| { m.amount = v; m.used = true; })}" "
                            {meter.choice("unit", "unit of the meter", vec![(MeterUnit::Ah, "Ah".into()), (MeterUnit::Wh, "Wh".into())], |m| m.unit, |m, v| m.unit = v)}
                            ", or list what runs below."{faults_beneath(desk, "meter")}</li>
                        <li class="sentence">"I am mostly near "{living::place(&place)}"."</li>
                        <li class="sentence">"On a day of travel I drive "
                            {engine.number("hours", "hours driven", Quantity::Hours, |a| a.hours, |a, v| a.hours = v)}"."{faults_beneath(desk, "alternator")}</li>
                        <li class="sentence">"I think of "{stores::chemistry(&banks.row(first))}"."</li>
                        <li class="sentence">"The space is "{locker::inside(&space)}"."{faults_beneath(desk, "locker/inside_mm")}</li>
                    </ol>
                    <button type="button" class="button plain" on:click=move |_| desk.edit("", |plan| { plan.rest.remove(starts::FIVE); })>"Put this away"</button>
                </section>
            }
        })
    };
    view! { {body} }.into_any()
}
