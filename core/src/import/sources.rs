//! What comes in: sun, engine, hook-up.

use super::Check;
use crate::battery::charging_v;
use crate::charge;
use crate::inputs::{Driving, Living, PanelSeries, Sun};
use crate::place::equatorward_deg;
use crate::plan::{self, ControllerKind, LinkKind};
use crate::solar::{ArrayPart, Controller, SkyThanRegion};
use crate::units::Quantity;

pub(super) fn sun(check: &mut Check<'_>, row: &plan::Sun, living: &Living, volts: f64) -> Sun {
    let losses = check.number(
        "sun/losses",
        "The losses",
        Quantity::Share,
        row.losses,
        0.0,
        0.9,
    );
    let noct_c = check.number(
        "sun/noct_c",
        "The cell temperature",
        Quantity::Temperature,
        row.noct_c,
        20.0,
        90.0,
    );
    let power_per_k = check.number(
        "sun/temp_coefficient",
        "The temperature coefficient",
        Quantity::SharePerKelvin,
        row.temp_coefficient,
        -0.02,
        0.0,
    );
    let parts = row
        .panels
        .iter()
        .map(|panel| {
            let at = |name: &str| format!("sun/panels/{}/{name}", panel.id);
            let shading = check.number(
                &at("shading"),
                "The share lost to shadow",
                Quantity::Share,
                panel.shading,
                0.0,
                1.0,
            );
            ArrayPart {
                rated_w: check.number(
                    &at("watts"),
                    "The panel's power",
                    Quantity::Power,
                    panel.watts,
                    1.0,
                    100_000.0,
                ),
                tilt_deg: check.number(
                    &at("tilt"),
                    "The tilt",
                    Quantity::Angle,
                    panel.tilt,
                    0.0,
                    90.0,
                ),
                azimuth_deg: check.number(
                    &at("azimuth"),
                    "The direction",
                    Quantity::Bearing,
                    panel
                        .azimuth
                        .unwrap_or(equatorward_deg(living.home.site.lat_deg)),
                    -360.0,
                    360.0,
                ),
                noct_c,
                power_per_k,
                dirt_share: losses,
                mismatch_share: 0.0,
                wiring_share: 0.0,
                shade_share: check.shade(&at, panel, shading, living),
            }
        })
        .collect();
    let output_limit_a = check.number(
        "sun/controller_a",
        "The controller's current",
        Quantity::Current,
        row.controller_a,
        0.5,
        2000.0,
    );
    let efficiency = check.share(
        "sun/controller_efficiency",
        "The controller's efficiency",
        row.controller_efficiency,
        0.5,
    );
    let panel_vmp = check.number(
        "sun/panel_vmp",
        "The panel's voltage",
        Quantity::Voltage,
        row.panel_vmp,
        10.0,
        60.0,
    );
    let mut own = row.peak_sun_hours;
    for (month, hours) in own.iter_mut().enumerate() {
        if let Some(hours) = hours {
            let field = format!("sun/peak_sun_hours/{}", month + 1);
            *hours = check.number(
                &field,
                "A month's peak sun hours",
                Quantity::Number,
                *hours,
                0.0,
                14.0,
            );
        }
    }
    let series = series(check, row);
    Sun {
        parts,
        series,
        albedo: check.share("sun/albedo", "What the ground throws back", row.albedo, 0.0),
        controller: match row.controller {
            ControllerKind::Tracking => Controller::MaximumPowerPoint {
                efficiency,
                output_limit_a,
            },
            ControllerKind::Switching => Controller::SeriesSwitching {
                array_vmp_v: panel_vmp * volts / 12.0,
                output_limit_a,
            },
        },
        sky: match row.sunniness {
            plan::Sunniness::Duller => SkyThanRegion::Duller,
            plan::Sunniness::About => SkyThanRegion::About,
            plan::Sunniness::Sunnier => SkyThanRegion::Sunnier,
        },
        own,
    }
}

/// Panels in series, where one's open-circuit voltage was read off its label.
fn series(check: &mut Check<'_>, row: &plan::Sun) -> Option<PanelSeries> {
    let mut open =
        |name: &str, what: &str, quantity: Quantity, value: Option<f64>, span: (f64, f64)| {
            let field = format!("sun/{name}");
            value.map(|value| check.number(&field, what, quantity, value, span.0, span.1))
        };
    let voltage = Quantity::Voltage;
    let voc = open(
        "panel_voc",
        "The panel's open-circuit voltage",
        voltage,
        row.panel_voc,
        (1.0, 200.0),
    );
    let most_v = open(
        "controller_max_v",
        "What the controller bears",
        voltage,
        row.controller_max_v,
        (10.0, 1500.0),
    );
    let coldest_c = open(
        "coldest_c",
        "The coldest morning",
        Quantity::Temperature,
        row.coldest_c,
        (-60.0, 40.0),
    );
    let count = row
        .in_series
        .map(|count| check.count("sun/in_series", "The number in series", count, 1, 40));
    Some(PanelSeries {
        count: count.unwrap_or(1) as usize,
        open_circuit_v: voc?,
        most_v,
        coldest_c,
    })
}

pub(super) fn driving(check: &mut Check<'_>, row: &plan::Alternator, volts: f64) -> Driving {
    let scale = volts / 12.0;
    let alternator_v = check.number(
        "alternator/volts",
        "The alternator's voltage",
        Quantity::Voltage,
        row.volts,
        12.0,
        16.0,
    ) * scale;
    let output_a = check.number(
        "alternator/dcdc_a",
        "The charger's output",
        Quantity::Current,
        row.dcdc_a,
        1.0,
        1000.0,
    );
    let efficiency = check.share(
        "alternator/dcdc_efficiency",
        "The charger's efficiency",
        row.dcdc_efficiency,
        0.5,
    );
    let input_share = check.share(
        "alternator/share",
        "The charger's part of the alternator",
        row.share,
        0.01,
    );
    let cable_ohm = check.number(
        "alternator/link_mohm",
        "The link's resistance",
        Quantity::Resistance,
        row.link_mohm,
        0.1,
        1000.0,
    ) / 1000.0;
    Driving {
        alternator: charge::Alternator {
            rated_a: check.number(
                "alternator/rated_a",
                "The alternator's rating",
                Quantity::Current,
                row.rated_a,
                1.0,
                1000.0,
            ),
            hot_factor: check.share("alternator/hot", "What is left when hot", row.hot, 0.05),
            speed_factor: check.share(
                "alternator/speed",
                "What is left at that speed",
                row.speed,
                0.05,
            ),
            own_draw_a: check.number(
                "alternator/own_draw_a",
                "The vehicle's own draw",
                Quantity::Current,
                row.own_draw_a,
                0.0,
                500.0,
            ),
            volts: alternator_v,
            link: match row.link {
                LinkKind::DcDc => charge::Link::DcDc {
                    output_a,
                    efficiency,
                    input_share,
                    volts_out: charging_v(volts),
                },
                LinkKind::Relay => charge::Link::Relay { cable_ohm },
            },
        },
        hours: check.number(
            "alternator/hours",
            "The time under way",
            Quantity::Hours,
            row.hours,
            0.0,
            24.0,
        ),
        from_min: check.clock("alternator/from", &row.from),
    }
}

pub(super) fn shore(check: &mut Check<'_>, row: &plan::Shore, volts: f64) -> charge::Shore {
    let scale = volts / 12.0;
    let hours = check.number(
        "shore/hours",
        "The supply",
        Quantity::Hours,
        row.hours,
        0.0,
        24.0,
    );
    let from_min = check.clock("shore/from", &row.from);
    charge::Shore {
        charger_a: check.number(
            "shore/charger_a",
            "The charger's rating",
            Quantity::Current,
            row.charger_a,
            0.5,
            1000.0,
        ),
        boost_v: check.number(
            "shore/boost_v",
            "The boost voltage",
            Quantity::Voltage,
            row.boost_v,
            12.0,
            16.5,
        ) * scale,
        float_v: check.number(
            "shore/float_v",
            "The float voltage",
            Quantity::Voltage,
            row.float_v,
            12.0,
            15.0,
        ) * scale,
        powered: hours_open(from_min, hours),
    }
}

/// Share of each clock hour that lies in `hours` from a minute on; may pass midnight.
pub(crate) fn hours_open(from_min: u16, hours: f64) -> [f64; 24] {
    if hours >= 24.0 {
        return [1.0; 24];
    }
    let start = f64::from(from_min) / 60.0;
    std::array::from_fn(|hour| {
        let lit =
            |from: f64| ((from + hours).min(hour as f64 + 1.0) - from.max(hour as f64)).max(0.0);
        (lit(start) + lit(start - 24.0)).min(1.0)
    })
}
