//! Drawn years and the day of a year on the page.

use crate::visit::{GATHER_FAULTS, Screen, Visit};
use larder::plan::{DayKind, Stay};
use serde_json::json;

pub(crate) fn hut() -> larder::plan::Plan {
    larder::link::from_text(include_str!("../../demo-data/hill-hut.larder.json")).unwrap()
}

/// The hut with more panels, so that its sizing map reaches to where it is seldom short.
fn sunny_hut() -> larder::plan::Plan {
    let mut plan = hut();
    for panel in &mut plan.sun.panels {
        panel.watts *= 4.0;
    }
    plan
}

/// What the page must say of a plan's drawn years when all are drawn, worked out here.
pub(crate) fn drawn_here(plan: &larder::plan::Plan) -> Vec<String> {
    let inputs = larder::import(plan).unwrap();
    let report = larder::assess(plan).unwrap();
    let wanted = larder::Wanted {
        years: 1000,
        until_narrow: true,
        map: Some(3.0),
        draws: 250,
    };
    let mut survey = larder::Survey::new(&inputs, wanted);
    let mut bench = larder::Bench::new(inputs);
    while let Some(job) = survey.next_job() {
        let numbers = bench.work(job);
        survey.put(job, &numbers);
    }
    let risks = survey.risks().into_iter();
    risks
        .map(|risk| larder::words::risk_line(&report, &risk))
        .chain([
            larder::words::band_says(&report, survey.band().unwrap()),
            larder::words::map_says(&survey.map().unwrap()),
        ])
        .collect()
}

#[tokio::test]
async fn the_map_comes_while_one_types_and_a_way_can_be_taken() {
    let visit = Visit::with_plan(Screen::Phone(390), &sunny_hut()).await;
    visit.says("#sure", "drawn years").await;
    visit
        .until(
            "the map is final",
            "return !!document.querySelector('#sure .map svg') && !document.querySelector('#sure progress')",
        )
        .await;
    // The same years are drawn here and by the browser's workers, to the last day.
    for says in drawn_here(&sunny_hut()) {
        visit.says("#sure", &says).await;
    }
    let kept = "return performance.getEntriesByType('measure').some(e => e.name === 'map')";
    assert_eq!(visit.run(kept).await, true);
    visit.says("#sure", "What matters most?").await;
    // A price of panels tells the cheapest way; ranges of nothing leave the weather alone.
    visit.says("#sure", "A watt of panel").await;
    visit.write("doubts/use_share", "200").await;
    visit
        .says("#sure", "How far what runs may be out can't be 200 %.")
        .await;
    visit.write("doubts/use_share", "5").await;
    let strings = visit
        .value(&format!("candidates/{}/parallel", sunny_hut().chosen))
        .await;
    let press = "const b = [...document.querySelectorAll('#sure button')].find(b => b.innerText.trim().startsWith('Plan with 1 string ')); b?.click(); return !!b";
    visit.until("a way can be taken", press).await;
    assert_ne!(strings, "1");
    visit
        .until(
            "the plan has one string and seven times its panels",
            &format!(
                "return document.getElementById('f-candidates-{}-parallel').value === '1'",
                sunny_hut().chosen
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
        ..Stay::default()
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

#[tokio::test]
async fn without_lanes_the_workers_draw_the_same_years() {
    let no_lanes = "WebAssembly.validate = () => false";
    let visit = Visit::prepared(Screen::Phone(390), no_lanes, &hut()).await;
    for says in drawn_here(&hut()) {
        visit.says("#sure", &says).await;
    }
    let plain = "const all = performance.getEntriesByType('resource').map(e => e.name).filter(name => name.includes('/worker-')); \
        return all.length > 0 && all.every(name => name.includes('/worker-plain-'))";
    assert_eq!(visit.run(plain).await, true);
    visit.done().await;
}

#[tokio::test]
async fn without_workers_the_page_draws_fewer_years_itself() {
    let visit = Visit::prepared(Screen::Phone(390), "delete window.Worker", &hut()).await;
    visit.says("#sure", "this page itself draws").await;
    visit.says("#sure", "over 100 drawn years").await;
    visit.says("#sure", "nine years in ten").await;
    visit.done().await;
}

/// Before the page's own scripts: seconds of the watch over the workers are made short.
const SHORT_SECONDS: &str = "const real = setInterval; window.setInterval = (then, ms, ...rest) => real(then, ms === 1000 ? 100 : ms, ...rest);";

/// The page with workers that are hurt so by a script says so, draws the fewer years itself and answers on; no error is uncaught.
async fn page_goes_on(hurt: &str) {
    let script = format!("{GATHER_FAULTS} {SHORT_SECONDS} {hurt}");
    let visit = Visit::prepared(Screen::Phone(390), &script, &hut()).await;
    visit.says(".notice", "A background worker failed").await;
    visit.says("#sure", "this page itself draws").await;
    visit.says("#sure", "over 100 drawn years").await;
    visit.write("candidates/2/capacity_ah", "210").await;
    visit.says(".answer-card", "210 Ah").await;
    visit.says("#sure", "over 100 drawn years").await;
    assert_eq!(visit.run("return faults").await, json!([]));
    let complaints = visit.complaints().await;
    let is_the_warning = complaints.iter().all(|line| line.contains("/boot-"));
    assert!(
        complaints.len() == 1 && is_the_warning,
        "{complaints:#?} instead of one warning that the crew has ended"
    );
}

#[tokio::test]
async fn a_worker_that_is_killed_is_replaced_by_the_page() {
    page_goes_on("const Own = Worker; window.Worker = class extends Own { constructor(...from) { super(...from); setTimeout(() => this.terminate(), 30); } };").await;
}

#[tokio::test]
async fn a_worker_that_never_answers_is_replaced_by_the_page() {
    page_goes_on("Worker.prototype.postMessage = () => {};").await;
}

#[tokio::test]
async fn a_worker_that_does_not_load_is_replaced_by_the_page() {
    page_goes_on("const Own = Worker; window.Worker = class extends Own { constructor(file, how) { super(new URL('./missing.js', location.href), how); } };").await;
}

#[tokio::test]
async fn a_worker_that_throws_is_replaced_by_the_page() {
    page_goes_on("const post = Worker.prototype.postMessage; Worker.prototype.postMessage = function (message) { post.call(this, { ...message, jobs: undefined }); };").await;
}

#[tokio::test]
async fn what_it_costs_is_told() {
    let visit = Visit::with_plan(Screen::Desk(1280), &hut()).await;
    visit.leave_out().await;
    visit
        .devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 4 }))
        .await;
    // How late a timer of 10 ms comes while the years are drawn: as late as a key would be answered.
    let watch = "window.late = []; const watch = () => { const due = performance.now() + 10; \
        setTimeout(() => { window.late.push(performance.now() - due); watch(); }, 10); }; watch(); return true";
    visit.run(watch).await;
    let ended = "return performance.getEntriesByName('survey').length > 0";
    visit.until("all is drawn", ended).await;
    let told = visit
        .run(
            "const last = name => performance.getEntriesByName(name, 'measure').at(-1).duration; const late = window.late.sort((a, b) => a - b); \
             return [last('year') * 1000, last('risk'), last('map first'), last('map'), last('survey'), late[Math.floor(0.99 * late.length)], late.at(-1)]",
        )
        .await;
    let told: Vec<f64> = told
        .as_array()
        .unwrap()
        .iter()
        .filter_map(serde_json::Value::as_f64)
        .collect();
    println!(
        "beside the page at 4x slowdown: 1,000 years {:.0} ms of a worker, the years of all banks {:.0} ms (aim 100); map {:.0} ms to a \
         first picture (aim 200), {:.0} ms to its last (aim 800); all {:.0} ms; a timer is late by {:.1} ms one time in a hundred, \
         {:.1} ms at most (aim 16)",
        told[0], told[1], told[2], told[3], told[4], told[5], told[6]
    );
    assert_eq!(told.len(), 7);
    // Each is noted once. A small map may be whole before the last years of a bank are back.
    let noted = "const end = name => { const all = performance.getEntriesByName(name, 'measure'); \
        return all.length === 1 ? all[0].startTime + all[0].duration : NaN; }; \
        return end('year') > 0 && end('risk') <= end('survey') && end('map first') <= end('map') && end('map') <= end('survey')";
    assert_eq!(visit.run(noted).await, true);
    visit.done().await;
}
