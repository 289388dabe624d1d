//! What is drawn anew after a key, in which order, and how little of it: counts, no times.

use crate::visit::{Screen, Visit};
use serde_json::json;

/// Keeps back what follows a while after what is in view: the timers of 150 ms.
const HELD_BACK: &str = "const later = window.setTimeout; window.held = []; window.hold = false; \
    window.setTimeout = (act, ms, ...rest) => window.hold && ms === 150 ? (window.held.push(act), 0) : later(act, ms, ...rest);";

/// Types a new figure for a load and waits until what is in view has been drawn anew.
const KEY: &str = "const field = [...document.querySelectorAll('#loads input')].find(it => it.id.endsWith('-draw')); \
    field.focus({ preventScroll: true }); field.value = String(37 + (window.keys = (window.keys || 0) + 1)); \
    field.dispatchEvent(new InputEvent('input', { bubbles: true })); \
    return new Promise(done => setTimeout(() => done(true), 600))";

async fn settled(screen: Screen) -> Visit {
    let plan =
        larder::link::from_text(include_str!("../../demo-data/orchard-van.larder.json")).unwrap();
    let visit = Visit::fresh(screen).await;
    visit
        .devtools(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": HELD_BACK }),
        )
        .await;
    visit
        .go(&format!("#{}", larder::link::to_fragment(&plan)))
        .await;
    visit
        .until(
            "all is drawn",
            "return !!document.querySelector('#sure .tornado svg') && !document.querySelector('#sure progress')",
        )
        .await;
    visit
}

/// Notes which sections have changed: read and begun anew by `changed`.
const NOTE: &str = "window.changed = new Set(); window.eye = new MutationObserver(all => { for (const { target } of all) { \
        const at = target.nodeType === 1 ? target : target.parentElement; const section = at && at.closest('#answer, .question'); \
        if (section) window.changed.add(section.id); } }); \
    window.eye.observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true }); return true";

async fn changed(visit: &Visit) -> Vec<String> {
    let ids = "const ids = [...window.changed].sort(); window.changed.clear(); return ids";
    serde_json::from_value(visit.run(ids).await).unwrap()
}

#[tokio::test]
async fn what_is_in_view_is_drawn_first_and_what_is_scrolled_to_or_printed_is_never_old() {
    for screen in [Screen::Desk(1280), Screen::Phone(390)] {
        let visit = settled(screen).await;
        visit
            .run("window.hold = true; return scrollTo({ top: 0, behavior: 'instant' })")
            .await;
        visit.run(NOTE).await;
        visit.run(KEY).await;
        let first = changed(&visit).await;
        for far in ["year", "carries", "sheet", "stores"] {
            assert!(!first.iter().any(|id| id == far), "{far}: {first:?}");
        }
        assert!(first.iter().any(|id| id == "answer"), "{first:?}");
        // Scrolled to, it is drawn before it is painted.
        visit
            .run("document.getElementById('refill').scrollIntoView({ behavior: 'instant' }); \
                  return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")
            .await;
        let then = changed(&visit).await;
        assert!(then.iter().any(|id| id == "refill"), "{then:?}");
        assert!(!then.iter().any(|id| id == "sheet"), "{then:?}");
        // Printed, all of it is.
        visit
            .run("dispatchEvent(new Event('beforeprint')); return true")
            .await;
        visit
            .until(
                "the sheet is whole",
                "return document.querySelectorAll('#sheet .sheet-part').length >= 7",
            )
            .await;
        let rest = changed(&visit).await;
        for far in ["year", "sheet", "stores"] {
            assert!(rest.iter().any(|id| id == far), "{far}: {rest:?}");
        }
        visit
            .run("dispatchEvent(new Event('afterprint')); return true")
            .await;
        // Without either, it follows by itself.
        visit.run("window.changed.clear(); return true").await;
        visit.run(KEY).await;
        assert!(!changed(&visit).await.iter().any(|id| id == "sheet"));
        visit.run("window.hold = false; for (const act of window.held) act(); return new Promise(done => setTimeout(() => done(true), 600))").await;
        let rest = changed(&visit).await;
        assert!(rest.iter().any(|id| id == "sheet"), "{rest:?}");
        visit.done().await;
    }
}

#[tokio::test]
async fn a_picture_stays_and_only_what_has_changed_in_it_is_written() {
    let visit = settled(Screen::Desk(1280)).await;
    let counted = "window.drawings = [...document.querySelectorAll('.drawing svg')]; window.marks = [...document.querySelectorAll('.drawing svg *')]; \
        window.locker = 0; new MutationObserver(all => { window.locker += all.length; }) \
            .observe(document.querySelector('.figure.locker .drawing'), { subtree: true, childList: true, characterData: true, attributes: true }); \
        return window.drawings.length";
    let drawings = visit.run(counted).await.as_f64().unwrap();
    assert!(drawings >= 10.0, "{drawings}");
    visit.run(KEY).await;
    let left = "return [window.drawings.filter(it => it.isConnected).length, window.marks.filter(it => it.isConnected).length / window.marks.length, window.locker]";
    let [whole, marks, locker]: [f64; 3] = serde_json::from_value(visit.run(left).await).unwrap();
    assert_eq!(whole, drawings);
    // Where a picture has another number of marks than before, it is drawn anew; most stay.
    assert!(marks > 0.5, "{marks}");
    // The locker has nothing to do with what a load draws.
    assert_eq!(locker, 0.0);
    visit.done().await;
}
