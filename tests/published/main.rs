//! Holds what the core computes against published values, and says how near it comes.
//!
//! `rows/` has one value (or one small vector) a row, with its source and its tolerance. The variable PUBLISHED_DIR
//! may name a folder with more files of the same form; they are held in the same way.
//! `cargo test -p amp-larder-tests --test published -- --nocapture` prints the report.

mod climate;
mod cycles;
mod evaluators;
mod held;
mod question;
mod report;
mod row;
mod stations;
mod tolerance;

use report::Report;
use row::Kind;
use std::path::{Path, PathBuf};

/// Fewest rows from print that must be held.
const PRINT_LEAST: usize = 420;
/// Fewest documents that they come from.
const DOCUMENTS_LEAST: usize = 30;
/// Fewest rows worked out by a formula or a library that must be held.
const COMPUTED_LEAST: usize = 250;
/// Vectors of the climate tables: 18 places × 12 months.
const CLIMATE_VECTORS: usize = 216;

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("published")
}

/// Asserts that no evaluated row of one file is outside its tolerance, and that one is evaluated.
fn hold(file: &str) {
    let rows = row::read(&here().join("rows").join(file)).unwrap();
    let judged: Vec<_> = rows.iter().map(|row| (row, held::judge(row))).collect();
    let stations = stations::Error::over(rows.iter()).unwrap();
    assert!(
        stations.is_some() || judged.iter().any(|(_, outcome)| outcome.holds()),
        "{file}: nothing held"
    );
    assert!(stations.is_none_or(|error| error.holds()), "{stations:?}");
    for (row, outcome) in judged {
        let fails = outcome.share().is_some_and(|share| share > 1.0);
        assert!(
            !fails || row.kind == Kind::Plausibility,
            "{}: {outcome:?}, not {:?} ± {}",
            row.id,
            row.expected,
            row.tolerance
        );
    }
}

/// A test for each file of rows.
macro_rules! files {
    ($($name:ident),* $(,)?) => {
        const FILES: &[&str] = &[$(concat!(stringify!($name), ".csv")),*];
        $(#[test] fn $name() { hold(concat!(stringify!($name), ".csv")); })*
    };
}

files!(
    battery_cases,
    bus_bars,
    conductors,
    irradiation_monthly_world,
    lead_acid,
    lifepo4,
    loads_household,
    mechanical,
    overcurrent,
    packing,
    solar_extraterrestrial_fao56,
    solar_geometry_duffie_beckman,
    solar_position_and_clearsky,
);

#[test]
fn every_file_has_its_test_and_no_row_stands_twice() {
    let folder = here().join("rows");
    assert_eq!(row::files(&folder).unwrap(), FILES);
    let rows = FILES
        .iter()
        .flat_map(|file| row::read(&folder.join(file)).unwrap());
    let mut ids: Vec<String> = rows.map(|row| row.id).collect();
    let count = ids.len();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), count);
}

#[test]
fn climate_vectors() {
    let held = climate::hold(&here().join("climate_vectors.csv")).unwrap();
    assert_eq!(held, CLIMATE_VECTORS);
    println!(
        "\nClimate tables: {held} of {CLIMATE_VECTORS} vectors held, counted apart from the rows\n"
    );
}

#[test]
fn irradiation_by_region_is_within_what_is_stated_for_it() {
    let rows = row::read(&here().join("rows/irradiation_monthly_world.csv")).unwrap();
    let regions = stations::by_region(rows.iter()).unwrap();
    println!("\nMonthly irradiation by region (kWh/m²/day): stations, bias, RMSE, RMSE stated");
    for (name, (error, stated, _)) in &regions {
        println!(
            "{name:45} {:2} {:+.2} {:.2} {stated:.2}",
            error.stations, error.bias, error.rmse
        );
    }
    assert!(regions.len() >= 9, "{regions:?}");
    let beyond: Vec<_> = regions.iter().filter(|(_, (.., holds))| !holds).collect();
    assert!(beyond.is_empty(), "{beyond:?}");
}

#[test]
fn cycle_counting() {
    let held = cycles::hold(&here().join("cycle_counting.json")).unwrap();
    assert!(held >= 3);
    println!(
        "\nCycle counting (ASTM E1049-85): {held} cases held exactly, counted apart from the rows\n"
    );
}

#[test]
fn report() {
    let report = Report::of(&here().join("rows"), &[]).unwrap();
    let (print, computed) = (report.count(Kind::Print), report.count(Kind::Computed));
    let documents = report.documents_in_print();
    println!(
        "\n{}The rows from print held are from {documents} documents\nFloors: {PRINT_LEAST} from print of \
         {DOCUMENTS_LEAST} documents, {COMPUTED_LEAST} computed\n",
        report.text()
    );
    assert_eq!(report.failures(), Vec::<String>::new());
    assert!(print.held >= PRINT_LEAST, "{print:?}");
    assert!(documents >= DOCUMENTS_LEAST, "{documents}");
    assert!(computed.held >= COMPUTED_LEAST, "{computed:?}");
}

#[test]
fn further_rows_from_outside() {
    let Some(folder) = std::env::var_os("PUBLISHED_DIR") else {
        println!("PUBLISHED_DIR is not set: no further rows\n");
        return;
    };
    let known: Vec<_> = FILES
        .iter()
        .flat_map(|file| row::read(&here().join("rows").join(file)).unwrap())
        .collect();
    let report = Report::of(Path::new(&folder), &known).unwrap();
    println!(
        "\nFurther rows, from the folder that PUBLISHED_DIR names\n{}",
        report.text()
    );
    assert_eq!(report.failures(), Vec::<String>::new());
}
