//! One visit to the page: its own browser, its own driver, its own profile; everything is gone when it is dropped.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};
use thirtyfour::common::command::{Command as DriverCommand, ExtensionCommand};
use thirtyfour::prelude::*;

/// How long the page may take for anything at all.
const PATIENCE: Duration = Duration::from_secs(12);

/// The page's address; one server for all tests of this run.
pub(crate) fn address() -> &'static str {
    static ADDRESS: OnceLock<String> = OnceLock::new();
    ADDRESS.get_or_init(|| {
        let folder = amp_larder::build::own_folder();
        assert!(
            folder.join("index.html").exists(),
            "build the page first: tests/run does"
        );
        amp_larder::server::bind(&folder, 0)
            .expect("a port")
            .run_beside()
    })
}

/// How the browser looks at the page.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Screen {
    /// A desk: a mouse, so many pixels wide.
    Desk(u32),
    /// A telephone: a finger, so many pixels wide.
    Phone(u32),
}

impl Screen {
    /// A telephone so many pixels wide; a desk from 1280 on.
    pub(crate) fn of_width(width: u32) -> Self {
        if width >= 1280 {
            Self::Desk(width)
        } else {
            Self::Phone(width)
        }
    }
}

/// Script for before the page's own: uncaught errors are gathered in `faults`.
pub(crate) const GATHER_FAULTS: &str = "window.faults = []; addEventListener('error', (e) => faults.push(e.message)); \
    addEventListener('unhandledrejection', (e) => faults.push(String(e.reason)));";

/// A browser with the page open.
pub(crate) struct Visit {
    pub(crate) driver: WebDriver,
    process: Child,
    profile: PathBuf,
}

#[derive(Debug)]
struct Log(&'static str);

impl ExtensionCommand for Log {
    fn parameters_json(&self) -> Option<Value> {
        Some(json!({ "type": self.0 }))
    }
    fn method(&self) -> http::Method {
        http::Method::POST
    }
    fn endpoint(&self) -> Arc<str> {
        "/se/log".into()
    }
}

fn start_driver() -> (Child, String) {
    let mut process = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver");
    let output = process.stdout.take().expect("its output");
    for line in BufReader::new(output).lines().map_while(Result::ok) {
        if let Some(port) = line
            .rsplit("on port ")
            .next()
            .filter(|_| line.contains("started successfully"))
        {
            let port = port.trim_end_matches('.');
            return (process, format!("http://127.0.0.1:{port}"));
        }
    }
    let ended = process.wait();
    panic!("chromedriver did not say its port: {ended:?}");
}

impl Visit {
    /// A browser that has never been here.
    pub(crate) async fn fresh(screen: Screen) -> Self {
        let (process, at) = start_driver();
        let profile = std::env::temp_dir().join(format!("larder-visit-{}", process.id()));
        let mut arguments = vec![
            "--headless=new".to_owned(),
            "--no-sandbox".into(),
            "--disable-gpu".into(),
            "--disable-quic".into(),
            "--no-first-run".into(),
            "--disable-background-networking".into(),
            "--disable-component-update".into(),
            "--disable-sync".into(),
            "--disable-dev-shm-usage".into(),
            "--force-device-scale-factor=1".into(),
            format!("--user-data-dir={}", profile.display()),
        ];
        let mut options = json!({});
        match screen {
            Screen::Desk(width) => arguments.push(format!("--window-size={width},900")),
            Screen::Phone(width) => {
                options["mobileEmulation"] = json!({
                    "deviceMetrics": { "width": width, "height": 844, "pixelRatio": 1.0, "touch": true, "mobile": true }
                });
            }
        }
        options["args"] = json!(arguments);
        let mut capabilities = DesiredCapabilities::chrome();
        capabilities
            .set("goog:chromeOptions", options)
            .expect("options");
        capabilities
            .set(
                "goog:loggingPrefs",
                json!({ "browser": "ALL", "performance": "ALL" }),
            )
            .expect("logs");
        let driver = WebDriver::new(&at, capabilities).await.expect("a session");
        Self {
            driver,
            process,
            profile,
        }
    }

    /// Opens the page and waits until it is ready.
    pub(crate) async fn open(screen: Screen) -> Self {
        let visit = Self::fresh(screen).await;
        visit.go("").await;
        visit
    }

    /// Opens the page with a plan that a link carries.
    pub(crate) async fn with_plan(screen: Screen, plan: &larder::plan::Plan) -> Self {
        Self::prepared(screen, "", plan).await
    }

    /// The same, in a browser where a script of ours runs before any of the page's.
    pub(crate) async fn prepared(screen: Screen, script: &str, plan: &larder::plan::Plan) -> Self {
        let visit = Self::fresh(screen).await;
        visit.before_all(script).await;
        let link = larder::link::to_fragment(plan);
        visit.go(&format!("#{link}")).await;
        visit
    }

    /// Runs a script in each document from now on, before any of its own.
    pub(crate) async fn before_all(&self, script: &str) {
        let script = json!({ "source": script });
        self.devtools("Page.addScriptToEvaluateOnNewDocument", script)
            .await;
    }

    /// Goes to the page at such a fragment.
    pub(crate) async fn go(&self, fragment: &str) {
        self.at(&format!("{}{fragment}", address())).await;
    }

    /// Goes to the page where another server has it.
    pub(crate) async fn at(&self, address: &str) {
        self.driver.goto(address).await.expect("the page");
        self.ready().await;
    }

    /// Loads the page again.
    pub(crate) async fn reload(&self) {
        self.driver.refresh().await.expect("the page again");
        self.ready().await;
    }

    async fn ready(&self) {
        self.until(
            "the page is ready",
            "return document.documentElement.dataset.state === 'ready'",
        )
        .await;
        // What the browser leaves out while it is out of view has no text to be read: here, all is laid out.
        self.run("const root = document.documentElement; window.whole = new MutationObserver(() => delete root.dataset.laid); \
                  window.whole.observe(root, { attributeFilter: ['data-laid'] }); delete root.dataset.laid; return true")
            .await;
    }

    /// Lets the browser leave out what is out of view, as it does for people.
    pub(crate) async fn leave_out(&self) {
        let script = "window.whole.disconnect(); document.documentElement.dataset.laid = ''; \
            return new Promise(done => requestAnimationFrame(() => setTimeout(() => done(true), 50)))";
        self.run(script).await;
    }

    /// Runs a script and gives back what it returns.
    pub(crate) async fn run(&self, script: &str) -> Value {
        let done = self.driver.execute(script, vec![]).await;
        done.unwrap_or_else(|fault| panic!("{script}: {fault}"))
            .json()
            .clone()
    }

    /// Waits until a script returns true.
    pub(crate) async fn until(&self, what: &str, script: &str) {
        let start = Instant::now();
        while self.run(script).await != Value::Bool(true) {
            if start.elapsed() > PATIENCE {
                let text = self.text("body").await;
                panic!("waited in vain until {what}; the page says:\n{text}");
            }
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
    }

    /// The text that an element shows.
    pub(crate) async fn text(&self, css: &str) -> String {
        let script = format!("return document.querySelector({}).innerText", json!(css));
        self.run(&script)
            .await
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Waits until an element shows such a text.
    pub(crate) async fn says(&self, css: &str, text: &str) {
        let script = format!(
            "return [...document.querySelectorAll({})].some(e => e.innerText.replaceAll('\\u00a0', ' ').includes({}))",
            json!(css),
            json!(text)
        );
        self.until(&format!("{css} says “{text}”"), &script).await;
    }

    /// The value of a field of the plan.
    pub(crate) async fn value(&self, path: &str) -> String {
        let script = format!("return document.getElementById({}).value", json!(id(path)));
        self.run(&script)
            .await
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Types into a field of the plan, over what stands there.
    pub(crate) async fn write(&self, path: &str, text: &str) {
        let field = self.field(path).await;
        field.click().await.expect("the field is reached");
        field
            .send_keys(Key::Control + "a")
            .await
            .expect("all is chosen");
        field.send_keys(text).await.expect("keys");
    }

    /// A field of the plan.
    pub(crate) async fn field(&self, path: &str) -> WebElement {
        let id = id(path);
        let script = format!(
            "const e = document.getElementById({}); e.scrollIntoView({{ block: 'center' }}); return true",
            json!(id)
        );
        self.until(
            &format!("there is {path}"),
            &format!("return !!document.getElementById({})", json!(id)),
        )
        .await;
        self.run(&script).await;
        self.driver.find(By::Id(id)).await.expect("the field")
    }

    /// Presses the first button that says so, as a mouse would.
    pub(crate) async fn press(&self, word: &str) {
        let script = format!(
            "const b = [...document.querySelectorAll('button, summary, label.file')].find(b => b.offsetParent && \
             (b.innerText.trim() === {0} || b.getAttribute('aria-label') === {0})); \
             if (b) b.scrollIntoView({{ block: 'center' }}); return b ?? null",
            json!(word)
        );
        let start = Instant::now();
        loop {
            let found = self
                .driver
                .execute(&script, vec![])
                .await
                .expect("a script");
            if let Ok(button) = found.element() {
                button
                    .click()
                    .await
                    .unwrap_or_else(|fault| panic!("{word} can't be pressed: {fault}"));
                return;
            }
            assert!(start.elapsed() < PATIENCE, "no button says {word}");
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
    }

    /// Waits until the plan is kept in the browser.
    pub(crate) async fn kept(&self) {
        self.until(
            "the plan is saved",
            "return document.querySelector('.keeping').textContent.trim() === 'saved'",
        )
        .await;
    }

    /// Waits until the page works without a network.
    pub(crate) async fn works_offline(&self) {
        let script = "return (async () => { const at = await navigator.serviceWorker.getRegistration(); \
            return !!at?.active && !!navigator.serviceWorker.controller })()";
        self.until("the page is stored", script).await;
    }

    /// Opens the dialog of kept plans.
    pub(crate) async fn open_plans(&self) {
        self.run("document.querySelector('.plan-name').click(); return true")
            .await;
    }

    /// Asks for the link to the plan.
    pub(crate) async fn shared_link(&self) -> String {
        self.press("Share").await;
        self.until(
            "there is a link",
            "return document.querySelector('.link-text').value.includes('#plan=1.')",
        )
        .await;
        let link = self
            .run("return document.querySelector('.link-text').value")
            .await;
        link.as_str().unwrap().to_owned()
    }

    /// Gives the file field a file.
    pub(crate) async fn choose_file(&self, path: &Path) {
        let field = self
            .driver
            .find(By::Css("input[type=file]"))
            .await
            .expect("the file field");
        field
            .send_keys(path.display().to_string())
            .await
            .expect("a file");
    }

    /// A command of the browser's own protocol.
    pub(crate) async fn devtools(&self, command: &str, parameters: Value) -> Value {
        let done = self.driver.cdp().send_raw(command, parameters).await;
        done.unwrap_or_else(|fault| panic!("{command}: {fault}"))
    }

    /// Cuts the network, or mends it.
    pub(crate) async fn network(&self, is_there: bool) {
        self.devtools("Network.enable", json!({})).await;
        let offline = json!({ "offline": !is_there, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
        self.devtools("Network.emulateNetworkConditions", offline)
            .await;
    }

    async fn log(&self, kind: &'static str) -> Vec<Value> {
        let log = self
            .driver
            .handle()
            .cmd(DriverCommand::ExtensionCommand(Box::new(Log(kind))))
            .await
            .expect("a log");
        log.value_json()
            .ok()
            .and_then(|v| v.as_array().cloned())
            .unwrap_or_default()
    }

    /// What the console had to complain of since it was last asked.
    pub(crate) async fn complaints(&self) -> Vec<String> {
        let log = self.log("browser").await;
        let bad = log
            .iter()
            .filter(|entry| matches!(entry["level"].as_str(), Some("SEVERE" | "WARNING")));
        bad.filter_map(|entry| entry["message"].as_str().map(str::to_owned))
            .collect()
    }

    /// Addresses that were asked for since it was last asked.
    pub(crate) async fn requests(&self) -> Vec<String> {
        let log = self.log("performance").await;
        let messages = log
            .iter()
            .filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok());
        let sent = messages.filter(|m| m["message"]["method"] == "Network.requestWillBeSent");
        sent.filter_map(|m| {
            Some(
                m["message"]["params"]["request"]["url"]
                    .as_str()?
                    .to_owned(),
            )
        })
        .collect()
    }

    /// Ends the visit; nothing may have been wrong on the console.
    pub(crate) async fn done(self) {
        let complaints = self.complaints().await;
        assert!(complaints.is_empty(), "the console says {complaints:#?}");
        // A browser that will not go is killed with its driver.
        let _ = self.driver.clone().quit().await;
    }
}

impl Drop for Visit {
    fn drop(&mut self) {
        // The session ends with its driver; nobody need ask it first.
        let _ = self.driver.clone().leak();
        let _ = self.process.kill();
        let _ = self.process.wait();
        // A driver that is killed leaves its browser behind: whatever runs on this profile goes too.
        let profile = self.profile.display().to_string();
        for entry in std::fs::read_dir("/proc").into_iter().flatten().flatten() {
            let command = std::fs::read(entry.path().join("cmdline")).unwrap_or_default();
            if String::from_utf8_lossy(&command).contains(&profile) {
                let _ = Command::new("kill")
                    .arg("-9")
                    .arg(entry.file_name())
                    .status();
            }
        }
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}

/// The id of a field in the document.
pub(crate) fn id(path: &str) -> String {
    format!("f-{}", path.replace('/', "-"))
}
