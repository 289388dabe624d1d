//! What goes wrong is said where it belongs, and nothing typed or stored is lost.

use crate::visit::{Screen, Visit};
use serde_json::json;

async fn started() -> Visit {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    visit
}

/// Removes the first row of a section's list.
async fn remove_first(visit: &Visit, section: &str) {
    let rows = format!("document.querySelectorAll('{section} > .rows > .row-item')");
    let before = visit.run(&format!("return {rows}.length")).await;
    visit.run(&format!("const b = {rows}[0].querySelector('.more'); if (b.ariaExpanded !== 'true') b.click(); return true")).await;
    let remove = format!(
        "const b = [...{rows}[0].querySelectorAll('.tools button')].find(b => b.innerText === 'Remove'); b?.click(); return !!b"
    );
    visit.until("there is a way to remove it", &remove).await;
    visit
        .until("it is gone", &format!("return {rows}.length < {before}"))
        .await;
}

#[tokio::test]
async fn numbers_are_read_as_people_write_them() {
    let visit = started().await;
    for (typed, echo) in [("1,5", "1 h 30"), ("1/4", "15 min")] {
        visit.write("loads/2/hours", typed).await;
        visit.says("#loads .echo", echo).await;
    }
    visit
        .run("document.querySelector('#f-locker-measured').click(); return true")
        .await;
    visit.write("locker/inside_mm/3", "3 3/8\"").await;
    visit.says("#locker .echo", "85.7").await;
    visit.done().await;
}

#[tokio::test]
async fn each_bad_value_has_its_sentence_and_the_last_answer_stays() {
    let visit = started().await;
    let good = visit.text(".answer-line").await;
    for (path, typed, says) in [
        ("loads/1/draw", "lots", "isn't a number"),
        ("loads/1/draw", "-5", "can't be"),
        ("loads/1/draw", "1e308", "as large as that"),
        ("loads/2/hours", "25", "can't be"),
        ("loads/2/hours", "", "Write"),
        (
            "candidates/11/battery_v",
            "9",
            "in series make 9 V, but the rig has 12 V",
        ),
    ] {
        let was = visit.value(path).await;
        if typed.is_empty() {
            visit.field(path).await.click().await.unwrap();
            visit
                .field(path)
                .await
                .send_keys(thirtyfour::Key::Control + "a")
                .await
                .unwrap();
            visit
                .field(path)
                .await
                .send_keys(thirtyfour::Key::Delete + "")
                .await
                .unwrap();
        } else {
            visit.write(path, typed).await;
        }
        visit.says(".fault-says", says).await;
        visit.says(".out-of-date", "Out of date").await;
        let is_said_once = "const ids = [...document.querySelectorAll('[id]')].map(e => e.id); return new Set(ids).size === ids.length";
        assert_eq!(
            visit.run(is_said_once).await,
            json!(true),
            "{path}: no id stands twice"
        );
        // On the way to 1e308 stands 1e3, which is read; else the last answer is the first.
        if typed != "1e308" && typed != "25" {
            visit
                .until(
                    "the last answer stays",
                    &format!(
                        "return document.querySelector('.answer-line').innerText === {}",
                        json!(good)
                    ),
                )
                .await;
        }
        // Left and come back to, it still stands as it was typed.
        visit.field("plan/wanted_days").await.click().await.unwrap();
        if typed == "lots" {
            assert_eq!(visit.value(path).await, typed);
            visit.kept().await;
            visit.reload().await;
            assert_eq!(visit.value(path).await, typed, "through a reload too");
            visit.says(".out-of-date", "Out of date").await;
        }
        visit.write(path, &was).await;
        visit.until("it is mended", "return !document.querySelector('.out-of-date') && !document.querySelector('.fault-says')").await;
    }
    visit.done().await;
}

#[tokio::test]
async fn a_window_too_short_no_loads_no_battery_and_a_thing_outside() {
    let visit = started().await;
    visit.run("const s = document.querySelector('#f-loads-2-when'); s.value = '1'; s.dispatchEvent(new Event('change', { bubbles: true })); return true").await;
    visit.write("loads/2/from", "22:00").await;
    visit.write("loads/2/to", "23:00").await;
    visit.write("loads/2/hours", "5").await;
    // The window widens, nothing is refused, and what was typed stays.
    visit
        .says("#loads .finding", "longer than from 22:00 to 23:00")
        .await;
    visit.says("#loads .finding", "planned until 03:00").await;
    assert_eq!(visit.value("loads/2/to").await, "23:00");
    visit.write("loads/2/hours", "1").await;
    visit
        .until(
            "the note is gone",
            "return !document.querySelector('#loads .finding') && !document.querySelector('.fault-says')",
        )
        .await;

    visit
        .run("document.querySelector('#f-locker-measured').click(); return true")
        .await;
    visit.press("Something is in the way").await;
    let id = visit
        .run("return document.querySelector('#locker .row-item input').id")
        .await;
    let id = id
        .as_str()
        .unwrap()
        .trim_start_matches("f-")
        .replace("-name", "")
        .replace("locker-obstacles-", "locker/obstacles/");
    visit.write(&format!("{id}/at_mm/1"), "5000").await;
    visit.says("#locker .fault-says", "outside").await;
    visit.write(&format!("{id}/at_mm/1"), "0").await;
    visit
        .until("mended", "return !document.querySelector('.fault-says')")
        .await;

    for _ in 0..2 {
        remove_first(&visit, "#stores").await;
    }
    visit.says("#stores .fault-says", "no battery").await;
    visit.press("Undo").await;
    for _ in 0..4 {
        remove_first(&visit, "#loads").await;
    }
    visit.says("#loads .fault-says", "Nothing runs yet").await;
    visit.done().await;
}

#[tokio::test]
async fn bad_links_leave_the_plan_as_it_is() {
    let visit = started().await;
    visit.kept().await;
    for (fragment, says) in [
        ("#plan=1.AAAA", "cut short or damaged"),
        ("#plan=999.AAAA", "newer version (999)"),
        ("#plan=", "cut short or damaged"),
    ] {
        visit
            .run(&format!("location.hash = {}; return true", json!(fragment)))
            .await;
        visit.says(".notice", says).await;
        visit.says(".plan-name", "My plan").await;
        visit.press("Close").await;
    }
    visit.done().await;
}

#[tokio::test]
async fn bad_files_each_have_their_sentence() {
    let visit = started().await;
    let folder = std::env::temp_dir().join(format!("larder-files-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    for (name, text, says) in [
        (
            "cut.json",
            "{\"version\": 1, \"loads\": [".to_owned(),
            "breaks off or goes wrong",
        ),
        (
            "other.json",
            "{\"colour\": \"blue\"}".to_owned(),
            "not a plan",
        ),
        (
            "wrong.json",
            "{\"version\": 1, \"loads\": 7}".to_owned(),
            "“7” stands at loads, where a list would do",
        ),
        (
            "large.json",
            format!(
                "{{\"version\": 1, \"name\": \"{}\"}}",
                "x".repeat(5_000_000)
            ),
            "larger than any plan",
        ),
    ] {
        let file = folder.join(name);
        std::fs::write(&file, text).unwrap();
        visit.open_plans().await;
        visit.choose_file(&file).await;
        visit.says(".notice", says).await;
        visit.says(".plan-name", "My plan").await;
        visit
            .run("document.querySelector('.notice button:last-child').click(); return true")
            .await;
    }
    let file = folder.join("good.json");
    let mut plan =
        larder::link::from_text(include_str!("../../demo-data/hill-hut.larder.json")).unwrap();
    plan.name = "From a file".into();
    std::fs::write(&file, larder::link::to_text(&plan)).unwrap();
    visit.open_plans().await;
    visit.choose_file(&file).await;
    visit.says(".plan-name", "From a file").await;
    std::fs::remove_dir_all(&folder).unwrap();
    visit.done().await;
}

#[tokio::test]
async fn a_store_that_is_full_or_damaged_loses_nothing() {
    let visit = started().await;
    visit.kept().await;
    // Damaged text is set aside, never overwritten.
    visit.run("const k = Object.keys(localStorage).find(k => k.startsWith('amp-larder/plan/')); localStorage.setItem(k, '{\"broken'); return true").await;
    visit.reload().await;
    visit.says(".notice", "set aside, untouched").await;
    let aside = visit.run("return Object.entries(localStorage).filter(([k]) => k.startsWith('amp-larder/aside/')).map(([, v]) => v).join()").await;
    assert_eq!(aside, "{\"broken");
    // A full store says so, and the plan stays on the page.
    visit.press("From nothing: five answers").await;
    visit.kept().await;
    visit.run("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }; return true").await;
    visit.write("candidates/11/capacity_ah", "199").await;
    visit.says(".bad-notice", "store is full").await;
    visit.says(".keeping", "not saved").await;
    assert!(
        visit
            .value("candidates/11/capacity_ah")
            .await
            .starts_with("199")
    );
    visit.done().await;
}

#[tokio::test]
async fn a_forbidden_store_is_said_and_the_page_works() {
    let visit = Visit::fresh(Screen::Desk(1280)).await;
    let forbid = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError') } })";
    visit.before_all(forbid).await;
    visit.go("").await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    visit.says(".bad-notice", "won't save").await;
    visit.done().await;
}
