//! Kinds of battery and what is known of each, from the table in `data/chemistry.csv`.

use crate::numeric::{decimal, greater, lesser};
use serde::{Deserialize, Serialize};
use std::sync::OnceLock;

/// A kind of battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Chemistry {
    /// Lead-acid with free electrolyte.
    Flooded,
    /// Lead-acid with its electrolyte in glass mats.
    Agm,
    /// Lead-acid with its electrolyte set to a gel.
    Gel,
    /// Lithium iron phosphate with its own manager.
    LithiumIronPhosphate,
    /// Sodium-ion with its own manager.
    SodiumIon,
}

/// What is known of a kind of battery; volts and ohms for 12 V nominal, which is `Chemistry::cells_in_12_v`. Sources stand in the table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traits {
    /// Peukert exponent where the label gives one rating.
    pub peukert: f64,
    /// Share of the available well.
    pub kinetic_c: f64,
    /// Depth to plan to.
    pub depth_recommended: f64,
    /// Depth that is the end.
    pub depth_hard: f64,
    /// Internal resistance times capacity [Ω Ah].
    pub resistance_ohm_ah: f64,
    /// Resistance of a short circuit times capacity [Ω Ah].
    pub short_ohm_ah: f64,
    /// Self-discharge at 25 °C [share a month].
    pub self_discharge: f64,
    /// Most charging current [1/h of capacity].
    pub charge_c: f64,
    /// Most discharging current [1/h of capacity].
    pub discharge_c: f64,
    /// Coldest charging [°C].
    pub charge_low_c: f64,
    /// Warmest charging [°C].
    pub charge_high_c: f64,
    /// Coldest discharging [°C].
    pub discharge_low_c: f64,
    /// Cycles to 80 % at `cycles_depth`.
    pub cycles: f64,
    /// Depth at which `cycles` holds.
    pub cycles_depth: f64,
    /// How cycles fall with depth.
    pub cycles_beta: f64,
    /// Life on the shelf [years].
    pub calendar_years: f64,
    /// Boost voltage [V].
    pub boost_v: f64,
    /// Float voltage [V].
    pub float_v: f64,
    /// Usual low-voltage cut-off [V].
    pub cutoff_v: f64,
    /// Coulombic efficiency when low.
    pub efficiency_low: f64,
    /// Coulombic efficiency when nearly full.
    pub efficiency_high: f64,
    /// Usual mass of a battery for each Ah, per 12 V nominal [kg/Ah].
    pub mass_kg_ah: f64,
    /// Usual mass of a bare cell for each Ah [kg/Ah].
    pub cell_kg_ah: f64,
}

/// State of charge below which charging is at its best [share] (Stevens & Corey 1996, from memory, unsure).
const EFFICIENCY_FALLS_FROM: f64 = 0.72;
/// State of charge from which it is at its worst [share] (Stevens & Corey 1996, from memory, unsure).
const EFFICIENCY_LOWEST_FROM: f64 = 0.80;

/// One over the width between the two.
const PER_SHARE: f64 = 1.0 / (EFFICIENCY_LOWEST_FROM - EFFICIENCY_FALLS_FROM);

impl Traits {
    /// The line in which the efficiency falls: at a state of charge of 0, and its rise from 0 to 1.
    pub(super) fn efficiency_line(&self) -> [f64; 2] {
        let rise = (self.efficiency_high - self.efficiency_low) * PER_SHARE;
        [self.efficiency_low - rise * EFFICIENCY_FALLS_FROM, rise]
    }

    /// Coulombic efficiency at a state of charge, 0 to 1: level, then falling in a line, then level.
    pub fn efficiency(&self, soc: f64) -> f64 {
        let along = (soc - EFFICIENCY_FALLS_FROM) * PER_SHARE;
        self.efficiency_low
            + (self.efficiency_high - self.efficiency_low) * lesser(greater(along, 0.0), 1.0)
    }
}

const TABLE: &str = include_str!("../data/chemistry.csv");

impl Chemistry {
    /// Every kind, in the table's order.
    pub const ALL: [Self; 5] = [
        Self::Flooded,
        Self::Agm,
        Self::Gel,
        Self::LithiumIronPhosphate,
        Self::SodiumIon,
    ];

    /// Whether it is lead-acid.
    pub fn is_lead_acid(self) -> bool {
        matches!(self, Self::Flooded | Self::Agm | Self::Gel)
    }

    /// Nominal voltage of one cell [V]: lead-acid 2.0 by convention; lithium iron phosphate from memory; sodium-ion assumed.
    pub fn nominal_cell_v(self) -> f64 {
        match self {
            Self::Flooded | Self::Agm | Self::Gel => 2.0,
            Self::LithiumIronPhosphate => 3.2,
            Self::SodiumIon => 3.1,
        }
    }

    /// Cells in series in a battery of the 12 V class.
    pub fn cells_in_12_v(self) -> f64 {
        if self.is_lead_acid() { 6.0 } else { 4.0 }
    }

    /// What is known of it.
    pub fn traits(self) -> &'static Traits {
        static ALL: OnceLock<[Traits; 5]> = OnceLock::new();
        let [flooded, agm, gel, iron, sodium] = ALL.get_or_init(|| std::array::from_fn(read));
        match self {
            Self::Flooded => flooded,
            Self::Agm => agm,
            Self::Gel => gel,
            Self::LithiumIronPhosphate => iron,
            Self::SodiumIon => sodium,
        }
    }
}

/// One kind's column of the table.
fn read(kind: usize) -> Traits {
    let cell = |property: &str| {
        let mut rows = TABLE.lines().map(|line| line.split(','));
        rows.find_map(|mut cells| {
            (cells.next() == Some(property))
                .then(|| decimal(cells.nth(kind + 1)?.trim()))
                .flatten()
        })
        .unwrap_or(f64::NAN)
    };
    Traits {
        peukert: cell("peukert"),
        kinetic_c: cell("kinetic_c"),
        depth_recommended: cell("depth_recommended"),
        depth_hard: cell("depth_hard"),
        resistance_ohm_ah: cell("resistance_ohm_ah"),
        short_ohm_ah: cell("short_ohm_ah"),
        self_discharge: cell("self_discharge"),
        charge_c: cell("charge_c"),
        discharge_c: cell("discharge_c"),
        charge_low_c: cell("charge_low_c"),
        charge_high_c: cell("charge_high_c"),
        discharge_low_c: cell("discharge_low_c"),
        cycles: cell("cycles"),
        cycles_depth: cell("cycles_depth"),
        cycles_beta: cell("cycles_beta"),
        calendar_years: cell("calendar_years"),
        boost_v: cell("boost_v"),
        float_v: cell("float_v"),
        cutoff_v: cell("cutoff_v"),
        efficiency_low: cell("efficiency_low"),
        efficiency_high: cell("efficiency_high"),
        mass_kg_ah: cell("mass_kg_ah"),
        cell_kg_ah: cell("cell_kg_ah"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cell_is_a_number_and_every_row_says_where_it_is_from() {
        let rows: Vec<Vec<&str>> = TABLE
            .lines()
            .filter(|line| !line.starts_with('#'))
            .skip(1)
            .map(|line| line.splitn(8, ',').collect())
            .collect();
        assert_eq!(rows.len(), 23);
        for row in rows {
            assert_eq!(row.len(), 8, "{row:?}");
            assert!(
                row[2..7].iter().all(|cell| cell.parse::<f64>().is_ok()),
                "{row:?}"
            );
            assert!(row[7].len() > 5, "{row:?}");
        }
        for kind in Chemistry::ALL {
            let text = format!("{:?}", kind.traits());
            assert!(!text.contains("NaN"), "{text}");
        }
    }

    #[test]
    fn charging_is_best_when_low() {
        let traits = Chemistry::Flooded.traits();
        assert_eq!(traits.efficiency(0.2), 0.95);
        assert!(traits.efficiency(0.76) < 0.9 && traits.efficiency(1.0) == 0.55);
        let mean: f64 = (0..84)
            .map(|percent| traits.efficiency(f64::from(percent) / 100.0))
            .sum::<f64>()
            / 84.0;
        assert!((mean - 0.91).abs() < 0.1, "mean to 84 %: {mean}");
    }
}
