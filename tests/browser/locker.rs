//! The locker on the page: the drawings follow, the view turns, and what it would take is told.

use crate::visit::{Screen, Visit};
use serde_json::Value;

fn two_in_the_van() -> larder::plan::Plan {
    let text = include_str!("../../demo-data/orchard-van.larder.json");
    let mut plan = larder::link::from_text(text).unwrap();
    plan.chosen = 2;
    plan
}

#[tokio::test]
async fn what_would_admit_the_second_is_told_and_then_it_fits() {
    for screen in [Screen::Desk(1280), Screen::Phone(390)] {
        let visit = Visit::with_plan(screen, &two_in_the_van()).await;
        visit
            .says("#locker .takes", "For two, any one of these will do")
            .await;
        visit
            .says("#locker .takes li", "Make it 51 mm deeper inside")
            .await;
        visit.says("#locker .locker .drawing", "no room").await;
        // What is told is done: 310 and 51 are 361, and the duct reaches to the back.
        visit.write("locker/inside_mm/2", "361").await;
        visit
            .says("#locker .fit-lines", "Carry them in in this order: 1 and 2")
            .await;
        visit
            .until(
                "the ghost is gone and the gap that binds is marked",
                "return !document.querySelector('#locker .locker .ghost') && !!document.querySelector('#locker .locker .binding')",
            )
            .await;
        visit.says("#locker .takes", "For three").await;
        visit.done().await;
    }
}

#[tokio::test]
async fn the_view_turns_by_buttons_and_by_keys() {
    let visit = Visit::with_plan(Screen::Desk(1280), &two_in_the_van()).await;
    let spoken =
        "return document.querySelector('#locker .turned .drawing').getAttribute('aria-label')";
    visit.says("#locker .turned", "front").await;
    let before = visit.run(spoken).await;
    visit.press("Turn to the right").await;
    let differs = |from: &Value| {
        format!(
            "return document.querySelector('#locker .turned .drawing').getAttribute('aria-label') !== {from}"
        )
    };
    visit.until("the view has turned", &differs(&before)).await;
    let turned = visit.run(spoken).await;
    visit
        .run("const d = document.querySelector('#locker .turned .drawing'); d.focus(); d.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true })); return true")
        .await;
    visit.until("the key turns it on", &differs(&turned)).await;
    visit.done().await;
}

#[tokio::test]
async fn cables_and_openings_ask_only_what_they_need() {
    let visit = Visit::with_plan(Screen::Desk(1280), &two_in_the_van()).await;
    let choose = |path: &str, at: usize| {
        format!(
            "const s = document.getElementById('f-{path}'); s.selectedIndex = {at}; s.dispatchEvent(new Event('change', {{ bubbles: true }})); return true"
        )
    };
    visit
        .until(
            "lugs ask for height",
            "return !!document.getElementById('f-locker-terminal_gap_mm')",
        )
        .await;
    visit.run(&choose("locker-exit", 1)).await;
    visit.until("a bar asks for its own", "return !!document.getElementById('f-locker-bar_mm') && !document.getElementById('f-locker-terminal_gap_mm')").await;
    visit.run(&choose("locker-opening", 2)).await;
    visit.write("locker/opening_mm/1", "150").await;
    visit.write("locker/opening_mm/2", "150").await;
    visit
        .says("body", "no face of its case passes the opening")
        .await;
    visit.done().await;
}

#[tokio::test]
async fn a_thing_is_dragged_and_nudged_and_each_is_one_step_of_undo() {
    let mut plan = two_in_the_van();
    plan.locker.inside_mm = [900.0, 420.0, 300.0];
    let id = plan.locker.obstacles[1].id;
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    let stands = |mm: &str| {
        format!(
            "return document.getElementById('f-locker-obstacles-{id}-at_mm-1').value === '{mm}'"
        )
    };
    let undo = "document.querySelector('[aria-label=Undo]').click(); return true";
    visit.says("#locker .movable-things", "battery 1").await;
    visit
        .until("where it was measured", &stands("480 mm"))
        .await;
    // Ten millimetres to the right, in three moves, at the scale of the drawing.
    let drag = format!(
        "const g = document.querySelector('#locker .locker [data-thing^=\"{id} 0 1\"]'); const scale = Number(g.dataset.thing.split(' ')[3]); \
         const at = g.getBoundingClientRect(); const x = at.x + 2, y = at.y + 2; \
         const send = (what, target, dx) => target.dispatchEvent(new PointerEvent(what, {{ bubbles: true, cancelable: true, pointerId: 1, clientX: x + dx, clientY: y }})); \
         const box = document.querySelector('.movable-things'); \
         send('pointerdown', g.firstChild, 0); for (const mm of [4, 8, 10]) send('pointermove', box, mm * scale); send('pointerup', box, 10 * scale); return true"
    );
    visit.run(&drag).await;
    // Pointers come on whole pixels, so that it lands within one of them.
    visit
        .until(
            "it follows",
            &format!("const mm = parseFloat(document.getElementById('f-locker-obstacles-{id}-at_mm-1').value); return mm > 486 && mm < 494"),
        )
        .await;
    let key = |key: &str| {
        format!(
            "const b = [...document.querySelectorAll('#locker .tools button')].find(b => b.textContent === 'shelf bracket'); b.focus(); \
             b.dispatchEvent(new KeyboardEvent('keydown', {{ key: '{key}', bubbles: true, cancelable: true }})); return document.activeElement === b"
        )
    };
    visit.run(undo).await;
    visit.until("one step back", &stands("480 mm")).await;
    for _ in 0..3 {
        visit.run(&key("ArrowLeft")).await;
    }
    visit.until("it follows the keys", &stands("477 mm")).await;
    visit.run(undo).await;
    visit.until("one step back", &stands("480 mm")).await;
    visit.done().await;
}
