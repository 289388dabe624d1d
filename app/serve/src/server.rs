//! Serves a built page on loopback, with its policy on every response.

use axum::Router;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::{self, Next};
use axum::{extract::Request, response::Response};
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::Path;
use tower_http::services::ServeDir;

/// What the page may do: its own files, its own wasm, nothing else.
pub const POLICY: &str = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; object-src 'none'; \
    base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

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
        .layer(middleware::from_fn(with_policy));
    Ok(Server {
        listener,
        router,
        address,
    })
}

async fn with_policy(request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let fixed = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
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
            if is_hashed(&path) {
                "public, max-age=31536000, immutable"
            } else {
                "no-cache"
            },
        ),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Whether a file's name carries the hash of what is in it: `page-0123456789abcdef.js`.
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
            axum::serve(listener, self.router)
                .await
                .map_err(|fault| fault.to_string())
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

    #[test]
    fn only_hashed_names_are_kept_for_ever() {
        assert!(is_hashed("/page-0123456789abcdef.js"));
        assert!(!is_hashed("/index.html") && !is_hashed("/") && !is_hashed("/icon-192.png"));
    }
}
