//! A browser that refuses to store or to read, now and then or always: nothing typed is lost, no error is uncaught.

use crate::visit::{GATHER_FAULTS, Screen, Visit};
use serde_json::json;

const CAPACITY: &str = "candidates/11/capacity_ah";
/// The capacity in each stored plan.
const STORED: &str = "Object.keys(localStorage).filter(k => k.startsWith('amp-larder/plan/')) \
    .map(k => JSON.parse(own.getItem.call(localStorage, k)).plan.candidates[0].capacity_ah)";

/// Before the page's own scripts: each k-th access of every kind throws while the tab's name says so, uncaught errors are counted,
/// and the time between two tries to save is made short.
fn every(k: u32) -> String {
    format!(
        "{GATHER_FAULTS} window.own = {{}}; window.count = {{}}; \
         for (const name of ['getItem', 'setItem', 'removeItem', 'key']) {{ \
           own[name] = Storage.prototype[name]; \
           Storage.prototype[name] = function (...from) {{ \
             count[name] = (count[name] ?? 0) + 1; \
             if (window.name !== 'sound' && count[name] % {k} === 0) throw new DOMException('no', 'QuotaExceededError'); \
             return own[name].apply(this, from); \
           }}; \
         }} \
         const later = setTimeout; window.setTimeout = (then, ms, ...rest) => later(then, ms === 5000 ? 200 : ms, ...rest);"
    )
}

#[tokio::test]
async fn no_access_that_throws_loses_an_edit() {
    for k in [1, 2, 3, 4, 5, 7] {
        let visit = Visit::fresh(Screen::Desk(1280)).await;
        visit.before_all(&every(k)).await;
        visit.go("").await;
        visit.press("From nothing: five answers").await;
        for capacity in ["141", "142", "143"] {
            visit.write(CAPACITY, capacity).await;
            visit.says(".answer-card", &format!("{capacity} Ah")).await;
        }
        visit.open_plans().await;
        visit.press("Done").await;
        if k == 1 {
            visit.says(".keeping", "not saved").await;
            visit.says(".bad-notice", "Download").await;
            // Room returns: the page saves by itself.
            visit.run("window.name = 'sound'; return true").await;
        }
        visit.kept().await;
        let is_stored = format!("return {STORED}.includes(143)");
        visit.until("the last edit is stored", &is_stored).await;
        assert_eq!(visit.run("return faults").await, json!([]), "k = {k}");
        visit.reload().await;
        visit.run("window.name = 'sound'; return true").await;
        assert_eq!(visit.run("return faults").await, json!([]), "k = {k}");
        let all = visit.run(&format!("return {STORED}")).await;
        assert_eq!(all, json!([143]), "k = {k}: one plan and no copy");
        visit.reload().await;
        assert_eq!(visit.value(CAPACITY).await, "143 Ah", "k = {k}");
        visit.done().await;
    }
}

#[tokio::test]
async fn a_full_store_keeps_the_edit_until_there_is_room() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.write(CAPACITY, "151").await;
    visit.kept().await;
    let fill = "let size = 1 << 22; for (let at = 0; size > 0;) { \
        try { localStorage.setItem('filler/' + at, 'x'.repeat(size)); at += 1; } catch { size >>= 1; } } return true";
    visit.run(fill).await;
    let long_name = "a name that is longer than the room that is left".repeat(4);
    visit.open_plans().await;
    visit.write("plan/name", &long_name).await;
    visit.press("Done").await;
    visit.write(CAPACITY, "152").await;
    visit.says(".keeping", "not saved").await;
    visit.says(".bad-notice", "store is full").await;
    // Leaving asks first.
    let asks = "const event = new Event('beforeunload', { cancelable: true }); dispatchEvent(event); return event.defaultPrevented";
    assert_eq!(visit.run(asks).await, json!(true));
    // Another plan is begun meanwhile: the one that was left waits, too.
    visit.open_plans().await;
    visit.press("New plan").await;
    visit.press("From nothing: five answers").await;
    visit.says(".notice", "is not saved").await;
    visit.write(CAPACITY, "153").await;
    visit.says(".keeping", "not saved").await;
    let free = "Object.keys(localStorage).filter(k => k.startsWith('filler/')).forEach(k => localStorage.removeItem(k)); return true";
    visit.run(free).await;
    visit.kept().await;
    let both = "const all = Object.entries(localStorage).filter(([k]) => k.startsWith('amp-larder/plan/')).map(([, v]) => JSON.parse(v).plan.candidates[0].capacity_ah).sort(); \
        return JSON.stringify(all) === '[152,153]'";
    visit.until("both plans are stored", both).await;
    assert_eq!(visit.run(asks).await, json!(false));
    visit.done().await;
}
