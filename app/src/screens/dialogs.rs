//! Plans that are kept here, and ways to pass one on.

use crate::browser::{page, transfer};
use crate::fields::part;
use crate::state::desk::Desk;
use crate::state::larder_store::{self, Kept};
use chrono::{DateTime, Datelike};
use larder::link;
use larder::plan::Plan;
use leptos::prelude::*;

/// Largest file that is read at all [bytes].
const MOST_BYTES: f64 = link::MOST_BYTES as f64;

/// Opens a dialog.
pub fn open(id: &str) {
    page::dialog(id, true);
}

fn close(id: &str) {
    page::dialog(id, false);
}

/// A file name from the plan's name.
fn file_name(plan: &Plan) -> String {
    let safe: String = plan
        .name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
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
    desk.plan.with_untracked(|plan| {
        if !transfer::download(&file_name(plan), "application/json", &link::to_text(plan)) {
            desk.say("The browser would not take the file. Share the plan as a link instead.");
        }
    });
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
        desk.id.track();
        desk.keeping.track();
        refresh();
    });
    let name = part(desk, "plan", |plan| &plan.name, |plan| &mut plan.name);
    let currency = part(
        desk,
        "plan",
        |plan| &plan.currency,
        |plan| &mut plan.currency,
    );
    let remove = move |kept: Kept| {
        larder_store::forget(&kept.id);
        refresh();
        let again = kept.clone();
        desk.say_with(
            format!("Removed “{}”.", kept.plan.name),
            "Undo",
            move || {
                let _ =
                    larder_store::keep(&again.id, &again.plan, again.good.as_ref(), again.saved_ms);
                desk.notice.set(None);
                refresh();
            },
        );
    };
    let row = move |kept: Kept| {
        let here = kept.id == desk.id.get();
        let (to_open, to_copy, to_remove) = (kept.clone(), kept.plan.clone(), kept.clone());
        let buttons = if here {
            view! { <span class="hint">"open now"</span> }.into_any()
        } else {
            view! {
                <button type="button" class="quiet" on:click=move |_| { desk.open(to_open.clone()); close("plans"); }>"Open"</button>
                <button type="button" class="quiet" on:click=move |_| remove(to_remove.clone())>"Remove"</button>
            }
            .into_any()
        };
        view! {
            <li class="kept">
                <span class="kept-name">{kept.plan.name.clone()}</span>
                <span class="hint">{kept_on(kept.saved_ms)}</span>
                {buttons}
                <button type="button" class="quiet" on:click=move |_| {
                    let mut copy = to_copy.clone();
                    copy.name = format!("{} (copy)", copy.name);
                    desk.open_new(copy);
                    close("plans");
                }>"Duplicate"</button>
            </li>
        }
    };
    let import = move |event| {
        transfer::read_chosen(&event, MOST_BYTES, move |read| {
            match read {
            Err(size) => desk.say(format!("That file has {:.0} MB, larger than any plan. Nothing was read; look whether it is the right file.", size / 1e6)),
            Ok((_, text)) => match link::from_text(&text) {
                Ok(plan) => {
                    desk.open_new(plan);
                    close("plans");
                }
                Err(says) => {
                    close("plans");
                    desk.say(says);
                }
            },
        }
        });
    };
    view! {
        <dialog id="plans" class="dialog" aria-labelledby="plans-head">
            <h2 id="plans-head">"Plans in this browser"</h2>
            <p class="sentence">"This one is called "{name.text("name", "name of the plan", |n| n, |n, v| *n = v)}", with prices in "
            {currency.text("currency", "money sign", |c| c, |c, v| *c = v)}"."</p>
            <ul class="kept-list">{move || list.get().into_iter().map(row).collect_view()}</ul>
            {move || aside.get().into_iter().map(|(id, text)| view! {
                <p class="note">"A plan that can't be read here is set aside. "
                <button type="button" class="quiet" on:click=move |_| { transfer::download(&format!("set-aside-{id}.txt"), "text/plain", &text); }>"Save its text"</button></p>
            }).collect_view()}
            <div class="tools">
                <button type="button" class="button plain" on:click=move |_| { desk.keep(); desk.is_open.set(false); close("plans"); }>"New plan"</button>
                <label class="button plain file">"Open a file"<input type="file" accept=".json,application/json" on:change=import/></label>
                <button type="button" class="button plain" on:click=move |_| download(desk)>"Download"</button>
                <button type="button" class="button plain" on:click=move |_| { close("plans"); page::print(); }>"Print"</button>
                <button type="button" class="button" on:click=move |_| close("plans")>"Done"</button>
            </div>
            <p class="sentence">"Colours: "{theme()}"."</p>
        </dialog>
    }
    .into_any()
}

/// Light, dark, or as the device.
fn theme() -> AnyView {
    let pick = |event| match event_target_value(&event).as_str() {
        "device" => page::unset_root("data-theme"),
        theme => page::set_root("data-theme", theme),
    };
    view! {
        <select class="field choice" aria-label="colours" on:change=pick>
            <option value="device">"as the device"</option>
            <option value="light">"light"</option>
            <option value="dark">"dark"</option>
        </select>
    }
    .into_any()
}

/// Opens the sharing dialog with a fresh link.
pub fn open_share(desk: Desk) {
    desk.keep();
    open("share");
}

/// A link, a code for a camera, a file.
pub fn share(desk: Desk) -> AnyView {
    let copied = RwSignal::new(None::<bool>);
    let address = Memo::new(move |_| {
        // Made anew when the plan is kept, not on each key.
        desk.keeping.track();
        desk.plan
            .with_untracked(|plan| format!("{}#{}", page::address(), link::to_fragment(plan)))
    });
    let code = move || {
        match crate::pictures::code::code(&address.get()) {
        Some(svg) => view! { <div class="code" role="img" aria-label="the link as a code for a camera" inner_html=svg></div> }.into_any(),
        None => view! { <p class="note">"This plan is too long for a code that a camera can read; send the link or the file."</p> }.into_any(),
    }
    };
    view! {
        <dialog id="share" class="dialog" aria-labelledby="share-head">
            <h2 id="share-head">"Pass this plan on"</h2>
            <p>"The link holds the whole plan; nothing is stored anywhere else. Who opens it gets a copy."</p>
            <input class="link-text" type="text" readonly=true aria-label="link to this plan" prop:value=move || address.get() />
            <div class="tools">
                <button type="button" class="button" on:click=move |_| transfer::copy(&address.get_untracked(), move |done| copied.set(Some(done)))>"Copy the link"</button>
                <button type="button" class="button plain" on:click=move |_| download(desk)>"Download the file"</button>
                <button type="button" class="button plain" on:click=move |_| close("share")>"Done"</button>
            </div>
            <p class="note" role="status">{move || match copied.get() {
                Some(true) => "Copied.",
                Some(false) => "The browser would not copy it; select the link and copy it yourself.",
                None => "",
            }}</p>
            {code}
        </dialog>
    }
    .into_any()
}
