//! A file host with faults on demand, and builds of the page to deploy to it.

use amp_larder::server::POLICY;
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex, MutexGuard};
use std::time::Duration;

/// Files of a build by name.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// What a host does with every request.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Mood {
    /// Hands out its files; what is missing is 404, for ever where the name carries a hash.
    #[default]
    Well,
    /// Answers with a status alone.
    Status(u16),
    /// Takes the request and says nothing.
    Silent,
}

#[derive(Default)]
struct State {
    files: Files,
    mood: Mood,
    asked: Vec<String>,
}

/// A file host on loopback.
pub(crate) struct Host {
    /// Where it is.
    pub(crate) address: String,
    state: Arc<Mutex<State>>,
}

impl Host {
    pub(crate) fn new(files: Files) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let address = format!("http://{}/", listener.local_addr().expect("an address"));
        let host = Self {
            address,
            state: Arc::default(),
        };
        host.deploy(files);
        let state = host.state.clone();
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let state = state.clone();
                std::thread::spawn(move || answer(stream, &state));
            }
        });
        host
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().expect("the host's state")
    }

    /// Replaces all files.
    pub(crate) fn deploy(&self, files: Files) {
        self.state().files = files;
    }

    pub(crate) fn is(&self, mood: Mood) {
        self.state().mood = mood;
    }

    pub(crate) fn forget_what_was_asked(&self) {
        self.state().asked.clear();
    }

    /// Waits until a name has been asked for since the last call.
    pub(crate) async fn is_asked_for(&self, name: &str) {
        for _ in 0..400 {
            if self.state().asked.iter().any(|asked| asked == name) {
                self.state().asked.clear();
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        panic!("{name} was not asked for");
    }
}

fn answer(mut stream: TcpStream, state: &Mutex<State>) -> Option<()> {
    let mut lines = BufReader::new(stream.try_clone().ok()?).lines();
    let first = lines.next()?.ok()?;
    lines.find(|line| line.as_ref().map_or(true, String::is_empty));
    let path = first.split(' ').nth(1)?.trim_start_matches('/');
    let name = if path.is_empty() { "index.html" } else { path };
    state.lock().ok()?.asked.push(name.to_owned());
    while state.lock().ok()?.mood == Mood::Silent {
        std::thread::sleep(Duration::from_millis(25));
    }
    let (status, body) = {
        let state = state.lock().ok()?;
        match (state.mood, state.files.get(name)) {
            (Mood::Status(status), _) => (status, Vec::new()),
            (_, Some(body)) => (200, body.clone()),
            (_, None) => (404, b"missing".to_vec()),
        }
    };
    let kind = match name.rsplit('.').next()? {
        "html" => "text/html",
        "js" => "text/javascript",
        "css" => "text/css",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        _ => "application/octet-stream",
    };
    let cache = match hash(name) {
        Some(_) if status < 500 => "public, max-age=31536000, immutable",
        _ => "no-cache",
    };
    let length = body.len();
    write!(
        stream,
        "HTTP/1.1 {status} Status\r\ncontent-type: {kind}\r\ncache-control: {cache}\r\ncontent-security-policy: {POLICY}\r\n\
         content-length: {length}\r\nconnection: close\r\n\r\n"
    )
    .ok()?;
    stream.write_all(&body).ok()
}

/// The hash that a name carries.
pub(crate) fn hash(name: &str) -> Option<&str> {
    let (_, hash) = name.split('.').next()?.rsplit_once('-')?;
    (hash.len() == 16).then_some(hash)
}

fn integrity(content: &[u8]) -> String {
    format!("sha256-{}", BASE64_STANDARD.encode(Sha256::digest(content)))
}

/// A build of the page: 0 as it was built, others with other names for all parts. The page tells its number.
pub(crate) fn build(number: u8) -> Files {
    let folder = amp_larder::build::own_folder();
    let read = |name: &str| std::fs::read(folder.join(name)).expect("build the page first");
    let worker = String::from_utf8(read("sw.js")).expect("text");
    // What the worker lists is the build; the folder may hold parts of the one before as well.
    let names = worker.split("\"./").skip(1);
    let names = names.filter_map(|rest| rest.split('"').next());
    let names = names.filter(|name| *name != "complete");
    let names: Vec<&str> = names
        .map(|name| if name.is_empty() { "index.html" } else { name })
        .collect();
    let mut worker = worker.clone();
    let mut files = Files::new();
    for name in &names {
        let old = read(name);
        let mut new = old.clone();
        if let Ok(text) = String::from_utf8(old.clone()) {
            let marked = format!("<meta name=\"build\" content=\"{number}\">\n<title>");
            new = renamed(&text.replace("<title>", &marked), &names, number).into_bytes();
        }
        worker = worker.replace(&integrity(&old), &integrity(&new));
        files.insert(renamed(name, &names, number), new);
    }
    worker = renamed(&worker, &names, number);
    let version = format!("const CACHE = BUILDS + \"{number}-");
    let worker = worker.replace("const CACHE = BUILDS + \"", &version);
    files.insert("sw.js".into(), worker.into_bytes());
    files
}

/// A text with the parts' names of another build.
fn renamed(text: &str, names: &[&str], number: u8) -> String {
    let hashes = names.iter().filter_map(|name| hash(name));
    hashes.fold(text.to_owned(), |text, hash| {
        // A hash that was renamed already is found no more.
        let first = u8::from_str_radix(&hash[..1], 16).expect("a digit");
        text.replace(hash, &format!("{:x}{}", first ^ number, &hash[1..]))
    })
}

/// A build as it was before its parts were held to hashes: its service worker stores any answer, its page repairs nothing.
pub(crate) fn earlier_build(number: u8) -> Files {
    let mut files = build(number);
    let boot = files.keys().find(|name| name.starts_with("boot-"));
    let boot = boot.expect("the boot script").clone();
    let text = String::from_utf8(files.remove(&boot).expect("its text")).expect("text");
    let repair = "if (await repair().catch(() => false)) return location.reload();";
    assert!(text.contains(repair), "the earlier script can't be made");
    let earlier = boot.replace("boot-", "boot-earlier-");
    files.insert(earlier.clone(), text.replace(repair, "").into_bytes());
    let index = String::from_utf8(files["index.html"].clone()).expect("text");
    let index = index.replace(&boot, &earlier);
    files.insert("index.html".into(), index.into_bytes());
    let stored = |which: &dyn Fn(&str) -> bool| {
        let names = files.keys().filter(|name| which(name));
        let names: Vec<String> = names.map(|name| format!("\"./{name}\"")).collect();
        names.join(", ")
    };
    let is_always = |name: &str| {
        !["-plain-", "-lanes-", "sw.js", "index.html"]
            .iter()
            .any(|other| name.contains(other))
    };
    let worker = include_str!("earlier_sw.js")
        .replace("{{version}}", &format!("{number:016x}"))
        .replace("\"{{files}}\"", &stored(&is_always))
        .replace("\"{{plain}}\"", &stored(&|name| name.contains("-plain-")))
        .replace("\"{{lanes}}\"", &stored(&|name| name.contains("-lanes-")));
    files.insert("sw.js".into(), worker.into_bytes());
    files
}
