//! What a plan takes from its place: temperatures, and how far they and the sun may be out.

use super::{near, plan, report};
use larder::plan::Units;
use larder::words::climate_accuracy;

#[test]
fn temperatures_follow_place_height_and_month() {
    let mut plan = plan("orchard-van");
    plan.living.outdoors_c = [None; 12];
    plan.living.swing_k = None;
    // Rennes: 7.016 °C in January and 18.880 in July at 40 m, by another reader of the table; whole degrees are used.
    (plan.living.lat, plan.living.lon) = (48.1, -1.65);
    plan.living.elevation_m = Some(40.0);
    let low = larder::assess(&plan).unwrap();
    near("January", low.months[0].outdoors_c, 7.0, 1e-9);
    near("July", low.months[6].outdoors_c, 19.0, 1e-9);
    // 1 km higher: 5 K colder.
    plan.living.elevation_m = Some(1040.0);
    let high = larder::assess(&plan).unwrap();
    near("January, high", high.months[0].outdoors_c, 2.0, 1e-9);
    // A month's own figure stays, whatever the height.
    plan.living.outdoors_c[0] = Some(4.5);
    let own = larder::assess(&plan).unwrap();
    assert_eq!(own.months[0].outdoors_c, 4.5);
    assert_eq!((own.climate.air_months, high.climate.air_months), (11, 12));
}

#[test]
fn the_accuracy_of_the_climate_is_the_regions_own() {
    let van = report("orchard-van");
    let says = |report: &larder::report::Report| {
        climate_accuracy(&report.climate, &report.months[0], Units::Metric)
    };
    // Hereford. Its temperatures are typed, so nothing is said of them.
    assert_eq!(
        says(&van),
        "Sun from the climate table: a month is out by ±0.19 kWh/m² a day, measured at 28 stations (Britain, Ireland). \
         Its mean error: +0.2 % in a year, −2.8 % in the three darkest months."
    );
    let mut tokyo = plan("orchard-van");
    (tokyo.living.lat, tokyo.living.lon) = (35.7, 139.7);
    tokyo.living.outdoors_c = [None; 12];
    let tokyo = larder::assess(&tokyo).unwrap();
    assert_eq!(
        says(&tokyo),
        "Sun from the climate table: a month is out by ±0.41 kWh/m² a day, measured at 1212 stations (all regions). Its mean \
         error: +0.4 % in a year, −0.5 % in the three darkest months. Temperatures are a guess from place and height, \
         ±2.6 °C; where frost matters allow 3 °C. Give the height above the sea for ±1.7 °C."
    );
}

#[test]
fn the_least_array_counts_on_85_percent_of_the_table_in_the_three_darkest_months() {
    let mut hut = plan("hill-hut");
    assert_eq!(hut.living.month, 12);
    let table = larder::assess(&hut).unwrap();
    // The same months typed, the darkest three at 85 %: typed months count as they are.
    for (own, month) in hut.sun.peak_sun_hours.iter_mut().zip(&table.months) {
        let dark = [11, 12, 1].contains(&month.month);
        *own = Some(month.peak_sun_hours * if dark { 0.85 } else { 1.0 });
    }
    let typed = larder::assess(&hut).unwrap();
    let (table_w, typed_w) = (table.least.panel_w.unwrap(), typed.least.panel_w.unwrap());
    near("least array", table_w, typed_w, 0.005 * typed_w);
    // The month itself stays as the table has it.
    near(
        "sun",
        typed.months[11].peak_sun_hours,
        0.85 * table.months[11].peak_sun_hours,
        1e-9,
    );
    assert!(larder::words::least_income(&table).contains("85 % of the climate table's sun"));
}

#[test]
fn from_the_least_array_on_the_cautious_typical_year_has_no_short_day() {
    let mut found = 0;
    for name in ["hill-hut", "orchard-van", "estuary-cutter"] {
        let mut own = plan(name);
        let report = larder::assess(&own).unwrap();
        let inputs = larder::import(&own).unwrap();
        let least = larder::TypicalYear::new(&inputs).least_array().unwrap();
        let watts = |plan: &larder::plan::Plan| -> f64 {
            plan.sun.panels.iter().map(|panel| panel.watts).sum()
        };
        let times = least.panel_w.map(|w| w / watts(&own));
        // The months typed, the darkest three at 85 %, and the array and its controller as large.
        let mut by_sun: Vec<_> = report.months.iter().collect();
        by_sun.sort_by(|a, b| a.peak_sun_hours.total_cmp(&b.peak_sun_hours));
        for (place, month) in by_sun.iter().enumerate() {
            let share = if place < 3 { 0.85 } else { 1.0 };
            own.sun.peak_sun_hours[usize::from(month.month) - 1] =
                Some(month.peak_sun_hours * share);
        }
        let short_days = |times: f64| {
            let mut plan = own.clone();
            for panel in &mut plan.sun.panels {
                panel.watts *= times;
            }
            plan.sun.controller_a *= times.max(1.0);
            plan.sun.fitted = times > 0.0;
            let year = larder::year(&plan).unwrap();
            let chosen = year.banks.iter().find(|bank| bank.id == plan.chosen);
            chosen.unwrap_or(&year.banks[0]).short_days
        };
        let Some(times) = times else {
            let left = short_days(4.0);
            println!("{name}: four times its array leaves {left} short");
            assert!(left > 0, "{name}");
            continue;
        };
        if times <= 0.0 {
            println!("{name}: needs no panel");
            assert_eq!(short_days(0.0), 0, "{name}");
            continue;
        }
        let (at, below) = (short_days(times * 1.001), short_days(times * 0.98));
        println!("{name}: {times:.2} times its array; 2 % less: {below} short");
        assert_eq!(at, 0, "{name}");
        assert!(below > 0, "{name}");
        found += 1;
    }
    assert!(found > 0, "no start has a least array");
}

#[test]
fn weather_years_draw_the_tables_error_and_not_that_of_typed_months() {
    let spread = |plan: &larder::plan::Plan| {
        let inputs = larder::import(plan).unwrap();
        let days: Vec<f64> = larder::Chances::new(&inputs)
            .draw(0, 0..200)
            .years()
            .iter()
            .map(|year| f64::from(year.days()))
            .collect();
        let mean = days.iter().sum::<f64>() / 200.0;
        let square: f64 = days.iter().map(|day| (day - mean) * (day - mean)).sum();
        (square / 200.0).sqrt()
    };
    let mut hut = plan("hill-hut");
    hut.doubts.sky_share = 0.0;
    let weather_alone = spread(&hut);
    hut.doubts.sky_share = 0.3;
    let with_table = spread(&hut);
    println!(
        "days short, spread of years: {weather_alone:.2} by weather, {with_table:.2} with a table ±30 %"
    );
    assert!(with_table > 1.2 * weather_alone);
    let months = larder::assess(&hut).unwrap().months;
    for (own, month) in hut.sun.peak_sun_hours.iter_mut().zip(&months) {
        *own = Some(month.peak_sun_hours);
    }
    let typed = spread(&hut);
    near("typed", typed, weather_alone, 0.01 * weather_alone);
}
