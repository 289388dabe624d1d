//! Plans that are kept here, and ways to pass one on.

use super::list::{button, quiet};
use crate::browser::{page, transfer};
use crate::fields::say;
use crate::state::desk::Desk;
use crate::state::larder_store::{self, Kept};
use crate::view::{none, part, press, says};
use chrono::{DateTime, Datelike};
use larder::link;
use larder::plan::Plan;
use leptos::ev::Event;
use leptos::prelude::*;

/// Largest file that is read at all [bytes].
const MOST_BYTES: f64 = link::MOST_BYTES as f64;

/// Opens the dialog of kept plans.
pub fn open_plans(desk: Desk) {
    desk.keep();
    desk.asked_for_plans.notify();
    open("plans");
}

fn open(id: &str) {
    page::dialog(id, true);
}

fn close(id: &str) {
    page::dialog(id, false);
}

/// Closes whichever is open: the back button was pressed.
pub fn close_all() {
    close("plans");
    close("share");
}

/// A file name from the plan's name.
fn file_name(plan: &Plan) -> String {
    let safe: String = plan
        .name
        .to_ascii_lowercase()
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || !c.is_ascii() {
                c
            } else {
                '-'
            }
        })
        .collect();
    let safe = safe
        .split('-')
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("-");
    format!(
        "{}.larder.json",
        if safe.is_empty() { "plan" } else { &safe }
    )
}

/// Saves the plan as a file.
pub fn download(desk: Desk) {
    let plan = desk.plan_now();
    if !transfer::download(&file_name(&plan), "application/json", &link::to_text(&plan)) {
        desk.say("The browser would not take the file. Share the plan as a link instead.");
    }
}

/// The day that a plan was kept.
fn kept_on(ms: f64) -> String {
    DateTime::from_timestamp_millis(ms as i64).map_or(String::new(), |at| {
        format!(
            "{} {} {}",
            at.day(),
            larder::words::month(at.month() as u8),
            at.year()
        )
    })
}

/// Plans of this browser.
pub fn plans(desk: Desk) -> AnyView {
    let list = RwSignal::new(Vec::<Kept>::new());
    let aside = RwSignal::new(Vec::<(String, String)>::new());
    let refresh = move || {
        list.set(larder_store::read_all().plans);
        aside.set(larder_store::set_aside());
    };
    Effect::new(move |_| {
        desk.asked_for_plans.track();
        refresh();
    });
    let rows = part(move || {
        let rows = list
            .get()
            .into_iter()
            .map(|kept| kept_plan(desk, kept, refresh));
        rows.collect::<Vec<_>>().into_any()
    });
    let set_aside = part(move || {
        let texts = aside.get().into_iter();
        let texts = texts.map(|(id, text)| set_aside_text(desk, id, text));
        texts.collect::<Vec<_>>().into_any()
    });
    let new = press(move || {
        desk.keep();
        desk.is_open.set(false);
        close("plans");
    });
    let print = press(move || {
        close("plans");
        desk.print("");
    });
    view! {
        <dialog id="plans" class="dialog" aria-labelledby="plans-head" on:close=move |_| page::dialog_closed("plans")>
            <h2 id="plans-head">"Plans in this browser"</h2>
            <p class="sentence">{say(desk, "plan", "This one is called {name}, with prices in {currency}.")}</p>
            <ul class="kept-list">{rows}</ul>
            {set_aside}
            <div class="tools">
                {button("New plan", "button plain", new)}
                <label class="button plain file">"Open a file"<input type="file" accept=".json,application/json" on:change=move |event| import(desk, &event)/></label>
                {button("Download", "button plain", press(move || download(desk)))}
                {button("Print", "button plain", print)}
                {button("Done", "button", press(|| close("plans")))}
            </div>
            <p class="sentence">"Colours: "{theme()}"."</p>
        </dialog>
    }
    .into_any()
}

/// Text that was set aside: looked at in full, saved as a file, opened once it can be read.
fn set_aside_text(desk: Desk, id: String, text: String) -> AnyView {
    let open = larder_store::from_file(&text).ok().map(|plan| {
        let open = press(move || {
            desk.open_new(plan.clone());
            close("plans");
        });
        quiet("Open it", open)
    });
    let shown = text.clone();
    let save = press(move || {
        let name = format!("set-aside-{id}.larder.json");
        transfer::download(&name, "application/json", &text);
    });
    view! {
        <p class="note">"A plan that couldn't be read is set aside. "{open}{quiet("Save its text", save)}</p>
        <details><summary>"Show its text"</summary><textarea class="field" rows="6" readonly=true aria-label="set-aside text" prop:value=shown></textarea></details>
    }
    .into_any()
}

/// One kept plan.
fn kept_plan(desk: Desk, kept: Kept, refresh: impl Fn() + Copy + Send + Sync + 'static) -> AnyView {
    let kept = StoredValue::new(kept);
    let here = kept.with_value(|kept| kept.id == desk.id.get_untracked());
    let open = press(move || {
        desk.open(kept.get_value());
        close("plans");
    });
    let remove = press(move || {
        let gone = kept.get_value();
        if larder_store::forget(&gone.id).is_err() {
            return desk.say(format!(
                "“{}” is not removed: the browser refuses.",
                gone.plan.name
            ));
        }
        // The room may be what an edit waits for.
        desk.keep();
        refresh();
        desk.say_with(
            format!("Removed “{}”.", gone.plan.name),
            "Undo",
            move || {
                desk.notice.set(None);
                let good = gone.good.as_ref();
                if larder_store::keep(&gone.id, &gone.plan, good, gone.saved_ms).is_err() {
                    desk.hold(gone.clone());
                }
                refresh();
            },
        );
    });
    let duplicate = press(move || {
        let mut copy = kept.get_value().plan;
        copy.name.push_str(larder_store::COPY);
        desk.open_new(copy);
        close("plans");
    });
    let buttons = if here {
        view! { <span class="hint">"open now"</span> }.into_any()
    } else {
        view! { {quiet("Open", open)}{quiet("Remove", remove)} }.into_any()
    };
    let (name, day) = kept.with_value(|kept| (kept.plan.name.clone(), kept_on(kept.saved_ms)));
    view! {
        <li class="kept">
            <span class="kept-name">{name}</span>
            <span class="hint">{day}</span>
            {buttons}
            {quiet("Duplicate", duplicate)}
        </li>
    }
    .into_any()
}

/// Opens a chosen file as a new plan, or says why not.
fn import(desk: Desk, event: &Event) {
    transfer::read_chosen(event, MOST_BYTES, move |read| {
        close("plans");
        match read {
            Err(size) => desk.say(format!("That file has {:.0} MB, larger than any plan. Nothing was read; look whether it is the right file.", size / 1e6)),
            Ok((_, text)) => match larder_store::from_file(&text) {
                Ok(plan) => desk.open_new(plan),
                Err(says) => desk.say(says),
            },
        }
    });
}

/// Light, dark, or as the device.
fn theme() -> AnyView {
    let kept = larder_store::colours();
    let pick = |event| {
        let colours = event_target_value(&event);
        match colours.as_str() {
            "light" | "dark" => page::set_root("data-theme", &colours),
            _ => page::unset_root("data-theme"),
        }
        larder_store::remember_colours(&colours);
    };
    let choices = [
        ("device", "as the device"),
        ("light", "light"),
        ("dark", "dark"),
    ];
    let choices = choices.map(|(value, called)| {
        let chosen = kept.as_deref() == Some(value);
        view! { <option value=value selected=chosen>{called}</option> }.into_any()
    });
    view! { <select class="field choice" aria-label="colours" on:change=pick>{Vec::from(choices)}</select> }
        .into_any()
}

/// Opens the sharing dialog with a fresh link.
pub fn open_share(desk: Desk) {
    desk.keep();
    let fragment = link::to_fragment(&desk.plan_now());
    desk.link.set(format!("{}#{fragment}", page::address()));
    open("share");
}

/// A link, a code for a camera, a file.
pub fn share(desk: Desk) -> AnyView {
    let copied = RwSignal::new("");
    let code = part(move || {
        let link = desk.link.get();
        if link.is_empty() {
            return none();
        }
        match crate::pictures::code::code(&link) {
            Some(code) => {
                let drawn = view! { <div class="code" role="img" aria-label="the link as a code for a camera" inner_html=code.svg></div> };
                // Set on the element itself: the content policy refuses an attribute.
                let modules = ("--modules", code.modules.to_string());
                drawn.into_inner().style(modules).into_any()
            }
            None => view! { <p class="note">"This plan is too long for a code that a camera can read; send the link or the file."</p> }.into_any(),
        }
    });
    let copy = press(move || {
        transfer::copy(&desk.link.get_untracked(), move |done| {
            copied.set(if done {
                "Copied."
            } else {
                "The browser would not copy it; select the link and copy it yourself."
            });
        });
    });
    view! {
        <dialog id="share" class="dialog" aria-labelledby="share-head" on:close=move |_| page::dialog_closed("share")>
            <h2 id="share-head">"Pass this plan on"</h2>
            <p>"The link holds the whole plan; nothing is stored anywhere else. Who opens it gets a copy."</p>
            <input class="link-text" type="text" readonly=true aria-label="link to this plan" prop:value=says(move || desk.link.get()) />
            <div class="tools">
                {button("Copy the link", "button", copy)}
                {button("Download the file", "button plain", press(move || download(desk)))}
                {button("Done", "button plain", press(|| close("share")))}
            </div>
            <p class="note" role="status">{says(move || copied.get().to_owned())}</p>
            {code}
        </dialog>
    }
    .into_any()
}
