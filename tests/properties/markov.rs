//! Loss of load as a chain: a small case of sun alone and a constant load, of which the days short of a year can be worked out
//! without drawing anything, against years that are drawn.
//!
//! The chain. A bank of one well that loses nothing is drawn down by one Wh-hour's worth `u` each hour; at noon, in one hour, it
//! takes in what the day's sky brings. So a day is: 12 u out, then S(score) − u in, at most to full, then 11 u out. Loads are cut
//! at the hard line and come back when the charge has risen to the line above it. What a day does hangs on the charge and on the
//! score alone, and the next day's score on this one's (an autoregression of lag 1, memory 0.29): a Markov chain on (charge, cut,
//! score). The chain is cut into bins of charge and of score; its distribution is carried through the 365 days of a year that
//! begins full, and the chance of being short is summed over them. Nothing is drawn.

use larder::battery::{Bank, Battery, Chemistry, Conditions, Label, Reservoir, fit};
use larder::year::{
    ByScore, CLEARNESS_STEP, CLEARNESS_STEPS, Clock, Draw, LeanDay, Light, Odds, Scores, Sky,
    WARMTHS, YEAR_DAYS, normal_share,
};

const MEAN_CLEARNESS: f64 = 0.42;
const MEMORY: f64 = 0.29;
const LOAD_W: f64 = 20.0;
/// Sun of the noon hour at a clearness of 1 [W].
const NOON_W: f64 = 1350.0;
const CAPACITIES_AH: [f64; 4] = [70.0, 110.0, 170.0, 260.0];
const YEARS: u64 = 400;
/// Bins of score and of charge.
const SCORES: usize = 25;
const CHARGES: usize = 120;
/// Scores from the least bin's lower edge to the greatest one's upper.
const SPAN: f64 = 3.6;

fn tank(capacity_ah: f64) -> Reservoir {
    let battery = Battery {
        chemistry: Chemistry::LithiumIronPhosphate,
        label: Label {
            volts: 12.0,
            capacity_ah,
            hours: 20.0,
            second: None,
        },
        max_discharge_a: None,
        max_charge_a: Some(1e6),
    };
    let fitted = fit(&battery);
    let bank = Bank {
        battery,
        series: 1,
        parallel: 1,
        depth: 0.75,
        hard_depth: 0.8,
    };
    let conditions = Conditions {
        temp_c: 25.0,
        soh: 1.0,
    };
    Reservoir::new(&bank, &fitted, &conditions)
}

/// Days short a year, mean and half its interval, as they are drawn.
fn drawn(tank: &Reservoir) -> (f64, f64) {
    let day = LeanDay {
        month: 0,
        season: 0,
        stretch: 0,
        scale: 1.0,
        kind: None,
    };
    let sky = Sky {
        days: vec![day; YEAR_DAYS],
        rhythm: vec![0],
        draws: vec![
            Draw {
                direct_w: [LOAD_W; 24],
                inverter_w: [0.0; 24],
            };
            48
        ],
        profiles: 48,
        table_error: vec![0.0; 12],
        spread: vec![ByScore::of_month(MEAN_CLEARNESS); 12],
        sun_by_warmth: vec![0.0; 12],
        clock: Clock::new(1, 0.0, 0.0),
        engine: None,
        shore_w: ([0.0; 24], [0.0; 24]),
        inverter_cutoff_v: 0.0,
        driving_kind: 1,
        shore_kind: 2,
    };
    let noon = |step: usize| {
        let clearness = step as f64 * CLEARNESS_STEP;
        std::array::from_fn(|hour| if hour == 12 { NOON_W * clearness } else { 0.0 })
    };
    let light = Light((0..CLEARNESS_STEPS).map(noon).collect());
    let tanks = vec![tank.clone(); 12 * WARMTHS];
    let odds = Odds::new(&sky, &light, &tanks).expect("a bank");
    let years = odds.years(&Scores::drawn(7, 0..YEARS));
    // Two years of a pair hang together; the pairs do not.
    let pairs = years.chunks(2);
    let days: Vec<f64> = pairs
        .map(|pair| f64::from(pair.iter().map(|year| year.days()).sum::<u32>()) / 2.0)
        .collect();
    let mean = days.iter().sum::<f64>() / days.len() as f64;
    let spread: f64 = days.iter().map(|days| (days - mean) * (days - mean)).sum();
    let n = days.len() as f64;
    (mean, 1.96 * (spread / (n - 1.0)).sqrt() / n.sqrt())
}

/// A day of the chain: charge and cut in the evening, and whether it was short.
fn day(tank: &Reservoir, (mut q, mut cut): (f64, bool), clearness: f64) -> (f64, bool, bool) {
    let (full, hard) = (tank.full_ah(), tank.hard_line_ah());
    let back = tank.reserve_line_ah().max(hard + 0.05 * tank.capacity_ah());
    let out_ah = LOAD_W / tank.volts();
    let efficiency = tank.efficiency_at(0.5);
    let into_ah = |w: f64| w / tank.charging_v() * efficiency;
    let sun_w = NOON_W * clearness;
    let with_load = if sun_w > LOAD_W {
        into_ah(sun_w - LOAD_W)
    } else {
        (sun_w - LOAD_W) / tank.volts()
    };
    let mut short = cut;
    // What leaks away in a day, at once.
    q -= 24.0 * tank.self_discharge_a(tank.state_at(q));
    let mut drain = |q: &mut f64, cut: &mut bool, ah: f64| {
        if !*cut {
            *q -= ah;
            *cut = *q < hard;
        }
        *q = q.max(hard);
        short |= *cut;
    };
    drain(&mut q, &mut cut, 12.0 * out_ah);
    if cut {
        let gain = into_ah(sun_w);
        if q + gain >= back {
            let left = 1.0 - (back - q) / gain;
            q = back + left * with_load;
            cut = false;
        } else {
            q += gain;
        }
    } else {
        drain(&mut q, &mut cut, -with_load);
    }
    q = q.min(full);
    drain(&mut q, &mut cut, 11.0 * out_ah);
    (q, cut, short)
}

/// Days short a year by the chain.
fn by_chain(tank: &Reservoir) -> f64 {
    let width = 2.0 * SPAN / SCORES as f64;
    let middle = |bin: usize| (bin as f64 + 0.5) * width - SPAN;
    let fresh = (1.0 - MEMORY * MEMORY).sqrt();
    // The chance of a score's bin about a mean, the outermost bins taking what lies beyond.
    let chance = |bin: usize, mean: f64, spread: f64| {
        let upper = if bin + 1 == SCORES {
            1.0
        } else {
            normal_share((middle(bin) + width / 2.0 - mean) / spread)
        };
        let lower = if bin == 0 {
            0.0
        } else {
            normal_share((middle(bin) - width / 2.0 - mean) / spread)
        };
        upper - lower
    };
    let spread = ByScore::of_month(MEAN_CLEARNESS);
    let (full, hard) = (tank.full_ah(), tank.hard_line_ah());
    let charge = |bin: usize| hard + (full - hard) * bin as f64 / (CHARGES - 1) as f64;
    let place = |cut: bool, bin: usize| usize::from(cut) * CHARGES + bin;
    // For each score and state: the two states in which its day ends, the share of the upper, whether it was short.
    let steps: Vec<Vec<(usize, f64, bool)>> = (0..SCORES)
        .map(|score| {
            let clearness = spread.at(middle(score));
            let states = [false, true].into_iter();
            let states = states.flat_map(|cut| (0..CHARGES).map(move |bin| (cut, bin)));
            let end = |(cut, bin): (bool, usize)| {
                let (q, cut, short) = day(tank, (charge(bin), cut), clearness);
                let along = (q - hard) / (full - hard) * (CHARGES - 1) as f64;
                let below = (along as usize).min(CHARGES - 2);
                (place(cut, below), along - below as f64, short)
            };
            states.map(end).collect()
        })
        .collect();
    let moves: Vec<Vec<f64>> = (0..SCORES)
        .map(|from| {
            (0..SCORES)
                .map(|to| chance(to, MEMORY * middle(from), fresh))
                .collect()
        })
        .collect();
    let mut now = vec![vec![0.0; 2 * CHARGES]; SCORES];
    for (score, states) in now.iter_mut().enumerate() {
        states[place(false, CHARGES - 1)] = chance(score, 0.0, 1.0);
    }
    let mut short_days = 0.0;
    for _ in 0..YEAR_DAYS {
        let mut next = vec![vec![0.0; 2 * CHARGES]; SCORES];
        for (score, states) in now.iter().enumerate() {
            let mut ended = vec![0.0; 2 * CHARGES];
            for (p, (at, upper, short)) in states.iter().zip(&steps[score]) {
                ended[*at] += p * (1.0 - upper);
                ended[at + 1] += p * upper;
                short_days += p * f64::from(u8::from(*short));
            }
            for (to, states) in next.iter_mut().enumerate() {
                let moves = moves[score][to];
                for (sum, p) in states.iter_mut().zip(&ended) {
                    *sum += moves * p;
                }
            }
        }
        now = next;
    }
    short_days
}

#[test]
fn days_short_fall_with_the_battery_as_the_chain_says() {
    let mut last = f64::INFINITY;
    for capacity_ah in CAPACITIES_AH {
        let tank = tank(capacity_ah);
        let ((mean, half), chain) = (drawn(&tank), by_chain(&tank));
        println!(
            "{capacity_ah} Ah: {mean:.2} ± {half:.2} days short a year by {YEARS} drawn years, {chain:.2} by the chain"
        );
        assert!(
            (mean - chain).abs() <= half,
            "{capacity_ah}: {mean} {chain}"
        );
        assert!(chain < last);
        last = chain;
    }
}
