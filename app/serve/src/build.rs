//! Builds the page: cargo for wasm, bindings, hashed names, the service worker's list, compressed copies.

use rayon::prelude::*;
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

const TARGET: &str = "wasm32-unknown-unknown";
/// The stamp of the last build: what it was made of, then the names of its files.
const STAMP: &str = ".stamp";
/// How the name of each copy of a file ends: as it is, by brotli, by gzip.
const COPIES: [&str; 3] = ["", ".br", ".gz"];
/// Strength of brotli and its window.
const BROTLI: (u32, u32) = (11, 22);

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
    eprintln!("{words}");
}

/// Builds the page into a folder; does nothing where the folder is of the same make.
///
/// # Errors
/// A sentence that says what is missing or went wrong.
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
    let names: String = files.keys().map(|name| format!("{name}\n")).collect();
    let stamp = format!("{:016x}\n{names}", hash_of(&files));
    let last = std::fs::read_to_string(folder.join(STAMP)).unwrap_or_default();
    if last == stamp {
        return Ok(());
    }
    say("Compressing …");
    clear(folder, last.lines().skip(1));
    write(folder, &files)?;
    keep(&folder.join(STAMP), stamp.as_bytes())
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

/// Puts a build among the files under names that carry one hash, for its two halves belong together; tells the names.
fn put(files: &mut Files, name: &str, bound: Bound) -> (String, String) {
    let hash = hash_of(&(&bound.glue, &bound.wasm));
    let (glue, wasm) = (
        format!("{name}-{hash:016x}.js"),
        format!("{name}-{hash:016x}.wasm"),
    );
    files.insert(glue.clone(), bound.glue.into_bytes());
    files.insert(wasm.clone(), bound.wasm);
    (glue, wasm)
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    std::fs::read(path).map_err(|fault| format!("{} can't be read: {fault}.", path.display()))
}

fn keep(path: &Path, bytes: &[u8]) -> Result<(), String> {
    std::fs::write(path, bytes)
        .map_err(|fault| format!("{} can't be written: {fault}.", path.display()))
}

fn hash_of(what: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    what.hash(&mut hasher);
    hasher.finish()
}

type Files = BTreeMap<String, Vec<u8>>;

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
            let own = format!("worker-{name}-{:016x}.js", hash_of(&frame));
            files.insert(own.clone(), frame.into_bytes());
            [own, glue, wasm]
        })
        .collect::<Vec<_>>()
        .try_into()
        .map_err(|_| "The workers were not built.")?;
    let boot = text("boot.js")?
        .replace("{{page.js}}", &glue_name)
        .replace("{{page.wasm}}", &wasm_name)
        .replace("{{plain.js}}", &plain[0])
        .replace("{{lanes.js}}", &lanes[0]);
    let style = without_comments(&text("style.css")?);
    let boot_name = format!("boot-{:016x}.js", hash_of(&boot));
    let style_name = format!("style-{:016x}.css", hash_of(&style));
    let index = text("index.html")?
        .replace("{{boot.js}}", &boot_name)
        .replace("{{style.css}}", &style_name)
        .replace("{{page.js}}", &glue_name)
        .replace("{{page.wasm}}", &wasm_name);
    files.insert(boot_name, boot.into_bytes());
    files.insert(style_name, style.into_bytes());
    files.insert("index.html".into(), index.into_bytes());
    for name in [
        "favicon.svg",
        "icon-192.png",
        "icon-512.png",
        "manifest.webmanifest",
    ] {
        files.insert(name.into(), read(&public.join(name))?);
    }
    // The schema is for other programs: served, not kept for use offline.
    let schema = read(&public.join("plan.schema.json"))?;
    let list = |names: &mut dyn Iterator<Item = &String>| {
        let quoted: Vec<String> = names.map(|name| format!("\"./{name}\"")).collect();
        quoted.join(", ")
    };
    let is_chosen = |name: &String| plain.contains(name) || lanes.contains(name);
    let always = &mut files
        .keys()
        .filter(|name| *name != "index.html" && !is_chosen(name));
    let version = format!("{:016x}", hash_of(&files));
    let worker = text("sw.js")?
        .replace("{{version}}", &version)
        .replace("\"{{files}}\"", &list(always))
        .replace("\"{{plain}}\"", &list(&mut plain.iter()))
        .replace("\"{{lanes}}\"", &list(&mut lanes.iter()));
    files.insert("sw.js".into(), worker.into_bytes());
    files.insert("plan.schema.json".into(), schema);
    Ok(files)
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

/// Takes away what the last build put into a folder; what it did not put there stays.
fn clear<'a>(folder: &Path, names: impl Iterator<Item = &'a str>) {
    for name in names {
        for kind in COPIES {
            // What is gone already is no fault.
            let _ = std::fs::remove_file(folder.join(format!("{name}{kind}")));
        }
    }
}

fn write(folder: &Path, files: &Files) -> Result<(), String> {
    files.par_iter().try_for_each(|(name, bytes)| {
        let [plain, brotli, gzip] = COPIES.map(|kind| folder.join(format!("{name}{kind}")));
        keep(&plain, bytes)?;
        keep(&brotli, &brotli_of(bytes)?)?;
        keep(&gzip, &gzip_of(bytes)?)
    })
}

fn brotli_of(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut writer = brotli::CompressorWriter::new(Vec::new(), 4096, BROTLI.0, BROTLI.1);
    writer.write_all(bytes).map_err(|fault| fault.to_string())?;
    Ok(writer.into_inner())
}

fn gzip_of(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    writer.write_all(bytes).map_err(|fault| fault.to_string())?;
    writer.finish().map_err(|fault| fault.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_build_takes_the_last_away_and_nothing_else() {
        let name = format!("amp-larder-clear-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).unwrap();
        let files = Files::from([("page-1.js".to_owned(), b"1".to_vec())]);
        write(&folder, &files).unwrap();
        keep(&folder.join("own.txt"), b"not ours").unwrap();
        clear(&folder, ["page-1.js", "gone.js"].into_iter());
        let left = std::fs::read_dir(&folder).unwrap().flatten();
        let left: Vec<_> = left.map(|entry| entry.file_name()).collect();
        std::fs::remove_dir_all(&folder).unwrap();
        assert_eq!(left, ["own.txt"]);
    }
}
