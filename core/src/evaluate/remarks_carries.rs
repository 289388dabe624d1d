//! What is wrong with what carries the currents and the weight.

use super::climate::Year;
use super::income::chosen;
use super::remarks::{Found, add};
use super::remarks_runs::{self, whole};
use crate::battery::{freezing_c, gravity_of_charge};
use crate::finding::Gravity;
use crate::fit::{Box3, Placement};
use crate::inputs::Inputs;
use crate::plan::Thing;
use crate::report::{BankReport, Carries};
use crate::units::{Quantity, tidy};
use crate::words;
use crate::year::life;

/// How far a charger's voltage may lie from what the kind usually wants [V per 12 V]. Assumed.
const PROFILE_V: f64 = 0.3;
/// How near a hot thing is told of [mm], and by how much it may warm a battery on the mean of a year [K]. Assumed.
const HOT_MM: f64 = 300.0;
const HOT_K: f64 = 10.0;
/// Where what stands beside the bank is told of: the locker's first row.
const BESIDE_AT: &str = "locker/inside_mm/1";

pub(super) fn carries(found: &mut Found, carries: &Carries) {
    remarks_runs::find(found, carries);
    let hold = &carries.holding;
    if hold.bolts_hold_n < hold.along_n.max(hold.across_n) {
        add(
            found,
            Gravity::Caution,
            "wiring/screws",
            format!(
                "The hold-down's screws hold {} N, the bank pulls with {} N.",
                whole(hold.bolts_hold_n),
                whole(hold.along_n.max(hold.across_n))
            ),
            "Take more screws or thicker ones, and see to what they are screwed into.",
        );
    }
    if hold.screw.is_some_and(|screw| screw.length_mm.is_none()) {
        add(
            found,
            Gravity::Caution,
            "wiring/stack_mm",
            "No screw is sold that is long enough for what it must clamp.",
            "Clamp less: a bracket in place of a spacer, or a threaded rod cut to length.",
        );
    }
}

/// The chosen bank where it stands, and its charger: what freezes, what the charger's voltages do to it.
pub(super) fn place(found: &mut Found, inputs: &Inputs, year: &Year) {
    let Some(row) = chosen(inputs) else { return };
    let kind = row.bank.battery.chemistry;
    let coldest_c = year.coldest_battery_c();
    let left = 1.0 - row.bank.depth;
    let freezes_c = freezing_c(gravity_of_charge(left));
    if kind.is_lead_acid() && coldest_c < freezes_c {
        add(
            found,
            Gravity::Caution,
            "living/battery_c",
            format!(
                "At the reserve line its acid freezes at {}; where it stands it comes to {} on the mean of the coldest month, and nights are colder.",
                words::temperature(freezes_c, inputs.units),
                words::temperature(coldest_c, inputs.units)
            ),
            "Keep it fuller in the cold, or where it stays warm: a frozen case bursts.",
        );
    }
    let Some(shore) = &inputs.shore else { return };
    let (traits, per_block) = (kind.traits(), 12.0 / inputs.volts);
    let boost = shore.boost_v * per_block - traits.boost_v;
    let over_float = shore.float_v * per_block - traits.float_v;
    let says = |stage: &str, set: f64, wants: f64| {
        format!(
            "The charger {stage}s at {:.1} V; {} usually wants {:.1} V.",
            set,
            words::chemistry(kind),
            wants / per_block
        )
    };
    if boost.abs() > PROFILE_V {
        add(
            found,
            if boost > 0.0 {
                Gravity::Caution
            } else {
                Gravity::Note
            },
            "shore/boost_v",
            says("boost", shore.boost_v, traits.boost_v),
            "Set the profile that the battery's maker gives.",
        );
    }
    if over_float > PROFILE_V {
        add(
            found,
            Gravity::Caution,
            "shore/float_v",
            says("float", shore.float_v, traits.float_v),
            "Set the profile that the battery's maker gives: too high a float dries it out or wears it.",
        );
    }
}

/// From a case to a box, 0 where they touch [mm].
fn apart_mm(case: &Placement, other: &Box3) -> f64 {
    let sides = case.at_mm.iter().zip(&case.size_mm);
    let others = other.at_mm.iter().zip(&other.size_mm);
    let apart = sides.zip(others).map(|((at, size), (other, long))| {
        let gap = (other - (at + size)).max(at - (other + long)).max(0.0);
        gap * gap
    });
    apart.sum::<f64>().sqrt()
}

fn one_place(value: f64) -> String {
    tidy((value * 10.0).round() / 10.0)
}

/// Whether a fuel is named as diesel or heating oil, which gives off no explosive vapour at ordinary temperatures: its flash
/// point is above 55 °C (EN 590, from memory).
fn is_diesel(name: &str) -> bool {
    let name = name.to_lowercase();
    ["diesel", "heating oil"]
        .iter()
        .any(|word| name.contains(word))
}

/// What stands beside the chosen bank in its locker: what gets hot, what burns.
pub(super) fn beside(found: &mut Found, inputs: &Inputs, year: &Year, banks: &[BankReport]) {
    let (Some(row), Some(locker)) = (chosen(inputs), &inputs.locker) else {
        return;
    };
    let bank = banks.iter().find(|bank| bank.id == row.id);
    let fit = bank.and_then(|bank| bank.fit.as_ref());
    let cases = fit.map_or(&[] as &[Placement], |fit| fit.arrangement.as_slice());
    let traits = row.bank.battery.chemistry.traits();
    let mean_c = year.mean_battery_c();
    let shelf_years = |mean_c: f64| life(traits, 0.0, mean_c).by_calendar;
    for (thing, what) in locker.obstacles.iter().zip(&inputs.things) {
        let near_mm = cases
            .iter()
            .map(|case| apart_mm(case, &thing.space))
            .fold(f64::INFINITY, f64::min);
        match what {
            Thing::Hot if near_mm < HOT_MM => {
                let (as_it_is, warmed) = (shelf_years(mean_c), shelf_years(mean_c + HOT_K));
                let costs = if warmed < 0.99 * as_it_is {
                    format!(
                        "Warmed by {} K over the year it keeps {} years on the shelf, not {}.",
                        tidy(HOT_K),
                        one_place(warmed),
                        one_place(as_it_is)
                    )
                } else {
                    format!(
                        "Up to {} that costs it nothing; each 10 K more halve its {} years on the shelf.",
                        words::temperature(25.0, inputs.units),
                        one_place(as_it_is)
                    )
                };
                add(
                    found,
                    Gravity::Caution,
                    BESIDE_AT,
                    format!(
                        "{} gets hot and stands {} from a battery. {costs}",
                        thing.name,
                        Quantity::Length.tell(near_mm, inputs.units)
                    ),
                    "Put a shield with air on both sides between them, insulate it, or leave more room; cables keep off it too.",
                );
            }
            Thing::Fuel if is_diesel(&thing.name) => add(
                found,
                Gravity::Caution,
                BESIDE_AT,
                format!(
                    "{} shares the space with the batteries: leaked fuel burns on hot parts.",
                    thing.name
                ),
                "Keep cables and hot parts above and clear of it, and stop leaks at once.",
            ),
            Thing::Fuel => add(
                found,
                Gravity::Grave,
                BESIDE_AT,
                format!(
                    "{} shares the space with the batteries: one spark in its vapour is an explosion.",
                    thing.name
                ),
                "Give it a space of its own, sealed from this one and vented outside. Where petrol can reach, every switch, fuse, relay and charger is ignition-protected (33 CFR 183.410, ISO 8846).",
            ),
            _ => {}
        }
    }
}
