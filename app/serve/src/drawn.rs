//! Drawn years at a prompt: on every core, with how far it is on standard error.

use crate::assess::{REFUSED, SOUND, refusals, remarks};
use crate::input::read;
use clap::ValueEnum;
use indicatif::{ProgressBar, ProgressStyle};
use larder::report::Risk;
use larder::words::visible;
use larder::{Bench, Inputs, Survey, Wanted};
use std::sync::{Condvar, Mutex, PoisonError};

/// Steps of a progress bar.
const STEPS: u64 = 1000;

/// Form of a sizing map.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum MapForm {
    /// Comma-separated values.
    Csv,
    /// A picture.
    Svg,
}

/// Works a survey out on every core; a bar on standard error tells how far it is, where somebody looks.
fn surveyed(inputs: &Inputs, wanted: Wanted, what: &'static str) -> Survey {
    let bar = ProgressBar::new(STEPS).with_message(what);
    if let Ok(style) = ProgressStyle::with_template("{msg} {bar:40} {percent} %, {eta} left") {
        bar.set_style(style);
    }
    let survey = Mutex::new(Survey::new(inputs, wanted));
    let came_back = Condvar::new();
    let hand = || {
        let mut bench = Bench::new(inputs.clone());
        let mut held = survey.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            if let Some(job) = held.next_job() {
                drop(held);
                let numbers = bench.work(job);
                held = survey.lock().unwrap_or_else(PoisonError::into_inner);
                held.put(job, &numbers);
                bar.set_position((held.progress() * STEPS as f64) as u64);
                came_back.notify_all();
            } else if held.out() == 0 {
                came_back.notify_all();
                return;
            } else {
                held = came_back.wait(held).unwrap_or_else(PoisonError::into_inner);
            }
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(hand);
        }
    });
    bar.finish_and_clear();
    survey.into_inner().unwrap_or_else(PoisonError::into_inner)
}

/// How often each candidate runs short in drawn years, and the days short that hold nine years in ten of the chosen one, with all
/// that is uncertain drawn too.
pub type Odds = (Vec<Risk>, Option<[u32; 2]>);

/// Draws so many years for every candidate, and jointly what is uncertain.
pub fn risks(inputs: &Inputs, years: u64) -> Odds {
    let wanted = Wanted {
        years,
        until_narrow: false,
        map: None,
        draws: (years / 4).clamp(1, 1000),
    };
    let survey = surveyed(inputs, wanted, "drawing weather");
    (survey.risks(), survey.band())
}

/// Prints a plan's sizing map for so many days short a year, 0 to 366; tells the exit code.
///
/// # Errors
/// Where it can't be printed.
pub fn map(source: &str, tolerance_days: f64, form: MapForm) -> Result<u8, String> {
    let read = read(source).map(|plan| (larder::import(&plan), plan));
    let (inputs, plan) = match read {
        Ok((Ok(inputs), plan)) => (inputs, plan),
        Ok((Err(faults), _)) => {
            crate::tell(&refusals(&faults))?;
            return Ok(REFUSED);
        }
        Err(says) => {
            crate::tell(&(visible(&says) + "\n"))?;
            return Ok(REFUSED);
        }
    };
    crate::tell(&remarks(&plan))?;
    let wanted = Wanted {
        years: 0,
        until_narrow: false,
        map: Some(tolerance_days),
        draws: 0,
    };
    let Some(map) = surveyed(&inputs, wanted, "sizing map").map() else {
        crate::tell("A map needs solar panels in the plan, even small ones.\n")?;
        return Ok(REFUSED);
    };
    crate::print(&match form {
        MapForm::Csv => larder::words::map_csv(&map),
        MapForm::Svg => crate::map_picture::svg(&map) + "\n",
    })?;
    crate::tell(&(larder::words::map_says(&map) + "\n"))?;
    let cheapest = larder::words::cheapest_says(&map, &plan.currency);
    if !cheapest.is_empty() {
        crate::tell(&(visible(&cheapest) + "\n"))?;
    }
    Ok(SOUND)
}
