//! Drawn years and the day of a year on the page.

use crate::visit::{Screen, Visit};
use larder::plan::{DayKind, Stay};

fn hut() -> larder::plan::Plan {
    larder::link::from_text(include_str!("../../demo-data/hill-hut.larder.json")).unwrap()
}

#[tokio::test]
async fn the_map_comes_while_one_types_and_a_way_can_be_taken() {
    let visit = Visit::with_plan(Screen::Phone(390), &hut()).await;
    visit.says("#sure", "drawn years").await;
    visit
        .until(
            "the map is final",
            "return !!document.querySelector('#sure .map svg') && !document.querySelector('#sure progress')",
        )
        .await;
    // The same years are drawn here and in the browser, to the last day.
    let inputs = larder::import(&hut()).unwrap();
    let report = larder::assess(&hut()).unwrap();
    let chances = larder::Chances::new(&inputs);
    for (nth, id) in chances.ids().into_iter().enumerate() {
        let risk = chances.draw(nth, 0..300).risk(id);
        let says = larder::words::risk_line(&report, &risk);
        visit.says("#sure", &says).await;
    }
    let mut mapping = larder::Mapping::new(&inputs, 3.0).unwrap();
    while mapping.step() {}
    let says = larder::words::map_says(&mapping.map());
    visit.says("#sure", &says).await;
    visit.says("#sure", "What matters most?").await;
    let strings = visit
        .value(&format!("candidates/{}/parallel", hut().chosen))
        .await;
    visit.press("Plan with 1 × and 1400 W").await;
    assert_ne!(strings, "1");
    visit
        .until(
            "the plan has one string and seven times its panels",
            &format!(
                "return document.getElementById('f-candidates-{}-parallel').value === '1'",
                hut().chosen
            ),
        )
        .await;
    // A change draws anew, and an answer does not wait for it.
    visit.write("living/cabin_c", "14").await;
    visit
        .until(
            "weather is drawn anew",
            "return !!document.querySelector('#sure progress') || !!document.querySelector('#sure .map svg')",
        )
        .await;
    visit.done().await;
}

#[tokio::test]
async fn a_day_of_the_year_opens_and_dates_have_their_sentences() {
    let mut plan = hut();
    plan.living.stays = vec![Stay {
        id: 900,
        kind: DayKind::Away,
        from: "2028-02-20".into(),
        to: "2028-03-03".into(),
    }];
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    visit.says("#year", "Look at").await;
    visit
        .run("const s = document.querySelector('#year input[type=range]'); s.value = 59; s.dispatchEvent(new Event('input', { bubbles: true })); return true")
        .await;
    // 2028 is a leap year: its sixtieth day is the 29th of February.
    visit.says("#year .slide", "29 February").await;
    visit.says("#year", "it lasts").await;
    visit.write("living/stays/900/to", "2028-02-01").await;
    visit
        .says("#living", "2028-02-01 lies before 2028-02-20.")
        .await;
    visit.write("living/stays/900/to", "soon").await;
    visit.says("#living", "“soon” isn't a day.").await;
    visit.write("living/stays/900/to", "2028-02-25").await;
    visit.says(".answer-card", "parked").await;
    visit.done().await;
}
