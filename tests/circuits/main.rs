//! Writes 200 random banks and circuits with the core's answers, for `solve.py` to solve again in another way.

use larder::cable::{Branch, Paralleled, Strand, TakeOff, branch_currents};
use serde_json::{Value, json};
use std::path::Path;

/// A small generator with a stated seed, so that every run writes the same (Knuth's MMIX constants).
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }
}

fn bank(dice: &mut Dice) -> Value {
    let strands: Vec<Strand> = (0..1 + dice.below(8))
        .map(|_| Strand {
            rest_v: dice.between(11.8, 13.4),
            ohm: dice.between(0.001, 0.03),
        })
        .collect();
    let take_off = TakeOff::ALL[dice.below(4)];
    let bank = Paralleled {
        link_ohm: dice.between(0.000_02, 0.003),
        take_off,
        strands,
    };
    let drawn_a = dice.between(-300.0, 300.0);
    let strands: Vec<Value> = bank
        .strands
        .iter()
        .map(|strand| json!([strand.rest_v, strand.ohm]))
        .collect();
    json!({
        "strands": strands, "link": bank.link_ohm, "take_off": take_off, "drawn": drawn_a,
        "currents": bank.currents(drawn_a).expect("an answer"),
    })
}

fn circuit(dice: &mut Dice) -> Value {
    let nodes = 2 + dice.below(10);
    let mut branches = Vec::new();
    for node in 1..nodes {
        branches.push((dice.below(node), node));
    }
    for _ in 0..dice.below(2 * nodes) {
        let from = dice.below(nodes);
        branches.push((from, (from + 1 + dice.below(nodes - 1)) % nodes));
    }
    let branches: Vec<Branch> = branches
        .into_iter()
        .map(|(from, to)| Branch {
            from,
            to,
            ohm: dice.between(0.000_1, 2.0),
            rise_v: if dice.share() < 0.5 {
                0.0
            } else {
                dice.between(-15.0, 15.0)
            },
        })
        .collect();
    let (out_of, into) = (dice.below(nodes), dice.below(nodes));
    let drawn_a = dice.between(-100.0, 100.0);
    let currents = branch_currents(nodes, &branches, out_of, into, drawn_a).expect("an answer");
    let branches: Vec<Value> = branches
        .iter()
        .map(|branch| json!([branch.from, branch.to, branch.ohm, branch.rise_v]))
        .collect();
    json!({ "nodes": nodes, "branches": branches, "out_of": out_of, "into": into, "drawn": drawn_a, "currents": currents })
}

#[test]
fn two_hundred_circuits_are_written() {
    let mut dice = Dice(11);
    let banks: Vec<Value> = (0..100).map(|_| bank(&mut dice)).collect();
    let circuits: Vec<Value> = (0..100).map(|_| circuit(&mut dice)).collect();
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join("circuits.json");
    let text = json!({ "banks": banks, "circuits": circuits }).to_string();
    std::fs::write(&file, text).expect("written");
    println!("{}", file.display());
}
