//! Seeded plans as people make them, the same in every run.

use amp_larder_tests::{STARTS, Seeded};
use larder::link;
use larder::plan::{Candidate, Chemistry, DayKind, LinkKind, Plan, Supply, Way};

/// A plan with loads, sun, driving and banks drawn about those of a starting point.
pub(crate) fn plan(seed: u64) -> Plan {
    let mut draw = Seeded(seed);
    let mut plan = link::from_text(STARTS[draw.one_of(3)].1).unwrap();
    plan.guesses.clear();
    let size = draw.within(0.4, 2.5);
    for load in &mut plan.loads {
        load.draw *= size * draw.within(0.5, 1.5);
        if load.way == Way::Hours {
            load.hours *= draw.within(0.3, 1.0);
        }
        load.supply = if draw.unit() < 0.3 {
            Supply::Ac
        } else {
            Supply::Dc
        };
    }
    plan.living.lat = draw.within(-55.0, 65.0);
    plan.living.cabin_c = draw.within(10.0, 22.0);
    for stretch in &mut plan.living.rhythm {
        stretch.days = 1.0 + draw.one_of(6) as f64;
        stretch.kind = DayKind::ALL[draw.one_of(4)];
    }
    for panel in &mut plan.sun.panels {
        panel.watts *= draw.within(0.3, 3.0);
        panel.tilt = draw.within(0.0, 70.0);
        panel.azimuth = Some(draw.within(0.0, 360.0));
    }
    plan.alternator.fitted = draw.unit() < 0.6;
    plan.alternator.hours = draw.within(0.3, 4.0);
    plan.alternator.link = if draw.unit() < 0.5 {
        LinkKind::DcDc
    } else {
        LinkKind::Relay
    };
    plan.shore.fitted = draw.unit() < 0.4;
    plan.candidates.truncate(1);
    for bank in &mut plan.candidates {
        *bank = Candidate {
            id: bank.id,
            chemistry: Chemistry::ALL[draw.one_of(5)],
            capacity_ah: draw.within(60.0, 220.0).round(),
            series: plan.volts / 12.0,
            parallel: 1.0 + draw.one_of(4) as f64,
            ..Candidate::default()
        };
        plan.chosen = bank.id;
    }
    plan
}
