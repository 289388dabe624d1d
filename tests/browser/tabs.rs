//! Two tabs of one browser: each keeps its own plan, neither loses an edit, and looking changes nothing.

use crate::visit::{Screen, Visit};
use serde_json::json;
use thirtyfour::WindowHandle;

const CAPACITY: &str = "candidates/11/capacity_ah";
/// Names and capacities of all stored plans, sorted.
const STORED: &str = "return Object.entries(localStorage).filter(([k]) => k.startsWith('amp-larder/plan/')) \
    .map(([, v]) => JSON.parse(v).plan).map(p => `${p.name ?? 'My plan'}: ${p.candidates?.[0]?.capacity_ah}`).sort()";

impl Visit {
    async fn here(&self) -> WindowHandle {
        self.driver.window().await.expect("a tab")
    }

    /// Opens the page in a further tab and goes there; it opens what was opened last.
    async fn further_tab(&self) -> WindowHandle {
        let tab = self.driver.new_tab().await.expect("a tab");
        self.turn_to(&tab).await;
        self.go("").await;
        tab
    }

    async fn turn_to(&self, tab: &WindowHandle) {
        let turned = self.driver.switch_to_window(tab.clone()).await;
        turned.expect("the tab");
    }

    /// Waits until the stored plans are these.
    async fn stores(&self, plans: &[&str]) {
        let list = json!(plans);
        let stored = STORED.trim_start_matches("return ");
        let script = format!("return JSON.stringify({stored}) === JSON.stringify({list})");
        self.until(&format!("{list} is stored"), &script).await;
    }
}

/// A browser with the plan of the five answers, saved, in its only tab.
async fn with_own_plan() -> Visit {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.write(CAPACITY, "137").await;
    visit.kept().await;
    visit
}

/// The same browser with a plan of 250 Ah begun in a further tab, where it is now; and the first tab.
async fn with_another_plan_in_a_further_tab() -> (Visit, WindowHandle) {
    let visit = with_own_plan().await;
    let first = visit.here().await;
    visit.further_tab().await;
    visit.open_plans().await;
    visit.press("New plan").await;
    visit.press("From nothing: five answers").await;
    visit.write(CAPACITY, "250").await;
    visit.kept().await;
    (visit, first)
}

#[tokio::test]
async fn a_second_tab_that_looks_changes_nothing_in_the_first() {
    let visit = with_own_plan().await;
    let first = visit.here().await;
    let before = visit.run(STORED).await;
    visit.further_tab().await;
    visit.says(".answer-card", "137 Ah").await;
    visit.reload().await;
    visit.turn_to(&first).await;
    assert_eq!(visit.run(STORED).await, before);
    assert_eq!(
        visit
            .run("return document.querySelectorAll('.notice').length")
            .await,
        json!(0)
    );
    visit.done().await;
}

#[tokio::test]
async fn an_edit_in_one_tab_is_shown_in_the_other() {
    let visit = with_own_plan().await;
    let first = visit.here().await;
    visit.further_tab().await;
    visit.write(CAPACITY, "150").await;
    visit.kept().await;
    visit.turn_to(&first).await;
    visit.says(".answer-card", "150 Ah").await;
    // And back, with no copy on either side.
    visit.write(CAPACITY, "160").await;
    visit.kept().await;
    visit.stores(&["My plan: 160"]).await;
    visit.done().await;
}

#[tokio::test]
async fn edits_in_both_tabs_make_one_copy() {
    let visit = with_own_plan().await;
    let first = visit.here().await;
    // The first tab can't save for a while, so that its edit is still unsaved when the other tab saves.
    visit
        .run("window.own = Storage.prototype.setItem; Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }; return true")
        .await;
    visit.write(CAPACITY, "200").await;
    visit.says(".keeping", "not saved").await;
    let second = visit.further_tab().await;
    visit.says(".answer-card", "137 Ah").await;
    visit.write(CAPACITY, "300").await;
    visit.kept().await;
    visit.turn_to(&first).await;
    visit.says(".notice", "Two windows changed this plan").await;
    visit
        .run("Storage.prototype.setItem = window.own; return true")
        .await;
    for capacity in ["201", "202", "203"] {
        visit.write(CAPACITY, capacity).await;
        visit.kept().await;
    }
    visit.stores(&["My plan (copy): 203", "My plan: 300"]).await;
    // Each goes on with its own, over a reload too.
    visit.reload().await;
    assert_eq!(visit.value(CAPACITY).await, "203 Ah");
    visit.turn_to(&second).await;
    visit.reload().await;
    assert_eq!(visit.value(CAPACITY).await, "300 Ah");
    visit.write(CAPACITY, "310").await;
    visit.kept().await;
    visit.stores(&["My plan (copy): 203", "My plan: 310"]).await;
    visit.done().await;
}

#[tokio::test]
async fn a_tab_keeps_its_own_plan_whatever_another_opens() {
    let (visit, first) = with_another_plan_in_a_further_tab().await;
    visit.turn_to(&first).await;
    visit.works_offline().await;
    visit.network(false).await;
    visit.reload().await;
    assert_eq!(visit.value(CAPACITY).await, "137 Ah");
    visit.network(true).await;
    visit.done().await;
}

#[tokio::test]
async fn a_plan_that_another_tab_removes_is_not_brought_back_unasked() {
    let (visit, first) = with_another_plan_in_a_further_tab().await;
    visit.open_plans().await;
    visit.press("Remove").await;
    visit.says(".notice", "Removed “My plan”").await;
    visit.turn_to(&first).await;
    visit
        .says(".notice", "Another window removed this plan")
        .await;
    visit.says(".keeping", "not saved").await;
    // What a browser says when a tab is hidden or closed.
    visit
        .run("dispatchEvent(new Event('pagehide')); dispatchEvent(new Event('visibilitychange')); return true")
        .await;
    visit.stores(&["My plan: 250"]).await;
    visit.press("Save it again").await;
    visit.kept().await;
    visit.stores(&["My plan: 137", "My plan: 250"]).await;
    visit.done().await;
}
