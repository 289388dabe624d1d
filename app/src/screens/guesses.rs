//! The guesses that the answer rests on: their count, and a list with what each is worth.

use super::findings::go_to;
use super::list::{button, quiet};
use crate::browser::page;
use crate::fields::field_id;
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press, says, when};
use larder::plan::Plan;
use larder::weigh::{Weigher, Weight, heaviest_first};
use larder::words;
use leptos::prelude::*;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::time::Duration;

/// Longest that guesses are weighed at a stretch [ms].
const SLICE_MS: f64 = 8.0;

/// "This answer rests on 90 guesses", a button that opens their list; or that none is left.
pub(super) fn guesses(desk: Desk) -> AnyView {
    let open = RwSignal::new(false);
    let some = memo(move || desk.guesses.with(|guesses| !guesses.is_empty()));
    let shown = memo(move || some.get() && open.get());
    let line = part(move || {
        if !some.get() {
            return view! { <p class="guesses">{words::NO_GUESSES}</p> }.into_any();
        }
        let word = says(move || words::count(desk.guesses.with(BTreeSet::len), "guess", "guesses"));
        view! {
            <p class="guesses">"This answer rests on "
                <button type="button" class="quiet" aria-controls="guess-list"
                    aria-expanded=says(move || open.get().to_string())
                    on:click=press(move || open.update(|open| *open = !*open))>{word}</button>"."</p>
        }
        .into_any()
    });
    view! { {line}<div id="guess-list">{when(shown, move || list(desk))}</div> }.into_any()
}

/// Weighs the guesses anew when the plan has changed otherwise than by a guess that was kept: in short tasks, so that a key
/// may come between them. What was found before stands until all is weighed.
fn weighed(desk: Desk) -> ReadSignal<Vec<Weight>> {
    let (weights, set_weights) = signal(Vec::new());
    let run = StoredValue::new(0u32);
    Effect::new(move |last: Option<Plan>| {
        let plan = desk.plan();
        let mut figures = plan.as_ref().clone();
        figures.guesses.clear();
        let known = |path: &str| {
            weights.with_untracked(|weights: &Vec<Weight>| {
                weights.iter().any(|weight| weight.path == path)
            })
        };
        if last.as_ref() == Some(&figures) && plan.open_guesses().all(known) {
            return figures;
        }
        run.update_value(|run| *run += 1);
        let mine = run.get_value();
        let is_wanted = move || run.try_get_value() == Some(mine);
        let weigher = Weigher::new(&plan);
        slice(weigher, Vec::new(), Rc::new(is_wanted), set_weights);
        figures
    });
    weights
}

/// Weighs guesses for one short task, and goes on in another.
fn slice(
    mut weigher: Weigher,
    mut found: Vec<Weight>,
    is_wanted: Rc<dyn Fn() -> bool>,
    tell: WriteSignal<Vec<Weight>>,
) {
    let go_on = move || {
        if !is_wanted() {
            return;
        }
        let until = page::now_ms() + SLICE_MS;
        while page::now_ms() < until {
            let Some(weight) = weigher.next() else {
                heaviest_first(&mut found);
                return tell.set(found);
            };
            found.push(weight);
        }
        slice(weigher, found, is_wanted, tell);
    };
    set_timeout(go_on, Duration::ZERO);
}

/// The list: first what changes the days or the balance, then the rest. Weighed while it is open, once typing pauses.
fn list(desk: Desk) -> AnyView {
    let weighed = weighed(desk);
    let paths = move |heavy: bool| {
        memo(move || {
            desk.guesses.with(|open| {
                let weighed = weighed.get().into_iter();
                let mine = weighed.filter(|guess| guess.counts() == heavy);
                let paths = mine.map(|guess| guess.path);
                paths.filter(|path| open.contains(path)).collect::<Vec<_>>()
            })
        })
    };
    let (heavy, light) = (paths(true), paths(false));
    let under_way = memo(move || weighed.with(Vec::is_empty));
    let note = says(move || {
        if under_way.get() {
            "Working out what each guess is worth …".to_owned()
        } else {
            "Heaviest first. Touch a guess to go to its field; keep what is right as it stands."
                .to_owned()
        }
    });
    view! {
        <p class="note">{note}</p>
        {group(desk, weighed, heavy, "These change the days or the balance")}
        {group(desk, weighed, light, "These change neither: cables, fuses, fit")}
    }
    .into_any()
}

fn group(
    desk: Desk,
    weighed: ReadSignal<Vec<Weight>>,
    paths: Memo<Vec<String>>,
    head: &'static str,
) -> AnyView {
    let some = memo(move || paths.with(|paths| !paths.is_empty()));
    when(some, move || {
        let items = move || paths.get();
        let item = move |path: String| guess(desk, weighed, paths, path);
        let count = memo(move || paths.with(Vec::len));
        let all = part(move || match count.get() {
            0 | 1 => none(),
            count => {
                let keep = press(move || desk.accept(&paths.get_untracked()));
                button(
                    &format!("Keep all {count} as they stand"),
                    "button plain",
                    keep,
                )
            }
        });
        view! {
            <h3 class="guess-head">{head}</h3>
            <ul class="guess-list"><For each=items key=|path| path.clone() children=item /></ul>
            <div class="tools">{all}</div>
        }
        .into_any()
    })
}

/// One guess: a link to its field, its value, its worth, and a button that keeps it.
fn guess(
    desk: Desk,
    weighed: ReadSignal<Vec<Weight>>,
    paths: Memo<Vec<String>>,
    path: String,
) -> AnyView {
    let id = keep_id(&path);
    let at = path.clone();
    let value = says(move || words::guess_value(&desk.plan(), &at));
    let at = path.clone();
    let worth = says(move || {
        weighed.with(|weighed| {
            let mine = weighed.iter().find(|guess| guess.path == at);
            mine.map_or(String::new(), words::guess_worth)
        })
    });
    let called = words::guess_called(&desk.plan_now(), &path);
    let at = path.clone();
    let link = quiet(
        &called,
        press(move || go_to(&desk.plan_now().field_of_guess(&at))),
    );
    let keep = press(move || {
        let next = next_of(&paths.get_untracked(), &path);
        desk.accept(std::slice::from_ref(&path));
        if let Some(next) = next {
            page::focus(&keep_id(&next));
        }
    });
    view! {
        <li>
            <div class="guess-what">{link}
                <p class="guess-value"><span>{value}</span><span class="guess-worth">{worth}</span></p>
            </div>
            <button type="button" class="quiet keep" id=id aria-label=format!("Keep {called}") on:click=keep>"Keep"</button>
        </li>
    }
    .into_any()
}

fn keep_id(path: &str) -> String {
    format!("keep-{}", field_id(path))
}

/// The guess after one, else the one before.
fn next_of(paths: &[String], path: &str) -> Option<String> {
    let at = paths.iter().position(|other| other == path)?;
    let before = at.checked_sub(1).and_then(|at| paths.get(at));
    paths.get(at + 1).or(before).cloned()
}
