//! Lists of rows, all alike: add, move, duplicate, remove with an undo where the row stood.

use crate::fields::faults_beneath;
use crate::state::desk::Desk;
use crate::view::{Press, memo, none, part, press, says};
use larder::plan::{List, Plan};
use larder::words;
use leptos::{ev, prelude::*};

/// One list of the plan, with the row that went last.
#[derive(Clone, Copy)]
pub struct Rows {
    /// The desk.
    pub desk: Desk,
    list: List,
    gone: RwSignal<Option<(usize, String)>>,
}

impl Rows {
    /// A list.
    pub fn new(desk: Desk, list: List) -> Self {
        let gone = RwSignal::new(None);
        Self { desk, list, gone }
    }

    /// The path of a row.
    pub fn at(self, id: u32) -> String {
        format!("{}/{id}", self.list.path())
    }

    fn change(self, change: impl FnOnce(&mut Plan)) {
        self.gone.set(None);
        self.desk.edit("", change);
    }

    /// Adds a row with an id of its own; all that it holds is a guess.
    pub fn add(self, add: impl FnOnce(&mut Plan, u32)) {
        self.add_with(|_| &[], add);
    }

    /// Adds rows from an id of their own on; all that they hold is a guess but for the fields that `told` names by the row's id.
    pub fn add_with(
        self,
        told: impl Fn(u32) -> &'static [&'static str],
        add: impl FnOnce(&mut Plan, u32),
    ) {
        self.change(|plan| {
            let before = plan.ids(self.list);
            add(plan, plan.fresh_id());
            for id in plan.ids(self.list) {
                if !before.contains(&id) {
                    let row = self.at(id);
                    plan.guess_new_row(&row);
                    for name in told(id) {
                        plan.guesses.remove(&format!("{row}/{name}"));
                    }
                }
            }
        });
    }

    /// Adds a copy of a row with an id of its own; what was a guess stays one.
    pub fn copy(self, of: u32, add: impl FnOnce(&mut Plan, u32)) {
        self.change(|plan| {
            let id = plan.fresh_id();
            plan.guess_as(&self.at(id), &self.at(of));
            add(plan, id);
        });
    }

    /// Takes a row out; a line with an undo stands in its place.
    pub fn remove(self, id: u32) {
        let called = words::field_called(&self.desk.plan_now(), &self.at(id));
        let mut at = None;
        self.change(|plan| at = plan.remove_row(self.list, id));
        self.gone.set(at.map(|at| (at, called)));
    }

    /// The rows, each drawn once and kept while its id lives.
    pub fn view(self, draw: fn(Self, u32) -> AnyView) -> AnyView {
        let Self { desk, list, gone } = self;
        let ids = memo(move || desk.ids(list));
        Effect::new(move |last: Option<usize>| {
            let now = ids.with(Vec::len);
            if last.is_some_and(|last| now > last) {
                gone.set(None);
            }
            now
        });
        let items = move || {
            let mut items: Vec<Option<u32>> = ids.get().into_iter().map(Some).collect();
            if let Some((at, _)) = gone.get() {
                items.insert(at.min(items.len()), None);
            }
            items
        };
        let item = move |item: Option<u32>| match item {
            Some(id) => {
                let drawn = draw(self, id);
                view! { <li class="row-item" on:keydown=move |event| self.on_key(&event, id)>{drawn}</li> }.into_any()
            }
            None => self.gone(),
        };
        view! {
            <ul class="rows">
                <For each=items key=|item| *item children=item />
            </ul>
        }
        .into_any()
    }

    /// The line that stands where a row was.
    fn gone(self) -> AnyView {
        let called = says(move || match self.gone.get() {
            Some((_, called)) => format!("Removed {called}. "),
            None => String::new(),
        });
        let undo = press(move || {
            self.gone.set(None);
            self.desk.undo();
        });
        view! { <li class="gone">{called}<button type="button" class="quiet" on:click=undo>"Undo"</button></li> }
            .into_any()
    }

    fn on_key(self, event: &ev::KeyboardEvent, id: u32) {
        if !event.alt_key() {
            return;
        }
        let places = match event.key().as_str() {
            "ArrowUp" => -1,
            "ArrowDown" => 1,
            _ => return,
        };
        event.prevent_default();
        self.change(|plan| plan.move_row(self.list, id, places));
    }

    /// Buttons that every row's drawer has.
    pub fn tools(self, id: u32) -> AnyView {
        let list = self.list;
        view! {
            <div class="tools">
                {quiet("Move up", press(move || self.change(|plan| plan.move_row(list, id, -1))))}
                {quiet("Move down", press(move || self.change(|plan| plan.move_row(list, id, 1))))}
                {quiet("Duplicate", press(move || self.change(|plan| plan.duplicate_row(list, id))))}
                {quiet("Remove", press(move || self.remove(id)))}
            </div>
        }
        .into_any()
    }
}

/// A button that reads as text.
pub fn quiet(word: &str, act: Press) -> AnyView {
    view! { <button type="button" class="quiet" on:click=act>{word.to_owned()}</button> }.into_any()
}

/// A button beside a list or a dialog.
pub fn button(word: &str, class: &'static str, act: Press) -> AnyView {
    view! { <button type="button" class=class on:click=act>{word.to_owned()}</button> }.into_any()
}

/// A row of the page: its sentence, what is wrong with it and what was found, a drawer behind ⋯ where there is one.
pub struct RowView {
    /// What a screen reader calls it.
    pub called: String,
    /// Its class beside `row`.
    pub class: String,
    /// Its places in the plan, parted by spaces: their faults and findings stand beneath it.
    pub at: String,
    /// Its sentence.
    pub sentence: AnyView,
    /// What stands at its side: figures, a bar.
    pub side: AnyView,
    /// What its drawer holds.
    pub drawer: Option<Box<dyn Fn() -> AnyView + Send>>,
}

/// Draws a row.
pub fn row(desk: Desk, spec: RowView) -> AnyView {
    let RowView {
        called,
        class,
        at,
        sentence,
        side,
        drawer,
    } = spec;
    let open = RwSignal::new(false);
    let (opener, body) = match drawer {
        None => (none(), none()),
        Some(inside) => {
            let opener = view! {
                <button type="button" class="more" aria-label=format!("More about {called}")
                    aria-expanded=says(move || open.get().to_string())
                    on:click=press(move || open.update(|open| *open = !*open))>"⋯"</button>
            };
            let body = part(move || {
                if open.get() {
                    view! { <div class="drawer">{inside()}</div> }.into_any()
                } else {
                    none()
                }
            });
            (opener.into_any(), body)
        }
    };
    view! {
        <div class=format!("row {class}") role="group" aria-label=called data-at=at.clone()>
            <div class="sentence">{sentence}{faults_beneath(desk, &at)}{super::findings::findings_at(desk, &at)}</div>
            {side}
            {opener}
        </div>
        {body}
    }
    .into_any()
}
