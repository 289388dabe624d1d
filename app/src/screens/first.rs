//! The first minute: three starting points, or five answers from nothing.

use super::list::button;
use super::{header, living, locker, stores};
use crate::fields::{SecondTime, say};
use crate::state::desk::Desk;
use crate::state::starts;
use crate::view::{memo, part, press, when};
use larder::plan::Rig;
use leptos::prelude::*;

/// Nothing stored: where to start.
pub fn starting_points(desk: Desk) -> AnyView {
    let cards = starts::STARTS.iter().map(|start| {
        let open = press(move || match starts::open(start) {
            Ok(plan) => desk.open_new(plan),
            Err(says) => desk.say(says),
        });
        view! {
            <button type="button" class="start" on:click=open>
                <span class="start-picture" inner_html=start.picture></span>
                <span class="start-name">{start.name}</span>
                <span class="start-about">{start.about}</span>
            </button>
        }
        .into_any()
    });
    let nothing = press(move || desk.open_new(starts::from_nothing()));
    view! {
        <main class="welcome">
            <h1>"What will your batteries have to last?"</h1>
            <p class="second">"Plan the power of a van, a boat, a trailer or a hut: how many batteries, whether they fit the space you have, what fills them again, how long you can sit still. It works without a network, and what you type stays in this browser."</p>
            <h2 class="welcome-head">"Start from one of these"</h2>
            <div class="starts">{cards.collect::<Vec<_>>()}</div>
            <h2 class="welcome-head">"or"</h2>
            {button("From nothing: five answers", "button large", nothing)}
            <p class="second caution-line">"What you get is an estimate to plan with, not a certificate. Local codes, the makers' instructions and licensed trades come first."</p>
        </main>
    }
    .into_any()
}

/// The five answers that sharpen a fresh plan, in any order, until they are put away.
pub fn five_answers(desk: Desk) -> AnyView {
    let shown = memo(move || desk.plan().fresh);
    when(shown, move || {
        provide_context(SecondTime);
        let is_boat = memo(move || desk.plan().rig == Rig::Boat);
        let under_way = part(move || {
            let said = if is_boat.get() {
                "On a day of travel I motor for {hours}."
            } else {
                "On a day of travel I drive {hours}."
            };
            say(desk, "alternator", said)
        });
        let away = press(move || desk.edit("", |plan| plan.fresh = false));
        let space = format!("The space is {}.", locker::INSIDE);
        view! {
            <section class="five card" aria-labelledby="five-head">
                <div class="five-title">{header::mark()}<h2 id="five-head">"Five answers"</h2></div>
                <p class="second">"Everything below is guessed already. Answer what you know, in any order."</p>
                <ol class="five-list">
                    <li class="sentence">{say(desk, "meter", "A parked day uses about {amount} {unit}, or list what runs below.")}</li>
                    <li class="sentence">{say(desk, "plan", "My {rig} is mostly near ")}{living::place(desk, larder::plan::HOME, "")}"."</li>
                    <li class="sentence">{under_way}</li>
                    <li class="sentence">"I think of "{stores::first_chemistry(desk)}"."</li>
                    <li class="sentence">{say(desk, "locker", &space)}</li>
                </ol>
                {living::credit(desk)}
                {button("Put this away", "button plain", away)}
            </section>
        }
        .into_any()
    })
}
