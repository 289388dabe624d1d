//! Serves a built page on loopback, with its policy on every response.

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, Uri, header};
use axum::middleware::{self, Next};
use axum::{extract::Request, response::IntoResponse, response::Response};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use sha2::{Digest, Sha256};
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::Path;
use std::time::Duration;
use tower_http::services::ServeDir;

/// What the page may do: its own files, its own wasm, nothing else.
pub const POLICY: &str = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; object-src 'none'; \
    base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Longest path that is looked up [bytes]; names of the page are shorter by far, and file systems refuse longer ones.
const LONGEST_PATH: usize = 200;
/// Time that a caller has to send the head of a request; after it the connection is closed.
const HEADER_TIME: Duration = Duration::from_secs(10);
/// Pause after a connection that could not be taken.
const ACCEPT_PAUSE: Duration = Duration::from_millis(50);
/// Largest file that is read to tell its hash [bytes].
const LARGEST_FILE: usize = 64 << 20;

/// A server that has its port but does not run yet.
pub struct Server {
    listener: TcpListener,
    router: Router,
    address: SocketAddr,
}

/// Takes a port on loopback for a built folder; 0 takes any that is free.
///
/// # Errors
/// Where the port is taken.
pub fn bind(folder: &Path, port: u16) -> Result<Server, String> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
        .map_err(|fault| format!("Port {port} can't be had: {fault}."))?;
    listener
        .set_nonblocking(true)
        .map_err(|fault| fault.to_string())?;
    let address = listener.local_addr().map_err(|fault| fault.to_string())?;
    let files = ServeDir::new(folder)
        .precompressed_br()
        .precompressed_gzip();
    let router = Router::new()
        .fallback_service(files)
        .layer(middleware::from_fn(with_etag))
        .layer(middleware::from_fn(guarded))
        .layer(middleware::from_fn(with_policy));
    Ok(Server {
        listener,
        router,
        address,
    })
}

/// Sets the headers that every response carries, those of errors included.
async fn with_policy(request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    let mut response = next.run(request).await;
    let is_sound = response.status().is_success() || response.status() == StatusCode::NOT_MODIFIED;
    let headers = response.headers_mut();
    let fixed = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::VARY, "accept-encoding"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "geolocation=(self), camera=(), microphone=()",
        ),
        (
            header::CACHE_CONTROL,
            match (is_sound, is_hashed(&path)) {
                (true, true) => "public, max-age=31536000, immutable",
                (true, false) => "no-cache",
                (false, _) => "no-store",
            },
        ),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Refuses what is not asked of this machine by its own name, what is too long, and what is not part of the page.
async fn guarded(request: Request, next: Next) -> Response {
    let path = request.uri().path();
    if !is_this_machine(request.uri(), request.headers()) {
        let says = "This server answers to 127.0.0.1, [::1] and localhost alone.";
        return (StatusCode::MISDIRECTED_REQUEST, says).into_response();
    }
    if path.len() > LONGEST_PATH {
        return StatusCode::URI_TOO_LONG.into_response();
    }
    if path.split('/').any(|part| part.starts_with(['.', '%'])) {
        return StatusCode::NOT_FOUND.into_response();
    }
    next.run(request).await
}

/// Whether a request names this machine as its host. Another name means that a page of that name looks in here through a
/// name server of its own (DNS rebinding).
fn is_this_machine(uri: &Uri, headers: &HeaderMap) -> bool {
    let named = headers
        .get(header::HOST)
        .and_then(|host| host.to_str().ok())
        .or(uri.authority().map(|authority| authority.as_str()));
    let Some(host) = named else { return false };
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|byte| byte.is_ascii_digit()) => name,
        _ => host,
    };
    ["127.0.0.1", "[::1]", "localhost"]
        .iter()
        .any(|own| name.eq_ignore_ascii_case(own))
}

/// Gives each file a tag of its content, and answers 304 to those who have it.
async fn with_etag(mut request: Request, next: Next) -> Response {
    let known = request.headers_mut().remove(header::IF_NONE_MATCH);
    // Times of files say little: a build may be older than the one that it replaces.
    request.headers_mut().remove(header::IF_MODIFIED_SINCE);
    let is_part = request.headers().contains_key(header::RANGE);
    let is_read = request.method() == axum::http::Method::GET;
    let response = next.run(request).await;
    if response.status() != StatusCode::OK || is_part || !is_read {
        return response;
    }
    let (mut parts, body) = response.into_parts();
    parts.headers.remove(header::LAST_MODIFIED);
    let Ok(bytes) = to_bytes(body, LARGEST_FILE).await else {
        return StatusCode::INTERNAL_SERVER_ERROR.into_response();
    };
    let Ok(tag) = HeaderValue::from_str(&etag(&bytes)) else {
        return (parts, Body::from(bytes)).into_response();
    };
    let is_known = known.as_ref().is_some_and(|known| names(known, &tag));
    parts.headers.insert(header::ETAG, tag);
    if is_known {
        parts.status = StatusCode::NOT_MODIFIED;
        for of_the_body in [header::CONTENT_LENGTH, header::CONTENT_TYPE] {
            parts.headers.remove(of_the_body);
        }
        return (parts, Body::empty()).into_response();
    }
    (parts, Body::from(bytes)).into_response()
}

/// A strong tag: part of the hash of what is sent, compressed or not.
fn etag(bytes: &Bytes) -> String {
    let hash = Sha256::digest(bytes);
    let hex: String = hash
        .iter()
        .take(12)
        .map(|byte| format!("{byte:02x}"))
        .collect();
    format!("\"{hex}\"")
}

/// Whether a list of tags holds one, as the weak comparison of RFC 9110, section 8.8.3.2, has it.
fn names(list: &HeaderValue, tag: &HeaderValue) -> bool {
    let (Ok(list), Ok(tag)) = (list.to_str(), tag.to_str()) else {
        return false;
    };
    let mut tags = list.split(',').map(str::trim);
    tags.any(|known| known == "*" || known.trim_start_matches("W/") == tag)
}

/// Whether a file's name carries the hash of its content: `page-0123456789abcdef.js`.
fn is_hashed(path: &str) -> bool {
    let stem = path
        .rsplit('/')
        .next()
        .unwrap_or("")
        .split('.')
        .next()
        .unwrap_or("");
    let hash = stem.rsplit('-').next().unwrap_or("");
    hash.len() == 16 && hash.bytes().all(|byte| byte.is_ascii_hexdigit())
}

impl Server {
    /// Where the page is.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.address.port())
    }

    /// Serves until the program ends.
    ///
    /// # Errors
    /// Where the system refuses.
    pub fn run(self) -> Result<(), String> {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(|fault| fault.to_string())?;
        runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(self.listener)
                .map_err(|fault| fault.to_string())?;
            let mut http = http1::Builder::new();
            http.timer(TokioTimer::new())
                .header_read_timeout(HEADER_TIME);
            loop {
                let Ok((stream, _)) = listener.accept().await else {
                    // Out of file handles, or the caller has gone: others may still come.
                    tokio::time::sleep(ACCEPT_PAUSE).await;
                    continue;
                };
                let service = TowerToHyperService::new(self.router.clone());
                tokio::spawn(http.serve_connection(TokioIo::new(stream), service));
            }
        })
    }

    /// Serves in a thread of its own, for tests; returns the address.
    pub fn run_beside(self) -> String {
        let address = self.address();
        std::thread::spawn(move || self.run());
        address
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::folder;
    use std::io::{Read, Write};
    use std::net::TcpStream;

    /// A server of a small folder, removed at the end.
    struct Served {
        folder: std::path::PathBuf,
        address: String,
    }

    impl Served {
        fn new(name: &str) -> Self {
            let name = format!("amp-larder-{name}-{}", std::process::id());
            let folder = std::env::temp_dir().join(name);
            std::fs::create_dir_all(&folder).unwrap();
            for (name, text) in [
                ("index.html", "<p>page"),
                ("part-0123456789abcdef.js", "part"),
                (".stamp", "secret"),
            ] {
                std::fs::write(folder.join(name), text).unwrap();
            }
            let address = bind(&folder, 0).unwrap().run_beside();
            let address = address.trim_start_matches("http://").trim_end_matches('/');
            Self {
                address: address.to_owned(),
                folder,
            }
        }

        /// Status line, headers and body of the answer to a path.
        fn ask(&self, path: &str, headers: &str) -> String {
            self.send(&format!(
                "GET {path} HTTP/1.1\r\nhost: {}\r\n{headers}",
                self.address
            ))
        }

        fn send(&self, head: &str) -> String {
            let mut stream = TcpStream::connect(&self.address).unwrap();
            write!(stream, "{head}connection: close\r\n\r\n").unwrap();
            let mut answer = String::new();
            stream.read_to_string(&mut answer).unwrap();
            answer
        }
    }

    impl Drop for Served {
        fn drop(&mut self) {
            let _ = std::fs::remove_dir_all(&self.folder);
        }
    }

    fn header_of<'a>(answer: &'a str, name: &str) -> Option<&'a str> {
        let mut lines = answer.lines().take_while(|line| !line.is_empty());
        lines.find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
    }

    #[test]
    fn only_hashed_names_that_exist_are_immutable() {
        assert!(is_hashed("/page-0123456789abcdef.js"));
        assert!(!is_hashed("/index.html") && !is_hashed("/") && !is_hashed("/icon-192.png"));
        let served = Served::new("immutable");
        let there = served.ask("/part-0123456789abcdef.js", "");
        assert_eq!(
            header_of(&there, "cache-control"),
            Some("public, max-age=31536000, immutable")
        );
        let missing = served.ask("/part-0123456789abcdee.js", "");
        assert!(missing.starts_with("HTTP/1.1 404"), "{missing}");
        assert_eq!(header_of(&missing, "cache-control"), Some("no-store"));
        assert_eq!(header_of(&missing, "vary"), Some("accept-encoding"));
    }

    #[test]
    fn a_tag_is_answered_by_304_until_the_content_changes() {
        let served = Served::new("tag");
        let first = served.ask("/", "");
        let tag = header_of(&first, "etag").expect("a tag").to_owned();
        let condition = format!("if-none-match: \"other\", W/{tag}\r\n");
        let again = served.ask("/", &condition);
        assert!(
            again.starts_with("HTTP/1.1 304") && again.ends_with("\r\n\r\n"),
            "{again}"
        );
        assert_eq!(header_of(&again, "etag"), Some(tag.as_str()));
        std::fs::write(served.folder.join("index.html"), "<p>Page").unwrap();
        let changed = served.ask("/", &condition);
        assert!(
            changed.starts_with("HTTP/1.1 200") && changed.ends_with("<p>Page"),
            "{changed}"
        );
    }

    #[test]
    fn what_is_not_of_the_page_is_not_served() {
        let served = Served::new("hidden");
        for path in ["/.stamp", "/%2Estamp", "/%2e%2e/etc/passwd", "/nothing"] {
            let answer = served.ask(path, "");
            assert!(answer.starts_with("HTTP/1.1 404"), "{path}: {answer}");
        }
        let long = served.ask(&format!("/{}", "a".repeat(4000)), "");
        assert!(long.starts_with("HTTP/1.1 414"), "{long}");
    }

    #[test]
    fn another_host_is_refused() {
        let served = Served::new("host");
        for (host, status) in [
            ("localhost", "200"),
            ("LOCALHOST:80", "200"),
            ("[::1]:4180", "200"),
            ("larder.example", "421"),
            ("127.0.0.1.larder.example", "421"),
            ("localhost.", "421"),
        ] {
            let answer = served.send(&format!("GET / HTTP/1.1\r\nhost: {host}\r\n"));
            assert!(
                answer.starts_with(&format!("HTTP/1.1 {status}")),
                "{host}: {answer}"
            );
        }
        let nameless = served.send("GET / HTTP/1.0\r\n");
        assert!(nameless.starts_with("HTTP/1.0 421"), "{nameless}");
    }

    /// A page names one part; each is asked for, as it is and compressed, while builds replace each other.
    #[test]
    fn what_is_served_while_it_is_built_anew_is_of_one_build() {
        use std::sync::atomic::{AtomicUsize, Ordering::SeqCst};
        const BUILDS: usize = 12;
        let served = Served::new("anew");
        std::fs::remove_dir_all(&served.folder).unwrap();
        let publish = |nth: usize| {
            let part = format!("page-{nth:016x}.js");
            let files = folder::Files::from([
                (part.clone(), format!("part {nth} ").repeat(9000).into()),
                ("index.html".into(), format!("<p>{part}").into()),
                ("sw.js".into(), format!("worker {nth}").into()),
            ]);
            std::fs::create_dir_all(&served.folder).unwrap();
            folder::publish(&served.folder, &files).unwrap();
        };
        publish(0);
        let (built, visits) = (AtomicUsize::new(0), AtomicUsize::new(0));
        std::thread::scope(|scope| {
            scope.spawn(|| {
                for nth in 1..=BUILDS {
                    // At most one build while a visit lasts: its page may have been asked for just before.
                    let seen = visits.load(SeqCst);
                    while visits.load(SeqCst) < seen + 2 {
                        std::thread::yield_now();
                    }
                    publish(nth);
                    built.store(nth, SeqCst);
                }
            });
            let mut pages = std::collections::BTreeSet::new();
            while built.load(SeqCst) < BUILDS || pages.len() < 2 {
                let page = served.ask("/", "");
                assert!(page.starts_with("HTTP/1.1 200"), "{page}");
                let part = page.rsplit("<p>").next().unwrap().to_owned();
                let nth = usize::from_str_radix(&part[5..21], 16).unwrap();
                let answer = served.ask(&format!("/{part}"), "");
                assert!(answer.starts_with("HTTP/1.1 200"), "{part}: {answer:.300}");
                let text = format!("part {nth} ").repeat(9000);
                assert!(answer.ends_with(&format!("\r\n\r\n{text}")), "{part}");
                pages.insert(part);
                visits.fetch_add(1, SeqCst);
            }
            assert!(pages.len() > 2, "{pages:?}");
        });
    }

    #[test]
    fn a_head_that_never_ends_is_hung_up_on() {
        let served = Served::new("slow");
        let mut stream = TcpStream::connect(&served.address).unwrap();
        write!(stream, "GET / HTTP/1.1\r\nhost:").unwrap();
        stream.set_read_timeout(Some(HEADER_TIME * 4)).unwrap();
        // The read ends because the server closes, not because the patience of this test does.
        let mut answer = Vec::new();
        stream
            .read_to_end(&mut answer)
            .expect("closed by the server");
    }
}
