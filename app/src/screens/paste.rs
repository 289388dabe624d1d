//! Several lines pasted from a spreadsheet or a note, shown before they become loads.

use super::list::{Rows, button, quiet};
use crate::view::{none, part, press};
use larder::plan::{DrawUnit, Load, Units, Way};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// Fields of a load that a pasted line says.
const TOLD: &[&str] = &["draw", "draw_unit", "way", "hours"];

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
pub fn paste_preview(loads: Rows, pasted: RwSignal<Option<String>>) -> AnyView {
    part(move || {
        let Some(text) = pasted.get() else {
            return none();
        };
        let (rows, unread) = read_lines(&text);
        let count = words::count(rows.len(), "load", "loads");
        let head = if rows.is_empty() {
            "No line has a name and a draw. Write one load a line: name, watts, hours.".to_owned()
        } else {
            format!("{count} read:")
        };
        let listed: Vec<AnyView> = rows
            .iter()
            .map(|load| {
                let unit = if load.draw_unit == DrawUnit::A {
                    "A"
                } else {
                    "W"
                };
                let draw = larder::units::tidy(load.draw);
                let says = format!(
                    "{}, {draw} {unit}, {}",
                    load.name,
                    larder::units::hours(load.hours)
                );
                view! { <li>{says}</li> }.into_any()
            })
            .collect();
        let left_out = if unread > 0 {
            let is = if unread == 1 { "is" } else { "are" };
            format!(
                "{} without a draw in W or A {is} left out.",
                words::count(unread, "line", "lines")
            )
        } else {
            String::new()
        };
        let add = button(
            &format!("Add {count}"),
            "button",
            press(move || {
                let rows = rows.clone();
                pasted.set(None);
                loads.add_with(TOLD, |plan, first| {
                    plan.loads.extend(
                        rows.into_iter()
                            .zip(first..)
                            .map(|(load, id)| Load { id, ..load }),
                    );
                });
            }),
        );
        let leave = quiet("Leave it", press(move || pasted.set(None)));
        view! {
            <div class="card preview" role="group" aria-label="what was pasted">
                <p>{head}</p>
                <ul>{listed}</ul>
                <p class="note">{left_out}</p>
                <div class="tools">{add}{leave}</div>
            </div>
        }
        .into_any()
    })
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
