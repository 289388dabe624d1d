//! Firefox, driven by the W3C's WebDriver BiDi, which it speaks itself: its own profile, gone when it is dropped.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::stream::MaybeTlsStream;
use tungstenite::{Message, WebSocket};

/// How long the page may take for anything at all.
const PATIENCE: Duration = Duration::from_secs(60);

/// A Firefox with one page open.
pub(crate) struct Firefox {
    process: Child,
    profile: PathBuf,
    socket: WebSocket<MaybeTlsStream<TcpStream>>,
    sent: u64,
    tab: String,
}

impl Firefox {
    /// Opens a page in a browser that has never been here.
    pub(crate) fn open(address: &str) -> Self {
        let profile = std::env::temp_dir().join(format!("larder-firefox-{}", std::process::id()));
        std::fs::create_dir_all(&profile).expect("a profile");
        let mut process = Command::new("firefox-esr")
            .args(["--headless", "--no-remote", "--remote-debugging-port", "0"])
            .arg("--profile")
            .arg(&profile)
            .env("HOME", &profile)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect(
                "Firefox is missing: tests/run installs Debian's firefox-esr where there is one",
            );
        let mut output = BufReader::new(process.stderr.take().expect("its output")).lines();
        let socket = output
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| Some(line.split_once("BiDi listening on ")?.1.to_owned()))
            .expect("Firefox says where it listens");
        // What else it says is read, so that it need not wait to say it.
        std::thread::spawn(move || output.for_each(drop));
        let (socket, _) = tungstenite::connect(format!("{socket}/session")).expect("a socket");
        let mut firefox = Self {
            process,
            profile,
            socket,
            sent: 0,
            tab: String::new(),
        };
        firefox.ask("session.new", json!({ "capabilities": {} }));
        let tabs = firefox.ask("browsingContext.getTree", json!({}));
        let tab = tabs["contexts"][0]["context"].as_str().expect("a tab");
        firefox.tab = tab.to_owned();
        let page = json!({ "context": firefox.tab, "url": address, "wait": "complete" });
        firefox.ask("browsingContext.navigate", page);
        firefox
    }

    /// Gives a command and waits for its result.
    fn ask(&mut self, method: &str, params: Value) -> Value {
        self.sent += 1;
        let command = json!({ "id": self.sent, "method": method, "params": params });
        let command = Message::text(command.to_string());
        self.socket.send(command).expect("Firefox listens");
        loop {
            let said = self.socket.read().expect("Firefox answers");
            let Ok(said) = serde_json::from_str::<Value>(said.to_text().unwrap_or_default()) else {
                continue;
            };
            if said["id"] == self.sent {
                assert_eq!(said["type"], "success", "{method}: {said}");
                return said["result"].clone();
            }
        }
    }

    /// Runs the body of a function on the page and gives back the text or the truth that it returns.
    pub(crate) fn run(&mut self, body: &str) -> Value {
        let script = json!({
            "expression": format!("(async () => {{ {body} }})()"),
            "target": { "context": self.tab },
            "awaitPromise": true,
        });
        let ran = self.ask("script.evaluate", script);
        assert_eq!(ran["type"], "success", "{body}: {ran}");
        ran["result"]["value"].clone()
    }

    /// Waits until an element holds such a text, in view or out of it.
    pub(crate) fn says(&mut self, css: &str, text: &str) {
        let held = format!(
            "return (document.querySelector({})?.textContent ?? '').replaceAll('\\u00a0', ' ')",
            json!(css)
        );
        let start = Instant::now();
        loop {
            let holds = self.run(&held);
            let holds = holds.as_str().unwrap_or_default();
            if holds.contains(text) {
                return;
            }
            assert!(
                start.elapsed() < PATIENCE,
                "waited in vain until {css} says “{text}”; it says:\n{holds}"
            );
            std::thread::sleep(Duration::from_millis(50));
        }
    }
}

impl Drop for Firefox {
    fn drop(&mut self) {
        // Its other processes end with the first.
        let _ = self.process.kill();
        let _ = self.process.wait();
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}
