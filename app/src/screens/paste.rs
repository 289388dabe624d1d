//! Several lines pasted from a spreadsheet or a note: shown before they become loads, and mended where they stand.

use super::list::{Rows, button, quiet};
use crate::state::desk::Desk;
use crate::view::{none, part, press, says};
use larder::paste::{List, Pasted, read_list};
use larder::plan::{Load, MOST_LOADS};
use larder::words;
use leptos::prelude::*;

/// Most lines listed one by one; all are counted and added.
const MOST_LISTED: usize = 40;
/// Most reasons given one by one.
const MOST_REASONS: usize = 5;

/// Adds loads that were read; what their lines do not give is a guess.
pub fn add_loads(loads: Rows, read: Vec<Pasted>) {
    let first = loads.desk.plan_now().fresh_id();
    let at = |id: u32| {
        id.checked_sub(first)
            .and_then(|at| usize::try_from(at).ok())
    };
    let told = |id| {
        at(id)
            .and_then(|at| read.get(at))
            .map_or(&[][..], Pasted::given)
    };
    loads.add_with(told, |plan, first| {
        let rows = read.iter().map(|read| read.load.clone());
        plan.loads
            .extend(rows.zip(first..).map(|(load, id)| Load { id, ..load }));
    });
}

/// Text that was pasted: the lines as they came, and those not understood, as they are being mended.
#[derive(Clone, Copy)]
struct Preview {
    desk: Desk,
    loads: Rows,
    pasted: RwSignal<Option<String>>,
    mending: RwSignal<String>,
}

impl Preview {
    /// What both texts give, mended lines last.
    fn list(self) -> List {
        let format = self.desk.number_format.get();
        let mut list = read_list(&self.pasted.get().unwrap_or_default(), format);
        let mended = read_list(&self.mending.get(), format);
        list.loads.extend(mended.loads);
        list.headings.extend(mended.headings);
        list.unread = mended.unread;
        list
    }

    /// Loads that the plan has room for.
    fn room(self) -> usize {
        MOST_LOADS.saturating_sub(self.desk.plan().loads.len())
    }

    /// Adds what was read, as far as there is room; the rest stays in the preview.
    fn add(self) {
        let List {
            mut loads, unread, ..
        } = untrack(move || self.list());
        let room = untrack(move || self.room());
        let rest = loads.split_off(loads.len().min(room));
        add_loads(
            self.loads,
            loads.into_iter().map(|(read, _)| read).collect(),
        );
        let lines = |lines: Vec<String>| lines.join("\n");
        let rest = lines(rest.into_iter().map(|(_, line)| line).collect());
        let unread = lines(unread.into_iter().map(|(line, _)| line).collect());
        if rest.is_empty() && unread.is_empty() {
            self.pasted.set(None);
        } else {
            self.pasted.set(Some(rest));
            self.mending.set(unread);
        }
    }
}

/// The preview beneath the adding row.
pub fn paste_preview(loads: Rows, pasted: RwSignal<Option<String>>) -> AnyView {
    let desk = loads.desk;
    let mending = RwSignal::new(String::new());
    let preview = Preview {
        desk,
        loads,
        pasted,
        mending,
    };
    // Lines not understood move to the field in which they are mended, each time that a text is pasted.
    Effect::new(move |_| {
        let Some(text) = pasted.get() else {
            return mending.set(String::new());
        };
        let format = desk.number_format.get_untracked();
        let unread = read_list(&text, format).unread;
        if unread.is_empty() {
            return;
        }
        let mut lines: Vec<&str> = Vec::new();
        let gone: Vec<&str> = unread.iter().map(|(line, _)| line.as_str()).collect();
        lines.extend(
            text.lines()
                .map(str::trim)
                .filter(|line| !gone.contains(line)),
        );
        let mended = mending.get_untracked();
        let all = [mended.trim_end(), &gone.join("\n")];
        mending.set(all.join("\n").trim().to_owned());
        pasted.set(Some(lines.join("\n")));
    });
    let is_open = Memo::new(move |_| pasted.with(Option::is_some));
    let list = Memo::new(move |_| {
        if is_open.get() {
            preview.list()
        } else {
            List::default()
        }
    });
    part(move || {
        if is_open.get() {
            card(preview, list)
        } else {
            none()
        }
    })
}

/// The card: loads that were read, lines to mend, and what may be done.
fn card(preview: Preview, list: Memo<List>) -> AnyView {
    let head = says(move || {
        list.with(|list| match list.loads.len() {
            0 => {
                "No line has a name and a power. Write one load a line: name, watts, hours.".into()
            }
            count => format!("{} read:", words::count(count, "load", "loads")),
        })
    });
    let read = part(move || list.with(|list| listed(preview, list)));
    let headings = says(move || {
        list.with(|list| match list.headings.first() {
            None => String::new(),
            Some(heading) => format!("Heading left out: “{heading}”."),
        })
    });
    let has_unread = Memo::new(move |_| !preview.mending.with(String::is_empty));
    let mend = part(move || {
        if has_unread.get() {
            mend(preview, list)
        } else {
            none()
        }
    });
    let tools = part(move || {
        let (count, room) = (list.with(|list| list.loads.len()), preview.room());
        let no_room = if count > room {
            format!("A plan holds {MOST_LOADS} loads. The rest stays here.")
        } else {
            String::new()
        };
        let add = if count.min(room) > 0 {
            let word = format!("Add {}", words::count(count.min(room), "load", "loads"));
            button(&word, "button", press(move || preview.add()))
        } else {
            none()
        };
        let leave = quiet("Discard", press(move || preview.pasted.set(None)));
        view! { <p class="note">{no_room}</p><div class="tools">{add}{leave}</div> }.into_any()
    });
    view! {
        <div class="card preview" role="group" aria-label="Pasted list">
            <p>{head}</p>
            {read}
            <p class="note">{headings}</p>
            {mend}
            {tools}
        </div>
    }
    .into_any()
}

/// The first loads that were read, and how many more there are.
fn listed(preview: Preview, list: &List) -> AnyView {
    let format = preview.desk.number_format.get();
    let rows: Vec<AnyView> = list
        .loads
        .iter()
        .take(MOST_LISTED)
        .map(|(read, line)| {
            let mut says = read.summary(format);
            if read.format_decided {
                says.push_str(&format!(", read from “{line}”"));
            }
            view! { <li>{says}</li> }.into_any()
        })
        .collect();
    let more = match list.loads.len().saturating_sub(MOST_LISTED) {
        0 => String::new(),
        more => format!("and {more} more, all to be added."),
    };
    view! { <ul>{rows}</ul><p class="note">{more}</p> }.into_any()
}

/// The lines that were not understood, to be mended, and why.
fn mend(preview: Preview, list: Memo<List>) -> AnyView {
    let count = says(move || {
        list.with(|list| match list.unread.len() {
            0 => "All lines understood.".to_owned(),
            count => format!(
                "{} not understood. Correct here: name, W or A, hours.",
                words::count(count, "line", "lines")
            ),
        })
    });
    let reasons = part(move || {
        let unread = list.with(|list| list.unread.clone());
        let said = unread.into_iter().take(MOST_REASONS).map(|(line, why)| {
            let line: String = line.chars().take(60).collect();
            view! { <li>{format!("“{line}”: {why}")}</li> }.into_any()
        });
        view! { <ul class="note">{said.collect::<Vec<_>>()}</ul> }.into_any()
    });
    view! {
        <label class="mend">
            <span>{count}</span>
            <textarea
                class="mend-lines"
                rows="4"
                spellcheck="false"
                prop:value=says(move || preview.mending.get())
                on:input=move |event| preview.mending.set(event_target_value(&event))
            ></textarea>
        </label>
        {reasons}
    }
    .into_any()
}
