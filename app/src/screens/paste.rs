//! Several lines pasted from a spreadsheet or a note, shown before they become loads.

use super::list::List;
use larder::plan::{DrawUnit, Load, Units, Way};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// Most rows taken from one paste.
const MOST: usize = 60;

/// Reads one line: a name, then a draw, then hours, in cells parted by tabs, semicolons or commas.
fn read_line(line: &str) -> Option<Load> {
    let parter = ['\t', ';']
        .into_iter()
        .find(|c| line.contains(*c))
        .unwrap_or(',');
    let mut cells = line.split(parter).map(|cell| cell.trim().trim_matches('"'));
    let name: String = cells.next()?.chars().take(80).collect();
    if name.is_empty() {
        return None;
    }
    let mut load = Load {
        name,
        way: Way::Hours,
        ..Load::default()
    };
    let mut draws = 0;
    for cell in cells.filter(|cell| !cell.is_empty()) {
        if draws == 0 {
            let Ok(reading) = Quantity::Power.read(cell, Units::Metric) else {
                continue;
            };
            load.draw = reading.value;
            if matches!(reading.unit, Some("A" | "mA")) {
                load.draw_unit = DrawUnit::A;
            }
            draws = 1;
        } else if let Ok(reading) = Quantity::Hours.read(cell, Units::Metric) {
            load.hours = reading.value;
            break;
        }
    }
    (draws > 0).then_some(load)
}

/// Reads what was pasted: the loads, and how many lines could not be read.
pub fn read_lines(text: &str) -> (Vec<Load>, usize) {
    let lines = text
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .take(MOST);
    let mut unread = 0;
    let loads = lines
        .filter_map(|line| {
            let load = read_line(line);
            unread += usize::from(load.is_none());
            load
        })
        .collect();
    (loads, unread)
}

/// The preview beneath the adding row.
pub fn paste_preview(loads: List<Load>, pasted: RwSignal<Option<String>>) -> AnyView {
    let read = Memo::new(move |_| pasted.get().map(|text| read_lines(&text)));
    let body = move || {
        let (rows, unread) = read.get()?;
        let count = rows.len();
        let listed = rows
            .iter()
            .map(|load| {
                let unit = if load.draw_unit == DrawUnit::A { "A" } else { "W" };
                let draw = larder::units::tidy(load.draw);
                view! { <li>{format!("{}, {draw} {unit}, {}", load.name, larder::units::hours(load.hours))}</li> }
            })
            .collect_view();
        let unread = (unread > 0).then(|| {
            view! { <p class="note">{format!("{} without a draw in W or A {} left out.", words::count(unread, "line", "lines"), if unread == 1 { "is" } else { "are" })}</p> }
        });
        Some(view! {
            <div class="card preview" role="group" aria-label="what was pasted">
                <p>{if count == 0 { "No line has a name and a draw. Write one load a line: name, watts, hours.".to_owned() } else { format!("{} read:", words::count(count, "load", "loads")) }}</p>
                <ul>{listed}</ul>
                {unread}
                <div class="tools">
                    <button type="button" class="button" disabled=count == 0 on:click=move |_| {
                        if let Some((rows, _)) = read.get_untracked() {
                            loads.add_all(rows);
                        }
                        pasted.set(None);
                    }>{format!("Add {}", words::count(count, "load", "loads"))}</button>
                    <button type="button" class="quiet" on:click=move |_| pasted.set(None)>"Leave it"</button>
                </div>
            </div>
        })
    };
    view! { {body} }.into_any()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_a_spreadsheet_are_read() {
        let (loads, unread) =
            read_lines("lamp\t8 W\t3 h\n\npump; 4 A; 0,5\nname,watts,hours\nradio, 12, 30 min");
        assert_eq!(unread, 1);
        assert_eq!(loads.len(), 3);
        assert_eq!((loads[0].draw, loads[0].hours), (8.0, 3.0));
        assert_eq!(
            (loads[1].draw, loads[1].draw_unit, loads[1].hours),
            (4.0, DrawUnit::A, 0.5)
        );
        assert_eq!((loads[2].draw, loads[2].hours), (12.0, 0.5));
    }
}
