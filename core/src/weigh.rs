//! What each guess is worth to the answer: each is moved as far as it may be out, one at a time.
//!
//! Nothing here belongs on the path of a keystroke: the page weighs guesses while their list is open and typing rests.

use crate::evaluate::{Brief, brief};
use crate::import::import;
use crate::plan::{Held, Kind, Plan};
use crate::units::{Quantity, clock, read_clock};

/// How far a number is moved either way [share of it]. Assumed.
const MOVE: f64 = 0.25;
/// How far a voltage is moved [share of it]. Assumed.
const MOVE_VOLTAGE: f64 = 0.03;
/// How far a temperature is moved [K]. Assumed.
const MOVE_K: f64 = 3.0;
/// How far a panel's tilt is moved [°]; the direction that it faces is moved thrice as far. Assumed.
const MOVE_DEG: f64 = 15.0;
/// How far a position is moved [°]. Assumed: some 200 km.
const MOVE_POSITION_DEG: f64 = 2.0;
/// How far a clock time is moved [min]. Assumed.
const MOVE_MIN: u16 = 60;
/// Tenths of a share that a share of nothing is moved to. Assumed.
const MOVE_FROM_NONE: f64 = 0.1;
/// Changes below these are none [days; Wh a day].
const NO_DAYS: f64 = 0.005;
const NO_WH: f64 = 0.5;

/// By how much something changes, at the least and at the most; both are 0 where it does not.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Change {
    /// The lowest change, 0 or less.
    pub low: f64,
    /// The highest, 0 or more.
    pub high: f64,
}

impl Change {
    fn take(&mut self, change: f64) {
        if change.is_finite() {
            self.low = self.low.min(change);
            self.high = self.high.max(change);
        }
    }

    /// From the lowest to the highest.
    pub fn spread(self) -> f64 {
        self.high - self.low
    }
}

/// A guess and what it is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// Its path.
    pub path: String,
    /// Change of the days that the bank lasts parked with nothing coming in: of the candidate that the guess is about,
    /// else of the chosen one.
    pub days: Change,
    /// Change of what a day of the month that matters leaves over [Wh].
    pub left_wh: Change,
}

impl Weight {
    /// The spread of the days as it is shown, to tenths: below that, what is left over tells more.
    fn days_shown(&self) -> f64 {
        (self.days.spread() * 10.0).round()
    }

    /// Whether it changes the days or what is left over.
    pub fn counts(&self) -> bool {
        self.days.spread() >= NO_DAYS || self.left_wh.spread() >= NO_WH
    }
}

/// Weighs the guesses of a plan that count, one after another, so that a page can pause in between.
#[derive(Clone, Debug)]
pub struct Weigher {
    plan: Plan,
    paths: Vec<String>,
    bases: Vec<(u32, Option<Brief>)>,
    /// How many times the plan was worked out.
    evaluations: usize,
}

impl Weigher {
    /// Begins with a plan. Where it has faults, all weigh nothing.
    pub fn new(plan: &Plan) -> Self {
        let mut paths: Vec<String> = plan.open_guesses().map(String::from).collect();
        paths.reverse();
        let mut plan = plan.clone();
        plan.drafts.clear();
        Self {
            plan,
            paths,
            bases: Vec::new(),
            evaluations: 0,
        }
    }

    fn work_out(&mut self, plan: &Plan, bank: u32) -> Option<Brief> {
        self.evaluations += 1;
        brief(&import(plan).ok()?, bank)
    }

    fn base(&mut self, bank: u32) -> Option<Brief> {
        if let Some((_, base)) = self.bases.iter().find(|(id, _)| *id == bank) {
            return *base;
        }
        let plan = self.plan.clone();
        let base = self.work_out(&plan, bank);
        self.bases.push((bank, base));
        base
    }
}

impl Iterator for Weigher {
    type Item = Weight;

    fn next(&mut self) -> Option<Weight> {
        let path = self.paths.pop()?;
        let bank = bank_of(&self.plan, &path);
        let (mut days, mut left_wh) = (Change::default(), Change::default());
        if let Some(base) = self.base(bank) {
            for moved in moved(&self.plan, &path) {
                if let Some(found) = self.work_out(&moved, bank) {
                    days.take(found.days - base.days);
                    left_wh.take(found.left_wh - base.left_wh);
                }
            }
        }
        Some(Weight {
            path,
            days,
            left_wh,
        })
    }
}

/// Puts the heaviest guesses first.
pub fn heaviest_first(guesses: &mut [Weight]) {
    guesses.sort_by(|one, other| {
        let days = other.days_shown().total_cmp(&one.days_shown());
        days.then(other.left_wh.spread().total_cmp(&one.left_wh.spread()))
    });
}

/// The candidate that a guess is about, else the chosen one.
fn bank_of(plan: &Plan, path: &str) -> u32 {
    let own = path.strip_prefix("candidates/");
    let own = own.and_then(|rest| rest.split('/').next()?.parse().ok());
    let chosen = plan.chosen_candidate().map(|bank| bank.id);
    own.or(chosen).unwrap_or(0)
}

/// The plan with the guess as low and as high as it may be, or with each other choice.
fn moved(plan: &Plan, path: &str) -> Vec<Plan> {
    let with = |path: &str, held: Held| {
        let mut moved = plan.clone();
        moved.put(path, held);
        moved
    };
    if path == "plan/volts" {
        let others = [12.0, 24.0, 48.0].into_iter();
        let others = others.filter(|volts| *volts != plan.volts);
        return others
            .map(|volts| with(path, Held::Number(Some(volts))))
            .collect();
    }
    if let Some(row) = path.strip_suffix("/when") {
        let bounded = plan.text(&format!("{row}/from")) != plan.text(&format!("{row}/to"));
        let (from, to) = if bounded {
            ("00:00", "00:00")
        } else {
            ("18:00", "23:00")
        };
        let mut moved = with(&format!("{row}/from"), Held::Text(from.into()));
        moved.put(&format!("{row}/to"), Held::Text(to.into()));
        return vec![moved];
    }
    if path == "living/outdoors_c" {
        let Ok(inputs) = import(plan) else {
            return Vec::new();
        };
        let by = |by_k: f64| {
            let mut moved = plan.clone();
            moved.living.outdoors_c = inputs.living.home.outdoors_c.map(|mean| Some(mean + by_k));
            moved
        };
        return vec![by(-MOVE_K), by(MOVE_K)];
    }
    let Some(field) = plan.field(path) else {
        return Vec::new();
    };
    match (field.kind, plan.held(path)) {
        (Kind::Choice(words), Some(now)) => {
            let others = (0..words.len()).map(Held::Choice);
            let others = others.filter(|other| *other != now && !is_tick(&now, other));
            others.map(|other| with(path, other)).collect()
        }
        (Kind::Tick, Some(Held::Tick(on))) => vec![with(path, Held::Tick(!on))],
        (Kind::Clock, Some(Held::Text(text))) => {
            let Ok(now) = read_clock(&text) else {
                return Vec::new();
            };
            let at = |minutes: u16| with(path, Held::Text(clock(minutes % 1440)));
            vec![at(now + 1440 - MOVE_MIN), at(now + MOVE_MIN)]
        }
        (Kind::Number(quantity) | Kind::Open(quantity), Some(Held::Number(value))) => {
            let Some(value) = value.or_else(|| assumed(plan, path)) else {
                return Vec::new();
            };
            let ends = range(quantity, path, value);
            let ends = ends.into_iter().filter(|end| *end != value);
            ends.map(|end| with(path, Held::Number(Some(end))))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// Whether a choice of two stands for a tick of the same value.
fn is_tick(now: &Held, other: &Held) -> bool {
    matches!((now, other), (Held::Tick(on), Held::Choice(at)) if usize::from(*on) == *at)
}

/// What counts while a field stands empty.
fn assumed(plan: &Plan, path: &str) -> Option<f64> {
    let row = path.strip_suffix("/depth")?;
    let id: u32 = row.strip_prefix("candidates/")?.parse().ok()?;
    let bank = plan.candidates.iter().find(|bank| bank.id == id)?;
    Some(bank.chemistry.traits().depth_recommended)
}

/// How low and how high a guessed number may be.
fn range(quantity: Quantity, path: &str, value: f64) -> [f64; 2] {
    let either = |by: f64| [value - by, value + by];
    match quantity {
        Quantity::Temperature => either(MOVE_K),
        Quantity::Latitude | Quantity::Longitude => either(MOVE_POSITION_DEG),
        Quantity::Bearing => either(3.0 * MOVE_DEG).map(|deg| deg.rem_euclid(360.0)),
        Quantity::Angle => either(MOVE_DEG).map(|deg| deg.max(0.0)),
        Quantity::Count | Quantity::Years => either(1.0).map(|count| count.max(0.0)),
        Quantity::Voltage => either(value * MOVE_VOLTAGE),
        Quantity::Share if value == 0.0 => [0.0, MOVE_FROM_NONE],
        Quantity::Share => either(value * MOVE).map(|share| share.min(1.0)),
        Quantity::Times => either(value * MOVE).map(|times| times.max(1.0)),
        Quantity::Number if path.ends_with("/utc_offset_h") => either(1.0),
        Quantity::Days | Quantity::Hours if value == 0.0 => either(1.0).map(|time| time.max(0.0)),
        _ => either(value * MOVE),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Candidate, Load, Way};

    fn load(id: u32, draw: f64) -> Load {
        Load {
            id,
            name: format!("load {id}"),
            draw,
            way: Way::Always,
            ..Load::default()
        }
    }

    fn plan() -> Plan {
        Plan {
            loads: vec![load(1, 2.0), load(2, 20.0)],
            candidates: vec![Candidate {
                id: 3,
                ..Candidate::default()
            }],
            ..Plan::default()
        }
    }

    struct Weighing {
        guesses: Vec<Weight>,
        evaluations: usize,
    }

    fn weigh_guesses(plan: &Plan) -> Weighing {
        let mut weigher = Weigher::new(plan);
        let mut guesses: Vec<Weight> = weigher.by_ref().collect();
        heaviest_first(&mut guesses);
        Weighing {
            guesses,
            evaluations: weigher.evaluations,
        }
    }

    fn weight<'a>(found: &'a Weighing, path: &str) -> &'a Weight {
        found
            .guesses
            .iter()
            .find(|guess| guess.path == path)
            .unwrap_or_else(|| panic!("{path} is not weighed"))
    }

    #[test]
    fn the_largest_load_weighs_most_and_more_draw_lasts_shorter() {
        let mut plan = plan();
        plan.guesses = ["loads/1/draw", "loads/2/draw", "wiring/bank_mm"]
            .map(String::from)
            .into();
        let found = weigh_guesses(&plan);
        let order: Vec<&str> = found
            .guesses
            .iter()
            .map(|guess| guess.path.as_str())
            .collect();
        assert_eq!(order, ["loads/2/draw", "loads/1/draw", "wiring/bank_mm"]);
        let largest = weight(&found, "loads/2/draw");
        assert!(largest.days.low < 0.0 && largest.days.high > 0.0);
        // A quarter of 20 W over a day, either way.
        assert!((largest.left_wh.high - 120.0).abs() < 1e-6, "{largest:?}");
        assert!(!weight(&found, "wiring/bank_mm").counts());
        assert!(weigh_guesses(&Plan::default()).guesses.is_empty());
    }

    #[test]
    fn a_choice_is_worth_what_the_other_choices_would_change() {
        let mut plan = plan();
        plan.guesses = [
            "candidates/3/chemistry",
            "alternator/fitted",
            "living/battery_place",
        ]
        .map(String::from)
        .into();
        let found = weigh_guesses(&plan);
        // Lithium is planned deeper than AGM: more days.
        assert!(weight(&found, "candidates/3/chemistry").days.high > 0.3);
        let engine = weight(&found, "alternator/fitted");
        assert!(
            engine.left_wh.low < -10.0 && engine.days.spread() == 0.0,
            "{engine:?}"
        );
    }

    #[test]
    fn weighing_works_the_plan_out_a_few_times_for_each_guess() {
        let mut plan = plan();
        plan.guess_everything();
        let found = weigh_guesses(&plan);
        let count = found.guesses.len();
        assert_eq!(count, plan.open_guesses().count());
        assert!(count > 40, "{count}");
        // Two ends of each number, and the other choices of each choice, of which the most has eight.
        assert!(
            found.evaluations <= 3 * count,
            "{} for {count}",
            found.evaluations
        );
        assert!(found.guesses.iter().any(Weight::counts));
    }
}
