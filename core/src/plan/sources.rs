//! What puts it back, as saved: sun, engine, hook-up.

use serde::{Deserialize, Serialize};

/// The start of a day by the clock.
const MIDNIGHT: &str = "00:00";

choice! {
    /// How the place compares with the five-degree cell of the climate table that it lies in.
    Sunniness {
        /// Duller than the region: a valley, a fog coast.
        Duller,
        /// About as the region.
        About,
        /// Sunnier than the region: a lee side, a high plain.
        Sunnier,
    } default About
}
choice! {
    /// The solar controller.
    ControllerKind {
        /// Maximum-power-point tracking.
        Tracking,
        /// Plain series switching: the array works at the battery's voltage.
        Switching,
    } default Tracking
}
choice! {
    /// What joins the alternator to the bank.
    LinkKind {
        /// A DC-DC charger.
        DcDc,
        /// A relay that joins both batteries while the engine runs.
        Relay,
    } default DcDc
}

/// One panel or a group that lies alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Panel {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// Rated power in all [W].
    pub watts: f64,
    /// From level [°]: 0 lies flat, 90 stands.
    pub tilt: f64,
    /// Compass direction that it faces [°]: 0 north, 90 east, 180 south; towards the equator where none is given.
    pub azimuth: Option<f64>,
    /// Share of the light lost to shadow, 0 to 1.
    pub shading: f64,
    /// From when the shadow falls, by the clock.
    #[serde(skip_serializing_if = "is_midnight")]
    pub shade_from: String,
    /// Until when; the same as `shade_from` means all day.
    #[serde(skip_serializing_if = "is_midnight")]
    pub shade_to: String,
}

impl Default for Panel {
    fn default() -> Self {
        Self {
            id: 0,
            watts: 100.0,
            tilt: 0.0,
            azimuth: None,
            shading: 0.0,
            shade_from: MIDNIGHT.into(),
            shade_to: MIDNIGHT.into(),
        }
    }
}

/// The sun's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Sun {
    /// Whether there are panels at all.
    pub fitted: bool,
    /// The panels.
    pub panels: Vec<Panel>,
    /// Share lost to dirt, mismatch and wiring, 0 to 1.
    pub losses: f64,
    /// Change of power with cell temperature [1/K], negative.
    pub temp_coefficient: f64,
    /// Cell temperature at 800 W/m² and 20 °C air [°C].
    pub noct_c: f64,
    /// Kind of controller.
    pub controller: ControllerKind,
    /// Most that the controller gives [A].
    pub controller_a: f64,
    /// Controller's efficiency, 0 to 1 (tracking).
    pub controller_efficiency: f64,
    /// Panel voltage at maximum power per 12 V of bank [V] (switching).
    pub panel_vmp: f64,
    /// How the place compares with its region.
    pub sunniness: Sunniness,
    /// Own peak sun hours on level ground, January first [kWh/m² a day]; `null` takes the climate table's.
    pub peak_sun_hours: [Option<f64>; 12],
    /// Share of light that the ground throws back, 0 to 1.
    pub albedo: f64,
    /// Price of a watt of panel, mounted and wired, in the plan's money; not written where none is told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub watt_price: Option<f64>,
    /// Open-circuit voltage of one panel at 25 °C [V], where its label was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub panel_voc: Option<f64>,
    /// Panels in series before the controller; none means one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_series: Option<f64>,
    /// Most voltage that the controller's input bears [V].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub controller_max_v: Option<f64>,
    /// The coldest morning to reckon with [°C]; none takes it from the months' means.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_c: Option<f64>,
}

impl Default for Sun {
    fn default() -> Self {
        Self {
            fitted: true,
            panels: vec![Panel {
                id: 1,
                ..Panel::default()
            }],
            losses: 0.14,
            temp_coefficient: -0.004,
            noct_c: 46.0,
            controller: ControllerKind::Tracking,
            controller_a: 20.0,
            controller_efficiency: 0.96,
            panel_vmp: 18.0,
            sunniness: Sunniness::About,
            peak_sun_hours: [None; 12],
            albedo: 0.2,
            watt_price: None,
            panel_voc: None,
            in_series: None,
            controller_max_v: None,
            coldest_c: None,
        }
    }
}

/// The engine's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Alternator {
    /// Whether the bank charges while driving at all.
    pub fitted: bool,
    /// Rating on its plate [A].
    pub rated_a: f64,
    /// Share of the rating left when it is hot, 0 to 1.
    pub hot: f64,
    /// Share of the rating at the usual engine speed, 0 to 1.
    pub speed: f64,
    /// What the vehicle itself takes while it runs [A].
    pub own_draw_a: f64,
    /// Voltage at the alternator [V per 12 V nominal].
    pub volts: f64,
    /// What joins it to the bank.
    pub link: LinkKind,
    /// Rated output of the DC-DC charger [A].
    pub dcdc_a: f64,
    /// Its efficiency, 0 to 1.
    pub dcdc_efficiency: f64,
    /// Most of the alternator's rating that its input may take, 0 to 1.
    pub share: f64,
    /// Resistance of the relay link there and back [mΩ].
    pub link_mohm: f64,
    /// Hours driven on a travelling day.
    pub hours: f64,
    /// When the driving starts, by the clock.
    pub from: String,
}

impl Default for Alternator {
    fn default() -> Self {
        Self {
            fitted: true,
            rated_a: 120.0,
            hot: 0.7,
            speed: 0.9,
            own_draw_a: 30.0,
            volts: 14.2,
            link: LinkKind::DcDc,
            dcdc_a: 30.0,
            dcdc_efficiency: 0.9,
            share: 0.5,
            link_mohm: 10.0,
            hours: 1.0,
            from: "10:00".into(),
        }
    }
}

/// The hook-up's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Shore {
    /// Whether there is a charger.
    pub fitted: bool,
    /// Its rated output [A].
    pub charger_a: f64,
    /// Hours of supply on a hooked-up day.
    pub hours: f64,
    /// When the supply starts, by the clock.
    pub from: String,
    /// Boost voltage [V per 12 V nominal].
    pub boost_v: f64,
    /// Float voltage [V per 12 V nominal].
    pub float_v: f64,
    /// What a generator burns [litres an hour]; `null` for a hook-up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuel_l_h: Option<f64>,
}

impl Default for Shore {
    fn default() -> Self {
        Self {
            fitted: false,
            charger_a: 20.0,
            hours: 14.0,
            from: "18:00".into(),
            boost_v: 14.4,
            float_v: 13.6,
            fuel_l_h: None,
        }
    }
}

fn is_midnight(clock: &str) -> bool {
    clock == MIDNIGHT
}
