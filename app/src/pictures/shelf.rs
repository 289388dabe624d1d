//! Shelf: the bank as a plank with a ruler. Portions of a day from the left, then what cold and age take (dotted),
//! then the reserve (hatched). All shelves share one scale, so that length compares.

use super::svg::{Anchor, Svg, text_width};
use larder::report::{BankReport, Shelf};

const TOP: f64 = 4.0;
const BLOCK: f64 = 34.0;
const PLANK: f64 = 4.0;
const RULER: f64 = 20.0;

/// Draws one shelf, `width` pixels standing for `full_scale_ah`.
pub fn shelf(facts: &Shelf, full_scale_ah: f64, width: f64) -> String {
    let mut svg = Svg::new(width, TOP + BLOCK + PLANK + RULER);
    let room = width - 12.0;
    let per_ah = if full_scale_ah > 0.0 {
        room / full_scale_ah
    } else {
        0.0
    };
    let bottom = TOP + BLOCK;
    let mut x = 0.0;
    let count = facts.portions_ah.len();
    let crowded = facts
        .portions_ah
        .first()
        .is_some_and(|first| first * per_ah < 9.0);
    for (at, portion) in facts.portions_ah.iter().enumerate() {
        let wide = portion * per_ah;
        let gap = if crowded { 0.5 } else { 1.5 };
        svg.rect("portion", x + gap, TOP + 1.0, wide - 2.0 * gap, BLOCK - 1.0);
        if !crowded {
            svg.rect("portion-lid", x + gap, TOP, wide - 2.0 * gap, 5.0);
        }
        let words = format!("day {}", at + 1);
        let short = format!("{}", at + 1);
        let last_in_part = at + 1 == count && count > 1;
        if wide > text_width(&words) + 8.0 {
            svg.text(
                "portion-label",
                x + wide / 2.0,
                bottom - 11.0,
                Anchor::Middle,
                &words,
            );
        } else if wide > text_width(&short) + 8.0 && !(last_in_part && wide < 16.0) {
            svg.text(
                "portion-label",
                x + wide / 2.0,
                bottom - 11.0,
                Anchor::Middle,
                &short,
            );
        }
        x += wide;
    }
    for (class, amount, words) in [
        ("taken", facts.cold_and_age_ah, "cold, age"),
        ("reserve", facts.reserve_ah, "reserve"),
    ] {
        let wide = amount * per_ah;
        if wide < 0.5 {
            continue;
        }
        svg.rect("ground", x + 1.0, TOP, (wide - 2.0).max(1.0), BLOCK);
        svg.rect(class, x + 1.0, TOP, (wide - 2.0).max(1.0), BLOCK);
        if wide > text_width(words) + 14.0 {
            svg.label(x + wide / 2.0, bottom - 12.0, words);
        }
        x += wide;
    }
    svg.rect("plank", 0.0, bottom, facts.rated_ah * per_ah, PLANK);
    let step = ruler_step(full_scale_ah, room);
    let mut mark = 0.0;
    while mark <= facts.rated_ah + 1e-9 && step > 0.0 {
        let at = (mark * per_ah).clamp(0.5, room);
        svg.line(
            "tick-mark",
            (at, bottom + PLANK),
            (at, bottom + PLANK + 4.0),
        );
        let words = if mark == 0.0 {
            "0 Ah".to_owned()
        } else {
            format!("{mark}")
        };
        let anchor = if mark == 0.0 {
            Anchor::Start
        } else {
            Anchor::Middle
        };
        let at = if mark == 0.0 {
            0.0
        } else {
            at.min(room + 12.0 - text_width(&words) / 2.0)
        };
        svg.text("small", at, bottom + PLANK + 16.0, anchor, &words);
        mark += step;
    }
    svg.finish()
}

/// A round step that leaves a good 60 px between figures.
fn ruler_step(full_scale_ah: f64, room: f64) -> f64 {
    let steps = [
        5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0,
    ];
    let fits = |step: &&f64| full_scale_ah > 0.0 && **step * room / full_scale_ah >= 60.0;
    steps.iter().find(fits).copied().unwrap_or(0.0)
}

/// What a shelf shows, spoken.
pub fn says(bank: &BankReport, name: &str) -> String {
    let shelf = &bank.shelf;
    let usable: f64 = shelf.portions_ah.iter().sum();
    format!(
        "{name}: of {:.0} Ah rated, {usable:.0} Ah may be used in {}, cold and age take {:.0} Ah, {:.0} Ah stay in reserve.",
        shelf.rated_ah,
        larder::words::portions(shelf.portions_ah.len()),
        shelf.cold_and_age_ah,
        shelf.reserve_ah
    )
}

/// The same facts as a row of a table.
pub fn row(bank: &BankReport, name: &str) -> Vec<String> {
    let shelf = &bank.shelf;
    let usable: f64 = shelf.portions_ah.iter().sum();
    let figures = [
        shelf.rated_ah,
        usable,
        shelf.cold_and_age_ah,
        shelf.reserve_ah,
    ];
    std::iter::once(name.to_owned())
        .chain(figures.iter().map(|ah| format!("{ah:.0}")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shelf_of_nothing_is_drawn_without_fuss() {
        let nothing = Shelf {
            rated_ah: 0.0,
            portions_ah: vec![],
            cold_and_age_ah: 0.0,
            reserve_ah: 0.0,
        };
        assert!(shelf(&nothing, 0.0, 300.0).starts_with("<svg"));
    }

    #[test]
    fn every_day_has_its_portion() {
        let facts = Shelf {
            rated_ah: 100.0,
            portions_ah: vec![20.0, 20.0, 5.0],
            cold_and_age_ah: 5.0,
            reserve_ah: 50.0,
        };
        let drawn = shelf(&facts, 100.0, 500.0);
        assert_eq!(drawn.matches("\"portion\"").count(), 3);
        assert!(drawn.contains("day 2") && drawn.contains("reserve"));
    }
}
