use super::*;
use std::path::PathBuf;

/// A folder of its own for a test, removed at the end.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Self {
        let name = format!("amp-larder-{name}-{}", std::process::id());
        let place = std::env::temp_dir().join(name);
        fs::create_dir_all(&place).unwrap();
        Self(place)
    }

    fn names(&self) -> Vec<String> {
        let all = fs::read_dir(&self.0).unwrap().flatten();
        let mut names: Vec<String> = all
            .map(|entry| entry.file_name().into_string().unwrap())
            .filter(|name| !name.ends_with(".br") && !name.ends_with(".gz") && name != STAMP)
            .collect();
        names.sort();
        names
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).unwrap_or_default()
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.join(name), text).unwrap();
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn part(nth: u32) -> String {
    format!("page-{nth:016x}.js")
}

/// The nth build: a part of its own, and a page that names it.
fn build(nth: u32) -> Files {
    Files::from([
        (part(nth), format!("part {nth}").into_bytes()),
        ("favicon.svg".into(), b"icon".to_vec()),
        (INDEX.into(), format!("page of {}", part(nth)).into_bytes()),
        ("sw.js".into(), format!("worker {nth}").into_bytes()),
    ])
}

#[test]
fn parts_of_the_last_builds_stay_and_older_ones_go() {
    let place = Place::new("builds");
    place.write("own.txt", "mine");
    for nth in 1..=4 {
        publish(&place.0, &build(nth)).unwrap();
        assert_eq!(place.text(INDEX), format!("page of {}", part(nth)));
        // The page of the build before still finds its parts.
        assert!(nth == 1 || !place.text(&part(nth - 1)).is_empty());
    }
    let names = [
        &part(2),
        &part(3),
        &part(4),
        "favicon.svg",
        INDEX,
        "own.txt",
        "sw.js",
    ];
    let mut names: Vec<String> = names.iter().map(ToString::to_string).collect();
    names.sort();
    assert_eq!(place.names(), names);
}

#[test]
fn the_same_build_again_writes_nothing_and_heals_what_is_missing() {
    let place = Place::new("again");
    publish(&place.0, &build(1)).unwrap();
    let written = |name: &str| {
        fs::metadata(place.0.join(name))
            .unwrap()
            .modified()
            .unwrap()
    };
    let before = written("sw.js");
    publish(&place.0, &build(1)).unwrap();
    assert_eq!(written("sw.js"), before);
    for missing in [part(1), "index.html.br".to_owned(), "sw.js.gz".to_owned()] {
        fs::remove_file(place.0.join(&missing)).unwrap();
        publish(&place.0, &build(1)).unwrap();
        assert!(place.0.join(&missing).exists(), "{missing}");
    }
    assert_eq!(Stamp::read(&place.0).unwrap().builds.len(), 1);
}

#[test]
fn files_of_others_are_named_and_nothing_is_written() {
    let place = Place::new("foreign");
    place.write(INDEX, "my own page");
    fs::create_dir(place.0.join("sw.js")).unwrap();
    let refused = publish(&place.0, &build(1)).unwrap_err();
    assert!(refused.contains("index.html, sw.js"), "{refused}");
    assert_eq!(place.names(), [INDEX, "sw.js"]);
    assert_eq!(place.text(INDEX), "my own page");
    // What this program wrote and somebody changed is theirs now.
    let place = Place::new("changed");
    publish(&place.0, &build(1)).unwrap();
    place.write(INDEX, "changed by hand");
    let refused = publish(&place.0, &build(2)).unwrap_err();
    assert!(refused.contains("changed since: index.html."), "{refused}");
    assert_eq!(place.text(INDEX), "changed by hand");
    assert!(!place.0.join(part(2)).exists());
}

#[test]
fn a_link_is_foreign_and_not_followed() {
    let place = Place::new("link");
    place.write("precious.txt", "precious");
    for name in [INDEX, ".favicon.svg.new"] {
        std::os::unix::fs::symlink(place.0.join("precious.txt"), place.0.join(name)).unwrap();
    }
    assert!(publish(&place.0, &build(1)).is_err());
    fs::remove_file(place.0.join(INDEX)).unwrap();
    publish(&place.0, &build(1)).unwrap();
    assert_eq!(place.text("precious.txt"), "precious");
}

#[test]
fn a_hostile_stamp_removes_nothing() {
    let place = Place::new("hostile");
    let beside = Place::new("beside");
    beside.write("letter.js", "dear");
    place.write("notes.txt", "notes");
    let (dear, notes) = (hex(&Sha256::digest("dear")), hex(&Sha256::digest("notes")));
    let up = format!("../{}/letter.js", beside.0.file_name().unwrap().display());
    let absolute = beside.0.join("letter.js");
    let hostile = format!(
        "{dear} {up}\n{dear} {}\n{notes} notes.txt\n{notes} .\n{notes} ..\n{notes} \n",
        absolute.display()
    );
    place.write(
        STAMP,
        &format!("{FORM}\nbuild\nbuild\nbuild\nbuild\n{hostile}"),
    );
    for nth in [1, 2, 3, 4, 5, 1] {
        publish(&place.0, &build(nth)).unwrap();
        assert_eq!(place.text("notes.txt"), "notes");
        assert_eq!(beside.text("letter.js"), "dear");
    }
    // A stamp of the earlier form that is not true of the files, and files that are no stamp at all.
    let earlier = format!(
        "0123456789abcdef\n{up}\n{}\nnotes.txt\n..\n",
        absolute.display()
    );
    for stamp in [earlier, "\0\u{ffff}".repeat(100), "my stamps".to_owned()] {
        place.write(STAMP, &stamp);
        let refused = publish(&place.0, &build(2)).unwrap_err();
        assert!(refused.contains(STAMP), "{refused}");
        assert_eq!(place.text(STAMP), stamp);
        assert_eq!(place.text(INDEX), format!("page of {}", part(1)));
    }
}

#[test]
fn damaged_files_are_healed() {
    let place = Place::new("damaged");
    publish(&place.0, &build(1)).unwrap();
    place.write(&part(1), "pa");
    place.write("index.html", "");
    place.write(&format!("{}.br", part(1)), "");
    publish(&place.0, &build(1)).unwrap();
    assert_eq!(place.text(&part(1)), "part 1");
    assert_eq!(place.text(INDEX), format!("page of {}", part(1)));
    // A file of such a name that no stamp lists is somebody else's.
    place.write(&part(2), "mine");
    assert!(publish(&place.0, &build(2)).is_err());
    assert_eq!(place.text(&part(2)), "mine");
}

#[test]
fn a_folder_of_the_earlier_form_is_taken_over() {
    let place = Place::new("earlier");
    for (name, content) in build(1) {
        fs::write(place.0.join(name), content).unwrap();
    }
    let names: String = build(1).keys().map(|name| format!("{name}\n")).collect();
    let mut hasher = DefaultHasher::new();
    build(1).hash(&mut hasher);
    place.write(STAMP, &format!("{:016x}\n{names}", hasher.finish()));
    place.write(INDEX, "changed by hand");
    assert!(publish(&place.0, &build(2)).is_err());
    assert_eq!(place.text(INDEX), "changed by hand");
    place.write(INDEX, &format!("page of {}", part(1)));
    publish(&place.0, &build(2)).unwrap();
    assert_eq!(place.text(INDEX), format!("page of {}", part(2)));
    assert_eq!(place.text(&part(1)), "part 1");
}

/// A run may end at any file, as if killed or the disk were full: what stands is always a page whose parts are there, and the
/// next run completes it.
#[test]
fn a_run_that_is_cut_short_leaves_a_whole_page() {
    for name in compressed(&build(2)).unwrap().into_keys() {
        let place = Place::new(&format!("cut-{name}"));
        publish(&place.0, &build(1)).unwrap();
        let blocked = place.0.join(format!(".{name}.new"));
        fs::create_dir(&blocked).unwrap();
        assert!(publish(&place.0, &build(2)).is_err(), "{name}");
        let page = place.text(INDEX);
        let named = page.trim_start_matches("page of ");
        assert!(place.0.join(named).exists(), "{page} without {name}");
        let worker = place.text("sw.js");
        let is_new = worker == "worker 2";
        assert!(
            !is_new || page == format!("page of {}", part(2)),
            "{worker}, {page}"
        );
        fs::remove_dir(&blocked).unwrap();
        for nth in [2, 3] {
            publish(&place.0, &build(nth)).unwrap();
            assert_eq!(place.text(INDEX), format!("page of {}", part(nth)));
            assert_eq!(place.text("sw.js"), format!("worker {nth}"));
        }
    }
}
