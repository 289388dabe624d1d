//! What a deploy, a failing server or an update may do to a page that works: nothing.

use crate::host::{Files, Host, Mood, build, earlier_build, hash};
use crate::visit::{Screen, Visit};
use serde_json::json;
use std::time::{Duration, Instant};

/// How long an update may take, with all its files, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

impl Visit {
    /// Opens a host's page and waits until it is stored in the browser.
    async fn stored(host: &Host) -> Self {
        let visit = Self::fresh(Screen::Desk(1280)).await;
        visit.at(&host.address).await;
        let is_controlled = "return !!navigator.serviceWorker.controller";
        visit.until("the page is stored", is_controlled).await;
        host.forget_what_was_asked();
        visit
    }

    async fn is_of_build(&self, number: u8) -> bool {
        let script = "return document.querySelector('meta[name=build]')?.content ?? ''";
        self.run(script).await == json!(number.to_string())
    }

    /// Loads the page again until it is of such a build; it must work each time.
    async fn comes_to(&self, number: u8) {
        let start = Instant::now();
        while !self.is_of_build(number).await {
            assert!(start.elapsed() < PATIENCE, "build {number} never came");
            // Chromium puts an update off while pages load: loads a second apart, with two tabs open, put it off for ever.
            tokio::time::sleep(Duration::from_secs(3)).await;
            self.reload().await;
        }
    }

    /// Loads the page again as it stands, ready or not, and waits for a text.
    async fn reloads_to(&self, text: &str) {
        let script = format!("return document.body.innerText.includes({})", json!(text));
        self.reloads_until(text, &script).await;
    }

    /// Loads the page again and waits until a script returns true. The page may load itself again meanwhile, which the driver's
    /// own way to load it does not always survive; scripts that fall into that are asked again.
    async fn reloads_until(&self, what: &str, script: &str) {
        self.run("window.isLeft = true; setTimeout(() => location.reload(), 20); return true")
            .await;
        let script = format!("if (window.isLeft) return false; {script}");
        let start = Instant::now();
        loop {
            let answer = self.driver.execute(&script, vec![]).await;
            if answer.is_ok_and(|answer| *answer.json() == json!(true)) {
                return;
            }
            assert!(start.elapsed() < PATIENCE, "waited in vain for {what}");
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }
}

/// The files of a build that a condition holds for, laid over another.
fn over(below: &Files, above: Files, which: impl Fn(&str) -> bool) -> Files {
    let mut files = below.clone();
    files.extend(above.into_iter().filter(|(name, _)| which(name)));
    files
}

#[tokio::test]
async fn half_a_deploy_with_the_parts_first_leaves_the_page() {
    let (old, new) = (build(0), build(1));
    let host = Host::new(old.clone());
    let visit = Visit::stored(&host).await;
    // Half of the parts have arrived, then a page that names the others.
    host.deploy(over(&old, new.clone(), |name| name.contains("page-")));
    visit.reload().await;
    assert!(visit.is_of_build(0).await);
    host.is_asked_for("sw.js").await;
    host.deploy(over(&old, new.clone(), |name| {
        name != "sw.js" && !name.contains("style-")
    }));
    visit.reload().await;
    assert!(
        visit.is_of_build(0).await,
        "the stored build is whole, this one is not"
    );
    host.deploy(new);
    visit.comes_to(1).await;
    host.is(Mood::Silent);
    visit.reload().await;
    assert!(visit.is_of_build(1).await);
}

#[tokio::test]
async fn half_a_deploy_with_the_page_first_leaves_the_page() {
    let new = build(1);
    let host = Host::new(build(0));
    let visit = Visit::stored(&host).await;
    // The page and its worker have arrived, no part has, and the parts of the build before are gone.
    let half: Files = new
        .clone()
        .into_iter()
        .filter(|(name, _)| hash(name).is_none())
        .collect();
    host.deploy(half);
    let part = new
        .keys()
        .find(|name| name.starts_with("page-"))
        .expect("a part");
    for _ in 0..2 {
        visit.reload().await;
        assert!(visit.is_of_build(0).await);
        // The new worker has begun to install, and has been refused a part.
        host.is_asked_for(part).await;
    }
    // Its 404 said that it holds for ever.
    host.deploy(new);
    visit.comes_to(1).await;
    host.is(Mood::Status(503));
    visit.reload().await;
    assert!(visit.is_of_build(1).await);
}

#[tokio::test]
async fn a_server_that_fails_or_is_silent_leaves_the_page() {
    let host = Host::new(build(0));
    let visit = Visit::stored(&host).await;
    for mood in [Mood::Status(404), Mood::Status(503), Mood::Silent] {
        host.is(mood);
        visit.reload().await;
        assert!(visit.is_of_build(0).await, "{mood:?}");
        host.is_asked_for("sw.js").await;
        visit.reload().await;
        assert!(visit.is_of_build(0).await, "{mood:?}, again");
    }
    host.deploy(build(1));
    host.is(Mood::Well);
    visit.comes_to(1).await;
}

#[tokio::test]
async fn with_nothing_stored_a_failing_server_is_told_plainly() {
    let host = Host::new(build(0));
    let visit = Visit::stored(&host).await;
    let forget = "return (async () => { for (const name of await caches.keys()) await caches.delete(name); return true })()";
    visit.run(forget).await;
    host.is(Mood::Status(503));
    visit.reloads_to("The server answered 503.").await;
    host.is(Mood::Silent);
    visit.reloads_to("The server did not answer.").await;
    host.is(Mood::Well);
    visit.reload().await;
    assert!(visit.is_of_build(0).await);
}

#[tokio::test]
async fn a_page_that_an_earlier_worker_broke_repairs_itself() {
    let (before, broken) = (earlier_build(1), earlier_build(2));
    let host = Host::new(before);
    let visit = Visit::stored(&host).await;
    // A deploy as it was: the earlier worker stores the 404 of a part that has not arrived yet.
    let wasm = |name: &str| name.starts_with("page-") && name.ends_with(".wasm");
    let half = over(&Files::new(), broken.clone(), |name| !wasm(name));
    host.deploy(half);
    visit.reloads_to("could not be opened").await;
    let is_stored = "return (async () => { const cache = await caches.open('amp-larder-0000000000000002'); \
        return (await Promise.all((await cache.keys()).map(key => cache.match(key)))).some(answer => answer.status === 404) })()";
    visit.until("the 404 is stored", is_stored).await;
    // The deploy is complete, and the page stays broken: that was the fault.
    host.deploy(broken);
    visit.reloads_to("could not be opened").await;
    // The next build has the same part. The page is loaded once; the rest it does itself.
    host.deploy(build(2));
    let is_ready = "return document.documentElement.dataset.state === 'ready'";
    visit
        .reloads_until("the page to repair itself", is_ready)
        .await;
    host.is(Mood::Silent);
    visit.reload().await;
    assert!(visit.is_of_build(2).await);
}

#[tokio::test]
async fn updates_leave_the_parts_of_a_page_that_is_open() {
    let host = Host::new(build(0));
    let visit = Visit::stored(&host).await;
    for number in [1, 2] {
        host.deploy(build(number));
        let update = "return navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => true)";
        visit.run(update).await;
        let is_active = format!(
            "return navigator.serviceWorker.getRegistration().then(r => !r.installing && !r.waiting \
             && r.active.state === 'activated' && caches.keys()).then(names => names.length > {number})"
        );
        visit.until("the update is active", &is_active).await;
    }
    // No server any more, and two updates later: the page that is still open gets its own workers.
    host.is(Mood::Status(404));
    assert!(visit.is_of_build(0).await);
    let parts: Vec<String> = build(0)
        .into_keys()
        .filter(|name| name.contains("-lanes-") || name.starts_with("page-"))
        .collect();
    assert!(parts.len() > 4, "{parts:?}");
    let script = format!(
        "return Promise.all({}.map(async name => (await fetch(name, {{ cache: 'no-store' }})).status)).then(all => all.every(status => status === 200))",
        json!(parts)
    );
    assert_eq!(visit.run(&script).await, json!(true));
    // Once no page of them is open, they go.
    visit.driver.goto("about:blank").await.expect("nothing");
    visit.at(&host.address).await;
    assert!(visit.is_of_build(2).await);
    let is_alone = "return caches.keys().then(names => names.length === 1)";
    visit.until("only one build is stored", is_alone).await;
}

#[tokio::test]
async fn an_update_comes_to_one_tab_while_another_stays_with_its_own_build() {
    let host = Host::new(build(0));
    let visit = Visit::stored(&host).await;
    let first = visit.driver.window().await.expect("a tab");
    let second = visit.driver.new_tab().await.expect("a tab");
    visit.driver.switch_to_window(second).await.expect("it");
    visit.at(&host.address).await;
    assert!(visit.is_of_build(0).await);
    host.deploy(build(1));
    visit.reload().await;
    visit.comes_to(1).await;
    // The other tab still runs its own build, whole, without a server.
    host.is(Mood::Status(404));
    visit.driver.switch_to_window(first).await.expect("it");
    assert!(visit.is_of_build(0).await);
    let parts: Vec<String> = build(0)
        .into_keys()
        .filter(|name| name.contains("-lanes-") || name.starts_with("page-"))
        .collect();
    let script = format!(
        "return Promise.all({}.map(async name => (await fetch(name, {{ cache: 'no-store' }})).status)).then(all => all.every(status => status === 200))",
        json!(parts)
    );
    assert_eq!(visit.run(&script).await, json!(true));
}
