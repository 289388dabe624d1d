//! The rules of the house, as tests: each checker looks at (path, text), and is tried on a bad sample too.

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("a root")
        .to_path_buf()
}

/// Every file below a folder, with its path from the root.
fn files(folder: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut open = vec![root().join(folder)];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                let text = std::fs::read_to_string(&path).expect("text");
                let name = path
                    .strip_prefix(root())
                    .expect("below the root")
                    .to_string_lossy()
                    .into_owned();
                found.push((name, text));
            }
        }
    }
    assert!(!found.is_empty(), "nothing in {folder}");
    found
}

/// A rule: what is wrong with a file, where something is.
type Rule = fn(&str, &str) -> Option<String>;

fn hold(folder: &str, rule: Rule, bad: (&str, &str)) {
    assert!(
        rule(bad.0, bad.1).is_some(),
        "the rule must be able to fail"
    );
    let broken: Vec<String> = files(folder, ".rs")
        .iter()
        .filter_map(|(path, text)| Some(format!("{path}: {}", rule(path, text)?)))
        .collect();
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

fn contains_any(text: &str, words: &[&str]) -> Option<String> {
    words
        .iter()
        .find(|word| text.contains(**word))
        .map(|word| format!("names {word}"))
}

#[test]
fn core_reads_no_clock_no_file_and_nothing_random() {
    let rule: Rule = |_, text| {
        contains_any(
            text,
            &[
                "SystemTime",
                "Instant::now",
                "Utc::now",
                "std::fs",
                "io::stdin",
                "io::stdout",
                "io::stderr",
                "rand::",
                "HashMap",
                "HashSet",
            ],
        )
    };
    hold(
        "core/src",
        rule,
        ("core/src/a.rs", "let now = std::time::SystemTime::now();"),
    );
}

#[test]
fn only_the_browser_room_touches_the_browser() {
    let rule: Rule = |path, text| {
        (!path.starts_with("app/src/browser") && text.contains("web_sys::"))
            .then(|| "names web_sys".into())
    };
    hold(
        "app/src",
        rule,
        ("app/src/screens/a.rs", "use web_sys::Window;"),
    );
}

#[test]
fn no_picture_or_screen_carries_a_style_attribute() {
    let rule: Rule = |path, text| {
        let room = path.starts_with("app/src/pictures") || path.starts_with("app/src/screens");
        (room && (text.contains(" style=") || text.contains("style=\\\"")))
            .then(|| "has a style attribute".into())
    };
    hold(
        "app/src",
        rule,
        ("app/src/pictures/a.rs", "<rect style=\"fill:red\"/>"),
    );
}

#[test]
fn topics_do_not_name_each_other() {
    let rule: Rule = |path, text| {
        let topics = ["energy", "battery", "solar", "charge", "fit", "cable"];
        let own = topics
            .into_iter()
            .find(|topic| path.starts_with(&format!("core/src/{topic}/")))?;
        topics
            .into_iter()
            .find(|topic| *topic != own && text.contains(&format!("crate::{topic}")))
            .map(|topic| format!("names {topic}"))
    };
    hold(
        "core/src",
        rule,
        ("core/src/solar/a.rs", "use crate::battery::Bank;"),
    );
}

#[test]
fn every_room_says_what_it_is_for() {
    let rule: Rule = |path, text| {
        let opens = text.lines().take_while(|line| line.starts_with("//!"));
        let opens: Vec<&str> = opens.collect();
        let well = opens.len() >= 3
            && opens
                .iter()
                .any(|line| line.contains("Architecture invariant:"));
        (path.ends_with("mod.rs") && !well).then(|| "does not open with its three lines".into())
    };
    hold("core/src", rule, ("core/src/a/mod.rs", "//! A room."));
}

#[test]
fn core_depends_on_no_package_of_ours() {
    let manifest = std::fs::read_to_string(root().join("core/Cargo.toml")).expect("a manifest");
    assert!(
        !manifest.contains("amp-larder ")
            && !manifest.contains("amp-larder-app")
            && !manifest.contains("larder.workspace")
    );
}

#[test]
fn the_root_holds_only_what_belongs_there() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "rust-toolchain.toml",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "app",
        "core",
        "public",
        "tests",
        "demo-data",
        "target",
    ];
    for entry in std::fs::read_dir(root()).expect("the root").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || known.contains(&name.as_str()),
            "{name} does not belong at the root"
        );
    }
}
