//! What a visit and a keystroke cost. Bytes are held; times are measured and printed, for the clock is not ours.

use crate::visit::{Screen, Visit};
use larder::plan::{Candidate, Load, Plan, Way};
use serde_json::json;

/// A plan of forty loads and four candidates.
fn large() -> Plan {
    let load = |id: u32| Load {
        id,
        name: format!("load {id}"),
        draw: 3.0 + f64::from(id % 9),
        way: if id.is_multiple_of(3) {
            Way::Always
        } else {
            Way::Hours
        },
        from: format!("{:02}:00", id % 24),
        to: format!("{:02}:30", (id + 5) % 24),
        ..Load::default()
    };
    let candidate = |id: u32| Candidate {
        id,
        capacity_ah: 700.0 * f64::from(id - 40),
        ..Candidate::default()
    };
    let mut plan =
        larder::link::from_text(include_str!("../../demo-data/orchard-van.larder.json")).unwrap();
    plan.loads = (1..=40).map(load).collect();
    plan.candidates = (41..=44).map(candidate).collect();
    plan.chosen = 42;
    plan
}

/// Median, what nine in ten keep to, and the most.
fn spread(mut times: Vec<f64>) -> [f64; 3] {
    times.sort_by(f64::total_cmp);
    [0.5, 0.9, 1.0].map(|share| times[((times.len() - 1) as f64 * share) as usize])
}

#[tokio::test]
async fn a_keystroke_is_answered_at_once() {
    // When the page begins to draw anew, 60 ms after the last key.
    let script = "const later = window.setTimeout; window.setTimeout = (act, ms, ...rest) => \
        later(ms === 60 ? () => { window.began = performance.now(); act(); } : act, ms, ...rest);";
    let visit = Visit::prepared(Screen::Desk(1280), script, &large()).await;
    visit.leave_out().await;
    visit
        .devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 4 }))
        .await;
    // From the key's event to the changed answer in the document, and from the pause's end to the last change in view: the
    // year's part of the answer, the shelves, the loads.
    let script = "const field = document.getElementById('f-loads-7-draw'); field.focus(); const times = []; \
        return (async () => { for (let n = 0; n < 30; n++) { \
            const start = performance.now(); let answered = 0, last = 0; \
            const eye = new MutationObserver(() => { last = performance.now(); answered ||= last; }); \
            for (const seen of ['.answer-card', '#loads']) \
                eye.observe(document.querySelector(seen), { subtree: true, childList: true, characterData: true, attributes: true }); \
            field.value = String(40 + 290 * (n % 5)); field.dispatchEvent(new InputEvent('input', { bubbles: true })); \
            await new Promise(r => setTimeout(r, 350)); eye.disconnect(); \
            times.push([answered - start, answered - start + last - window.began]); } return times; })()";
    let times: Vec<[f64; 2]> = serde_json::from_value(visit.run(script).await).unwrap();
    assert_eq!(times.len(), 30);
    let [answer, redraw] =
        [0, 1].map(|which| spread(times.iter().map(|times| times[which]).collect()));
    println!(
        "a keystroke with 40 loads and 4 candidates, at 4x slowdown: median {:.1} ms, 9 in 10 within {:.1} ms, most {:.1} ms (aim 16); \
         with the year and all in view drawn anew: median {:.1} ms, 9 in 10 within {:.1} ms, most {:.1} ms (aim 30)",
        answer[0], answer[1], answer[2], redraw[0], redraw[1], redraw[2]
    );
    assert!(answer[0] > 0.0 && redraw[0] > answer[0]);
    visit.done().await;
}

#[tokio::test]
async fn what_is_out_of_view_is_left_out_and_nothing_jumps() {
    for screen in [Screen::Desk(1280), Screen::Phone(390)] {
        let visit = Visit::with_plan(screen, &large()).await;
        visit
            .until(
                "all is drawn and grows no more",
                "const drawn = !!document.querySelector('#sure .tornado svg') && !document.querySelector('#sure progress'); \
                 const before = document.documentElement.scrollHeight; return new Promise(done => setTimeout(() => \
                 done(drawn && document.documentElement.scrollHeight === before), 500))",
            )
            .await;
        let height = "return document.documentElement.scrollHeight";
        let whole = visit.run(height).await;
        let left_out = "return !document.querySelector('#sheet h3').checkVisibility({ contentVisibilityAuto: true })";
        assert_eq!(visit.run(left_out).await, false);
        visit.leave_out().await;
        assert_eq!(visit.run(left_out).await, true);
        assert_eq!(visit.run(height).await, whole);
        // A field far below is where one is brought to, and stays there.
        let place = "const field = document.getElementById('f-doubts-use_share'); field.scrollIntoView({ block: 'center' }); field.focus(); \
            const at = () => field.getBoundingClientRect().top; const first = at(); \
            return new Promise(done => setTimeout(() => done([first, at(), innerHeight]), 500))";
        let [first, then, view]: [f64; 3] = serde_json::from_value(visit.run(place).await).unwrap();
        assert!(
            (first - then).abs() < 2.0 && first > 0.0 && first < view,
            "{first} {then} {view}"
        );
        visit.done().await;
    }
}

#[tokio::test]
async fn a_first_visit_is_light() {
    let visit = Visit::open(Screen::Phone(390)).await;
    let kilobytes = visit.run(
        "return performance.getEntriesByType('navigation').concat(performance.getEntriesByType('resource')).reduce((sum, e) => sum + e.encodedBodySize, 0) / 1000",
    ).await;
    let kilobytes = kilobytes.as_f64().unwrap();
    println!("a first visit transfers {kilobytes:.0} kB (aim 220)");
    // Reading numbers and lists by rule, positions, the air's table and the list of guesses brought 62 kB; places of stays, fuses by
    // voltage and faults by state, and numbers that are read to the last bit, 30 more.
    assert!(kilobytes > 50.0 && kilobytes < 690.0, "{kilobytes} kB");
    let painted = visit.run("return performance.getEntriesByName('first-contentful-paint')[0].startTime < performance.getEntriesByType('resource').find(e => e.name.endsWith('.wasm')).responseEnd + 400").await;
    assert_eq!(painted, true);
    visit.done().await;
}
