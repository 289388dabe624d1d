//! The largest power at once: what cut-off, cable, fuse and inverter must stand.
//!
//! Running powers count in full wherever windows can overlap; energies spread over a window say nothing about it.

use super::{DayKind, Idle, Inverter, Load, LossCurve, Supply};
use serde::Serialize;

/// The largest powers at once on a kind of day, over all months. Each largest is found on its own: the moment when
/// the bank gives most need not be the moment when the inverter does.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Coincident {
    /// From the bank [W]: all that can run together, and the one start that adds most.
    pub dc_w: f64,
    /// From the bank without any start [W].
    pub dc_running_w: f64,
    /// The load whose start is in `dc_w`; `None` where nothing surges.
    pub dc_surge_load: Option<u32>,
    /// When `dc_w` begins to be possible [minutes after midnight].
    pub minute: u16,
    /// Loads that run then and are in `dc_w`.
    pub loads: Vec<u32>,
    /// Out of the inverter [W, AC].
    pub ac_running_w: f64,
    /// Out of the inverter with the one start that adds most [W, AC].
    pub ac_surge_w: f64,
    /// The load whose start is in `ac_surge_w`; `None` where nothing surges.
    pub ac_surge_load: Option<u32>,
    /// Into the DC loads alone [W].
    pub panel_running_w: f64,
    /// Into the DC loads alone, with the one start that adds most [W].
    pub panel_w: f64,
}

/// The least inverter that carries a plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct LeastInverter {
    /// Least continuous rating [W]; 0 where nothing runs on AC.
    pub continuous_w: f64,
    /// Least short-time rating [W].
    pub surge_w: f64,
}

/// What may run on one side, DC or AC, at one moment.
#[derive(Clone, Copy, Default)]
struct Side {
    runs: bool,
    running_w: f64,
    /// The largest of the starts: its extra power [W] and whose it is.
    extra_w: f64,
    surge_load: Option<u32>,
}

impl Side {
    fn add(&mut self, load: &Load) {
        self.runs = true;
        self.running_w += load.running_w();
        if load.starting_extra_w() > self.extra_w {
            self.extra_w = load.starting_extra_w();
            self.surge_load = Some(load.id);
        }
    }

    fn starting_w(&self) -> f64 {
        self.running_w + self.extra_w
    }
}

/// What the inverter takes from the bank on a kind of day.
struct Feed {
    curve: Option<LossCurve>,
    all_day: bool,
}

impl Feed {
    fn new(inverter: Option<&Inverter>, kind: DayKind) -> Self {
        Self {
            curve: inverter.map(|inverter| LossCurve::fit(inverter).0),
            all_day: kind != DayKind::HookedUp
                && inverter.is_some_and(|inverter| inverter.idle == Idle::AllDay),
        }
    }

    /// Power from the bank [W] for `ac_w` out of it, where anything `runs` on it at all.
    fn dc_w(&self, runs: bool, ac_w: f64) -> f64 {
        match &self.curve {
            Some(curve) if runs || self.all_day => curve.dc_w(ac_w),
            Some(_) => 0.0,
            None => ac_w,
        }
    }
}

/// Whether the bank may have to feed the load at that moment.
fn may_run(load: &Load, kind: DayKind, month: usize, minute: u16) -> bool {
    load.runs_on(kind, month)
        && !load.is_on_shore(kind)
        && load.usage.ever_runs()
        && load.usage.window().contains(minute)
}

/// The largest powers at once on such a day, over all months.
///
/// Exact: what can run together only grows where a window opens, so no other minutes need be looked at. A start is
/// that of one item, on top of the running power of everything. The bank's side of AC is the inverter's loss curve
/// at the summed power, its own draw included; without an inverter AC is taken without loss. On a hooked-up day
/// what runs on AC does not count. Source: common practice for simultaneous demand, no source.
pub fn coincident(loads: &[Load], inverter: Option<&Inverter>, kind: DayKind) -> Coincident {
    let feed = Feed::new(inverter, kind);
    let mut openings = vec![0];
    for load in loads {
        let opening = load.usage.window().start_min();
        if let Err(place) = openings.binary_search(&opening) {
            openings.insert(place, opening);
        }
    }
    let mut largest = Coincident::default();
    let mut seasons: Vec<Vec<bool>> = Vec::new();
    for month in 0..12 {
        // Months in which the same loads run are one.
        let season = loads.iter().map(|load| load.runs_on(kind, month)).collect();
        if seasons.contains(&season) {
            continue;
        }
        seasons.push(season);
        for &minute in &openings {
            largest.take_in(loads, &feed, (kind, month, minute));
        }
    }
    largest
}

impl Coincident {
    /// Raises what is larger at that moment.
    fn take_in(
        &mut self,
        loads: &[Load],
        feed: &Feed,
        (kind, month, minute): (DayKind, usize, u16),
    ) {
        let running = || {
            let loads = loads.iter();
            loads.filter(move |load| may_run(load, kind, month, minute))
        };
        let (mut dc, mut ac) = (Side::default(), Side::default());
        for load in running() {
            match load.supply {
                Supply::Dc => dc.add(load),
                Supply::Ac => ac.add(load),
            }
        }
        self.panel_running_w = self.panel_running_w.max(dc.running_w);
        self.panel_w = self.panel_w.max(dc.starting_w());
        self.ac_running_w = self.ac_running_w.max(ac.running_w);
        if ac.starting_w() > self.ac_surge_w {
            self.ac_surge_w = ac.starting_w();
            self.ac_surge_load = ac.surge_load;
        }
        let inverter_w = feed.dc_w(ac.runs, ac.running_w);
        self.dc_running_w = self.dc_running_w.max(dc.running_w + inverter_w);
        let with_dc_start_w = dc.starting_w() + inverter_w;
        let with_ac_start_w = dc.running_w + feed.dc_w(ac.runs, ac.starting_w());
        let (dc_w, surge_load) = if with_ac_start_w > with_dc_start_w {
            (with_ac_start_w, ac.surge_load)
        } else {
            (with_dc_start_w, dc.surge_load)
        };
        if dc_w > self.dc_w {
            self.dc_w = dc_w;
            self.dc_surge_load = surge_load;
            self.minute = minute;
            self.loads = running().map(|load| load.id).collect();
        }
    }
}

/// The least inverter that carries what runs on AC, over all kinds of day.
pub fn least_inverter(loads: &[Load]) -> LeastInverter {
    let mut least = LeastInverter::default();
    for kind in DayKind::ALL {
        let largest = coincident(loads, None, kind);
        least.continuous_w = least.continuous_w.max(largest.ac_running_w);
        least.surge_w = least.surge_w.max(largest.ac_surge_w);
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::energy::Usage;
    use crate::energy::inverter::tests::inverter;
    use crate::energy::load::tests::{any_load, hours, load};
    use proptest::prelude::*;

    /// A pump, a kettle before it, a fridge throughout, and lamps past midnight.
    fn galley() -> [Load; 4] {
        let mut pump = load(1, 60.0, Supply::Dc, hours(0.2, 480, 1200));
        pump.surge_w = 180.0;
        let kettle = load(2, 900.0, Supply::Ac, hours(0.1, 420, 480));
        let mut fridge = load(3, 50.0, Supply::Ac, Usage::Always);
        fridge.surge_w = 250.0;
        let lamps = load(4, 30.0, Supply::Dc, hours(3.0, 1320, 450));
        [pump, kettle, fridge, lamps]
    }

    #[test]
    fn windows_decide_what_runs_together() {
        let day = coincident(&galley(), None, DayKind::Parked);
        // From 07:00 to 07:30 kettle, fridge and lamps, and the fridge's start.
        assert_eq!(day.dc_running_w, 980.0);
        assert_eq!(day.dc_w, 1180.0);
        assert_eq!((day.minute, day.dc_surge_load), (420, Some(3)));
        assert_eq!(day.loads, [2, 3, 4]);
        assert_eq!((day.ac_running_w, day.ac_surge_w), (950.0, 1150.0));
        assert_eq!(day.ac_surge_load, Some(3));
        // The pump opens as the lamps have closed.
        assert_eq!((day.panel_running_w, day.panel_w), (60.0, 180.0));
    }

    #[test]
    fn the_bank_feeds_the_inverter_at_the_sum() {
        // p0 = 0.01, a = 0.04, b = 0.09 (see inverter.rs), fridge starting: 1150 W asks for
        // 1150 + 10 + 46 + 119.025 W; the lamps are 30 W.
        let inverter = inverter(10.0, 1.0 / 1.1, Some(1.0 / 1.14));
        let day = coincident(&galley(), Some(&inverter), DayKind::Travelling);
        assert!((day.dc_w - 1355.025).abs() < 1e-9);
    }

    #[test]
    fn shore_takes_ac_off_the_bank() {
        let inverter = inverter(10.0, 0.9, None);
        let day = coincident(&galley(), Some(&inverter), DayKind::HookedUp);
        assert_eq!((day.dc_running_w, day.dc_w), (60.0, 180.0));
        assert_eq!(day.ac_surge_w, 0.0);
        assert_eq!(day.loads, [1]);
    }

    #[test]
    fn loads_of_other_months_or_days_do_not_meet() {
        let mut heater = load(1, 100.0, Supply::Dc, Usage::Always);
        heater.months = std::array::from_fn(|month| month < 4);
        let mut fan = load(2, 40.0, Supply::Dc, Usage::Always);
        fan.months = std::array::from_fn(|month| month > 4);
        fan.days = [true, true, true, false];
        let day = coincident(&[heater.clone(), fan.clone()], None, DayKind::Parked);
        assert_eq!((day.dc_w, day.loads), (100.0, vec![1]));
        heater.days = [false; 4];
        assert_eq!(coincident(&[heater, fan], None, DayKind::Away).dc_w, 0.0);
    }

    #[test]
    fn one_start_of_one_item_counts() {
        let mut fans = load(1, 10.0, Supply::Dc, Usage::Always);
        fans.count = 3.0;
        fans.surge_w = 25.0;
        let mut pump = load(2, 40.0, Supply::Dc, Usage::Always);
        pump.surge_w = 50.0;
        let day = coincident(&[fans, pump], None, DayKind::Parked);
        assert_eq!((day.dc_w, day.dc_surge_load), (85.0, Some(1)));
    }

    #[test]
    fn what_never_runs_counts_for_nothing_but_idle_all_day_does() {
        let idle_row = load(1, 500.0, Supply::Ac, hours(0.0, 600, 660));
        let mut inverter = inverter(10.0, 0.9, None);
        let rows = [idle_row];
        assert_eq!(
            coincident(&rows, Some(&inverter), DayKind::Parked),
            Coincident::default()
        );
        inverter.idle = Idle::AllDay;
        let day = coincident(&rows, Some(&inverter), DayKind::Parked);
        assert_eq!((day.dc_w, day.loads.len()), (10.0, 0));
        let hooked_up = coincident(&rows, Some(&inverter), DayKind::HookedUp);
        assert_eq!(hooked_up.dc_w, 0.0);
    }

    #[test]
    fn the_least_inverter_is_that_of_the_hardest_kind_of_day() {
        let mut rows = galley();
        rows[1].days = [false, true, true, false];
        let least = least_inverter(&rows);
        assert_eq!((least.continuous_w, least.surge_w), (950.0, 1150.0));
        rows[1].days = [false, false, true, false];
        let least = least_inverter(&rows);
        assert_eq!((least.continuous_w, least.surge_w), (50.0, 250.0));
        assert_eq!(least_inverter(&rows[..1]), LeastInverter::default());
    }

    proptest! {
        // Each case looks at 69,120 moments.
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn no_minute_of_any_month_takes_more(loads in prop::collection::vec(any_load(), 0..10), all_day in any::<bool>()) {
            let mut inverter = inverter(12.0, 0.92, Some(0.88));
            inverter.idle = if all_day { Idle::AllDay } else { Idle::WithLoads };
            for kind in DayKind::ALL {
                let largest = coincident(&loads, Some(&inverter), kind);
                let feed = Feed::new(Some(&inverter), kind);
                let mut every_minute = Coincident::default();
                for month in 0..12 {
                    for minute in 0..1440 {
                        every_minute.take_in(&loads, &feed, (kind, month, minute));
                    }
                }
                prop_assert_eq!(&largest, &every_minute);
            }
        }

    }

    proptest! {
        #[test]
        fn the_parts_hold_together(loads in prop::collection::vec(any_load(), 0..10)) {
            let inverter = inverter(12.0, 0.92, Some(0.88));
            for kind in DayKind::ALL {
                let day = coincident(&loads, Some(&inverter), kind);
                prop_assert!(day.dc_w >= day.dc_running_w);
                prop_assert!(day.ac_surge_w >= day.ac_running_w && day.panel_w >= day.panel_running_w);
                prop_assert!(day.dc_w >= day.panel_w && day.dc_w >= day.ac_surge_w);
                let least = least_inverter(&loads);
                prop_assert!(least.continuous_w >= day.ac_running_w && least.surge_w >= day.ac_surge_w);
            }
        }
    }
}
