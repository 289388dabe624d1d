//! Seeded plans as people make them, the same in every run.

use larder::link;
use larder::plan::{Candidate, Chemistry, DayKind, LinkKind, Plan, Supply, Way};

/// Numbers from a seed: SplitMix64, by Steele, Lea & Flood (2014).
pub(crate) struct Seeded(pub(crate) u64);

impl Seeded {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub(crate) fn one_of(&mut self, many: usize) -> usize {
        (self.unit() * many as f64) as usize
    }
}

/// A plan with loads, sun, driving and banks drawn about those of a starting point.
pub(crate) fn plan(seed: u64) -> Plan {
    let mut draw = Seeded(seed);
    let mut plan = link::from_text(super::STARTS[draw.one_of(3)]).unwrap();
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
        panel.azimuth = draw.within(0.0, 360.0);
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
