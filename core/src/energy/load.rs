//! One row of what runs, as the core sees it: checked, in SI, its times in minutes after midnight.

use super::{Minutes, Window};
use serde::{Deserialize, Serialize};

/// What people do with the rig on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum DayKind {
    /// Lived in, standing still, nothing plugged in.
    Parked,
    /// Lived in, driven for part of the day.
    Travelling,
    /// Lived in, plugged in to shore power.
    HookedUp,
    /// Nobody there.
    Away,
}

impl DayKind {
    /// Every kind of day, in the order of [`Load::days`].
    pub const ALL: [Self; 4] = [Self::Parked, Self::Travelling, Self::HookedUp, Self::Away];

    /// Its place in [`DayKind::ALL`].
    pub fn index(self) -> usize {
        self as usize
    }
}

/// Where a load takes its power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// Straight from the bank.
    Dc,
    /// Through the inverter; from shore on a hooked-up day.
    Ac,
}

/// Which air a thermostat-driven device stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ambient {
    /// Inside, where people live.
    Cabin,
    /// Outdoors.
    Outdoors,
}

/// How a load is used on a day on which it runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Usage {
    /// On day and night.
    Always,
    /// So many hours inside a window, at no particular time in it.
    Hours {
        /// Hours a day [h], 0 to the window's length.
        hours: f64,
        /// When.
        window: Window,
    },
    /// So many runs inside a window.
    Runs {
        /// Runs a day, 0 or more.
        runs: f64,
        /// Length of a run [min].
        minutes: f64,
        /// When.
        window: Window,
    },
    /// Switched by a thermostat while the window is open.
    Thermostat {
        /// Temperature kept [°C].
        set_c: f64,
        /// Temperature at which `duty_ref` holds [°C]; above `set_c` for cooling, below for heating.
        ref_c: f64,
        /// Share of the time that it runs at `ref_c`, 0 to 1.
        duty_ref: f64,
        /// When.
        window: Window,
    },
}

impl Usage {
    /// The window in which it may run.
    pub fn window(&self) -> Window {
        match *self {
            Self::Always => Window::WHOLE_DAY,
            Self::Hours { window, .. }
            | Self::Runs { window, .. }
            | Self::Thermostat { window, .. } => window,
        }
    }

    /// Hours that it runs in a day [h]; `None` for a thermostat, whose hours hang on the weather.
    pub fn running_h(&self) -> Option<f64> {
        match *self {
            Self::Always => Some(24.0),
            Self::Hours { hours, .. } => Some(hours),
            Self::Runs { runs, minutes, .. } => Some(runs * minutes / 60.0),
            Self::Thermostat { .. } => None,
        }
    }

    /// Whether it ever runs at all.
    pub fn ever_runs(&self) -> bool {
        match *self {
            Self::Thermostat { duty_ref, .. } => duty_ref > 0.0,
            _ => self.running_h().is_some_and(|hours| hours > 0.0),
        }
    }

    /// The share of each clock hour in which it runs, 0 to 1: its hours spread evenly over the window's minutes.
    /// For a thermostat, the share of the hour in which it may run.
    pub(super) fn hour_shares(&self, open: &Minutes) -> [f64; 24] {
        let in_window = match self.running_h() {
            Some(hours) => (hours / self.window().length_h()).clamp(0.0, 1.0),
            None => 1.0,
        };
        open.hour_shares().map(|hour| hour * in_window)
    }
}

/// A use that is longer than its window.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Overrun {
    /// Hours asked for in a day [h].
    pub running_h: f64,
    /// Length of the window [h].
    pub window_h: f64,
}

/// `None` where a use fits its window; else the two lengths that disagree. A billionth of an hour over is rounding
/// (40 runs of a third of a minute), not an overrun.
pub fn fits_window(usage: &Usage) -> Option<Overrun> {
    let running_h = usage.running_h()?;
    let window_h = usage.window().length_h();
    (running_h > window_h + 1e-9).then_some(Overrun {
        running_h,
        window_h,
    })
}

/// Something that takes power.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// What it is.
    pub name: String,
    /// How many of them, running together.
    pub count: f64,
    /// Power of one while it runs [W].
    pub power_w: f64,
    /// Power of one as it starts [W]; the same as `power_w` where it does not surge.
    pub surge_w: f64,
    /// DC or through the inverter.
    pub supply: Supply,
    /// Kinds of day on which it runs, in the order of [`DayKind::ALL`].
    pub days: [bool; 4],
    /// Months in which it runs, January first.
    pub months: [bool; 12],
    /// How it is used.
    pub usage: Usage,
    /// Which air its thermostat feels, where it has one.
    pub ambient: Ambient,
}

impl Load {
    /// Power of all of them while they run [W].
    pub fn running_w(&self) -> f64 {
        self.power_w * self.count
    }

    /// What one of them takes on top of its running power as it starts [W], 0 or more.
    pub fn starting_extra_w(&self) -> f64 {
        (self.surge_w - self.power_w).max(0.0)
    }

    /// Whether it runs on such a day in such a month (0 is January); none of it never does.
    pub fn runs_on(&self, kind: DayKind, month: usize) -> bool {
        self.count > 0.0
            && self.days.get(kind.index()) == Some(&true)
            && self.months.get(month) == Some(&true)
    }

    /// Whether its power comes from shore, past the bank and the inverter.
    pub fn is_on_shore(&self, kind: DayKind) -> bool {
        kind == DayKind::HookedUp && self.supply == Supply::Ac
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A load of `power_w` that runs every day.
    pub(crate) fn load(id: u32, power_w: f64, supply: Supply, usage: Usage) -> Load {
        Load {
            id,
            name: format!("load {id}"),
            count: 1.0,
            power_w,
            surge_w: power_w,
            supply,
            days: [true; 4],
            months: [true; 12],
            usage,
            ambient: Ambient::Cabin,
        }
    }

    pub(crate) fn hours(hours: f64, from_min: u16, to_min: u16) -> Usage {
        let window = Window { from_min, to_min };
        Usage::Hours { hours, window }
    }

    fn any_usage() -> impl Strategy<Value = Usage> {
        let window =
            (0u16..=1440, 0u16..=1440).prop_map(|(from_min, to_min)| Window { from_min, to_min });
        (0usize..4, window, 0.0..1.0f64, 1.0..40.0f64, -20.0..40.0f64).prop_map(
            |(way, window, share, runs, degrees)| match way {
                0 => Usage::Always,
                1 => Usage::Hours {
                    hours: share * window.length_h(),
                    window,
                },
                2 => Usage::Runs {
                    runs,
                    minutes: share * window.length_h() * 60.0 / runs,
                    window,
                },
                _ => Usage::Thermostat {
                    set_c: 5.0,
                    ref_c: if degrees == 5.0 { 6.0 } else { degrees },
                    duty_ref: share,
                    window,
                },
            },
        )
    }

    /// Any sound load.
    pub(crate) fn any_load() -> impl Strategy<Value = Load> {
        (
            any_usage(),
            (0.0..2000.0f64, 1.0..6.0f64, 0u8..5, 0u32..1000),
            any::<[bool; 3]>(),
            any::<[bool; 4]>(),
            any::<[bool; 12]>(),
        )
            .prop_map(
                |(usage, (power_w, surge, count, id), flags, days, months)| Load {
                    count: f64::from(count),
                    surge_w: power_w * surge,
                    supply: if flags[0] { Supply::Ac } else { Supply::Dc },
                    ambient: if flags[1] {
                        Ambient::Outdoors
                    } else {
                        Ambient::Cabin
                    },
                    days,
                    months: if flags[2] { months } else { [true; 12] },
                    ..load(id, power_w, Supply::Dc, usage)
                },
            )
    }

    #[test]
    fn kinds_of_day_are_written_in_kebab_case_and_stand_in_order() {
        let written = serde_json::to_string(&DayKind::ALL).unwrap();
        assert_eq!(written, r#"["parked","travelling","hooked-up","away"]"#);
        for (place, kind) in DayKind::ALL.into_iter().enumerate() {
            assert_eq!(kind.index(), place);
        }
    }

    #[test]
    fn nine_hours_do_not_fit_into_six() {
        let overrun = fits_window(&hours(9.0, 1200, 120)).unwrap();
        assert_eq!((overrun.running_h, overrun.window_h), (9.0, 6.0));
        assert_eq!(fits_window(&hours(6.0, 1200, 120)), None);
    }

    #[test]
    fn runs_are_held_to_their_window_as_well() {
        let window = Window {
            from_min: 480,
            to_min: 540,
        };
        let runs = |runs| Usage::Runs {
            runs,
            minutes: 7.5,
            window,
        };
        assert_eq!(fits_window(&runs(8.0)), None);
        assert_eq!(fits_window(&runs(9.0)).unwrap().running_h, 1.125);
    }

    #[test]
    fn a_load_runs_only_on_its_days_and_in_its_months() {
        let mut heater = load(1, 20.0, Supply::Dc, Usage::Always);
        heater.days = [true, false, false, false];
        heater.months = [true; 12];
        heater.months[6] = false;
        assert!(heater.runs_on(DayKind::Parked, 0));
        assert!(!heater.runs_on(DayKind::Away, 0));
        assert!(!heater.runs_on(DayKind::Parked, 6));
        assert!(!heater.runs_on(DayKind::Parked, 12));
        heater.count = 0.0;
        assert!(!heater.runs_on(DayKind::Parked, 0));
    }

    proptest! {
        #[test]
        fn shares_stay_between_nothing_and_the_open_part_of_the_hour(load in any_load()) {
            let open = load.usage.window().minutes();
            for (share, open) in load.usage.hour_shares(&open).into_iter().zip(open.hour_shares()) {
                prop_assert!((0.0..=open).contains(&share) && open <= 1.0);
            }
        }
    }
}
