//! Anyone can use it: by keyboard, by finger, on a narrow screen, with a reader; light and dark.

use crate::visit::{Screen, Visit};
use serde_json::json;
use thirtyfour::Key;

fn demo(name: &str) -> larder::plan::Plan {
    let path = format!(
        "{}/../demo-data/{name}.larder.json",
        env!("CARGO_MANIFEST_DIR")
    );
    larder::link::from_text(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[tokio::test]
async fn the_keyboard_alone_will_do() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    let active = "return document.activeElement.id || document.activeElement.innerText";
    let keys = async |keys: &str| visit.driver.action_chain().send_keys(keys).perform().await;
    let tab = "\u{e004}";
    for _ in 0..8 {
        keys(tab).await.unwrap();
        if visit
            .run(active)
            .await
            .as_str()
            .unwrap_or_default()
            .contains("From nothing")
        {
            break;
        }
    }
    keys("\u{e007}").await.unwrap();
    visit.says(".answer-card", "days").await;
    let mut reached = false;
    for _ in 0..60 {
        keys(tab).await.unwrap();
        reached = visit.run(active).await == "f-loads-1-draw";
        if reached {
            break;
        }
    }
    assert!(reached, "the first load's draw can be reached by Tab");
    let before = visit.value("loads/1/draw").await;
    keys("\u{e013}").await.unwrap(); // arrow up
    visit
        .until(
            "an arrow steps the number",
            &format!("return document.activeElement.value !== {}", json!(before)),
        )
        .await;
    keys("\u{e00c}").await.unwrap(); // escape
    visit
        .until(
            "Escape gives the old value back",
            &format!("return document.activeElement.value === {}", json!(before)),
        )
        .await;
    keys("99").await.unwrap();
    visit.says("#loads", "99").await;
    visit
        .driver
        .action_chain()
        .key_down(Key::Control)
        .send_keys("z")
        .key_up(Key::Control)
        .perform()
        .await
        .unwrap();
    visit
        .until(
            "Ctrl and Z undo it",
            &format!(
                "return document.getElementById('f-loads-1-draw').value === {}",
                json!(before)
            ),
        )
        .await;
    visit
        .driver
        .action_chain()
        .key_down(Key::Alt)
        .send_keys("\u{e015}")
        .key_up(Key::Alt)
        .perform()
        .await
        .unwrap();
    visit.until("Alt and an arrow move the row", "return document.querySelector('#loads .row-item:nth-child(2) [id=f-loads-1-draw]') !== null").await;
    visit.done().await;
}

#[tokio::test]
async fn a_finger_has_a_strip_of_keys() {
    let visit = Visit::with_plan(Screen::Phone(390), &demo("orchard-van")).await;
    assert_eq!(
        visit
            .run("return document.querySelector('.strip') === null")
            .await,
        true
    );
    visit
        .field("locker/inside_mm/1")
        .await
        .click()
        .await
        .unwrap();
    visit.says(".strip", "Next").await;
    let before = visit.value("locker/inside_mm/1").await;
    let strip = |word: &str| {
        format!(
            "[...document.querySelectorAll('.strip button')].find(b => b.innerText === '{word}').click(); return true"
        )
    };
    visit.run(&strip("+")).await;
    visit
        .until(
            "+ steps the number",
            &format!(
                "return document.getElementById('f-locker-inside_mm-1').value !== {}",
                json!(before)
            ),
        )
        .await;
    visit.write("locker/inside_mm/1", "24").await;
    visit.run(&strip("in")).await;
    visit.says("#locker .echo", "609.6").await;
    visit.run(&strip("Next")).await;
    visit
        .until(
            "the next field has the focus",
            "return document.activeElement.id === 'f-locker-inside_mm-2'",
        )
        .await;
    visit
        .until(
            "the bar makes room",
            "return document.querySelector('.answer-bar').classList.contains('away')",
        )
        .await;
    visit.done().await;
}

#[tokio::test]
async fn nothing_scrolls_sideways_and_targets_are_large_enough() {
    for width in [320, 390] {
        for name in ["orchard-van", "estuary-cutter", "hill-hut"] {
            let visit = Visit::with_plan(Screen::Phone(width), &demo(name)).await;
            visit.run("document.querySelectorAll('.more').forEach(b => b.click()); document.querySelectorAll('details').forEach(d => d.open = true); return true").await;
            let over = visit.run("return [document.documentElement.scrollWidth, innerWidth, [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('.table-holder, .drawing, dialog, .hidden')).map(e => e.outerHTML.slice(0, 120)).slice(0, 3)]").await;
            assert!(
                over[0].as_f64() <= over[1].as_f64(),
                "{name} at {width}: {over}"
            );
            visit.done().await;
        }
    }
}

/// Where tests/run puts the rules of axe-core; without them nothing is proved, so nothing passes.
fn axe() -> String {
    let path = std::env::var("AXE").expect("tests/run names the file of axe-core in AXE");
    std::fs::read_to_string(path).expect("axe-core")
}

#[tokio::test]
async fn axe_finds_nothing_on_the_whole_page() {
    let axe = axe();
    for scheme in ["light", "dark"] {
        for (screen, name) in [
            (Screen::Desk(1280), "orchard-van"),
            (Screen::Phone(390), "hill-hut"),
        ] {
            let visit = Visit::with_plan(screen, &demo(name)).await;
            visit
                .devtools(
                    "Emulation.setEmulatedMedia",
                    json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
                )
                .await;
            visit.run("document.querySelectorAll('.more').forEach(b => b.click()); document.querySelectorAll('details').forEach(d => d.open = true); return true").await;
            visit.write("loads/1/draw", "lots").await;
            visit.says(".fault-says", "isn't a number").await;
            violations(&visit, &axe, &format!("{name}, {scheme}")).await;
        }
        let visit = Visit::open(Screen::Phone(390)).await;
        visit
            .devtools(
                "Emulation.setEmulatedMedia",
                json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
            )
            .await;
        violations(&visit, &axe, &format!("the starting points, {scheme}")).await;
        visit.press("From nothing: five answers").await;
        visit.press("Share").await;
        violations(&visit, &axe, &format!("five answers and sharing, {scheme}")).await;
    }
}

async fn violations(visit: &Visit, axe: &str, what: &str) {
    visit
        .driver
        .execute(axe, vec![])
        .await
        .expect("axe-core loads");
    let found = visit.run("return axe.run().then(r => r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.html.slice(0, 140) + ' ' + n.failureSummary.slice(0, 220)).slice(0, 3).join(' | ')))").await;
    assert_eq!(found.as_array().map(Vec::len), Some(0), "{what}: {found:#}");
}
