//! Where: towns, positions, and names that nobody knows.

use crate::visit::{Screen, Visit};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};
use thirtyfour::prelude::Key;

const PLACE: &str = "living/place";

/// Writes into the place field of the plan and ends with a key.
async fn place(visit: &Visit, text: &str, end: Key) {
    place_at(visit, PLACE, text, end).await;
}

/// Writes into a place field and ends with a key.
async fn place_at(visit: &Visit, path: &str, text: &str, end: Key) {
    visit.write(path, text).await;
    visit.field(path).await.send_keys(end + "").await.unwrap();
}

/// Waits until the place field holds a text.
async fn holds(visit: &Visit, path: &str, text: &str) {
    let script = format!(
        "return document.getElementById('f-{}').value === {}",
        path.replace('/', "-"),
        Value::from(text)
    );
    visit
        .until(&format!("{path} holds “{text}”"), &script)
        .await;
}

/// Whether a field is shown as a guess.
async fn is_guess(visit: &Visit, path: &str) -> bool {
    let script = format!(
        "return document.getElementById('f-{}').classList.contains('guess')",
        path.replace('/', "-")
    );
    visit.run(&script).await == Value::Bool(true)
}

async fn from_nothing(screen: Screen) -> Visit {
    let visit = Visit::open(screen).await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    visit
}

#[tokio::test]
async fn every_form_of_position_is_taken_in_the_place_field() {
    let visit = from_nothing(Screen::Desk(1280)).await;
    assert!(is_guess(&visit, PLACE).await && is_guess(&visit, "living/lat").await);
    for (typed, shown, lat) in [
        ("48.1, -1.7", "48.1° N, 1.7° W", "48.1° N"),
        ("54.8 S 68.3 W", "54.8° S, 68.3° W", "54.8° S"),
        ("48,1 -1,7", "48.1° N, 1.7° W", "48.1° N"),
        ("54°48'S 68°18'W", "54.8° S, 68.3° W", "54.8° S"),
        ("N 52° 03.6' W 2° 43.2'", "52.06° N, 2.72° W", "52.06° N"),
    ] {
        place(&visit, typed, Key::Tab).await;
        holds(&visit, PLACE, shown).await;
        holds(&visit, "living/lat", lat).await;
    }
    assert!(!is_guess(&visit, PLACE).await && !is_guess(&visit, "living/lat").await);
    // Letters in the fields of the two figures.
    visit.write("living/lat", "36,85 S").await;
    visit
        .field("living/lat")
        .await
        .send_keys(Key::Tab + "")
        .await
        .unwrap();
    holds(&visit, "living/lat", "36.85° S").await;
    // Anything else is refused with an example, and stays.
    place(&visit, "95 N 200 E", Key::Enter).await;
    visit
        .says(
            "#living",
            "A latitude of 95° is beyond 90°. Write 48.1, -1.7",
        )
        .await;
    holds(&visit, PLACE, "95 N 200 E").await;
    visit.done().await;
}

#[tokio::test]
async fn an_unknown_town_keeps_its_name_and_asks_for_its_position() {
    for end in [Key::Tab, Key::Enter] {
        let visit = from_nothing(Screen::Desk(1280)).await;
        place(&visit, "Ghent", end).await;
        visit
            .says(
                "#living",
                "“Ghent” isn't in the list of towns. Give its position",
            )
            .await;
        holds(&visit, PLACE, "Ghent").await;
        assert!(is_guess(&visit, "living/lat").await && is_guess(&visit, "living/lon").await);
        visit.write("living/lat", "51.05").await;
        visit.write("living/lon", "3.7 E").await;
        visit
            .field("living/lon")
            .await
            .send_keys(Key::Tab + "")
            .await
            .unwrap();
        visit
            .until(
                "nothing is missing",
                "return !document.querySelector('#living').innerText.includes('Ghent” isn')",
            )
            .await;
        holds(&visit, PLACE, "Ghent").await;
        assert!(!is_guess(&visit, PLACE).await && !is_guess(&visit, "living/lat").await);
        visit.done().await;
    }
}

#[tokio::test]
async fn a_town_on_a_small_phone_shows_its_country_and_brings_its_clock() {
    let visit = from_nothing(Screen::Phone(320)).await;
    visit.write(PLACE, "auckl").await;
    visit.says("#living .matches", "New Zealand").await;
    let fits = "const about = document.querySelector('#living .matches .about').getBoundingClientRect(); \
                return about.left >= 0 && about.right <= 320 && about.width > 40 && document.documentElement.scrollWidth <= 320";
    visit.until("the country is within the screen", fits).await;
    visit
        .field(PLACE)
        .await
        .send_keys(Key::Enter + "")
        .await
        .unwrap();
    holds(&visit, PLACE, "Auckland").await;
    holds(&visit, "living/lat", "36.85° S").await;
    visit
        .says("#living", "GeoNames (geonames.org), CC BY 4.0")
        .await;
    visit.says("#living", "(June)").await;
    visit.done().await;
}

#[tokio::test]
async fn without_a_network_positions_work_and_a_name_says_why_it_can_not_be_looked_up() {
    let visit = from_nothing(Screen::Desk(1280)).await;
    visit
        .run("globalThis.fetch = () => Promise.reject(new TypeError('no network')); return true")
        .await;
    place(&visit, "Gent", Key::Tab).await;
    visit
        .says(
            "#living",
            "“Gent” can't be looked up: the list of towns isn't here.",
        )
        .await;
    place(&visit, "51.05, 3.7", Key::Tab).await;
    holds(&visit, PLACE, "51.05° N, 3.7° E").await;
    visit.says(".answer-card", "days").await;
    visit.done().await;
}

#[tokio::test]
async fn the_list_of_towns_is_fetched_when_first_used_and_kept() {
    let visit = from_nothing(Screen::Desk(1280)).await;
    visit.works_offline().await;
    let is_kept = "return (async () => { for (const name of await caches.keys()) \
                   for (const kept of await (await caches.open(name)).keys()) if (kept.url.includes('/towns-')) return true; return false })()";
    assert_eq!(visit.run(is_kept).await, Value::Bool(false));
    visit.write(PLACE, "gent").await;
    visit.says("#living .matches", "Belgium").await;
    visit.until("the list is kept", is_kept).await;
    visit.done().await;
}

/// The cells of a month in the months' table, 1 to 12, whose fold stands open.
fn month_row(month: u8) -> String {
    format!(
        "[...document.querySelectorAll('#refill figure.months tbody tr')].at({}).innerText.replaceAll('\\t', ' ')",
        month - 1
    )
}

/// Keeps what is on the screen, where a folder is named for it.
async fn keep_picture(visit: &Visit, name: &str) {
    let Some(folder) = std::env::var_os("STAY_PICTURES") else {
        return;
    };
    let shot = visit
        .devtools("Page.captureScreenshot", json!({ "format": "png" }))
        .await;
    let bytes = STANDARD.decode(shot["data"].as_str().unwrap()).unwrap();
    let file = std::path::Path::new(&folder).join(format!("{name}.png"));
    std::fs::write(file, bytes).unwrap();
}

#[tokio::test]
async fn a_stay_takes_a_place_of_its_own_and_months_and_year_follow() {
    const STAY: &str = "living/stays/900/place";
    let mut plan = crate::sure::hut();
    plan.living.month = 0;
    plan.living.stays = vec![larder::plan::Stay {
        id: 900,
        from: "2027-12-01".into(),
        to: "2027-12-31".into(),
        ..larder::plan::Stay::default()
    }];
    for (screen, wide) in [
        (Screen::Phone(320), 320),
        (Screen::Phone(390), 390),
        (Screen::Desk(1280), 1280),
    ] {
        let visit = Visit::with_plan(screen, &plan).await;
        visit
            .run("document.querySelector('#refill figure.months details').open = true; return true")
            .await;
        let is = |month: u8, text: &str| {
            format!(
                "return {}.includes({})",
                month_row(month),
                Value::from(text)
            )
        };
        let is_in_no_place = "return !document.querySelector('#refill figure.months thead').innerText.includes('place')";
        visit
            .until("the months have no places", is_in_no_place)
            .await;
        visit.write(STAY, "tromso").await;
        visit.says("#living .matches", "Norway").await;
        visit
            .field(STAY)
            .await
            .send_keys(Key::Enter + "")
            .await
            .unwrap();
        holds(&visit, STAY, "Tromsø").await;
        // The polar night: no sun, and the place stands in the month's row.
        visit
            .until("December is near Tromsø", &is(12, "Tromsø"))
            .await;
        visit
            .until("December has no sun", &is(12, "December, Tromsø 0 0 0"))
            .await;
        visit
            .until(
                "July is at home, which goes without saying",
                &format!("return /^July \\d/.test({})", month_row(7)),
            )
            .await;
        visit
            .says("#year", "Weakest: 1 December to 31 December near Tromsø")
            .await;
        visit.says("#living", "(December)").await;
        let fits = "return document.documentElement.scrollWidth <= innerWidth";
        visit.until("nothing is wider than the screen", fits).await;
        for theme in ["light", "dark"] {
            visit
                .run(&format!("document.documentElement.dataset.theme = '{theme}'; document.getElementById('f-living-stays-900-place').closest('.row').scrollIntoView({{ block: 'center' }}); return true"))
                .await;
            keep_picture(&visit, &format!("stay-{wide}-{theme}")).await;
            visit
                .run("document.querySelector('#refill figure.months table').scrollIntoView({ block: 'center' }); return true")
                .await;
            keep_picture(&visit, &format!("months-{wide}-{theme}")).await;
        }
        if wide == 1280 {
            // The clock that came with the town is a guess, and its link opens the drawer that it stands in.
            visit
                .run("document.querySelector('.guesses .quiet').click(); return true")
                .await;
            let link = "const keep = document.getElementById('keep-f-living-stays-900-utc_offset_h'); \
                        if (!keep) return false; \
                        keep.closest('li').querySelector('.guess-what button').click(); return true";
            visit
                .until("the clock is in the list of guesses", link)
                .await;
            let arrived = "return document.activeElement.id === 'f-living-stays-900-utc_offset_h'";
            visit.until("the clock has the focus", arrived).await;
            keep_picture(&visit, "drawer-1280").await;
        }
        // A name that nobody knows asks for its position; that of Granada brings its sun.
        place_at(&visit, STAY, "Old quay", Key::Tab).await;
        visit
            .says("#living", "“Old quay” isn't in the list of towns.")
            .await;
        visit.write("living/stays/900/lat", "37.2 N").await;
        visit.write("living/stays/900/lon", "3.6 W").await;
        visit
            .field("living/stays/900/lon")
            .await
            .send_keys(Key::Tab + "")
            .await
            .unwrap();
        visit
            .until("December is at the old quay", &is(12, "Old quay"))
            .await;
        holds(&visit, STAY, "Old quay").await;
        // Cleared with the Delete key, the stay is at the usual place.
        place_at(&visit, STAY, "\u{e017}", Key::Tab).await;
        visit
            .until("the months have no places", is_in_no_place)
            .await;
        visit.done().await;
    }
}
