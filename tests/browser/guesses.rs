//! Every default is a guess until it is touched; the list leads to each, and the count ends at none.

use crate::visit::{Screen, Visit};
use serde_json::{Value, json};
use thirtyfour::Key;

/// Opens a new plan and its list of guesses; how many there are.
async fn opened(screen: Screen) -> (Visit, usize) {
    let visit = Visit::open(screen).await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "This answer rests on").await;
    let count = count(&visit).await;
    visit
        .run("document.querySelector('.guesses .quiet').click(); return true")
        .await;
    visit
        .until(
            "each guess is in the list",
            &format!("return document.querySelectorAll('.guess-list li').length === {count}"),
        )
        .await;
    (visit, count)
}

/// How many guesses the answer says that it rests on.
async fn count(visit: &Visit) -> usize {
    let script = "const said = document.querySelector('.guesses').innerText; \
        return said === 'No guesses left.' ? 0 : Number(said.match(/rests on (\\d+)/)[1])";
    visit.run(script).await.as_u64().unwrap() as usize
}

/// Waits until so many are left, in the count and in the list.
async fn left(visit: &Visit, count: usize, after: &str) {
    let says = match count {
        0 => "No guesses left.".to_owned(),
        1 => "This answer rests on 1 guess.".to_owned(),
        _ => format!("This answer rests on {count} guesses."),
    };
    visit
        .until(
            &format!("{count} are left after {after}"),
            &format!(
                "return document.querySelector('.guesses').innerText === {} && \
                 document.querySelectorAll('.guess-list li').length === {count}",
                json!(says)
            ),
        )
        .await;
}

/// Follows the first guess's link; the id and the place on the screen of the field that then has the focus.
async fn follow(visit: &Visit) -> String {
    let link = "const link = document.querySelector('.guess-list .guess-what button'); window.wanted = \
        link.closest('li').querySelector('.keep').id.replace(/^keep-/, ''); link.click(); return window.wanted";
    let wanted = visit.run(link).await.as_str().unwrap().to_owned();
    // Twelve months are one guess: the link leads to the one that matters.
    let arrived = "const at = document.activeElement, box = at.getBoundingClientRect(); \
        return at.id.startsWith(window.wanted) && box.width > 0 && box.top >= 0 && box.bottom <= innerHeight";
    visit
        .until(&format!("{wanted} has the focus, in view"), arrived)
        .await;
    wanted
}

#[tokio::test]
async fn guesses_count_down_to_zero_by_touching_them_one_by_one() {
    let (visit, all) = opened(Screen::Desk(1280)).await;
    assert!(all > 80, "{all}");
    // By keys: each field is reached by its link, and Enter accepts what stands there.
    for gone in 1..=all {
        let wanted = follow(&visit).await;
        let field = visit.driver.active_element().await.unwrap();
        field.send_keys(Key::Enter + "").await.unwrap();
        left(&visit, all - gone, &wanted).await;
    }
    visit.says(".guesses", "No guesses left.").await;
    let marks = visit
        .run("return document.querySelectorAll('.plan .question .field.guess').length")
        .await;
    assert_eq!(marks, Value::from(0), "no field is marked as a guess");
    // It stays so through a reload, and a new row brings its own guesses.
    visit.kept().await;
    visit.reload().await;
    visit.says(".guesses", "No guesses left.").await;
    visit.press("Add another panel").await;
    visit.says(".guesses", "This answer rests on").await;
    visit.done().await;
}

#[tokio::test]
async fn guesses_are_kept_by_taps_on_a_phone() {
    let (visit, all) = opened(Screen::Phone(390)).await;
    for gone in 1..=5 {
        follow(&visit).await;
        visit
            .run("document.querySelector('.guess-list .keep').click(); return true")
            .await;
        left(&visit, all - gone, "a tap on Keep").await;
    }
    let keep_all = "const b = [...document.querySelectorAll('.guesses ~ div .tools button')].find(b => b.innerText.startsWith('Keep all')); b?.click(); return !b";
    visit.until("all are kept", keep_all).await;
    left(&visit, 0, "Keep all").await;
    visit.done().await;
}

#[tokio::test]
async fn typing_and_choosing_touch_a_guess_and_what_is_unused_is_not_counted() {
    let (visit, all) = opened(Screen::Desk(1280)).await;
    visit.write("wiring/bank_mm", "900").await;
    left(&visit, all - 1, "a length was typed").await;
    let choose = |path: &str, at: u32| {
        format!(
            "const s = document.getElementById('f-{}'); s.value = '{at}'; s.dispatchEvent(new Event('change', {{ bubbles: true }})); return true",
            path.replace('/', "-")
        )
    };
    visit.run(&choose("living/battery_place", 0)).await;
    left(&visit, all - 2, "a place was chosen").await;
    // A source that is not there has nothing to guess.
    visit
        .run("document.getElementById('f-alternator-fitted').click(); return true")
        .await;
    visit
        .until(
            "the engine's guesses are gone",
            "return ![...document.querySelectorAll('.guess-list .keep')].some(k => k.id.startsWith('keep-f-alternator'))",
        )
        .await;
    assert!(count(&visit).await < all - 10);
    visit.done().await;
}

#[tokio::test]
async fn a_choice_brings_what_it_implies() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    visit.press("From nothing: five answers").await;
    visit.says(".answer-card", "days").await;
    let choose = |id: &str, at: u32| {
        format!(
            "const s = document.getElementById('{id}'); s.value = '{at}'; s.dispatchEvent(new Event('change', {{ bubbles: true }})); return true"
        )
    };
    // Lithium in the five answers: the other candidate becomes AGM, with its own mass.
    visit.run(&choose("first-candidates-11-chemistry", 3)).await;
    visit.says(".answer-card", "100 Ah lithium").await;
    visit.says(".answer-card", "100 Ah AGM").await;
    assert_eq!(visit.value("candidates/11/mass_kg").await, "13 kg");
    assert_eq!(visit.value("candidates/12/mass_kg").await, "30 kg");
    // 24 V: two in series, and no fault.
    visit.run(&choose("f-plan-volts", 1)).await;
    visit
        .until(
            "both have two in series",
            "return ['11', '12'].every(id => document.getElementById(`f-candidates-${id}-series`).value === '2')",
        )
        .await;
    visit
        .until(
            "nothing is at fault",
            "return !document.querySelector('.fault-says, .out-of-date')",
        )
        .await;
    // A mass that was typed stays.
    visit.write("candidates/11/mass_kg", "15").await;
    visit.write("candidates/11/capacity_ah", "200").await;
    assert_eq!(visit.value("candidates/11/mass_kg").await, "15 kg");
    // A boat motors.
    visit.run(&choose("f-plan-rig", 1)).await;
    visit.says(".five", "I motor for").await;
    visit.says("#stores", "motoring to refill").await;
    visit.done().await;
}

#[tokio::test]
async fn escape_makes_a_guess_that_was_typed_over_one_again() {
    let (visit, many) = opened(Screen::Desk(1280)).await;
    let mass = "candidates/11/mass_kg";
    let was = visit.value(mass).await;
    visit.write(mass, "45").await;
    left(&visit, many - 1, "typing").await;
    let field = visit.field(mass).await;
    field.send_keys(Key::Escape + "").await.expect("a key");
    left(&visit, many, "escape").await;
    assert_eq!(visit.value(mass).await, was);
    visit.done().await;
}
