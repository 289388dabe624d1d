//! Drawn years at a prompt: on every core, with how far it is on standard error.

use crate::assess::{GRAVE, REFUSED, SOUND, read};
use larder::report::Risk;
use larder::{Chances, Inputs, Mapping, Tally};
use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicU64, Ordering};

/// Years that a core takes at a time.
const AT_A_TIME: u64 = 50;

/// How far something is, on standard error where somebody looks.
fn show(what: &str, done: u64, all: u64) {
    if std::io::stderr().is_terminal() {
        eprint!(
            "\r{what}: {done} of {all}{}",
            if done >= all { "\n" } else { "" }
        );
        let _ = std::io::stderr().flush();
    }
}

/// Draws so many years for every candidate.
pub fn risks(inputs: &Inputs, years: u64) -> Vec<Risk> {
    let chances = Chances::new(inputs);
    let ids = chances.ids();
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    ids.iter()
        .enumerate()
        .map(|(nth, id)| {
            let next = AtomicU64::new(0);
            let work = || {
                let mut mine = Vec::new();
                loop {
                    let from = next.fetch_add(AT_A_TIME, Ordering::Relaxed);
                    if from >= years {
                        return mine;
                    }
                    let to = (from + AT_A_TIME).min(years);
                    mine.push((from, chances.draw(nth, from..to)));
                    show("years drawn", to, years);
                }
            };
            let mut parts = std::thread::scope(|scope| {
                let workers: Vec<_> = (0..cores).map(|_| scope.spawn(work)).collect();
                let parts = workers.into_iter().filter_map(|worker| worker.join().ok());
                parts.flatten().collect::<Vec<_>>()
            });
            // In the years' order, so that any number of cores says the same.
            parts.sort_by_key(|(from, _)| *from);
            let mut tally = Tally::default();
            parts.into_iter().for_each(|(_, part)| tally.add(part));
            tally.risk(*id)
        })
        .collect()
}

/// Prints a plan's sizing map; tells the exit code.
pub fn map(source: &str, tolerance_days: f64) -> u8 {
    let read = read(source).map(|plan| larder::import(&plan));
    let inputs = match read {
        Ok(Ok(inputs)) => inputs,
        Ok(Err(faults)) => {
            for fault in faults {
                eprintln!("{}: {} {}", fault.field, fault.says, fault.mend);
            }
            return REFUSED;
        }
        Err(says) => {
            eprintln!("{says}");
            return REFUSED;
        }
    };
    let Some(mut mapping) = Mapping::new(&inputs, tolerance_days) else {
        eprintln!("A map needs solar panels in the plan, even small ones.");
        return GRAVE;
    };
    while mapping.step() {
        show("first picture", (mapping.progress() * 100.0) as u64, 100);
    }
    let map = mapping.map();
    print!("{}", larder::words::map_csv(&map));
    eprintln!("{}", larder::words::map_says(&map));
    SOUND
}
