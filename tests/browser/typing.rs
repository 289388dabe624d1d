//! Numbers and lists as people type and paste them, in browsers of several languages.

use crate::visit::{Screen, Visit, address};
use serde_json::json;
use thirtyfour::Key;

/// The plan from nothing, in a browser of such a language.
async fn in_language(screen: Screen, language: &str) -> Visit {
    let visit = Visit::fresh(screen).await;
    let script = format!(
        "Object.defineProperty(Navigator.prototype, 'language', {{ get: () => {} }});",
        json!(language)
    );
    visit.before_all(&script).await;
    visit.go("").await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    visit
}

/// The number that the stored plan holds in a field of a load, counted from 0.
async fn stored_load(visit: &Visit, nth: usize, name: &str) -> f64 {
    visit.kept().await;
    let script = format!(
        "const id = JSON.parse(localStorage.getItem('amp-larder/open')); \
         return JSON.parse(localStorage.getItem('amp-larder/plan/' + id)).plan.loads[{nth}][{}]",
        json!(name)
    );
    visit.run(&script).await.as_f64().expect("a number")
}

async fn paste(visit: &Visit, text: &str) {
    let script = format!(
        "const data = new DataTransfer(); data.setData('text/plain', {}); \
         document.getElementById('f-loads-add').dispatchEvent(new ClipboardEvent('paste', {{ clipboardData: data, bubbles: true, cancelable: true }})); return true",
        json!(text)
    );
    visit.run(&script).await;
}

async fn rows_are(visit: &Visit, count: usize) {
    let script = format!(
        "return document.querySelectorAll('#loads > .rows > .row-item').length === {count}"
    );
    visit
        .until(&format!("there are {count} loads"), &script)
        .await;
}

#[tokio::test]
async fn a_german_browser_reads_and_shows_decimal_commas() {
    let visit = in_language(Screen::Desk(1280), "de-DE").await;
    for (typed, watts) in [
        ("1.000,5", 1000.5),
        ("1,000.5", 1000.5),
        ("1.000", 1000.0),
        ("1,125", 1.125),
        ("1 000", 1000.0),
        ("1'000", 1000.0),
        ("0,125", 0.125),
        (",125", 0.125),
        ("1234,567", 1234.567),
        ("12,5", 12.5),
        ("12.5", 12.5),
    ] {
        visit.write("loads/1/draw", typed).await;
        assert_eq!(stored_load(&visit, 0, "draw").await, watts, "{typed}");
    }
    // What shows after leaving the field is read as the same number when one digit of it changes.
    visit.write("loads/1/draw", "12,125").await;
    visit.says("#loads .echo", "read as 12,125 W").await;
    visit.field("plan/wanted_days").await.click().await.unwrap();
    assert_eq!(visit.value("loads/1/draw").await, "12,125 W");
    visit.write("loads/1/draw", "12,126 W").await;
    assert_eq!(stored_load(&visit, 0, "draw").await, 12.126);
    visit.done().await;
}

#[tokio::test]
async fn one_separator_before_three_digits_is_read_by_the_browser_s_format_until_one_is_chosen() {
    for (language, typed, echo, watts) in [
        ("en-GB", "1,000", "1000 W", 1000.0),
        ("en-GB", "1.000", "1 W", 1.0),
        ("de-DE", "1.000", "1000 W", 1000.0),
        ("fr-FR", "1.000", "1 W", 1.0),
    ] {
        let visit = in_language(Screen::Desk(1280), language).await;
        visit.write("loads/1/draw", typed).await;
        visit.says("#loads .echo", &format!("read as {echo}")).await;
        assert_eq!(
            stored_load(&visit, 0, "draw").await,
            watts,
            "{language} {typed}"
        );
        visit.done().await;
    }
    let visit = in_language(Screen::Desk(1280), "en-GB").await;
    visit.run("const s = document.getElementById('number-format'); s.value = '1.000,5'; s.dispatchEvent(new Event('change', { bubbles: true })); return true").await;
    visit.write("loads/1/draw", "1.000").await;
    assert_eq!(stored_load(&visit, 0, "draw").await, 1000.0);
    // The choice stays on the device.
    visit.reload().await;
    visit.write("loads/1/draw", "2.000").await;
    assert_eq!(stored_load(&visit, 0, "draw").await, 2000.0);
    visit.done().await;
}

#[tokio::test]
async fn wrong_groups_of_digits_are_refused_and_stay_as_typed() {
    let visit = in_language(Screen::Desk(1280), "de-DE").await;
    for typed in ["1,00,000", "12 34", "1.000.5", "1 000.000,5"] {
        visit.write("loads/1/draw", typed).await;
        visit
            .says("#loads .fault-says", "isn't grouped in threes")
            .await;
        assert_eq!(visit.value("loads/1/draw").await, typed);
        visit.write("loads/1/draw", "5").await;
        visit
            .until(
                "it is mended",
                "return !document.querySelector('.fault-says')",
            )
            .await;
    }
    // A space before a fraction or a unit is no separator.
    visit
        .run("document.querySelector('#f-locker-measured').click(); return true")
        .await;
    visit.write("locker/inside_mm/3", "13 3/8 in").await;
    visit.says("#locker .echo", "339,725 mm").await;
    visit.done().await;
}

#[tokio::test]
async fn an_unusual_reading_changes_nothing_and_asks_which_was_meant() {
    for width in [320, 390, 1280] {
        let visit = in_language(Screen::of_width(width), "de-DE").await;
        let path = "loads/2/hours";
        let was = visit.value(path).await;
        let before = stored_load(&visit, 1, "hours").await;
        visit.write(path, "2.250").await;
        visit
            .says("#loads .fault-says", "“2.250” can mean 2250 h or 2 h 15.")
            .await;
        picture(&visit, &format!("asks-{width}")).await;
        assert_eq!(
            visit.value(path).await,
            "2.250",
            "the text stays, not {was}"
        );
        visit.says(".out-of-date", "Out of date").await;
        assert_eq!(stored_load(&visit, 1, "hours").await, before);
        // It is kept as a draft, and asked again after a reload.
        visit.kept().await;
        visit.reload().await;
        visit.press("2 h 15").await;
        visit
            .until(
                "nothing is asked",
                "return !document.querySelector('.fault-says')",
            )
            .await;
        assert_eq!(visit.value(path).await, "2 h 15");
        visit.done().await;
    }
}

#[tokio::test]
async fn pasted_lists_of_every_kind_are_read_and_mended_in_place() {
    for width in [320, 390, 1280] {
        let visit = in_language(Screen::of_width(width), "de-DE").await;
        paste(
            &visit,
            "name;watts;hours\nfan 18 W 9 h\n2 x 4W lamp\nradio 20W\n3× reading lamp 4 W 3 h 30\npump\t4 A\t10 min\n\
             lamp, 4,5 W, 3 h\nheater; 1.000,5; 2\nold fridge 45 Wh",
        )
        .await;
        for says in [
            "7 loads read:",
            "fan, 18 W, 9 h",
            "2 × lamp, 4 W, 2 h (guess)",
            "radio, 20 W, 2 h (guess)",
            "3 × reading lamp, 4 W, 3 h 30",
            "pump, 4 A, 10 min",
            "lamp, 4,5 W, 3 h",
            "heater, 1000,5 W, 2 h",
            "Heading left out: “name;watts;hours”.",
            "1 line not understood.",
            "It has no power in W or A.",
        ] {
            visit.says(".preview", says).await;
        }
        picture(&visit, &format!("preview-{width}")).await;
        let lines = visit
            .driver
            .find(thirtyfour::By::Css(".mend-lines"))
            .await
            .expect("lines to mend");
        lines
            .send_keys(Key::Control + "a")
            .await
            .expect("all is chosen");
        lines.send_keys("old fridge 45 W 8 h").await.expect("keys");
        visit.says(".preview", "old fridge, 45 W, 8 h").await;
        visit.says(".preview", "All lines understood.").await;
        visit.press("Add 8 loads").await;
        rows_are(&visit, 12).await;
        visit
            .until(
                "the preview is gone",
                "return !document.querySelector('.preview')",
            )
            .await;
        visit.done().await;
    }
}

#[tokio::test]
async fn a_long_list_is_kept_whole_beyond_what_a_plan_holds() {
    let visit = in_language(Screen::Desk(1280), "en-GB").await;
    let mut text = String::new();
    for at in 1..=1000 {
        text.push_str(&format!("lamp no{at}; 1 W; 1 h\n"));
    }
    text.push_str("rubbish");
    paste(&visit, &text).await;
    visit.says(".preview", "1000 loads read:").await;
    visit.says(".preview", "and 960 more").await;
    visit
        .says(".preview", "A plan holds 400 loads. The rest stays here.")
        .await;
    assert_eq!(
        visit
            .run("return document.querySelector('.mend-lines').value")
            .await,
        "rubbish"
    );
    visit.done().await;
}

#[tokio::test]
async fn the_field_that_adds_a_load_reads_a_line() {
    let visit = in_language(Screen::Desk(1280), "en-GB").await;
    for (line, says) in [
        ("2 x 4W deck lamp", "add 2 × deck lamp, 4 W, 2 h (guess)"),
        ("fan 18 W 9 h", "add fan, 18 W, 9 h"),
    ] {
        visit.write("loads/add", line).await;
        visit.says("#loads .matches", says).await;
        visit
            .field("loads/add")
            .await
            .send_keys(Key::Enter + "")
            .await
            .expect("a key");
    }
    rows_are(&visit, 6).await;
    let last = "return [...document.querySelectorAll('#loads > .rows > .row-item')].at(-1).querySelector('[id$=-draw]').value";
    visit
        .until("the last load has its power", &format!("{last} === '18 W'"))
        .await;
    assert!(
        visit
            .requests()
            .await
            .iter()
            .all(|request| !request.starts_with("http") || request.starts_with(address()))
    );
    visit.done().await;
}

/// Saves a picture of the page where `PICTURES` names a folder.
async fn picture(visit: &Visit, name: &str) {
    if let Some(folder) = std::env::var_os("PICTURES") {
        let path = std::path::Path::new(&folder).join(format!("{name}.png"));
        visit.run("document.querySelector('.preview, .fault-says').scrollIntoView({ block: 'center' }); return true").await;
        visit.driver.screenshot(&path).await.expect("a picture");
    }
}
