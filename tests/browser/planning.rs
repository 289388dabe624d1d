//! A newcomer plans: from nothing to an answer, and on.

use crate::visit::{Screen, Visit, address};
use serde_json::Value;

#[tokio::test]
async fn from_nothing_to_a_first_answer() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    visit.says(".answer-card", "This answer rests on").await;
    visit.write("candidates/11/capacity_ah", "200").await;
    visit.says(".answer-card", "200 Ah AGM").await;
    visit.write("loads/1/count", "3").await;
    let one = visit.text(".answer-line").await;
    visit.write("loads/1/count", "1").await;
    visit
        .until(
            "the sentence changes as one types",
            &format!(
                "return document.querySelector('.answer-line').innerText !== {}",
                Value::from(one)
            ),
        )
        .await;
    visit.done().await;
}

#[tokio::test]
async fn each_starting_point_answers_and_nothing_leaves_the_origin() {
    for name in ["Orchard van", "Estuary cutter", "Hill hut"] {
        let visit = Visit::open(Screen::Desk(1280)).await;
        let script = format!(
            "[...document.querySelectorAll('.start')].find(b => b.innerText.includes('{name}')).click(); return true"
        );
        visit.run(&script).await;
        visit.says(".answer-card", "parked").await;
        visit.says(".plan-name", name).await;
        visit.kept().await;
        let requests = visit.requests().await;
        assert!(requests.len() >= 4, "{requests:?}");
        for request in requests {
            assert!(
                request.starts_with(address())
                    || request.starts_with("data:")
                    || request.starts_with("blob:")
                    || request.starts_with("chrome"),
                "{request}"
            );
        }
        visit.done().await;
    }
}

#[tokio::test]
async fn rows_are_added_copied_moved_removed_and_come_back() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.write("loads/add", "fan").await;
    visit.says("#loads .matches", "add as my own").await;
    visit
        .field("loads/add")
        .await
        .send_keys(thirtyfour::Key::Enter + "")
        .await
        .unwrap();
    visit
        .until(
            "a row is added",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 5",
        )
        .await;
    visit
        .run("document.querySelector('#loads .row-item .more').click(); return true")
        .await;
    visit.press("Duplicate").await;
    visit
        .until(
            "a copy stands behind it",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 6",
        )
        .await;
    visit.press("Remove").await;
    visit
        .until(
            "the row is gone",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 5",
        )
        .await;
    visit.says(".gone", "Removed").await;
    visit
        .run("document.querySelector('.gone button').click(); return true")
        .await;
    visit
        .until(
            "the row is back",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 6",
        )
        .await;
    visit.press("Undo").await;
    visit
        .until(
            "undone",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 5",
        )
        .await;
    visit.press("Redo").await;
    visit
        .until(
            "done again",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 6",
        )
        .await;
    visit.done().await;
}

#[tokio::test]
async fn several_lines_are_pasted_as_loads() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    let paste = "const data = new DataTransfer(); data.setData('text/plain', 'reading lamp\\t8 W\\t3 h\\nbilge pump; 4 A; 0,5\\nrubbish'); \
        document.getElementById('f-loads-add').dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true })); return true";
    visit.run(paste).await;
    visit.says(".preview", "reading lamp, 8 W, 3 h").await;
    visit.says(".preview", "1 line not understood").await;
    visit.press("Add 2 loads").await;
    visit
        .until(
            "both are rows",
            "return document.querySelectorAll('#loads > .rows > .row-item').length === 6",
        )
        .await;
    visit.done().await;
}

#[tokio::test]
async fn one_run_lies_otherwise_and_its_bad_value_has_a_sentence() {
    let plan =
        larder::link::from_text(include_str!("../../demo-data/orchard-van.larder.json")).unwrap();
    let id = plan.fresh_id();
    let visit = Visit::with_plan(Screen::Phone(390), &plan).await;
    visit.press("Add a run that lies otherwise").await;
    // As it has lain until now, so that nothing changes; then the solar controller's run goes through heat.
    let at = |name: &str| format!("wiring/routes/{id}/{name}");
    visit
        .until(
            "the row is there",
            &format!("return !!document.querySelector('#f-wiring-routes-{id}-air_c')"),
        )
        .await;
    let choose = format!(
        "const s = document.querySelector('#f-wiring-routes-{id}-run'); s.value = '2'; s.dispatchEvent(new Event('change', {{ bubbles: true }})); return s.selectedOptions[0].innerText"
    );
    assert_eq!(
        visit.run(&choose).await.as_str(),
        Some("from the solar controller")
    );
    visit.write(&at("air_c"), "120").await;
    visit
        .says(
            "#carries .fault-says",
            "The air around the cables can't be 120",
        )
        .await;
    visit.write(&at("air_c"), "80").await;
    // 12 AWG carries 45 A; in air of 80 °C √(25/75) of that is left, 26 A, less than the fuse of 30 A.
    visit
        .until(
            "a thicker cable",
            "return [...document.querySelectorAll('#carries tr')].some(row => row.innerText.includes('solar controller') && row.innerText.includes('10\u{a0}AWG'))",
        )
        .await;
    visit.kept().await;
    visit.reload().await;
    assert!(visit.value(&at("air_c")).await.starts_with("80"));
    visit.done().await;
}
