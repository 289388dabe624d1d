//! What is typed stays: through a reload, beside another plan, in a link, with no network.

use crate::visit::{GATHER_FAULTS, Screen, Visit};
use larder::plan::Plan;

#[tokio::test]
async fn an_edit_is_still_there_after_a_reload() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.write("candidates/11/capacity_ah", "137").await;
    visit.kept().await;
    visit.reload().await;
    visit.says(".answer-card", "137 Ah AGM").await;
    assert_eq!(visit.value("candidates/11/capacity_ah").await, "137 Ah");
    visit.done().await;
}

#[tokio::test]
async fn two_plans_live_beside_each_other() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.open_plans().await;
    visit.write("plan/name", "first").await;
    visit.press("Done").await;
    visit.kept().await;
    visit.open_plans().await;
    visit.press("New plan").await;
    visit.press("From nothing: five answers").await;
    visit.write("candidates/11/capacity_ah", "250").await;
    visit.kept().await;
    visit.open_plans().await;
    visit.says(".kept-list", "first").await;
    visit.says(".kept-list", "My plan").await;
    visit.press("Open").await;
    visit.says(".plan-name", "first").await;
    assert_ne!(visit.value("candidates/11/capacity_ah").await, "250 Ah");
    visit.open_plans().await;
    visit.press("Remove").await;
    visit.says(".notice", "Removed “My plan”").await;
    visit.done().await;
}

#[tokio::test]
async fn back_closes_a_dialog_and_the_colours_stay() {
    let visit = Visit::open(Screen::Phone(390)).await;
    visit.press("From nothing: five answers").await;
    visit.kept().await;
    visit.open_plans().await;
    let is_open = "return document.getElementById('plans').open";
    visit.until("it opens", is_open).await;
    visit
        .run("const s = document.querySelector('select[aria-label=colours]'); s.value = 'dark'; s.dispatchEvent(new Event('change')); history.back(); return true")
        .await;
    let is_closed = "return !document.getElementById('plans').open";
    visit.until("back closes it", is_closed).await;
    // Closed by its own button it leaves no step behind: back and forth does not open or leave anything.
    visit.open_plans().await;
    visit.until("it opens", is_open).await;
    visit.press("Done").await;
    visit
        .until("its step is gone", "return history.state !== 'plans'")
        .await;
    visit.says(".answer-card", "days parked").await;
    let dark = "return document.documentElement.dataset.theme === 'dark' && document.querySelector('select[aria-label=colours]').value === 'dark'";
    visit.reload().await;
    visit.until("the colours stay", dark).await;
    visit.done().await;
}

#[tokio::test]
async fn a_link_opens_as_a_copy_in_a_fresh_browser() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.write("candidates/11/capacity_ah", "163").await;
    visit.kept().await;
    let link = visit.shared_link().await;
    visit
        .until(
            "and a code for a camera",
            "return document.querySelector('.code svg')?.getBoundingClientRect().width > 100",
        )
        .await;
    visit.done().await;

    let other = Visit::fresh(Screen::Phone(390)).await;
    other.go(&link[link.find('#').unwrap()..]).await;
    other
        .says(".notice", "came by link and is kept as a copy")
        .await;
    assert_eq!(other.value("candidates/11/capacity_ah").await, "163 Ah");
    let address = other.run("return location.href").await;
    assert!(
        !address.as_str().unwrap().contains('#'),
        "the address is clean again: {address}"
    );
    other.kept().await;
    other.reload().await;
    assert_eq!(other.value("candidates/11/capacity_ah").await, "163 Ah");
    other.done().await;
}

#[tokio::test]
async fn the_second_visit_needs_no_network() {
    let visit = Visit::open(Screen::Phone(390)).await;
    visit.press("From nothing: five answers").await;
    visit.write("candidates/11/capacity_ah", "181").await;
    visit.kept().await;
    visit.works_offline().await;
    visit.network(false).await;
    visit.reload().await;
    visit.says(".plan-name", "My plan").await;
    assert_eq!(visit.value("candidates/11/capacity_ah").await, "181 Ah");
    visit.write("candidates/11/capacity_ah", "190").await;
    visit.says(".answer-bar", "day").await;
    visit.kept().await;
    visit.reload().await;
    assert_eq!(visit.value("candidates/11/capacity_ah").await, "190 Ah");
}

#[tokio::test]
async fn what_a_plan_does_not_know_passes_through_the_page() {
    let mut plan = Plan::default();
    plan.loads.push(larder::plan::Load {
        id: 1,
        name: "lamp".into(),
        ..Default::default()
    });
    plan.candidates.push(larder::plan::Candidate {
        id: 2,
        ..Default::default()
    });
    plan.unknown
        .insert("colour of the curtains".into(), "blue".into());
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    visit.write("loads/1/draw", "12").await;
    visit.kept().await;
    let link = visit.shared_link().await;
    let back = larder::link::from_link(&link).unwrap();
    assert_eq!(back.unknown, plan.unknown);
    assert_eq!(back.loads[0].draw, 12.0);
    visit.done().await;
}

#[tokio::test]
async fn a_link_opened_at_once_after_a_key_loses_no_edit() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.kept().await;
    let link = visit.shared_link().await;
    visit.press("Done").await;
    let fragment = link[link.find('#').unwrap()..].to_owned();
    // The link opens in the same task as 50 ms after the key, long before the pause that saves.
    let typed = format!(
        "const f = document.getElementById('f-candidates-11-capacity_ah'); f.focus(); f.value = '173'; f.dispatchEvent(new Event('input', {{ bubbles: true }})); setTimeout(() => location.hash = '{fragment}', 50); return true"
    );
    visit.run(&typed).await;
    visit.says(".notice", "came by link").await;
    let stored = "return Object.entries(localStorage).filter(([k]) => k.startsWith('amp-larder/plan/')).some(([, v]) => JSON.parse(v).plan.candidates[0].capacity_ah === 173)";
    visit.until("the edit is stored", stored).await;
    visit.done().await;
}

#[tokio::test]
async fn looking_at_a_plan_writes_nothing() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.kept().await;
    let stored = "return JSON.stringify(Object.entries(localStorage).filter(([k]) => k.startsWith('amp-larder/plan/')))";
    let before = visit.run(stored).await;
    visit.reload().await;
    visit.says(".plan-name", "My plan").await;
    visit.open_plans().await;
    assert_eq!(visit.run(stored).await, before);
    visit.done().await;
}

#[tokio::test]
async fn storage_that_throws_on_reading_opens_the_page_with_a_notice() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    let script = "Storage.prototype.getItem = Storage.prototype.key = () => { throw new Error('no') }; Object.defineProperty(Storage.prototype, 'length', { get() { throw new Error('no') } });";
    visit.before_all(&format!("{GATHER_FAULTS} {script}")).await;
    visit.reload().await;
    visit
        .says(".notice", "refuses to read its stored plans")
        .await;
    assert_eq!(
        visit.run("return faults.length").await,
        serde_json::json!(0)
    );
    visit.done().await;
}
