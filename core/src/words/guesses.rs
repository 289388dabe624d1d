//! Guesses in words: what each is called, what stands there, what it is worth.

use super::{capital, field_called, whole};
use crate::plan::{Held, Kind, List, Plan};
use crate::units::tidy;
use crate::weigh::{Change, Weight};

/// Said where no guess is left.
pub const NO_GUESSES: &str = "No guesses left.";

/// A guess's name: the thing that it belongs to, and the field.
pub fn guess_called(plan: &Plan, path: &str) -> String {
    let in_order = |list: List, what: &str| {
        let rows = path.strip_prefix(list.path())?.strip_prefix('/')?;
        let id: u32 = rows.split('/').next()?.parse().ok()?;
        let nth = plan.ids(list).iter().position(|row| *row == id)?;
        Some(format!("{what} {}", nth + 1))
    };
    let thing = in_order(List::Rhythm, "Days in their order,")
        .or_else(|| in_order(List::Stays, "Days with dates,"))
        .or_else(|| in_order(List::Panels, "Solar panels,"))
        .unwrap_or_else(|| capital(&field_called(plan, path)));
    let field = match plan.field(path) {
        _ if path.ends_with("/when") => "when in the day",
        _ if path == "living/outdoors_c" => "temperatures outdoors",
        Some(field) if path.ends_with("/fitted") => {
            return field.called.trim_end_matches('.').to_owned();
        }
        Some(field) => field.called,
        None => "",
    };
    format!("{thing}: {field}")
}

/// What stands at a guess.
pub fn guess_value(plan: &Plan, path: &str) -> String {
    if let Some(row) = path.strip_suffix("/when") {
        let [from, to] = ["from", "to"].map(|name| plan.text(&format!("{row}/{name}")));
        return if from == to {
            "any time".to_owned()
        } else {
            format!("{from} to {to}")
        };
    }
    if path == "living/outdoors_c" {
        return "by place and month".to_owned();
    }
    let Some(field) = plan.field(path) else {
        return String::new();
    };
    match (field.kind, plan.held(path)) {
        (Kind::Choice(words), Some(Held::Choice(at))) => {
            let word = words.get(at).copied().unwrap_or("");
            word.trim_end_matches(':').to_owned()
        }
        (Kind::Choice(words), Some(Held::Tick(on))) => {
            words.get(usize::from(on)).copied().unwrap_or("").to_owned()
        }
        (Kind::Tick, Some(Held::Tick(on))) => if on { "yes" } else { "no" }.to_owned(),
        (_, Some(Held::Text(text))) => text,
        (_, Some(Held::Number(Some(value)))) => {
            let quantity = plan.quantity(path);
            quantity.map_or_else(|| tidy(value), |quantity| quantity.show(value, plan.units))
        }
        (_, Some(Held::Number(None))) => "as usual".to_owned(),
        _ => String::new(),
    }
}

/// A change with its signs: "±0.4", "−0.3 to +0.5", "+2".
fn change(change: Change, show: fn(f64) -> String) -> String {
    let (low, high) = (show(change.low.abs()), show(change.high.abs()));
    let none = show(0.0);
    match (low == none, high == none) {
        _ if low == high => format!("±{high}"),
        (true, _) => format!("+{high}"),
        (_, true) => format!("−{low}"),
        _ => format!("−{low} to +{high}"),
    }
}

/// What a guess is worth to the answer; empty where it changes neither the days nor the balance.
pub fn guess_worth(weight: &Weight) -> String {
    let tenths = |days: f64| tidy((days * 10.0).round() / 10.0);
    if weight.days.spread() >= 0.1 {
        return format!("{} days parked", change(weight.days, tenths));
    }
    if weight.counts() {
        let wh = weight.left_wh;
        return if wh.spread() >= 1.0 {
            format!("{} Wh a day", change(wh, whole))
        } else {
            "less than 0.1 days".to_owned()
        };
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Candidate, Load};

    #[test]
    fn a_guess_has_a_name_a_value_and_a_worth() {
        let plan = Plan {
            loads: vec![Load {
                id: 1,
                name: "fridge".into(),
                ..Load::default()
            }],
            candidates: vec![Candidate {
                id: 2,
                ..Candidate::default()
            }],
            ..Plan::default()
        };
        for (path, called, value) in [
            ("loads/1/draw", "Fridge: draw of one", "10 W"),
            ("loads/1/when", "Fridge: when in the day", "any time"),
            (
                "candidates/2/chemistry",
                "One 100 Ah AGM: kind of battery",
                "AGM",
            ),
            (
                "candidates/2/depth",
                "One 100 Ah AGM: planned depth of discharge",
                "as usual",
            ),
            (
                "living/rhythm/2/days",
                "Days in their order, 2: how many days",
                "1",
            ),
            ("sun/fitted", "There are solar panels", "yes"),
            (
                "living/month",
                "How you live: the month that matters",
                "the hardest",
            ),
            ("plan/rig", "The rig: kind of rig", "van"),
            (
                "wiring/engine_space",
                "The cables: where the engine's run goes",
                "through the engine space",
            ),
        ] {
            assert_eq!(guess_called(&plan, path), called);
            assert_eq!(guess_value(&plan, path), value, "{path}");
        }
        let weight = |days: [f64; 2], wh: [f64; 2]| {
            let change = |[low, high]: [f64; 2]| Change { low, high };
            guess_worth(&Weight {
                path: String::new(),
                days: change(days),
                left_wh: change(wh),
            })
        };
        assert_eq!(weight([-0.42, 0.38], [0.0, 0.0]), "±0.4 days parked");
        assert_eq!(weight([-0.3, 0.52], [0.0, 0.0]), "−0.3 to +0.5 days parked");
        assert_eq!(weight([0.0, 2.0], [0.0, 0.0]), "+2 days parked");
        assert_eq!(weight([0.0, 0.0], [-120.0, 0.0]), "−120 Wh a day");
        assert_eq!(weight([0.0, 0.0], [0.0, 0.0]), "");
    }
}
