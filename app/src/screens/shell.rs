//! The shell: one plan, one page, one scroll.

use super::{
    answer, carries, dialogs, first, header, living, loads, locker, refill, sheet, stores, strip,
    sure, year,
};
use crate::browser::{page, viewport};
use crate::fields::field_id;
use crate::pictures::svg::HATCHES;
use crate::state::desk::Desk;
use crate::state::larder_store;
use crate::view::{hear, memo, part, says};
use larder::link;
use leptos::{ev, prelude::*};

/// From here on the answer stands beside the plan [px].
const WIDE: f64 = 980.0;

/// How wide pictures are to be laid out.
#[derive(Clone, Copy)]
pub struct Width {
    /// In the plan's column [px].
    pub column: Signal<f64>,
    /// In the answer's card [px].
    pub card: Signal<f64>,
}

impl Width {
    fn follow() -> Self {
        let window = RwSignal::new(viewport::width());
        hear("resize", move || window.set(viewport::width()));
        let column = Signal::derive(move || {
            let all = window.get().min(1280.0);
            let column = if all >= WIDE {
                (all - 28.0 * 2.0 - 52.0) * 0.54
            } else {
                all - 32.0
            };
            (column - 28.0).clamp(240.0, 720.0).floor()
        });
        let card = Signal::derive(move || {
            let all = window.get().min(1280.0);
            let card = if all >= WIDE {
                (all - 28.0 * 2.0 - 52.0) * 0.46
            } else {
                all - 32.0
            };
            (card - 44.0).clamp(240.0, 680.0).floor()
        });
        Self { column, card }
    }
}

/// Opens what there is to open: a link, else the last plan, else the starting points.
fn open_what_there_is(desk: Desk) {
    let found = larder_store::read_all();
    for trouble in &found.troubles {
        desk.say(trouble.clone());
    }
    let fragment = page::fragment();
    let last = larder_store::last_open();
    let kept = found
        .plans
        .iter()
        .find(|kept| Some(&kept.id) == last.as_ref())
        .or(found.plans.first())
        .cloned();
    if link::is_plan(&fragment) {
        page::clear_fragment();
        open_link(desk, &fragment);
        if desk.is_open.get_untracked() {
            return;
        }
    }
    if let Some(kept) = kept {
        desk.open(kept);
    }
}

/// Opens a link's plan as a copy beside what is kept.
fn open_link(desk: Desk, fragment: &str) {
    match link::from_link(fragment) {
        Ok(plan) => {
            let name = plan.name.clone();
            desk.open_new(plan);
            desk.say(format!(
                "“{name}” came by link and is kept as a copy of your own."
            ));
        }
        Err(says) => desk.say(says),
    }
}

/// The guess whose field has such an id in the document.
fn guess_at(desk: Desk, id: &str) -> Option<String> {
    let plan = desk.plan_now();
    let is_its = |path: &&String| {
        let field = field_id(&plan.field_of_guess(path));
        id == field || id.strip_prefix("first-") == field.strip_prefix("f-")
    };
    plan.guesses.iter().find(is_its).cloned()
}

/// The whole page.
pub fn shell() -> impl IntoView {
    let desk = Desk::new();
    let width = Width::follow();
    open_what_there_is(desk);
    viewport::follow_keyboard();
    hear("hashchange", move || {
        let fragment = page::fragment();
        if link::is_plan(&fragment) {
            page::clear_fragment();
            open_link(desk, &fragment);
        }
    });
    let keys = window_event_listener(ev::keydown, move |event| {
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() {
            return;
        }
        match (event.key().to_ascii_lowercase().as_str(), event.shift_key()) {
            ("z", false) => desk.undo(),
            ("z", true) | ("y", false) => desk.redo(),
            _ => return,
        }
        event.prevent_default();
    });
    // Enter in a field, or on a choice or a tick, accepts the guess that stands there.
    let accept = window_event_listener(ev::keydown, move |event| {
        if event.key() == "Enter"
            && let Some(id) = page::event_field(&event)
            && let Some(path) = guess_at(desk, &id)
        {
            desk.accept(&[path]);
        }
    });
    on_cleanup(move || accept.remove());
    hear("popstate", dialogs::close_all);
    on_cleanup(move || keys.remove());
    let is_open = memo(move || desk.is_open.get());
    let plan_page = part(move || {
        if !is_open.get() {
            return first::starting_points(desk);
        }
        let lines = answer::sentences(desk);
        view! {
            <main class="page">
                <h1 class="hidden">{says(move || desk.plan().name.clone())}</h1>
                {answer::card(desk.of_section("answer"), lines, width)}
                <div class="plan">
                    {first::five_answers(desk)}
                    {loads::section(desk.of_section("loads"))}
                    {living::section(desk.of_section("living"))}
                    {refill::section(desk.of_section("refill"), width)}
                    {stores::section(desk.of_section("stores"), width)}
                    {locker::section(desk.of_section("locker"), width)}
                    {carries::section(desk.of_section("carries"))}
                    {year::section(desk.of_year("year"), width)}
                    {sure::section(desk.of_section("sure"), width)}
                    {sheet::section(desk.of_section("sheet"), width)}
                </div>
                {answer::bar(desk, lines, width)}
                {strip::strip(desk)}
                {answer::live_region(lines)}
            </main>
        }
        .into_any()
    });
    view! {
        <div class="hatches" inner_html=HATCHES></div>
        {header::header(desk)}
        {header::notice(desk)}
        {plan_page}
        {dialogs::plans(desk)}
        {dialogs::share(desk)}
    }
}
