//! What carries the current and what holds the weight.

use super::{Evaluator, Pattern};
use crate::question::{Answer, Asked, Question};
use larder::cable::{
    Alloy, Bar, Bolt, FuseKind, Gauge, MAY_MOVE, Material, Metal, Run, Surface, WITHIN_IN,
    ampacity_a, bundle_factor, device_limit_a, drop_v_iso10133, engine_space_factor, force_n,
    gassing_ma_ah, least_interrupting_a, least_interrupting_large_a, least_rating_a, pull_test_n,
    resistance_ohm_m, short_circuit_a, size, stress_area_inch_mm2, stress_area_metric_mm2,
    tinned_share, to_20_c, ventilation, withstand_k,
};

const INSULATION_C: [f64; 7] = [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0];

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("diameter, circular mils, area", |q| {
        Ok(Gauge::figures(q.text(&["awg"])?).to_vec().into())
    }),
    ("dc resistance at 75 c, stranded*", |q| {
        let cmil = q.number(&["cmil"])?;
        let per_kft = |metal| resistance_ohm_m(metal, cmil * 5.067_075e-4, 75.0) * 304.8;
        let plain = per_kft(Metal::Copper);
        let strand_in = (cmil / strands(cmil)).sqrt() / 1000.0;
        let tinned = plain / tinned_share(strand_in);
        Ok(vec![plain, tinned, per_kft(Metal::Aluminium)].into())
    }),
    ("factor to bring a resistance measured at t to 20 c", |q| {
        Ok(to_20_c(q.number(&["T_C"])?).into())
    }),
    ("copper resistance ratio to 20 c", |q| {
        let at = |c| resistance_ohm_m(Metal::Copper, 1.0, c);
        Ok((at(q.number(&["T_C"])?) / at(20.0)).into())
    }),
    ("allowable current outside engine spaces*", |q| {
        let gauge = Gauge::named(q.text(&["awg"])?).ok_or("no such gauge")?;
        let amperes = INSULATION_C
            .iter()
            .filter_map(|c| ampacity_a(gauge, *c, false));
        Ok(amperes.collect::<Vec<_>>().into())
    }),
    ("engine-space factors*", |_| {
        Ok(INSULATION_C
            .iter()
            .filter_map(|c| engine_space_factor(*c))
            .collect::<Vec<_>>()
            .into())
    }),
    ("share of the ampacity left for conductors*", |q| {
        Ok(bundle_factor(q.number(&["together"])? as u32).into())
    }),
    ("circular mils = k i l / e*", least_cmil),
    ("least circular mils by the formula", least_cmil),
    ("e = 0.0164 i l / s*", |q| {
        Ok(drop_v_iso10133(
            q.number(&["S_mm2"])?,
            q.number(&["I_A"])?,
            q.number(&["L_m"])?,
        )
        .into())
    }),
    ("conductivity", |q| {
        Ok(alloy(q.text(&["material"])?)?.iacs().into())
    }),
    ("largest device for the conductor*", |q| {
        Ok(device_limit_a(q.number(&["ampacity"])?).into())
    }),
    ("interrupting rating of main and branch breakers*", |q| {
        let bank = q.text(&["bank_CCA"])?;
        let cranking = match bank {
            "650 or less" => 650.0,
            "651 to 1100" => 1100.0,
            _ => 1101.0,
        };
        Ok(least_interrupting_a(cranking).to_vec().into())
    }),
    ("device and conductor at least 1.25*", |q| {
        Ok(least_rating_a(q.number(&["I_A"])?).into())
    }),
    ("blade fuse ratings*", |_| {
        Ok(FuseKind::Blade.ratings().to_vec().into())
    }),
    ("high-current blade fuse ratings*", |_| {
        Ok(FuseKind::LargeBlade.ratings().to_vec().into())
    }),
    ("bolt-in strip fuse ratings*", |_| {
        Ok(FuseKind::Strip.ratings().to_vec().into())
    }),
    ("anl strip fuse ratings", |_| {
        Ok(FuseKind::LongStrip.ratings().to_vec().into())
    }),
    ("terminal (mrbf) fuse ratings", |_| {
        Ok(FuseKind::Terminal.ratings().to_vec().into())
    }),
    ("class t fuse ratings above 100 a", |_| {
        let ratings = FuseKind::ClassT.ratings().iter().copied();
        Ok(ratings
            .filter(|rating| *rating > 100.0)
            .collect::<Vec<_>>()
            .into())
    }),
    ("fuse: highest dc voltage*", |q| {
        let kind = fuse_kind(q)?;
        let breaks_a = kind.breaks_a(q.number(&["system_V"])?);
        Ok(vec![kind.most_v(), breaks_a].into())
    }),
    ("short-circuit factor k*", |q| {
        let material = match q.text(&["material"])? {
            "PVC" => Material::Pvc,
            "cross-linked" => Material::CrossLinked,
            "rubber 60" => Material::Rubber,
            other => return Err(format!("no material {other}")),
        };
        let metal = match q.text(&["metal"])? {
            "copper" => Metal::Copper,
            _ => Metal::Aluminium,
        };
        Ok(withstand_k(metal, material, q.number(&["start_C"])?).into())
    }),
    ("prospective short-circuit current*", |q| {
        let milliohms = |name: &str| Ok::<f64, String>(q.number(&[name])? / 1000.0);
        Ok(short_circuit_a(
            q.number(&["V"])?,
            milliohms("R_batt_mohm")?,
            q.number(&["parallel"])?,
            milliohms("R_cable_mohm")?,
        )
        .into())
    }),
    ("continuous current of one copper bar*", |q| {
        let (bare, painted) = (
            din(q, 56.0, Surface::Oxidised)?,
            din(q, 56.0, Surface::Painted)?,
        );
        Ok(partly(
            vec![painted, bare, f64::NAN, f64::NAN],
            "alternating current: skin effect not computed",
        ))
    }),
    ("60 hz ampacity at 30*", |q| {
        let (thick, wide) = inches(q.text(&["size_in"])?)?;
        let bar = Bar {
            emissivity: 0.4,
            ..Bar::new(wide * 25.4, thick * 25.4, Alloy::Copper, Surface::Oxidised)
        };
        Ok([30.0, 50.0, 65.0]
            .map(|rise| bar.current_a(40.0, 40.0 + rise))
            .to_vec()
            .into())
    }),
    ("factor for bar 85 c at air 35 c", |_| {
        let bar = Bar::new(40.0, 10.0, Alloy::Copper, Surface::Oxidised);
        Ok((bar.current_a(35.0, 85.0) / bar.current_a(35.0, 65.0)).into())
    }),
    ("test force for the battery mass", |q| {
        Ok(pull_test_n(q.number(&["mass_kg"])?).into())
    }),
    ("inertia force m a", |q| {
        Ok(force_n(q.number(&["mass_kg"])?, q.number(&["g"])?).into())
    }),
    ("tensile stress area, coarse thread", |q| {
        Ok(metric(q)?.into())
    }),
    ("least tensile load*", |q| {
        let area = metric(q)?;
        Ok(classes(q)?
            .iter()
            .map(|bolt| bolt.tensile_n(area))
            .collect::<Vec<_>>()
            .into())
    }),
    ("proof load, classes*", |q| {
        let area = metric(q)?;
        Ok(classes(q)?
            .iter()
            .map(|bolt| bolt.proof_n(area))
            .collect::<Vec<_>>()
            .into())
    }),
    ("proof stress", |q| {
        let class = q.text(&["class"])?;
        let (name, size) = class.split_once(' ').unwrap_or((class, ""));
        let big = size.starts_with("over");
        Ok(Bolt::metric(name, big)
            .ok_or("no such class")?
            .proof_mpa
            .into())
    }),
    ("tensile stress area", |q| Ok((unified(q)? / 645.16).into())),
    ("proof load", |q| {
        let (diameter, _) = unified_of(q)?;
        let bolt = Bolt::inch(q.number(&["grade"])? as u32, diameter).ok_or("no such grade")?;
        Ok((bolt.proof_n(unified(q)?) / 4.448_222).into())
    }),
    ("r2 = r1 [1 + a (t2 - 75)]", |q| {
        let at = |c| resistance_ohm_m(Metal::Copper, 1.0, c);
        Ok((q.number(&["R1"])? * at(q.number(&["T2"])?) / at(75.0)).into())
    }),
    ("annealed copper, 100 % iacs, 20 c", |_| {
        let at = |c| resistance_ohm_m(Metal::Copper, 1.0, c) / 1.02;
        Ok(partly(
            vec![
                at(20.0),
                Alloy::Copper.conductivity_ms_m(),
                at(21.0) / at(20.0) - 1.0,
                f64::NAN,
            ],
            "density: no cable is weighed",
        ))
    }),
    ("gauge for a 10 a pump*", pump),
    ("same pump at 10 %", pump),
    ("device at the source*", |_| Ok(WITHIN_IN[0].into())),
    ("within 40 in if*", |_| Ok(WITHIN_IN[1].into())),
    ("within 72 in if*", |_| Ok(WITHIN_IN[2].into())),
    ("banks over 2200 cca*", |_| {
        Ok((least_interrupting_large_a(10_001.0) / 1000.0).into())
    }),
    ("an installed battery must move*", |q| {
        Ok(if q.unit() == "in" {
            MAY_MOVE.0
        } else {
            MAY_MOVE.1
        }
        .into())
    }),
    ("battery mechanical shock*", shock),
    ("gas container fixing*", shock),
    ("shear strength of a bolt*", |_| {
        let bolt = Bolt::metric("8.8", false).ok_or("no such class")?;
        Ok((bolt.shear_n(1.0) / bolt.tensile_n(1.0)).into())
    }),
    ("gas-producing current*", |q| {
        let kind = q.text(&["type"])?;
        let flooded = kind.starts_with("vented lead");
        if !flooded && !kind.starts_with("valve-regulated lead") {
            return Err("a chemistry that the core does not have".into());
        }
        Ok(gassing_ma_ah(flooded).to_vec().into())
    }),
    ("continuous current of one aluminium bar*", |q| {
        let (width, thickness) = (q.number(&["width_mm"])?, q.number(&["thickness_mm"])?);
        let at = |surface| {
            let bar = Bar {
                conductivity_ms_m: 35.1,
                ..Bar::new(width, thickness, Alloy::Aluminium1350, surface)
            };
            bar.current_a(35.0, 65.0)
        };
        Ok(vec![at(Surface::Painted), at(Surface::HeavilyOxidised)].into())
    }),
    ("i = 7.73 *", |q| {
        // Width and thickness of the bar from its area and perimeter.
        let (area, half) = (q.number(&["A_mm2"])?, q.number(&["p_mm"])? / 2.0);
        let width = half / 2.0 + (half * half / 4.0 - area).sqrt();
        let bar = Bar::new(width, half - width, Alloy::Copper, Surface::Oxidised);
        Ok(bar.current_a(40.0, 90.0).into())
    }),
    ("emissivity", |q| {
        let surface = q.text(&["surface"])?;
        let (_, state) = surface.split_once(", ").unwrap_or(("", surface));
        let alloy = match surface {
            surface if surface.contains("aluminium") => Alloy::Aluminium1350,
            surface if surface.contains("brass") => Alloy::Brass,
            _ => Alloy::Copper,
        };
        let state = match state {
            state if state.starts_with("bright") => Surface::Bright,
            state if state.starts_with("dull") => Surface::Dull,
            state if state.starts_with("oxidised") => Surface::Oxidised,
            state if state.starts_with("heavily") => Surface::HeavilyOxidised,
            _ => Surface::Painted,
        };
        Ok(state.emissivity(alloy).into())
    }),
    ("ventilation flow and least area*", |q| {
        let (cells, ah) = (q.number(&["cells"])?, q.number(&["C10_Ah"])?);
        let air = ventilation(cells, cells, q.number(&["Igas_mA_per_Ah"])?, ah, ah);
        Ok(vec![air.flow_m3_h, air.opening_cm2].into())
    }),
];

/// Strands of a conductor of that size: ASTM B8 class B, as NEC chapter 9 table 8 has them.
fn strands(cmil: f64) -> f64 {
    let up_to = [70e3, 220e3, 550e3, 1100e3, 1600e3];
    let counts = [7.0, 19.0, 37.0, 61.0, 91.0, 127.0];
    counts[up_to.partition_point(|most| *most < cmil)]
}

fn partly(figures: Vec<f64>, remark: &str) -> Answer {
    Answer {
        figures,
        remark: Some(remark.to_owned()),
    }
}

fn least_cmil(q: Question) -> Asked {
    let volts = match q.given(&["E_V"]) {
        Some(volts) => volts,
        None => q.number(&["V"])? * q.number(&["drop"])?,
    };
    Ok(Gauge::least_cmil(
        q.number(&["I_A"])?,
        q.number(&["L_ft", "L_ft_round_trip"])?,
        volts,
    )
    .into())
}

/// The size of a run of copper at 105 °C.
fn pump(q: Question) -> Asked {
    let run = Run {
        continuous_a: q.number(&["I_A"])?,
        drop_a: q.number(&["I_A"])?,
        length_m: q.number(&["L_ft"])? * 0.3048 / 2.0,
        volts: q.number(&["V"])?,
        drop: q.number(&["drop"])?,
        insulation_c: 105.0,
        engine_space: false,
        metal: Metal::Copper,
        together: 2,
        air_c: 30.0,
        material: Material::Pvc,
        least_mm2: 0.0,
    };
    let sized = size(&run, None).ok_or("no size")?;
    let gauge: f64 = sized.awg.parse().map_err(|_| "no plain gauge".to_owned())?;
    Ok(gauge.into())
}

/// A kind of fuse by its trade name.
fn fuse_kind(q: Question) -> Result<FuseKind, String> {
    Ok(match q.text(&["type"])? {
        name if name.starts_with("MRBF") => FuseKind::Terminal,
        name if name.starts_with("class T") => FuseKind::ClassT,
        name if name.starts_with("large blade") => FuseKind::LargeBlade,
        name if name.starts_with("blade") => FuseKind::Blade,
        name if name.starts_with("bolted strip") => FuseKind::Strip,
        name if name.starts_with("ANL") => FuseKind::LongStrip,
        name if name.starts_with("gPV") => FuseKind::Cylinder,
        other => return Err(format!("no fuse {other}")),
    })
}

/// What a plan's hold-down bears unless told.
fn shock(_: Question) -> Asked {
    let wiring = larder::plan::Wiring::default();
    Ok(vec![wiring.along_g, wiring.across_g].into())
}

fn alloy(name: &str) -> Result<Alloy, String> {
    Ok(match name {
        name if name.contains("C11000") => Alloy::Copper,
        name if name.contains("1350") => Alloy::Aluminium1350,
        name if name.contains("6061-T6") => Alloy::Aluminium6061,
        name if name.contains("6063-T5") || name.contains("6063-T6") => Alloy::Aluminium6063,
        name if name.contains("C36000") => Alloy::Brass,
        name if name.starts_with("steel") && name.contains("carbon") => Alloy::Steel,
        other => return Err(format!("no alloy {other}")),
    })
}

/// A bar of the German tables: air at 35 °C, the bar at 65 °C, conductivity as the table has it.
fn din(q: Question, conductivity_ms_m: f64, surface: Surface) -> Result<f64, String> {
    let (width, thickness) = (q.number(&["width_mm"])?, q.number(&["thickness_mm"])?);
    let plain = Bar::new(width, thickness, Alloy::Copper, surface);
    let bar = Bar {
        conductivity_ms_m,
        area_mm2: q.given(&["area_mm2"]).unwrap_or(plain.area_mm2),
        ..plain
    };
    Ok(bar.current_a(35.0, 65.0))
}

/// `1/8x1-1/2` as thickness and width.
fn inches(text: &str) -> Result<(f64, f64), String> {
    let one = |text: &str| -> Option<f64> {
        let part = |text: &str| match text.split_once('/') {
            Some((above, below)) => Some(above.parse::<f64>().ok()? / below.parse::<f64>().ok()?),
            None => text.parse().ok(),
        };
        match text.split_once('-') {
            Some((whole, rest)) => Some(part(whole)? + part(rest)?),
            None => part(text),
        }
    };
    let (thick, wide) = text.split_once('x').ok_or("no size")?;
    Ok((
        one(thick).ok_or("no thickness")?,
        one(wide).ok_or("no width")?,
    ))
}

/// Diameter of a metric thread, `M8`.
fn metric_mm(q: Question) -> Result<f64, String> {
    let diameter = q.text(&["thread"])?.trim_start_matches('M').parse();
    diameter.map_err(|_| "no thread".to_owned())
}

fn metric(q: Question) -> Result<f64, String> {
    stress_area_metric_mm2(metric_mm(q)?).ok_or_else(|| "no such thread".to_owned())
}

/// Diameter [in] and threads an inch of `1/4-20`, `1-1/8-7` or, numbered, `10-24`: 0.060 + 0.013 times the number.
fn unified_of(q: Question) -> Result<(f64, f64), String> {
    let (size, threads) = q.text(&["thread"])?.rsplit_once('-').ok_or("no thread")?;
    let threads: f64 = threads.parse().map_err(|_| "no threads".to_owned())?;
    // No thick bolt is as fine as the numbered ones.
    let diameter = match size.trim_start_matches('#').parse::<f64>() {
        Ok(number) if threads >= 20.0 => 0.060 + 0.013 * number,
        _ => inches(&format!("{size}x1"))?.0,
    };
    Ok((diameter, threads))
}

fn unified(q: Question) -> Result<f64, String> {
    let (diameter, threads) = unified_of(q)?;
    Ok(stress_area_inch_mm2(diameter, threads))
}

fn classes(q: Question) -> Result<Vec<Bolt>, String> {
    let over_m16 = metric_mm(q)? > 16.0;
    let named = ["4.8", "6.8", "8.8", "10.9", "12.9"]
        .map(|class| Bolt::metric(class, over_m16).ok_or_else(|| class.to_owned()));
    named.into_iter().collect()
}
