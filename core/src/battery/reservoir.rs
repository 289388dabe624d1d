//! A bank as it is in one place at one age: its wells, its lines, what it gives and takes.

use super::voltage::RestCurve;
use super::{
    Bank, Fitted, State, Step, Traits, Wells, capacity_divisor, freezes_below,
    internal_resistance_ohm,
};
use crate::numeric::{Number, greater, lesser};

/// Temperature and health.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// The battery's own temperature [°C].
    pub temp_c: f64,
    /// State of health: capacity over rated capacity, above 0, at most 1.
    pub soh: f64,
}

/// What a bank takes of a charging current over a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accepted {
    /// Mean current into its terminals [A].
    pub current_a: f64,
    /// Whether the available well is full at the step's end, and the current less than it was offered.
    pub fills: bool,
}

/// A bank made ready to be stepped through time.
#[derive(Clone, Debug, PartialEq)]
pub struct Reservoir {
    curve: &'static RestCurve,
    traits: &'static Traits,
    wells: Wells,
    hour: Step,
    volts: f64,
    /// One over it, and one over the charging voltage [1/V].
    per_volt: f64,
    per_charging_volt: f64,
    charging_v: f64,
    /// Cells in series, and the usual cut-off of loads on them [V].
    cells: f64,
    cutoff_v: f64,
    capacity_ah: f64,
    /// One over it [1/Ah].
    per_ah: f64,
    /// Where its efficiency falls with the charge in all: what the line gives at none, and its rise with each Ah.
    efficiency_line: [f64; 2],
    /// The least and the most that it is.
    efficiency_ends: [f64; 2],
    depth: f64,
    hard_depth: f64,
    divisor: f64,
    extrapolated: bool,
    resistance_ohm: f64,
    most_charge_a: f64,
    most_out_a: f64,
    /// Temperature of an electrolyte that can freeze [°C].
    acid_c: Option<f64>,
    leaks: f64,
}

/// Voltage of a bank while it charges, on the whole [V], by the voltage of its class (12, 24 or 48 V). Assumed: 13.5 V for
/// 12 V; what comes in as power turns into charge at it, which is on the safe side for lithium.
pub fn charging_v(class_v: f64) -> f64 {
    class_v * 13.5 / 12.0
}

/// Hours of a mean month.
const MONTH_H: f64 = 730.5;

impl Reservoir {
    /// A bank under conditions. q_max stays that of 25 °C; cold raises the lines under it, so that charge never appears
    /// or vanishes when it turns cold.
    pub fn new(bank: &Bank, fitted: &Fitted, conditions: &Conditions) -> Self {
        let battery = &bank.battery;
        let (series, parallel) = (f64::from(bank.series), f64::from(bank.parallel));
        let traits = battery.chemistry.traits();
        let wells = Wells {
            q_max_ah: fitted.wells.q_max_ah * conditions.soh * parallel,
            ..fitted.wells
        };
        let (divisor, extrapolated) = capacity_divisor(battery.chemistry, conditions.temp_c);
        let one = internal_resistance_ohm(
            battery.chemistry,
            battery.label.volts,
            battery.label.capacity_ah,
        );
        let charging_v = charging_v(12.0 * bank.blocks());
        let per_ah = 1.0 / (bank.rated_ah() * conditions.soh);
        let chargeable = (traits.charge_low_c..=traits.charge_high_c).contains(&conditions.temp_c);
        let by_kind = traits.charge_c * battery.label.capacity_ah;
        let most_charge_a = if chargeable {
            battery.max_charge_a.unwrap_or(by_kind) * parallel
        } else {
            0.0
        };
        Self {
            curve: RestCurve::of(battery.chemistry),
            traits,
            hour: Step::new(&wells, 1.0),
            wells,
            volts: bank.volts(),
            per_volt: 1.0 / bank.volts(),
            per_charging_volt: 1.0 / charging_v,
            charging_v,
            cells: bank.cells(),
            cutoff_v: traits.cutoff_v * bank.blocks(),
            capacity_ah: bank.rated_ah() * conditions.soh,
            per_ah,
            efficiency_line: {
                let [at_none, rise] = traits.efficiency_line();
                [
                    at_none + rise * (1.0 - wells.q_max_ah * per_ah),
                    rise * per_ah,
                ]
            },
            efficiency_ends: [
                lesser(traits.efficiency_low, traits.efficiency_high),
                greater(traits.efficiency_low, traits.efficiency_high),
            ],
            depth: bank.depth,
            hard_depth: bank.hard_depth,
            divisor,
            extrapolated,
            resistance_ohm: one * series / parallel,
            most_charge_a,
            most_out_a: battery
                .max_discharge_a
                .map_or(f64::INFINITY, |most| most * parallel),
            acid_c: battery
                .chemistry
                .is_lead_acid()
                .then_some(conditions.temp_c),
            leaks: traits.self_discharge * libm::exp2((conditions.temp_c - 25.0) / 10.0) / MONTH_H,
        }
    }

    /// What leaks away by itself [A]: the kind's share a month at 25 °C, doubling each 10 K (common practice, no source); never more
    /// in an hour than is at hand.
    pub fn self_discharge_a(&self, state: State) -> f64 {
        lesser(self.leaks * state.total_ah, state.available_ah)
    }

    /// Most current [A] that its maker or manager lets out; infinite where none is told.
    pub fn most_out_a(&self) -> f64 {
        self.most_out_a
    }

    /// The same bank behind a manager that lets out so much [A].
    #[cfg(test)]
    pub(crate) fn with_most_out_a(self, most_out_a: f64) -> Self {
        Self { most_out_a, ..self }
    }

    /// State of charge, 0 to 1, below which it freezes where it stands; 0 for a kind that does not.
    pub fn freezes_below(&self) -> f64 {
        self.acid_c.map_or(0.0, freezes_below)
    }

    /// Usual low-voltage cut-off of loads on this kind [V].
    pub fn cutoff_v(&self) -> f64 {
        self.cutoff_v
    }

    /// State of charge, 0 to 1, at a charge in all [Ah].
    pub fn soc_of(&self, total_ah: f64) -> f64 {
        lesser(
            greater(1.0 - (self.wells.q_max_ah - total_ah) * self.per_ah, 0.0),
            1.0,
        )
    }

    /// Voltage at rest [V] at a state of charge, 0 to 1.
    pub fn rest_v_at(&self, soc: f64) -> f64 {
        self.cells * self.curve.at(soc)
    }

    /// The least charge from which on it rests at so much or more [V], a hair on the safe side [Ah]; infinite where it never
    /// does.
    pub fn holds_from_ah(&self, volts: f64) -> f64 {
        const HAIR_AH: f64 = 1e-6;
        let soc = self.curve.least_soc(volts / self.cells);
        let gone_ah = |soc: f64| (1.0 - soc) * self.capacity_ah;
        soc.map_or(f64::INFINITY, |soc| {
            self.wells.q_max_ah - gone_ah(soc) + HAIR_AH
        })
    }

    /// Its wells.
    pub fn wells(&self) -> &Wells {
        &self.wells
    }

    /// All charge when full [Ah].
    pub fn full_ah(&self) -> f64 {
        self.wells.q_max_ah
    }

    /// Full.
    pub fn full(&self) -> State {
        self.wells.full()
    }

    /// Level, with so much in all [Ah].
    pub fn state_at(&self, total_ah: f64) -> State {
        self.wells.level(total_ah)
    }

    /// Usable from full to the reserve line [Ah]: rated × health × depth over the cold factor.
    pub fn usable_ah(&self) -> f64 {
        self.full_ah() - self.reserve_line_ah()
    }

    /// Charge at the reserve line [Ah].
    pub fn reserve_line_ah(&self) -> f64 {
        self.line_ah(self.depth)
    }

    /// Charge at the hard limit [Ah].
    pub fn hard_line_ah(&self) -> f64 {
        self.line_ah(self.hard_depth)
    }

    fn line_ah(&self, depth: f64) -> f64 {
        let floor = self.wells.q_max_ah * (1.0 - 1.0 / self.divisor);
        (self.wells.q_max_ah - depth * self.capacity_ah / self.divisor)
            .max(floor)
            .max(0.0)
    }

    /// By what cold divides capacity.
    pub fn cold_factor(&self) -> f64 {
        self.divisor
    }

    /// Whether that is extrapolated.
    pub fn cold_extrapolated(&self) -> bool {
        self.extrapolated
    }

    /// Nominal voltage [V].
    pub fn volts(&self) -> f64 {
        self.volts
    }

    /// Current out of the bank at a power [W], by its nominal voltage [A].
    #[inline(always)]
    pub fn current_out_a<N: Number>(&self, power_w: N) -> N {
        power_w * self.per_volt
    }

    /// Current into the bank at a power [W], by the charging voltage [A].
    #[inline(always)]
    pub fn current_in_a<N: Number>(&self, power_w: N) -> N {
        power_w * self.per_charging_volt
    }

    /// Voltage at which power turns into charge while it charges [V].
    pub fn charging_v(&self) -> f64 {
        self.charging_v
    }

    /// Capacity today, at its rated time and 25 °C [Ah].
    pub fn capacity_ah(&self) -> f64 {
        self.capacity_ah
    }

    /// State of charge, 0 to 1: 1 when full, 0 when the rated capacity of today is gone.
    pub fn soc(&self, state: State) -> f64 {
        self.soc_of(state.total_ah)
    }

    /// Voltage at rest [V].
    pub fn rest_v(&self, state: State) -> f64 {
        self.rest_v_at(self.soc(state))
    }

    /// Voltage at the terminals [V] under a current [A], positive on discharge.
    pub fn terminal_v(&self, state: State, current_a: f64) -> f64 {
        self.rest_v(state) - current_a * self.resistance_ohm
    }

    /// Internal resistance [Ω].
    pub fn resistance_ohm(&self) -> f64 {
        self.resistance_ohm
    }

    /// Coulombic efficiency at a state of charge, 0 to 1.
    pub fn efficiency_at(&self, soc: f64) -> f64 {
        self.traits.efficiency(soc)
    }

    /// Most current [A] that a charger can put in over an hour: what the wells take over the efficiency, held to the
    /// battery's own limit, 0 outside its charge window.
    pub fn charge_limit_a(&self, state: State) -> f64 {
        self.charge_limit_in(&self.hour, state)
    }

    /// The same over a step of another length.
    pub fn charge_limit_in(&self, step: &Step, state: State) -> f64 {
        lesser(
            step.most_charge_a(state) / self.efficiency(state.total_ah),
            self.most_charge_a,
        )
    }

    /// What it takes of a charging current within its own limit [A] over a step at such an efficiency while so much leaks away
    /// [A]: all of it until the available well is full; from there on as the current tapers.
    #[inline(always)]
    pub fn accept(
        &self,
        step: &Step,
        state: State,
        (most_a, efficiency, lost_a): (f64, f64, f64),
    ) -> Accepted {
        let stored_a = most_a * efficiency - lost_a;
        if stored_a <= step.most_charge_a(state) {
            Accepted {
                current_a: most_a,
                fills: false,
            }
        } else {
            Accepted {
                current_a: (step.tapering_charge_a(state, stored_a) + lost_a) / efficiency,
                fills: true,
            }
        }
    }

    /// Share of the charge that leaks away in an hour [1/h].
    pub fn leak_share(&self) -> f64 {
        self.leaks
    }

    /// Coulombic efficiency by the charge in all [Ah].
    #[inline(always)]
    pub fn efficiency<N: Number>(&self, total_ah: N) -> N {
        let [start, rise] = self.efficiency_line;
        let [least, most] = self.efficiency_ends;
        if least == most {
            return N::same(least);
        }
        lesser(
            greater(total_ah * rise + start, N::same(least)),
            N::same(most),
        )
    }

    /// The same over a step at a charging current [A]: that of the step's middle.
    #[inline(always)]
    pub fn efficiency_over<N: Number>(&self, step: &Step, total_ah: N, current_a: N) -> N {
        let from = self.efficiency(total_ah);
        let [least, most] = self.efficiency_ends;
        if least == most {
            return from;
        }
        let half_ah = current_a * from * (0.5 * step.hours());
        self.efficiency(total_ah + half_ah)
    }

    /// Most charging current that the battery's own limit lets in [A].
    pub fn most_charge_a(&self) -> f64 {
        self.most_charge_a
    }

    /// The step of one hour.
    pub(super) fn hour(&self) -> &Step {
        &self.hour
    }

    /// A step of another length.
    pub fn step(&self, hours: f64) -> Step {
        Step::new(&self.wells, hours)
    }
}
