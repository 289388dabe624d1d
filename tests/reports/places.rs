//! Forty places of the world and a few more: position, clock, facing, hardest month, air in January and July.

use super::plan;
use larder::place::{Clock, Towns, equatorward_deg, read_position};
use larder::solar::{Air, Site};

/// Largest root mean square error of the air over these places [K]; the table has 1.7 at 95 normals, none of the polar ones.
const AIR_RMSE_MOST_K: f64 = 2.3;
/// Largest error of one month [K]: Siberia's winter, whose cold lies in valleys that the table does not see.
const AIR_WORST_K: f64 = 8.5;

/// What is typed, latitude and longitude [°], height [m], standard time and what summer adds [h], direction to face, months of which
/// one is the hardest for a level panel and an even use, mean air in January and July [°C].
///
/// Towns' positions and zones: general knowledge. Air: climate normals 1981 to 2020, from memory.
type Place = (
    &'static str,
    (f64, f64),
    f64,
    (f64, f64),
    &'static str,
    &'static [u8],
    (f64, f64),
);

const PLACES: [Place; 45] = [
    (
        "Rennes",
        (48.1, -1.7),
        40.0,
        (1.0, 1.0),
        "south",
        &[12],
        (5.9, 18.9),
    ),
    (
        "London, GB",
        (51.5, -0.1),
        20.0,
        (0.0, 1.0),
        "south",
        &[12],
        (5.2, 18.7),
    ),
    (
        "Reykjavik",
        (64.15, -21.9),
        40.0,
        (0.0, 0.0),
        "south",
        &[12],
        (0.5, 11.6),
    ),
    (
        "Tromso",
        (69.65, 18.95),
        10.0,
        (1.0, 1.0),
        "south",
        &[12],
        (-3.8, 12.0),
    ),
    (
        "Longyearbyen",
        (78.2, 15.65),
        20.0,
        (1.0, 1.0),
        "south",
        &[11, 12, 1],
        (-13.0, 6.5),
    ),
    (
        "Helsinki",
        (60.2, 24.95),
        30.0,
        (2.0, 1.0),
        "south",
        &[12],
        (-3.9, 18.1),
    ),
    (
        "Moscow",
        (55.75, 37.6),
        150.0,
        (3.0, 0.0),
        "south",
        &[12],
        (-6.5, 19.2),
    ),
    (
        "Madrid, Spain",
        (40.4, -3.7),
        660.0,
        (1.0, 1.0),
        "south",
        &[12, 1],
        (6.3, 25.6),
    ),
    (
        "Athens, Greece",
        (38.0, 23.7),
        80.0,
        (2.0, 1.0),
        "south",
        &[12, 1],
        (10.0, 28.7),
    ),
    (
        "Cairo, Egypt",
        (30.05, 31.25),
        20.0,
        (2.0, 1.0),
        "south",
        &[12, 1],
        (14.0, 28.5),
    ),
    (
        "Nairobi",
        (-1.3, 36.8),
        1680.0,
        (3.0, 0.0),
        "north",
        &[6, 7, 8],
        (19.9, 17.0),
    ),
    (
        "Lagos, Nigeria",
        (6.45, 3.4),
        10.0,
        (1.0, 0.0),
        "south",
        &[6, 7, 8, 9],
        (27.3, 25.6),
    ),
    (
        "Cape Town",
        (-33.9, 18.4),
        20.0,
        (2.0, 0.0),
        "north",
        &[6, 7],
        (21.0, 12.5),
    ),
    (
        "Johannesburg",
        (-26.2, 28.05),
        1750.0,
        (2.0, 0.0),
        "north",
        &[6, 7],
        (20.1, 10.4),
    ),
    (
        "Antananarivo",
        (-18.9, 47.5),
        1280.0,
        (3.0, 0.0),
        "north",
        &[6, 7],
        (21.0, 15.0),
    ),
    (
        "Addis Ababa",
        (9.0, 38.75),
        2360.0,
        (3.0, 0.0),
        "south",
        &[7, 8],
        (16.5, 15.8),
    ),
    (
        "Dakar",
        (14.7, -17.45),
        20.0,
        (0.0, 0.0),
        "south",
        &[12, 1],
        (21.0, 27.5),
    ),
    (
        "Tehran",
        (35.7, 51.4),
        1200.0,
        (3.5, 0.0),
        "south",
        &[12, 1],
        (5.0, 31.0),
    ),
    (
        "Delhi, India",
        (28.65, 77.2),
        220.0,
        (5.5, 0.0),
        "south",
        &[12, 1],
        (14.2, 31.2),
    ),
    (
        "Kathmandu",
        (27.7, 85.3),
        1310.0,
        (5.75, 0.0),
        "south",
        &[12, 1, 7, 8],
        (10.8, 24.3),
    ),
    (
        "Lhasa",
        (29.65, 91.1),
        3650.0,
        (8.0, 0.0),
        "south",
        &[12, 1],
        (-1.0, 16.5),
    ),
    (
        "Urumqi",
        (43.8, 87.6),
        850.0,
        (6.0, 0.0),
        "south",
        &[12, 1],
        (-12.5, 24.0),
    ),
    (
        "Ulan Bator",
        (47.9, 106.9),
        1310.0,
        (8.0, 0.0),
        "south",
        &[12],
        (-21.6, 18.2),
    ),
    (
        "Yakutsk",
        (62.05, 129.7),
        100.0,
        (9.0, 0.0),
        "south",
        &[12],
        (-38.6, 19.5),
    ),
    (
        "Tokyo",
        (35.7, 139.7),
        40.0,
        (9.0, 0.0),
        "south",
        &[12, 1],
        (5.4, 25.7),
    ),
    (
        "Singapore",
        (1.3, 103.85),
        20.0,
        (8.0, 0.0),
        "south",
        &[11, 12, 1],
        (26.8, 28.0),
    ),
    (
        "Manila",
        (14.6, 121.0),
        10.0,
        (8.0, 0.0),
        "south",
        &[12, 1, 7, 8],
        (26.0, 28.5),
    ),
    (
        "Darwin",
        (-12.45, 130.85),
        30.0,
        (9.5, 0.0),
        "north",
        &[1, 2, 6],
        (28.3, 24.9),
    ),
    (
        "Alice Springs",
        (-23.7, 133.9),
        580.0,
        (9.5, 0.0),
        "north",
        &[6],
        (28.8, 11.8),
    ),
    (
        "Hobart, Australia",
        (-42.9, 147.3),
        50.0,
        (10.0, 1.0),
        "north",
        &[6],
        (17.0, 8.3),
    ),
    (
        "Auckland",
        (-36.85, 174.75),
        30.0,
        (12.0, 1.0),
        "north",
        &[6],
        (19.1, 10.9),
    ),
    (
        "Suva",
        (-18.15, 178.45),
        10.0,
        (12.0, 0.0),
        "north",
        &[6, 7],
        (27.0, 23.6),
    ),
    (
        "Apia",
        (-13.85, -171.75),
        10.0,
        (13.0, 0.0),
        "north",
        &[1, 6, 7],
        (27.0, 26.3),
    ),
    (
        "Honolulu",
        (21.3, -157.85),
        20.0,
        (-10.0, 0.0),
        "south",
        &[12, 1],
        (23.0, 27.3),
    ),
    (
        "Anchorage",
        (61.2, -149.9),
        30.0,
        (-9.0, 1.0),
        "south",
        &[12],
        (-8.3, 15.0),
    ),
    (
        "Vancouver, Canada",
        (49.25, -123.1),
        30.0,
        (-8.0, 1.0),
        "south",
        &[12],
        (4.1, 18.0),
    ),
    (
        "Albuquerque",
        (35.1, -106.65),
        1510.0,
        (-7.0, 1.0),
        "south",
        &[12, 1],
        (2.3, 26.0),
    ),
    (
        "Chicago",
        (41.85, -87.65),
        180.0,
        (-6.0, 1.0),
        "south",
        &[12],
        (-3.7, 24.0),
    ),
    (
        "Quito",
        (-0.2, -78.5),
        2850.0,
        (-5.0, 0.0),
        "north",
        &[1, 2, 3, 4, 5, 6, 11, 12],
        (14.8, 14.9),
    ),
    (
        "La Paz, Bolivia",
        (-16.5, -68.15),
        3780.0,
        (-4.0, 0.0),
        "north",
        &[1, 2, 6, 7],
        (9.0, 6.5),
    ),
    (
        "Ushuaia",
        (-54.8, -68.3),
        60.0,
        (-3.0, 0.0),
        "north",
        &[6],
        (9.6, 2.0),
    ),
    (
        "Sao Paulo, Brazil",
        (-23.55, -46.65),
        760.0,
        (-3.0, 0.0),
        "north",
        &[6, 7],
        (22.3, 16.5),
    ),
    (
        "Anadyr",
        (64.75, 177.5),
        30.0,
        (12.0, 0.0),
        "south",
        &[12],
        (-22.0, 11.5),
    ),
    // Positions, without a town: the clock is the longitude's.
    (
        "77°51' S 166°40' E",
        (-77.85, 166.667),
        10.0,
        (11.0, 0.0),
        "north",
        &[5, 6, 7],
        (-3.0, -26.0),
    ),
    (
        "51,7 S 57,85 W",
        (-51.7, -57.85),
        50.0,
        (-4.0, 0.0),
        "north",
        &[6],
        (10.5, 2.2),
    ),
];

#[test]
fn places_of_the_world_have_their_position_clock_facing_hardest_month_and_air() {
    let towns = Towns::read(include_str!("../../public/towns.txt")).unwrap();
    let mut wrong = Vec::new();
    let (mut squares, mut all, mut worst) = (0.0, Vec::new(), ("", 0.0_f64));
    for (typed, (lat, lon), height_m, (standard_h, forward_h), facing, hardest, air_c) in PLACES {
        let (at, clock) = match towns.named(typed, (48.1, -1.7)) {
            Some(town) => {
                if (town.elevation_m - height_m).abs() > 110.0 {
                    wrong.push(format!("{typed}: {} m high", town.elevation_m));
                }
                ((town.lat, town.lon), town.clock)
            }
            None => match read_position(typed) {
                Ok(at) => (at, Clock::of_longitude(at.1)),
                Err(says) => {
                    wrong.push(says);
                    continue;
                }
            },
        };
        if (at.0 - lat).abs() > 0.11 || (at.1 - lon).abs() > 0.11 {
            wrong.push(format!("{typed}: lies at {at:?}"));
        }
        if (clock.standard_h, clock.forward_h) != (standard_h, forward_h) {
            wrong.push(format!("{typed}: {clock:?}"));
        }
        if larder::words::compass(equatorward_deg(at.0)) != facing {
            wrong.push(format!("{typed}: faces the wrong way"));
        }
        let (month, sun) = hardest_month(at, height_m);
        let site = Site {
            lat_deg: at.0,
            lon_deg: at.1,
        };
        // Near the equator months are alike: one within the table's own error of the hardest is as good.
        let error = larder::solar::clearness_error(site).map_or(0.0, |error| error.rmse_kwh_m2_day);
        let least = hardest
            .iter()
            .map(|month| sun[usize::from(*month) - 1])
            .fold(f64::INFINITY, f64::min);
        if !hardest.contains(&month) && least > sun[usize::from(month) - 1] + error {
            wrong.push(format!("{typed}: hardest is {month}"));
        }
        let means = Air::of(site).means_c(Some(height_m));
        let misses = [means[0] - air_c.0, means[6] - air_c.1];
        println!(
            "{typed:20} hardest {month:2}, January {:+.1}, July {:+.1}",
            misses[0], misses[1]
        );
        for miss in misses {
            squares += miss * miss;
            all.push(miss);
            if miss.abs() > worst.1.abs() {
                worst = (typed, miss);
            }
        }
    }
    let count = all.len() as f64;
    let rmse = (squares / count).sqrt();
    let bias = all.iter().sum::<f64>() / count;
    println!(
        "air of {} places, January and July: bias {bias:+.2} K, RMSE {rmse:.2} K, worst {} {:+.1} K",
        PLACES.len(),
        worst.0,
        worst.1
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(rmse <= AIR_RMSE_MOST_K && worst.1.abs() <= AIR_WORST_K);
}

/// The hardest month of a level panel and an even use at a place, and the peak sun hours of each.
fn hardest_month((lat, lon): (f64, f64), height_m: f64) -> (u8, Vec<f64>) {
    let mut plan = plan("orchard-van");
    plan.living.month = 0;
    (plan.living.lat, plan.living.lon) = (lat, lon);
    plan.living.elevation_m = Some(height_m);
    plan.living.outdoors_c = [None; 12];
    plan.alternator.fitted = false;
    plan.shore.fitted = false;
    plan.loads.clear();
    plan.meter.used = true;
    plan.meter.amount = 40.0;
    let report = larder::assess(&plan).unwrap();
    let sun = report.months.iter().map(|month| month.peak_sun_hours);
    (report.month, sun.collect())
}
