//! The program at a prompt: exit codes, standard error, and output that can't be written.

use serde_json::{Value, json};
use std::fs::File;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

const VAN: &str = include_str!("../../../demo-data/orchard-van.larder.json");

fn program() -> Command {
    Command::new(env!("CARGO_BIN_EXE_amp-larder"))
}

/// Runs the program with text, or any bytes, on standard input.
fn run(arguments: &[&str], input: &[u8]) -> Output {
    let mut command = program();
    command
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program");
    // A program that stops before it has read all has its reasons.
    let _ = child.stdin.take().expect("a pipe").write_all(input);
    child.wait_with_output().expect("an end")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn van(change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut plan: Value = serde_json::from_str(VAN).expect("a plan");
    change(&mut plan);
    plan.to_string().into_bytes()
}

/// A file or folder of its own, gone with the value.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Self {
        Self(std::env::temp_dir().join(format!("amp-larder-{}-{name}", std::process::id())))
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

#[test]
fn input_that_is_no_plan_is_named_as_what_it_is() {
    let long = "x".repeat(5000);
    let cases: [(&[u8], &str); 5] = [
        (b"", "Standard input is empty"),
        (b"\xef\xbb\xbf \n", "Standard input is empty"),
        (b"{\n\"name\": \"\xff\xfe\"}", "line 2 isn't UTF-8 text"),
        (b"[1]", "not a plan"),
        (b"{\"version\":1,\"loads\":7}", "“7” stands at loads"),
    ];
    for (input, says) in cases {
        let ended = run(&["assess", "-"], input);
        assert_eq!(ended.status.code(), Some(2), "{says}");
        assert!(err(&ended).contains(says), "{}", err(&ended));
        assert!(ended.stdout.is_empty());
    }
    for (source, says) in [
        ("no such file", "there is no such file"),
        (".", "is a folder"),
        (&long, "can't be read"),
        ("x#plan=1.A", "cut short"),
    ] {
        let ended = run(&["assess", source], b"");
        assert_eq!(ended.status.code(), Some(2), "{says}");
        assert!(err(&ended).contains(says), "{}", err(&ended));
        assert!(err(&ended).chars().count() < 200, "{}", err(&ended));
    }
}

#[test]
fn what_is_repeated_is_cut() {
    let long = "é".repeat(5000);
    for plan in [
        van(|plan| plan["loads"][0]["way"] = long.clone().into()),
        van(|plan| plan["loads"][0]["draw"] = long.clone().into()),
        van(|plan| plan["loads"][0]["from"] = long.clone().into()),
        van(|plan| plan["living"]["starts"] = long.clone().into()),
        van(|plan| plan["drafts"][&long] = json!({ "text": long, "says": "" })),
        van(|plan| plan["drafts"][&long] = json!({ "text": long, "says": long })),
        van(|plan| {
            plan["loads"][0]["name"] = long.clone().into();
            plan["loads"][0]["draw"] = json!(-4);
        }),
    ] {
        let ended = run(&["assess", "-"], &plan);
        assert_eq!(ended.status.code(), Some(2));
        let says = err(&ended);
        assert!(
            says.lines().all(|line| line.chars().count() < 600),
            "{says}"
        );
        let echoed = says
            .split('“')
            .skip(1)
            .map(|rest| rest.split('”').next().unwrap_or_default().chars().count());
        assert!(echoed.max().unwrap_or(0) <= 300, "{says}");
    }
}

#[test]
fn an_unknown_field_is_named_with_the_nearest_known_one() {
    let plan = van(|plan| {
        plan["loads"][0]["drwa"] = json!(40);
        plan["living"]["cabin_C"] = json!(20);
        plan["candidates"][0]["bought\u{1b}"] = json!("May");
        plan["sun"]["panels"][0]["wats"] = json!(1);
        plan["wiring"]["routs"] = json!([]);
        plan["wiring"]["drop"] = json!(0.03);
        plan["living"]["summer_h"] = json!(0);
        plan["curency"] = json!("£");
    });
    let ended = run(&["assess", "-", "--as", "json"], &plan);
    let says = err(&ended);
    for line in [
        "loads/1/drwa: unknown field, kept but not used. Did you mean “draw”?",
        "living/cabin_C: unknown field, kept but not used. Did you mean “cabin_c”?",
        "/bought\\u{1b}: unknown field, kept but not used.\n",
        "/wats: unknown field, kept but not used. Did you mean “watts”?",
        "wiring/routs: unknown field, kept but not used. Did you mean “routes”?",
        "curency: unknown field, kept but not used. Did you mean “currency”?",
    ] {
        assert!(says.contains(line), "{line} in {says}");
    }
    assert_eq!(
        ended.status.code(),
        run(&["assess", "-"], VAN.as_bytes()).status.code()
    );
}

#[test]
fn a_newer_plan_is_assessed_as_far_as_understood_and_a_slip_is_refused() {
    let newer = van(|plan| {
        plan["version"] = json!(2);
        plan["heat_pump"] = json!({ "w": 900 });
        plan["loads"][1]["way"] = json!("by-tide");
    });
    let ended = run(&["assess", "-"], &newer);
    let says = err(&ended);
    assert!(
        says.contains("is of version 2")
            && says.contains("heat_pump")
            && says.contains("loads/2/way"),
        "{says}"
    );
    assert!(out(&ended).contains("Orchard van"));
    let slip = van(|plan| plan["candidates"][0]["chemistry"] = json!("amg"));
    let ended = run(&["assess", "-"], &slip);
    assert_eq!(ended.status.code(), Some(2));
    assert!(
        err(&ended).contains("“amg” stands at candidates/"),
        "{}",
        err(&ended)
    );
}

#[test]
fn names_act_on_nothing_around_them() {
    let name = "| `a` <b>\n# c\u{1b}[31m\u{202e}d";
    let plan = van(|plan| {
        plan["name"] = name.into();
        plan["currency"] = name.into();
        for list in ["/loads", "/locker/obstacles"] {
            for row in plan
                .pointer_mut(list)
                .and_then(Value::as_array_mut)
                .expect("rows")
            {
                row["name"] = name.into();
            }
        }
    });
    for form in ["text", "markdown", "csv-hours"] {
        let text = out(&run(&["assess", "-", "--as", form], &plan));
        assert!(text.len() > 1000);
        assert!(
            !text
                .chars()
                .any(|c| c != '\n' && (c.is_control() || c == '\u{202e}')),
            "{form}"
        );
        assert!(
            !text.lines().any(|line| line.starts_with("# c")),
            "{form}: a name begins no line"
        );
        if form == "markdown" {
            let unescaped = |mark: char| {
                text.match_indices(mark)
                    .any(|(at, _)| !text[..at].ends_with('\\'))
            };
            assert!(!unescaped('`') && !unescaped('<'), "{form}");
        }
    }
    let json: Value =
        serde_json::from_slice(&run(&["assess", "-", "--as", "json"], &plan).stdout).expect("JSON");
    assert_eq!(json["name"], name);
}

#[test]
fn no_zero_has_a_sign() {
    let plan = van(|plan| {
        for path in [
            "/living/lon",
            "/living/utc_offset_h",
            "/candidates/0/age_years",
            "/locker/inside_mm/0",
            "/sun/panels/0/tilt",
        ] {
            let (group, name) = path.rsplit_once('/').expect("a path");
            match plan.pointer_mut(group).expect("a group") {
                Value::Array(all) => all[name.parse::<usize>().expect("a place")] = json!(-0.0),
                fields => fields[name] = json!(-0.0),
            }
        }
        plan["locker"]["measured"] = json!(false);
    });
    for form in ["text", "markdown", "json", "csv-hours"] {
        let ended = run(&["assess", "-", "--as", form], &plan);
        let text = out(&ended);
        assert!(text.len() > 1000, "{}", err(&ended));
        let minus = |word: &str| {
            ["-0", "\u{2212}0"].iter().any(|zero| {
                word.strip_prefix(zero)
                    .is_some_and(|rest| rest.chars().all(|c| c == '0' || c == '.'))
            })
        };
        let words = text.split(|c: char| c.is_whitespace() || ",;:|()[]".contains(c));
        let signed: Vec<&str> = words
            .filter(|word| minus(word.trim_end_matches('.')))
            .collect();
        assert!(signed.is_empty(), "{form}: {signed:?}");
    }
}

/// Where every write fails as on a full disk.
#[cfg(target_os = "linux")]
fn full() -> File {
    File::options()
        .write(true)
        .open("/dev/full")
        .expect("Linux has one")
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_written_ends_with_a_code_of_its_own() {
    let file = Place::new("van.json");
    std::fs::write(&file.0, VAN).expect("a file");
    let van = file.0.to_str().expect("a path");
    for arguments in [
        &["assess", van][..],
        &["schema"],
        &["--help"],
        &["--version"],
        &["assess", "--help"],
    ] {
        let ended = program()
            .args(arguments)
            .stdout(full())
            .stderr(Stdio::piped())
            .output()
            .expect("an end");
        assert_eq!(
            ended.status.code(),
            Some(3),
            "{arguments:?}: {}",
            err(&ended)
        );
    }
    for arguments in [
        &["assess", "no such file"][..],
        &["map", "no such file"],
        &["assess", van, "--as", "nothing"],
    ] {
        let ended = program()
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(full())
            .output()
            .expect("an end");
        assert_eq!(ended.status.code(), Some(3), "{arguments:?}");
    }
    let both = program()
        .args(["assess", van])
        .stdout(full())
        .stderr(full())
        .status()
        .expect("an end");
    assert_eq!(both.code(), Some(3));
}

#[test]
fn a_reader_that_stops_early_changes_no_code() {
    let file = Place::new("read.json");
    std::fs::write(&file.0, VAN).expect("a file");
    let van = file.0.to_str().expect("a path");
    let whole = program().args(["assess", van]).output().expect("an end");
    let mut child = program()
        .args(["assess", van, "--as", "csv-hours"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program");
    drop(child.stdout.take());
    let ended = child.wait_with_output().expect("an end");
    assert_eq!(ended.status.code(), whole.status.code());
    assert_eq!(err(&ended), "");
}
