//! Conductors: gauges, resistance, what they may carry, what they drop, which size it takes.

use crate::numeric::decimal;
use std::sync::OnceLock;

/// Resistivity of annealed copper at 20 °C [Ω mm²/m], 100 % IACS (IEC 60028).
const COPPER_OHM_MM2_M: f64 = 0.017_241;
/// What stranding adds to a conductor's length. ASTM B8.
const LAY: f64 = 1.02;
/// Square millimetres in a circular mil.
pub(super) const MM2_PER_CMIL: f64 = 5.067_075e-4;
/// Feet in a metre.
const FT_PER_M: f64 = 1.0 / 0.3048;
/// Factor K of the voltage-drop formula in circular mils [cmil Ω/ft] (ABYC E-11).
const K_CMIL: f64 = 10.75;

/// What a conductor is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Annealed copper.
    Copper,
    /// Copper in fine strands of a metric size (class 5): the greatest resistance that IEC 60228 allows at 20 °C is about 0.0195/S
    /// Ω/m, within 2.5 % from 0.5 to 240 mm².
    FineCopper,
    /// Tinned copper.
    TinnedCopper,
    /// Aluminium of 61 % IACS.
    Aluminium,
}

impl Metal {
    /// Change of resistance with temperature at 20 °C [1/K].
    fn alpha(self) -> f64 {
        match self {
            Self::Copper | Self::FineCopper | Self::TinnedCopper => 0.003_93,
            Self::Aluminium => 0.004_03,
        }
    }

    fn ohm_mm2_m(self) -> f64 {
        match self {
            Self::Copper => COPPER_OHM_MM2_M,
            Self::FineCopper => 0.0195 / LAY,
            Self::TinnedCopper => COPPER_OHM_MM2_M / tinned_share(TINNED_STRAND_IN),
            Self::Aluminium => COPPER_OHM_MM2_M / 0.61,
        }
    }
}

/// Diameter of a strand that stands for tinned conductors [in].
const TINNED_STRAND_IN: f64 = 0.05;

/// What tinning leaves of copper's conductivity, by the diameter of a strand [in]. ASTM B33 (the middle three as NEC chapter 9 table
/// 8 has them; the ends from memory).
pub fn tinned_share(strand_in: f64) -> f64 {
    match strand_in {
        thick if thick > 0.29 => 0.9766,
        thick if thick > 0.103 => 0.9716,
        usual if usual > 0.0201 => 0.9616,
        fine if fine > 0.0111 => 0.9416,
        _ => 0.9315,
    }
}

/// Diameter of a solid gauge [in]: 0.005·92^((36 − n)/39), n = 0, −1, −2, −3 for 1/0 to 4/0. ASTM B258.
pub fn diameter_in(gauge: i32) -> f64 {
    0.005 * libm::pow(92.0, (36.0 - f64::from(gauge)) / 39.0)
}

/// Area of a solid gauge [circular mils].
pub fn circular_mils(gauge: i32) -> f64 {
    let mils = diameter_in(gauge) * 1000.0;
    mils * mils
}

/// Area of a solid gauge [mm²].
pub fn area_mm2_of_awg(gauge: i32) -> f64 {
    circular_mils(gauge) * MM2_PER_CMIL
}

/// Resistance of a stranded conductor [Ω/m] at a temperature: ρ·1.02/S with ρ by temperature. Within 0.5 % of NEC chapter 9
/// table 8 for copper.
pub fn resistance_ohm_m(metal: Metal, area_mm2: f64, temp_c: f64) -> f64 {
    metal.ohm_mm2_m() * LAY / area_mm2 * (1.0 + metal.alpha() * (temp_c - 20.0))
}

/// Factor that brings copper's resistance measured at a temperature to 20 °C: 1/(1 + 0.004·(T − 20)), by which the table of
/// IEC 60228 annex A is made.
pub fn to_20_c(temp_c: f64) -> f64 {
    1.0 / (1.0 + 0.004 * (temp_c - 20.0))
}

/// Voltage lost there and back along a run [V], by resistance.
pub fn drop_v(metal: Metal, area_mm2: f64, temp_c: f64, current_a: f64, one_way_m: f64) -> f64 {
    2.0 * one_way_m * current_a * resistance_ohm_m(metal, area_mm2, temp_c)
}

/// The same by ISO 10133's own constant: E = 0.0164·I·L/S with L there and back.
pub fn drop_v_iso10133(area_mm2: f64, current_a: f64, there_and_back_m: f64) -> f64 {
    0.0164 * current_a * there_and_back_m / area_mm2
}

/// Least circular mils for a drop: K·I·L/E, L there and back in feet. ABYC E-11.
pub(super) fn least_cmil(current_a: f64, there_and_back_m: f64, volts: f64) -> f64 {
    K_CMIL * current_a * there_and_back_m * FT_PER_M / volts
}

/// One size of the table of ampacities.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// Its name: `10`, `1/0`.
    pub name: String,
    /// Its area [mm²].
    pub mm2: f64,
    amperes: [f64; 7],
}

/// Temperatures of insulation that the table knows [°C].
const INSULATION_C: [f64; 7] = [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0];
/// What remains of it in an engine space, by insulation; 60 °C insulation is not allowed there. 33 CFR 183.425 Table 5
/// note 1 (from memory; 0.85 for 105 °C seen in reprints).
const ENGINE_SPACE: [Option<f64>; 7] = [
    None,
    Some(0.75),
    Some(0.78),
    Some(0.82),
    Some(0.85),
    Some(0.89),
    Some(1.0),
];

fn number_of(name: &str) -> i32 {
    match name.split_once('/') {
        Some((aughts, _)) => 1 - aughts.parse::<i32>().unwrap_or(1),
        None => name.parse().unwrap_or(0),
    }
}

impl Gauge {
    /// Every size, thinnest first.
    pub fn all() -> &'static [Self] {
        static ALL: OnceLock<Vec<Gauge>> = OnceLock::new();
        ALL.get_or_init(|| {
            include_str!("../data/ampacity.csv")
                .lines()
                .filter_map(gauge)
                .collect()
        })
    }

    /// The size of a name.
    pub fn named(name: &str) -> Option<&'static Self> {
        Self::all().iter().find(|gauge| gauge.name == name)
    }

    /// The metric size as sold that does as well: the next at or above it, and large enough in itself [mm²]; its own area where
    /// none does.
    pub fn metric_mm2(&self, does: impl Fn(f64) -> bool) -> f64 {
        const SOLD: [f64; 18] = [
            0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0,
            185.0, 240.0, 300.0,
        ];
        let least = self.mm2 * 0.97;
        SOLD.into_iter()
            .find(|mm2| *mm2 >= least && does(*mm2))
            .unwrap_or(self.mm2)
    }
}

fn gauge(line: &str) -> Option<Gauge> {
    let mut cells = line.split(',');
    let name = cells
        .next()
        .filter(|name| name.starts_with(|c: char| c.is_ascii_digit()))?;
    let mut amperes = [0.0; 7];
    for slot in &mut amperes {
        *slot = decimal(cells.next()?)?;
    }
    Some(Gauge {
        name: name.to_owned(),
        mm2: area_mm2_of_awg(number_of(name)),
        amperes,
    })
}

/// What remains of a conductor's ampacity in an engine space; none where its insulation is not allowed there.
pub fn engine_space_factor(insulation_c: f64) -> Option<f64> {
    let at = INSULATION_C.iter().position(|c| *c == insulation_c)?;
    ENGINE_SPACE.get(at).copied().flatten()
}

/// Current that a size may carry [A]; none for an insulation that the table does not know or that is not allowed there.
/// 33 CFR 183.425 Table 5.
pub fn ampacity_a(gauge: &Gauge, insulation_c: f64, engine_space: bool) -> Option<f64> {
    let at = INSULATION_C.iter().position(|c| *c == insulation_c)?;
    let factor = if engine_space {
        engine_space_factor(insulation_c)?
    } else {
        1.0
    };
    Some(gauge.amperes.get(at)? * factor)
}

impl Gauge {
    /// Diameter [in], area [cmil] and area [mm²] of a solid conductor of a name such as `4/0`.
    pub fn figures(name: &str) -> [f64; 3] {
        let number = number_of(name);
        let inches = diameter_in(number);
        [inches, circular_mils(number), area_mm2_of_awg(number)]
    }

    /// Least circular mils for a drop. ABYC E-11.
    pub fn least_cmil(current_a: f64, there_and_back_ft: f64, volts: f64) -> f64 {
        least_cmil(current_a, there_and_back_ft / FT_PER_M, volts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fine_strands_come_near_the_greatest_allowed() {
        // IEC 60228:2004, table 3, class 5, plain copper [Ω/km].
        for (mm2, ohm_km) in [
            (0.5, 39.0),
            (2.5, 7.98),
            (4.0, 4.95),
            (6.0, 3.3),
            (10.0, 1.91),
            (25.0, 0.78),
            (35.0, 0.554),
            (50.0, 0.386),
            (70.0, 0.272),
            (95.0, 0.206),
            (150.0, 0.129),
            (185.0, 0.106),
            (240.0, 0.0801),
        ] {
            let ours = 1000.0 * resistance_ohm_m(Metal::FineCopper, mm2, 20.0);
            assert!((ours / ohm_km - 1.0).abs() < 0.025, "{mm2}: {ours}");
        }
    }
}
