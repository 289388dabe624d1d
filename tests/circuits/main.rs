//! Writes 200 random banks and circuits with the core's answers, for `solve.py` to solve again in another way.

use amp_larder_tests::Seeded;
use larder::cable::{Branch, Paralleled, Strand, TakeOff, branch_currents};
use serde_json::{Value, json};
use std::path::Path;

fn bank(dice: &mut Seeded) -> Value {
    let strands: Vec<Strand> = (0..1 + dice.one_of(8))
        .map(|_| Strand {
            rest_v: dice.within(11.8, 13.4),
            ohm: dice.within(0.001, 0.03),
        })
        .collect();
    let take_off = TakeOff::ALL[dice.one_of(4)];
    let bank = Paralleled {
        link_ohm: dice.within(0.000_02, 0.003),
        take_off,
        strands,
    };
    let drawn_a = dice.within(-300.0, 300.0);
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

fn circuit(dice: &mut Seeded) -> Value {
    let nodes = 2 + dice.one_of(10);
    let mut branches = Vec::new();
    for node in 1..nodes {
        branches.push((dice.one_of(node), node));
    }
    for _ in 0..dice.one_of(2 * nodes) {
        let from = dice.one_of(nodes);
        branches.push((from, (from + 1 + dice.one_of(nodes - 1)) % nodes));
    }
    let branches: Vec<Branch> = branches
        .into_iter()
        .map(|(from, to)| Branch {
            from,
            to,
            ohm: dice.within(0.000_1, 2.0),
            rise_v: if dice.unit() < 0.5 {
                0.0
            } else {
                dice.within(-15.0, 15.0)
            },
        })
        .collect();
    let (out_of, into) = (dice.one_of(nodes), dice.one_of(nodes));
    let drawn_a = dice.within(-100.0, 100.0);
    let currents = branch_currents(nodes, &branches, out_of, into, drawn_a).expect("an answer");
    let branches: Vec<Value> = branches
        .iter()
        .map(|branch| json!([branch.from, branch.to, branch.ohm, branch.rise_v]))
        .collect();
    json!({ "nodes": nodes, "branches": branches, "out_of": out_of, "into": into, "drawn": drawn_a, "currents": currents })
}

#[test]
fn two_hundred_circuits_are_written() {
    let mut dice = Seeded(11);
    let banks: Vec<Value> = (0..100).map(|_| bank(&mut dice)).collect();
    let circuits: Vec<Value> = (0..100).map(|_| circuit(&mut dice)).collect();
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join("circuits.json");
    let text = json!({ "banks": banks, "circuits": circuits }).to_string();
    std::fs::write(&file, text).expect("written");
    println!("{}", file.display());
}
