//! Builds the page: cargo for wasm, bindings, hashed names, the service worker's list, compressed copies.

use crate::folder::{self, Files};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

const TARGET: &str = "wasm32-unknown-unknown";
/// The page itself, which names all parts of its build.
pub(crate) const INDEX: &str = "index.html";

/// The repository's root.
fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// The folder that `serve` builds into.
pub fn own_folder() -> PathBuf {
    root().join("target").join("site")
}

fn say(words: &str) {
    // Progress that can't be shown stops no build.
    let _ = crate::tell(&format!("{words}\n"));
}

/// Builds the page into a folder; writes nothing where the same build stands there whole.
///
/// # Errors
/// A sentence that says what is missing, in the way, or went wrong.
pub fn site(folder: &Path) -> Result<(), String> {
    let root = root();
    std::fs::create_dir_all(folder)
        .map_err(|fault| format!("{} can't be made: {fault}.", folder.display()))?;
    need_target()?;
    say("Building the page …");
    compile(&root, &[PAGE, WORKER], "app/page.toml")?;
    let (page, plain) = (bind(PAGE)?, bind(WORKER)?);
    compile(&root, &[WORKER], "app/lanes.toml")?;
    let files = assemble(&root, page, [plain, bind(WORKER)?])?;
    folder::publish(folder, &files)
}

fn output(command: &mut Command) -> Option<String> {
    let output = command.output().ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// Adds the wasm target where it is missing.
fn need_target() -> Result<(), String> {
    let folder =
        output(Command::new("rustc").args(["--print", "target-libdir", "--target", TARGET]));
    if folder.is_some_and(|folder| Path::new(&folder).exists()) {
        return Ok(());
    }
    say("Adding Rust's target for WebAssembly …");
    let added = Command::new("rustup")
        .args(["target", "add", TARGET])
        .status();
    if added.is_ok_and(|status| status.success()) {
        return Ok(());
    }
    Err(format!(
        "Rust's standard library for {TARGET} is missing and rustup could not add it. Install it, then run this again."
    ))
}

/// What is built for the browser: packages, each with a program of its name.
const PAGE: &str = "amp-larder-app";
const WORKER: &str = "amp-larder-worker";

/// Builds programs for the browser with such settings laid over the release profile.
fn compile(root: &Path, programs: &[&str], settings: &str) -> Result<(), String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut build = Command::new(cargo);
    build
        .current_dir(root)
        .args(["build", "--quiet", "--release", "--target", TARGET])
        // Both packages are named each time, so that cargo wants the same of the macros, and builds them once.
        .args(["-p", PAGE, "-p", WORKER, "--config", settings])
        .args(programs.iter().flat_map(|program| ["--bin", program]));
    let built = build
        .status()
        .map_err(|fault| format!("cargo could not be started: {fault}."))?;
    if !built.success() {
        return Err("The page did not build; cargo says why above.".into());
    }
    Ok(())
}

/// JavaScript and wasm of one build.
struct Bound {
    glue: String,
    wasm: Vec<u8>,
}

/// Binds a program as it was last built.
fn bind(program: &str) -> Result<Bound, String> {
    let folder =
        std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from);
    let built = folder.join(TARGET).join("release").join(program);
    let mut bindgen = Bindgen::new();
    bindgen.input_bytes(program, read(&built.with_extension("wasm"))?);
    let made = |fault| format!("The bindings could not be made: {fault}.");
    bindgen.web(true).map_err(made)?;
    bindgen
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .typescript(false);
    let mut bound = bindgen.generate_output().map_err(made)?;
    Ok(Bound {
        glue: bound.js().to_owned(),
        wasm: bound.wasm_mut().emit_wasm(),
    })
}

/// Puts a program among the files under names that carry one hash, for its two halves belong together; returns the names.
fn put(files: &mut Files, name: &str, bound: Bound) -> (String, String) {
    let hash = short_hash(&[bound.glue.as_bytes(), &bound.wasm]);
    let (glue, wasm) = (format!("{name}-{hash}.js"), format!("{name}-{hash}.wasm"));
    files.insert(glue.clone(), bound.glue.into_bytes());
    files.insert(wasm.clone(), bound.wasm);
    (glue, wasm)
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    std::fs::read(path).map_err(|fault| format!("{} can't be read: {fault}.", path.display()))
}

/// The first 16 hexadecimal digits of the SHA-256 of contents in a row.
fn short_hash(contents: &[&[u8]]) -> String {
    let mut hasher = Sha256::new();
    for content in contents {
        hasher.update((content.len() as u64).to_le_bytes());
        hasher.update(content);
    }
    let mut hex = folder::hex(&hasher.finalize());
    hex.truncate(16);
    hex
}

/// The SHA-256 of a content as browsers take it ("Subresource Integrity", W3C).
fn integrity(content: &[u8]) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(content)))
}

/// Every file of the site by its name.
fn assemble(root: &Path, page: Bound, workers: [Bound; 2]) -> Result<Files, String> {
    let mut files = Files::new();
    let public = root.join("public");
    let text = |name: &str| {
        read(&public.join(name)).map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
    };
    let (glue_name, wasm_name) = put(&mut files, "page", page);
    let frame = text("worker.js")?;
    // The three files of each build of the workers: the frame, its glue, its wasm.
    let workers = ["plain", "lanes"].into_iter().zip(workers);
    let [plain, lanes] = workers
        .map(|(name, bound)| {
            let (glue, wasm) = put(&mut files, &format!("core-{name}"), bound);
            let frame = frame.replace("{{glue}}", &glue).replace("{{wasm}}", &wasm);
            let own = format!("worker-{name}-{}.js", short_hash(&[frame.as_bytes()]));
            files.insert(own.clone(), frame.into_bytes());
            [own, glue, wasm]
        })
        .collect::<Vec<_>>()
        .try_into()
        .map_err(|_| "The workers were not built.")?;
    let towns = read(&public.join("towns.txt"))?;
    let towns_name = format!("towns-{}.txt", short_hash(&[&towns]));
    let boot = text("boot.js")?
        .replace("{{towns.txt}}", &towns_name)
        .replace("{{page.js}}", &glue_name)
        .replace("{{page.wasm}}", &wasm_name)
        .replace("{{plain.js}}", &plain[0])
        .replace("{{lanes.js}}", &lanes[0]);
    let style = without_comments(&text("style.css")?);
    let boot_name = format!("boot-{}.js", short_hash(&[boot.as_bytes()]));
    let style_name = format!("style-{}.css", short_hash(&[style.as_bytes()]));
    let index = text("index.html")?
        .replace("{{boot.js}}", &boot_name)
        .replace("{{style.css}}", &style_name)
        .replace("{{page.js}}", &glue_name)
        .replace("{{page.wasm}}", &wasm_name);
    files.insert(boot_name, boot.into_bytes());
    files.insert(style_name, style.into_bytes());
    files.insert(INDEX.into(), index.into_bytes());
    for name in [
        "favicon.svg",
        "icon-192.png",
        "icon-512.png",
        "manifest.webmanifest",
    ] {
        files.insert(name.into(), read(&public.join(name))?);
    }
    let later = format!("[\"./{towns_name}\", \"{}\"]", integrity(&towns));
    let worker = text("sw.js")?.replace("\"{{later}}\"", &later);
    let worker = service_worker(&worker, &files, &plain, &lanes);
    files.insert("sw.js".into(), worker.into_bytes());
    // The list of towns is kept for use offline once it has been asked for.
    files.insert(towns_name, towns);
    // The schema is for other programs: served, not kept for use offline.
    let schema = read(&public.join("plan.schema.json"))?;
    files.insert("plan.schema.json".into(), schema);
    Ok(files)
}

/// The service worker of a build: its version, and name and hash of each part that it keeps.
fn service_worker(frame: &str, files: &Files, plain: &[String], lanes: &[String]) -> String {
    let list = |names: &mut dyn Iterator<Item = (&String, &Vec<u8>)>| {
        let entry = |(name, content): (&String, &Vec<u8>)| {
            let address = if name == INDEX { "" } else { name };
            format!("[\"./{address}\", \"{}\"]", integrity(content))
        };
        names.map(entry).collect::<Vec<_>>().join(", ")
    };
    let is_chosen = |name: &String| plain.contains(name) || lanes.contains(name);
    let mut always = files.iter().filter(|(name, _)| !is_chosen(name));
    let some = |names: &[String]| list(&mut files.iter().filter(|(name, _)| names.contains(name)));
    let all: Vec<&[u8]> = files
        .iter()
        .flat_map(|(name, content)| [name.as_bytes(), content])
        .collect();
    frame
        .replace("{{version}}", &short_hash(&all))
        .replace("\"{{parts}}\"", &list(&mut always))
        .replace("\"{{plain}}\"", &some(plain))
        .replace("\"{{lanes}}\"", &some(lanes))
}

/// A style sheet without what is said to its readers alone.
fn without_comments(style: &str) -> String {
    let mut parts = style.split("/*");
    let first = parts.next().unwrap_or_default().to_owned();
    let after = parts.map(|part| {
        part.split_once("*/")
            .map_or("", |(_, rest)| rest.trim_start())
    });
    first + &after.collect::<String>()
}
