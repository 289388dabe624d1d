//! Lists of rows, all alike: add, move, duplicate, remove with an undo where the row stood.

use crate::fields::Row;
use crate::state::desk::Desk;
use larder::plan::{Candidate, Load, Obstacle, Panel, Plan, Stretch};
use leptos::{ev, prelude::*};

/// A row that a list can hold.
pub trait Listed: Clone + Default + PartialEq + Send + Sync + 'static {
    /// Its id.
    fn id(&self) -> u32;
    /// Gives it an id.
    fn set_id(&mut self, id: u32);
    /// What to call it.
    fn called(&self) -> String;
}

macro_rules! listed {
    ($($row:ty: $called:expr),+ $(,)?) => { $(
        impl Listed for $row {
            fn id(&self) -> u32 { self.id }
            fn set_id(&mut self, id: u32) { self.id = id; }
            fn called(&self) -> String { let called: fn(&$row) -> String = $called; called(self) }
        }
    )+ };
}

listed! {
    Load: |load| load.name.clone(),
    Candidate: |bank| larder::words::candidate_name(bank),
    Obstacle: |thing| thing.name.clone(),
    Panel: |panel| format!("{:.0} W panel", panel.watts),
    Stretch: |stretch| format!("{} days", larder::words::kind(stretch.kind)),
}

/// One list of the plan.
pub struct List<T: Listed> {
    /// The desk.
    pub desk: Desk,
    /// Its path, such as `loads`.
    pub path: &'static str,
    get: fn(&Plan) -> &Vec<T>,
    find: fn(&mut Plan) -> &mut Vec<T>,
    gone: RwSignal<Option<(usize, String)>>,
}

impl<T: Listed> Clone for List<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Listed> Copy for List<T> {}

impl<T: Listed> List<T> {
    /// A list.
    pub fn new(
        desk: Desk,
        path: &'static str,
        get: fn(&Plan) -> &Vec<T>,
        find: fn(&mut Plan) -> &mut Vec<T>,
    ) -> Self {
        Self {
            desk,
            path,
            get,
            find,
            gone: RwSignal::new(None),
        }
    }

    /// One row's fields.
    pub fn row(self, id: u32) -> Row<T> {
        let (get, find) = (self.get, self.find);
        Row::new(
            self.desk,
            format!("{}/{id}", self.path),
            move |plan| get(plan).iter().find(|row| row.id() == id),
            move |plan| find(plan).iter_mut().find(|row| row.id() == id),
        )
    }

    /// The ids in their order.
    pub fn ids(self) -> Memo<Vec<u32>> {
        let get = self.get;
        let plan = self.desk.plan;
        Memo::new(move |_| plan.with(|plan| get(plan).iter().map(T::id).collect()))
    }

    fn change(self, change: impl FnOnce(&mut Vec<T>)) {
        self.gone.set(None);
        let find = self.find;
        self.desk.edit("", |plan| change(find(plan)));
    }

    /// Adds a row at the end and tells its id.
    pub fn append(self, mut row: T) -> u32 {
        let id = self.desk.plan.with_untracked(Plan::fresh_id);
        row.set_id(id);
        self.change(|rows| rows.push(row));
        id
    }

    /// Adds rows at the end in one step.
    pub fn add_all(self, added: Vec<T>) {
        let first = self.desk.plan.with_untracked(Plan::fresh_id);
        self.change(|rows| {
            rows.extend(added.into_iter().zip(first..).map(|(mut row, id)| {
                row.set_id(id);
                row
            }));
        });
    }

    /// Moves a row by so many places.
    pub fn move_by(self, id: u32, places: isize) {
        self.change(|rows| {
            let Some(from) = rows.iter().position(|row| row.id() == id) else {
                return;
            };
            let to = from.saturating_add_signed(places).min(rows.len() - 1);
            let row = rows.remove(from);
            rows.insert(to, row);
        });
    }

    /// Puts a copy behind a row.
    pub fn duplicate(self, id: u32) {
        let fresh = self.desk.plan.with_untracked(Plan::fresh_id);
        self.change(|rows| {
            let Some(at) = rows.iter().position(|row| row.id() == id) else {
                return;
            };
            let Some(mut copy) = rows.get(at).cloned() else {
                return;
            };
            copy.set_id(fresh);
            rows.insert(at + 1, copy);
        });
    }

    /// Takes a row out; a line with an undo stands in its place.
    pub fn remove(self, id: u32) {
        let rows = self
            .desk
            .plan
            .with_untracked(|plan| (self.get)(plan).clone());
        let Some(at) = rows.iter().position(|row| row.id() == id) else {
            return;
        };
        let called = rows.get(at).map(T::called).unwrap_or_default();
        let prefix = format!("{}/{id}/", self.path);
        self.desk.edit("", |plan| {
            (self.find)(plan).retain(|row| row.id() != id);
            plan.guesses.retain(|path| !path.starts_with(&prefix));
            plan.drafts.retain(|path, _| !path.starts_with(&prefix));
        });
        self.gone.set(Some((at, called)));
    }

    /// The rows, each drawn once and kept while its id lives.
    pub fn view(self, draw: impl Fn(u32) -> AnyView + Clone + Send + Sync + 'static) -> AnyView {
        let ids = self.ids();
        let gone = self.gone;
        let desk = self.desk;
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
        view! {
            <ul class="rows">
                <For each=items key=|item| *item children=move |item| match item {
                    Some(id) => {
                        let drawn = draw(id);
                        view! { <li class="row-item" on:keydown=move |event| self.on_key(&event, id)>{drawn}</li> }.into_any()
                    }
                    None => view! {
                        <li class="gone">
                            {move || gone.get().map(|(_, called)| format!("Removed {called}."))}
                            " "
                            <button type="button" class="quiet" on:click=move |_| {
                                gone.set(None);
                                desk.undo();
                            }>"Undo"</button>
                        </li>
                    }.into_any(),
                } />
            </ul>
        }
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
        self.move_by(id, places);
    }

    /// Buttons that every row's drawer has.
    pub fn tools(self, id: u32) -> AnyView {
        let button = move |word: &'static str, act: fn(Self, u32)| {
            view! { <button type="button" class="quiet" on:click=move |_| act(self, id)>{word}</button> }
        };
        view! {
            <div class="tools">
                {button("Move up", |list, id| list.move_by(id, -1))}
                {button("Move down", |list, id| list.move_by(id, 1))}
                {button("Duplicate", Self::duplicate)}
                {button("Remove", Self::remove)}
            </div>
        }
        .into_any()
    }
}

/// A row's drawer: opened by ⋯, its insides drawn only then.
pub fn drawer(
    called: Signal<String>,
    inside: impl Fn() -> AnyView + Send + Sync + 'static,
) -> (AnyView, AnyView) {
    let open = RwSignal::new(false);
    let opener = view! {
        <button
            type="button"
            class="more"
            aria-expanded=move || if open.get() { "true" } else { "false" }
            aria-label=move || format!("More about {}", called.get())
            on:click=move |_| open.update(|open| *open = !*open)
        >"⋯"</button>
    };
    let body = move || {
        open.get()
            .then(|| view! { <div class="drawer">{inside()}</div> })
    };
    (opener.into_any(), body.into_any())
}
