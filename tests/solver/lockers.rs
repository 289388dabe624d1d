//! Random lockers for two purposes: `write N` prints so many of up to 8 cases with the core's answer, for a second solver
//! to judge; `hardest N` searches so many of 8 cases and 12 obstacles and tells the dearest.

use amp_larder_tests::Seeded;
use larder::fit::{Box3, Case, Certainty, Locker, Obstacle, Rules, Turning, most, place};
use serde_json::json;
use std::time::Instant;

/// A whole number from `least` to `most`.
fn between(dice: &mut Seeded, least: u64, most: u64) -> f64 {
    (least + upto(dice, most - least)) as f64
}

fn upto(dice: &mut Seeded, most: u64) -> u64 {
    dice.one_of(most as usize + 1) as u64
}

fn instance(dice: &mut Seeded, obstacles: u64, grid: u64) -> (Locker, Case) {
    let cases = [
        [330, 173, 240],
        [260, 173, 225],
        [306, 173, 225],
        [207, 175, 190],
        [277, 175, 175],
        [527, 280, 270],
    ];
    let size = cases[upto(dice, cases.len() as u64 - 1) as usize];
    let whole = |mm: f64| (mm / grid as f64).round() * grid as f64;
    let inside_mm = [
        between(dice, 400, 1400),
        between(dice, 300, 900),
        between(dice, 180, 420),
    ]
    .map(whole);
    let thing = |dice: &mut Seeded| {
        let size_mm = [
            between(dice, 20, 250),
            between(dice, 20, 250),
            between(dice, 20, 300),
        ]
        .map(whole);
        let at = |inside: f64, dice: &mut Seeded| between(dice, 0, inside as u64 - 10);
        let at_mm = [
            at(inside_mm[0], dice),
            at(inside_mm[1], dice),
            at(inside_mm[2], dice),
        ]
        .map(whole);
        let at_mm = match upto(dice, 3) {
            0 => [0.0, at_mm[1], 0.0],
            1 => [at_mm[0], 0.0, 0.0],
            2 => [at_mm[0], at_mm[1], 0.0],
            _ => at_mm,
        };
        Obstacle {
            name: "thing".into(),
            space: Box3 { at_mm, size_mm },
            ..Obstacle::default()
        }
    };
    let locker = Locker {
        inside_mm,
        obstacles: (0..obstacles).map(|_| thing(dice)).collect(),
        measured_within_mm: 2.0,
        ..Locker::default()
    };
    let case = Case {
        size_mm: size.map(|mm| whole(mm as f64)),
        turning: [Turning::Upright, Turning::OnSide, Turning::Any][upto(dice, 2) as usize],
        side_gap_mm: whole(between(dice, 0, 10)),
        terminal_gap_mm: whole(between(dice, 0, 40)),
        ..Case::default()
    };
    (locker, case)
}

fn write(count: u64) {
    let mut dice = Seeded(20_260);
    let rows: Vec<_> = (0..count)
        .map(|_| {
            let obstacles = upto(&mut dice, 5);
            let (locker, case) = instance(&mut dice, obstacles, 5);
            let found = most(&locker, &case, 8, Rules::default());
            let things: Vec<_> = locker
                .obstacles
                .iter()
                .map(|thing| json!([thing.space.at_mm, thing.space.size_mm]))
                .collect();
            json!({
                "inside_mm": locker.inside_mm,
                "obstacles": things,
                "case_mm": case.size_mm,
                "turning": case.turning as u8,
                "side_gap_mm": case.side_gap_mm,
                "terminal_gap_mm": case.terminal_gap_mm,
                "most": found.count,
                "exact": found.certainty == Certainty::Exact,
            })
        })
        .collect();
    println!("{}", json!(rows));
}

fn hardest(count: u64, budget: u64) {
    let rules = Rules {
        budget,
        ..Rules::default()
    };
    let mut dice = Seeded(8_12);
    let (mut cut, mut steps_all, mut fitted) = (0, Vec::new(), 0);
    let mut dearest = (0.0, String::new());
    for at in 0..count {
        let (locker, case) = instance(&mut dice, 12, 1);
        let from = Instant::now();
        let (found, certainty, steps) = place(&locker, &case, 8, rules);
        let ms = from.elapsed().as_secs_f64() * 1e3;
        let count = most(&locker, &case, 8, rules);
        cut +=
            u32::from(certainty == Certainty::CutShort || count.certainty == Certainty::CutShort);
        fitted += u32::from(found.is_some());
        steps_all.push(steps.max(count.steps));
        if ms > dearest.0 {
            let says = format!(
                "no. {at}: {steps} steps, {ms:.1} ms, {certainty:?}; most {} {:?}; {:?} {:?}",
                count.count, count.certainty, locker.inside_mm, case
            );
            dearest = (ms, says);
        }
    }
    steps_all.sort_unstable();
    println!("{count} lockers of 8 cases and 12 obstacles: {fitted} hold 8, {cut} cut short");
    println!(
        "steps: half below {}, nine tenths below {}, most {}",
        steps_all[steps_all.len() / 2],
        steps_all[steps_all.len() * 9 / 10],
        steps_all[steps_all.len() - 1]
    );
    println!("dearest search: {}", dearest.1);
}

fn main() {
    let words: Vec<String> = std::env::args().collect();
    let count = words
        .get(2)
        .and_then(|word| word.parse().ok())
        .unwrap_or(250);
    match words.get(1).map(String::as_str) {
        Some("write") => write(count),
        Some("hardest") => {
            let budget = words.get(3).and_then(|word| word.parse().ok());
            hardest(count, budget.unwrap_or(Rules::default().budget));
        }
        _ => eprintln!("lockers write N | lockers hardest N"),
    }
}
