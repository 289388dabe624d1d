//! Batteries: ratings and rates, cold, the two wells, charge limits, and the worksheets that size a bank.

use super::{Evaluator, Pattern};
use crate::question::{Answer, Asked, Question};
use larder::battery::{
    Bank, Battery, Chemistry, Conditions, Label, Reservoir, SecondRating, State, Step, Wells,
    capacity_divisor, exponent, fit, hours_at, hours_at_from_one_ampere, lead_acid_divisor,
};
use larder::energy::charge_ah;
use larder::year::{cycles_double_exponential, cycles_to_end};

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("exponent from two ratings*", exponent_of_two),
    (
        "exponent from 20 h rating and reserve minutes",
        exponent_of_reserve,
    ),
    ("hours at constant current, t = h (c/(i h))^k", |q| {
        let (capacity, hours) = (q.number(&["C_Ah"])?, q.number(&["H_h"])?);
        Ok(hours_at(capacity, hours, peukert(q)?, q.number(&["I_A"])?).into())
    }),
    ("hours, form t = c / i^*", |q| {
        let (capacity, current) = (q.number(&["C_Ah"])?, q.number(&["I_A"])?);
        Ok(hours_at_from_one_ampere(capacity, current, peukert(q)?).into())
    }),
    ("cycles to failure, n = *", |q| {
        let c = q.numbers("C")?;
        let [c1, c2, c3, c4, c5] = c.try_into().map_err(|_| "five coefficients".to_owned())?;
        Ok(cycles_double_exponential([c1, c2, c3, c4, c5], q.number(&["R_depth"])?).into())
    }),
    ("order of magnitude of cycles*", |q| {
        Ok(cycles_to_end(Chemistry::Agm.traits(), q.number(&["dod_pct"])? / 100.0).into())
    }),
    ("cycles to 80 % at 80 % depth*", |_| {
        Ok(cycles_to_end(Chemistry::LithiumIronPhosphate.traits(), 0.8).into())
    }),
    ("cycles to 80 % at 100 % depth*", |_| {
        Ok(cycles_to_end(Chemistry::LithiumIronPhosphate.traits(), 1.0).into())
    }),
    ("typical exponent range", |q| {
        Ok(chemistry(q)?.traits().peukert.into())
    }),
    (
        "cell size correction factor at electrolyte temperature*",
        |q| Ok(lead_acid_divisor(q.celsius()?).0.into()),
    ),
    (
        "battery capacity multiplier at winter ambient*",
        winter_multiplier,
    ),
    ("capacity at * c relative to 25 c*", capacity_in_the_cold),
    ("charge efficiency", charge_efficiency),
    ("self-discharge", |q| {
        Ok((100.0 * chemistry(q)?.traits().self_discharge).into())
    }),
    ("lowest cell temperature for charging", |q| {
        Ok(chemistry(q)?.traits().charge_low_c.into())
    }),
    ("highest cell temperature for charging", |q| {
        Ok(chemistry(q)?.traits().charge_high_c.into())
    }),
    ("capacity at a constant current that lasts t hours", |q| {
        Ok(wells(q)?.capacity_ah(q.number(&["T_h"])?).into())
    }),
    ("wells after a step at constant current", wells_after),
    (
        "greatest discharge and charge current over the step",
        greatest_currents,
    ),
    (
        "worksheet chain: wh/day x days / dod x multiplier / v",
        rated_for,
    ),
    ("bank at c/20 and 25 c", rated_for),
];

/// The kind of battery: of the inputs, or else of the quantity and its document.
pub(super) fn chemistry(q: Question) -> Result<Chemistry, String> {
    let words = match q.text(&["type", "chemistry"]) {
        Ok(text) => text.to_lowercase(),
        Err(_) => format!("{} {}", q.quantity(), q.source()).to_lowercase(),
    };
    [
        ("lifepo4", Chemistry::LithiumIronPhosphate),
        ("lithium iron phosphate", Chemistry::LithiumIronPhosphate),
        ("sodium", Chemistry::SodiumIon),
        ("agm", Chemistry::Agm),
        ("gel", Chemistry::Gel),
        ("flooded", Chemistry::Flooded),
        ("vented", Chemistry::Flooded),
    ]
    .into_iter()
    .find_map(|(word, kind)| words.contains(word).then_some(kind))
    .ok_or_else(|| "no kind of battery that the core has".to_owned())
}

fn peukert(q: Question) -> Result<f64, String> {
    q.number(&["k", "n"])
}

fn exponent_of_two(q: Question) -> Asked {
    let number = |name| q.number(&[name]);
    Ok(exponent(
        number("t1_h")?,
        number("I1_A")?,
        number("t2_h")?,
        number("I2_A")?,
    )
    .into())
}

/// A battery of 12 V with a 20-hour capacity, and what else its label says.
fn battery(chemistry: Chemistry, capacity_ah: f64, second: Option<SecondRating>) -> Battery {
    Battery {
        chemistry,
        label: Label {
            volts: 12.0,
            capacity_ah,
            hours: 20.0,
            second,
        },
        max_discharge_a: None,
        max_charge_a: None,
    }
}

fn exponent_of_reserve(q: Question) -> Asked {
    let reserve = SecondRating::ReserveMinutes(q.number(&["reserve_min_at_25A"])?);
    let battery = battery(Chemistry::Flooded, q.number(&["C20_Ah"])?, Some(reserve));
    let exponent = battery.label.exponent();
    Ok(exponent
        .ok_or("both ratings are at the same current")?
        .into())
}

/// Coldest battery (°C) at which the photovoltaic worksheets' multipliers are the IEEE factors: 40 °F.
const WORKSHEETS_AGREE_FROM_C: f64 = 40.0 / 9.0;

/// The worksheets reckon no gain from warmth, as the core does; from 40 °F down they go their own way.
fn winter_multiplier(q: Question) -> Asked {
    let celsius = q.celsius()?;
    if celsius < WORKSHEETS_AGREE_FROM_C - 1e-9 {
        return Err(
            "below 40 °F the worksheets leave the IEEE factors, which the core keeps to".into(),
        );
    }
    Ok(capacity_divisor(Chemistry::Flooded, celsius).0.into())
}

fn capacity_in_the_cold(q: Question) -> Asked {
    let celsius = q.quantity().split(' ').find_map(|word| word.parse().ok());
    let celsius = celsius.ok_or("no temperature")?;
    Ok((1.0 / capacity_divisor(chemistry(q)?, celsius).0).into())
}

/// Mean over a band of states of charge, `0-84 %` or, to full, `84 %+`.
fn charge_efficiency(q: Question) -> Asked {
    let band = q.text(&["soc_band"])?;
    let (figures, rest) = band.split_once(' ').ok_or("no band")?;
    let (from, to) = match figures.split_once('-') {
        Some((from, to)) => (from, to),
        None if rest.starts_with("%+") => (figures, "100"),
        None => return Err(format!("`{band}` is no band")),
    };
    let (from, to): (f64, f64) = match (from.parse(), to.parse()) {
        (Ok(from), Ok(to)) => (from, to),
        _ => return Err(format!("`{band}` is no band")),
    };
    const STEPS: u32 = 1000;
    let traits = Chemistry::Flooded.traits();
    let sum: f64 = (0..STEPS)
        .map(|step| (f64::from(step) + 0.5) / f64::from(STEPS))
        .map(|along| traits.efficiency((from + along * (to - from)) / 100.0))
        .sum();
    Ok((sum / f64::from(STEPS)).into())
}

fn wells(q: Question) -> Result<Wells, String> {
    Ok(Wells {
        c: q.number(&["c"])?,
        k_per_h: q.number(&["k"])?,
        // A step alone does not hang on how much there could be.
        q_max_ah: q.given(&["qmax"]).unwrap_or(f64::NAN),
    })
}

/// The wells' state, and a step over the row's time.
fn step(q: Question) -> Result<(State, Step), String> {
    let available_ah = q.number(&["q1"])?;
    let state = State {
        available_ah,
        total_ah: available_ah + q.number(&["q2"])?,
    };
    Ok((state, Step::new(&wells(q)?, q.number(&["dt_h"])?)))
}

fn wells_after(q: Question) -> Asked {
    let (state, step) = step(q)?;
    let after = step.advance(state, q.number(&["I_A"])?);
    Ok(vec![after.available_ah, after.bound_ah()].into())
}

/// Charge counts as negative in these rows.
fn greatest_currents(q: Question) -> Asked {
    let (state, step) = step(q)?;
    Ok(vec![step.most_discharge_a(state), -step.most_charge_a(state)].into())
}

/// Rated Ah of a lead-acid bank that has a charge usable: the charge over what the core finds usable of one ampere-hour
/// rated. A worksheet's own factor stands where health does, since both multiply; without one, the core's for the cold.
fn rated_for(q: Question) -> Asked {
    let days = q.number(&["days"])?;
    let charge = match q.given(&["Ah_per_day"]) {
        Some(ah) => ah * days,
        None => charge_ah(q.number(&["Wh_per_day"])?, 1.0, days, q.number(&["V"])?),
    };
    let factor = q
        .given(&["temp_and_rate_factor"])
        .or_else(|| q.given(&["multiplier"]).map(|multiplier| 1.0 / multiplier));
    let conditions = match factor {
        Some(soh) => Conditions { temp_c: 25.0, soh },
        None => Conditions {
            temp_c: q.celsius()?,
            soh: 1.0,
        },
    };
    let depth = q.number(&["dod", "mdod"])?;
    let battery = battery(Chemistry::Flooded, 1.0, None);
    let fitted = fit(&battery);
    let bank = Bank {
        battery,
        series: 1,
        parallel: 1,
        depth,
        hard_depth: depth,
    };
    let usable_of_one = Reservoir::new(&bank, &fitted, &conditions).usable_ah();
    Ok(Answer::from(charge / usable_of_one))
}
