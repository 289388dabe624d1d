//! Link bars: the current at which a bar's heat leaves it as fast as it comes.

use crate::numeric::root_between;

/// Stefan and Boltzmann's constant [W/m²K⁴].
const SIGMA: f64 = 5.670_374e-8;
const ZERO_C: f64 = 273.15;
/// Prandtl number of air.
const PRANDTL: f64 = 0.71;

/// What a bar is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alloy {
    /// Copper for conductors, 100 % IACS.
    Copper,
    /// Aluminium for conductors, 1350.
    Aluminium1350,
    /// Aluminium 6061-T6.
    Aluminium6061,
    /// Aluminium 6063-T5.
    Aluminium6063,
    /// Free-cutting brass.
    Brass,
    /// Low-carbon steel.
    Steel,
}

impl Alloy {
    /// Conductivity [% IACS]. Handbook values, from memory.
    pub fn iacs(self) -> f64 {
        match self {
            Self::Copper => 100.0,
            Self::Aluminium1350 => 61.0,
            Self::Aluminium6061 => 43.0,
            Self::Aluminium6063 => 55.0,
            Self::Brass => 26.0,
            Self::Steel => 12.0,
        }
    }

    /// Conductivity at 20 °C [MS/m]; 100 % IACS is 58.
    pub fn conductivity_ms_m(self) -> f64 {
        self.iacs() * 0.58
    }

    fn alpha(self) -> f64 {
        match self {
            Self::Copper => 0.003_93,
            Self::Aluminium1350 | Self::Aluminium6061 | Self::Aluminium6063 => 0.004_03,
            Self::Brass => 0.001_5,
            Self::Steel => 0.005,
        }
    }
}

/// State of a bar's surface, which sets how it radiates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Bright metal.
    Bright,
    /// Dull, a little tarnished.
    Dull,
    /// Oxidised in service.
    Oxidised,
    /// Heavily oxidised.
    HeavilyOxidised,
    /// Painted, not with a metallic paint.
    Painted,
}

impl Surface {
    /// Emissivity, 0 to 1. Copper and aluminium bright and oxidised, and paint: Copper for Busbars and the Aluminum Electrical
    /// Conductor Handbook, from memory. Dull copper, heavily oxidised copper and aluminium, brass: general tables, see the
    /// published checks. Dull aluminium and steel: assumed.
    pub fn emissivity(self, alloy: Alloy) -> f64 {
        let [bright, dull, oxidised, heavily] = match alloy {
            Alloy::Copper => [0.1, 0.13, 0.4, 0.78],
            Alloy::Aluminium1350 | Alloy::Aluminium6061 | Alloy::Aluminium6063 => {
                [0.05, 0.1, 0.2, 0.3]
            }
            Alloy::Brass => [0.04, 0.22, 0.5, 0.56],
            Alloy::Steel => [0.08, 0.3, 0.7, 0.79],
        };
        match self {
            Self::Bright => bright,
            Self::Dull => dull,
            Self::Oxidised => oxidised,
            Self::HeavilyOxidised => heavily,
            Self::Painted => 0.9,
        }
    }
}

/// Air at a temperature.
struct Air {
    kelvin: f64,
    /// Kinematic viscosity [m²/s].
    kinematic: f64,
    /// Conductivity [W/m K].
    conductivity: f64,
}

/// Air: Sutherland's viscosity, density by the gas law, conductivity by a power of temperature.
fn air(celsius: f64) -> Air {
    let kelvin = celsius + ZERO_C;
    let viscosity = 1.458e-6 * kelvin * kelvin.sqrt() / (kelvin + 110.4);
    let density = 353.05 / kelvin;
    Air {
        kelvin,
        kinematic: viscosity / density,
        conductivity: 0.0241 * libm::pow(kelvin / ZERO_C, 0.81),
    }
}

impl Air {
    fn rayleigh(&self, rise_k: f64, length_m: f64) -> f64 {
        9.81 / self.kelvin * rise_k * length_m * length_m * length_m
            / (self.kinematic * self.kinematic)
            * PRANDTL
    }
}

/// Overlap of a bar's joint along it [mm]: five thicknesses, and no less than its width where a bolt goes through. Copper for
/// Busbars (Copper Development Association), from memory.
pub fn overlap_mm(width_mm: f64, thickness_mm: f64) -> f64 {
    (5.0 * thickness_mm).max(width_mm)
}

/// Bolt of a bar's joint [mm]: M6 up to 20 mm of width, M8 to 32, M10 to 50, else M12. Common practice, no source; a battery's own
/// post comes first.
pub fn joint_bolt_mm(width_mm: f64) -> f64 {
    match width_mm {
        wide if wide <= 20.0 => 6.0,
        wide if wide <= 32.0 => 8.0,
        wide if wide <= 50.0 => 10.0,
        _ => 12.0,
    }
}

/// A flat bar in still air, standing on edge unless told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Height [mm].
    pub width_mm: f64,
    /// Thickness [mm].
    pub thickness_mm: f64,
    /// Cross-section [mm²].
    pub area_mm2: f64,
    /// Conductivity at 20 °C [MS/m].
    pub conductivity_ms_m: f64,
    /// Change of resistance with temperature at 20 °C [1/K].
    pub alpha: f64,
    /// Emissivity, 0 to 1.
    pub emissivity: f64,
}

impl Bar {
    /// A bar of sharp corners.
    pub fn new(width_mm: f64, thickness_mm: f64, alloy: Alloy, surface: Surface) -> Self {
        Self {
            width_mm,
            thickness_mm,
            area_mm2: width_mm * thickness_mm,
            conductivity_ms_m: alloy.conductivity_ms_m(),
            alpha: alloy.alpha(),
            emissivity: surface.emissivity(alloy),
        }
    }

    /// Resistance at a temperature [Ω/m].
    pub fn ohm_m(&self, temp_c: f64) -> f64 {
        (1.0 + self.alpha * (temp_c - 20.0)) / (self.conductivity_ms_m * self.area_mm2)
    }

    /// Heat that leaves it [W/m]: natural convection by Churchill & Chu (1975), eq. 9, on the whole perimeter with the height
    /// as its length, and radiation.
    fn heat_w_m(&self, air_c: f64, bar_c: f64) -> f64 {
        let rise = bar_c - air_c;
        let perimeter = 2.0 * (self.width_mm + self.thickness_mm) / 1000.0;
        let height = self.width_mm / 1000.0;
        let film = air(f64::midpoint(air_c, bar_c));
        let rayleigh = film.rayleigh(rise, height);
        let shape = libm::pow(1.0 + libm::pow(0.492 / PRANDTL, 9.0 / 16.0), 8.0 / 27.0);
        let root = 0.825 + 0.387 * libm::pow(rayleigh.max(0.0), 1.0 / 6.0) / shape;
        let convection = root * root * film.conductivity / height;
        perimeter * (convection * rise + self.radiation_w_m2(air_c, bar_c))
    }

    /// Direct current at which it comes to a temperature when it lies flat [A]: convection from a plate whose length is area over
    /// perimeter, from above 0.54·Ra^¼ (to 10⁷), from below half of that (McAdams; Incropera & DeWitt eqs. 9.30 and 9.32, from
    /// memory), its edges left out.
    pub fn flat_current_a(&self, air_c: f64, bar_c: f64) -> f64 {
        let rise = bar_c - air_c;
        let film = air(f64::midpoint(air_c, bar_c));
        let (wide, thick) = (self.width_mm / 1000.0, self.thickness_mm / 1000.0);
        let length = wide / 2.0;
        let rayleigh = film.rayleigh(rise, length);
        let above = 0.54 * libm::pow(rayleigh.max(0.0), 0.25) * film.conductivity / length;
        let convection = 1.5 * above * wide * rise;
        let heat = convection + 2.0 * (wide + thick) * self.radiation_w_m2(air_c, bar_c);
        (heat.max(0.0) / self.ohm_m(bar_c)).sqrt()
    }

    fn radiation_w_m2(&self, air_c: f64, bar_c: f64) -> f64 {
        let fourth = |c: f64| {
            let kelvin = c + ZERO_C;
            kelvin * kelvin * kelvin * kelvin
        };
        self.emissivity * SIGMA * (fourth(bar_c) - fourth(air_c))
    }

    /// Direct current at which it comes to a temperature [A].
    pub fn current_a(&self, air_c: f64, bar_c: f64) -> f64 {
        (self.heat_w_m(air_c, bar_c).max(0.0) / self.ohm_m(bar_c)).sqrt()
    }

    /// Temperature to which a current brings it [°C]; none above 300 °C.
    pub fn temperature_c(&self, air_c: f64, current_a: f64) -> Option<f64> {
        root_between(
            |bar_c| self.current_a(air_c, bar_c) - current_a,
            air_c,
            300.0,
            1e-6,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_of_a_quarter_by_one_inch() {
        // Common practice, no source: 1/4 × 1 in of aluminium carries about 308 A. At 30 K over 40 °C that holds of conductor metal
        // and is too much for 6061.
        let at =
            |alloy| Bar::new(25.4, 6.35, alloy, Surface::HeavilyOxidised).current_a(40.0, 70.0);
        assert!(
            (at(Alloy::Aluminium1350) - 308.0).abs() < 15.0,
            "{}",
            at(Alloy::Aluminium1350)
        );
        assert!(at(Alloy::Aluminium6061) < 275.0);
        // Behind a fuse of 150 A it stays cool.
        let warm = Bar::new(25.4, 6.35, Alloy::Aluminium6061, Surface::HeavilyOxidised)
            .temperature_c(40.0, 150.0)
            .unwrap();
        assert!(warm < 52.0, "{warm}");
        // Lying flat it carries less, and painted more.
        let bare = Bar::new(25.4, 6.35, Alloy::Copper, Surface::Dull);
        let painted = Bar::new(25.4, 6.35, Alloy::Copper, Surface::Painted);
        assert!(bare.flat_current_a(40.0, 70.0) < bare.current_a(40.0, 70.0));
        assert!(painted.current_a(40.0, 70.0) > bare.current_a(40.0, 70.0));
    }

    #[test]
    fn a_darker_surface_carries_more() {
        use Surface::{Bright, Dull, HeavilyOxidised, Oxidised, Painted};
        for alloy in [
            Alloy::Copper,
            Alloy::Aluminium6061,
            Alloy::Brass,
            Alloy::Steel,
        ] {
            let carried = [Bright, Dull, Oxidised, HeavilyOxidised, Painted]
                .map(|surface| Bar::new(25.4, 6.35, alloy, surface).current_a(40.0, 70.0));
            assert!(
                carried.windows(2).all(|pair| pair[0] < pair[1]),
                "{carried:?}"
            );
        }
    }

    #[test]
    fn more_rise_carries_more() {
        let bar = Bar::new(20.0, 5.0, Alloy::Copper, Surface::Dull);
        assert!(bar.current_a(35.0, 65.0) < bar.current_a(35.0, 85.0));
        assert_eq!(bar.current_a(35.0, 35.0), 0.0);
    }
}
