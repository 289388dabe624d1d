//! A plan in a link and in a file: text in, plan out, with a sentence for whatever can't be read.

use crate::plan::{Plan, Reading, VERSION, keep_unknown, misfit_says, put_back, read_newer};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use serde_json::ser::{Formatter, Serializer};
use std::io;

/// What a link's fragment begins with: the name, and the version of the packing.
pub const PREFIX: &str = "plan=1.";
/// Longest text of a plan that is read [bytes].
pub const MOST_BYTES: usize = 1_000_000;
/// How hard the packing tries, 0 to 10.
const EFFORT: u8 = 8;

/// Packs a plan into a link's fragment: JSON, deflate (RFC 1951), base64url without padding (RFC 4648 §5).
pub fn to_fragment(plan: &Plan) -> String {
    let json = write(&to_value(plan), None);
    let packed = miniz_oxide::deflate::compress_to_vec(json.as_bytes(), EFFORT);
    format!("{PREFIX}{}", URL_SAFE_NO_PAD.encode(packed))
}

/// Whether a fragment claims to hold a plan.
pub fn is_plan(fragment: &str) -> bool {
    fragment.trim_start_matches('#').starts_with("plan=")
}

/// Unpacks a link, or only its fragment.
///
/// # Errors
/// A sentence for a link of another kind, from a newer program, cut short, or too large.
pub fn from_link(link: &str) -> Result<Plan, String> {
    let fragment = link.trim().rsplit('#').next().unwrap_or_default();
    let Some(rest) = fragment.strip_prefix("plan=") else {
        return Err("This link holds no plan. Ask for a link that has “#plan=” in it.".into());
    };
    let Some((packing, body)) = rest.split_once('.') else {
        return Err(CUT.into());
    };
    if packing != "1" {
        return Err(format!(
            "This link was packed by a newer version ({}); this one reads version 1. Load the page anew with a \
             connection, then open the link again.",
            packing.chars().take(12).collect::<String>()
        ));
    }
    let packed = URL_SAFE_NO_PAD
        .decode(body.trim())
        .map_err(|_| CUT.to_owned())?;
    let json = miniz_oxide::inflate::decompress_to_vec_with_limit(&packed, MOST_BYTES).map_err(
        |fault| {
            if fault.status == miniz_oxide::inflate::TINFLStatus::HasMoreOutput {
                TOO_LARGE.to_owned()
            } else {
                CUT.to_owned()
            }
        },
    )?;
    let text = String::from_utf8(json).map_err(|_| CUT.to_owned())?;
    from_text(&text)
}

const CUT: &str =
    "This link is cut short or damaged. Your plan is unchanged; ask for the link again.";
const TOO_LARGE: &str = "This is larger than any plan: more than 1 MB. Nothing was read; look whether it is the right file.";

/// Reads a plan file.
///
/// # Errors
/// A sentence for text that is not JSON, not a plan, or too large.
pub fn from_text(text: &str) -> Result<Plan, String> {
    if text.len() > MOST_BYTES {
        return Err(TOO_LARGE.into());
    }
    let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|fault| format!("This isn't a plan file: the text breaks off or goes wrong at line {}. Choose the file that was saved here.", fault.line()))?;
    from_value(value)
}

/// Reads a plan from JSON. Of a plan of a newer form it reads what is understood; [`Plan::newer`] then holds the original, and
/// every way of writing gives that back.
///
/// # Errors
/// As [`from_text`].
pub fn from_value(value: Value) -> Result<Plan, String> {
    let Some(version) = value.get("version").and_then(Value::as_f64) else {
        return Err(
            "This is JSON, but not a plan: it has no version number. Choose the file that was saved here."
                .into(),
        );
    };
    if version < 1.0 {
        return Err(format!(
            "This plan says version {version}, which never was. Write \"version\": {VERSION}."
        ));
    }
    let is_newer = version > f64::from(VERSION);
    let read = Plan::deserialize(Reading(&value)).ok();
    let Some(mut plan) = read.filter(|_| !is_newer) else {
        let says = || misfit_says(&value);
        return read_newer(value.clone(), version).ok_or_else(says);
    };
    plan.number_rows();
    plan.write_out_guesses();
    plan.guess_left_out(&value);
    keep_unknown(&mut plan, value);
    Ok(plan)
}

/// A plan as JSON, with what it does not know where it stood.
pub fn to_value(plan: &Plan) -> Value {
    if let Some(newer) = &plan.newer {
        return newer.whole.clone();
    }
    let mut value = serde_json::to_value(plan).unwrap_or_default();
    if let Some(guesses) = value.get_mut("guesses") {
        *guesses = plan.guesses_in_short().into();
    }
    put_back(plan, &mut value);
    value
}

/// Writes a plan file.
pub fn to_text(plan: &Plan) -> String {
    write(&to_value(plan), Some(0))
}

/// Writes JSON on one line.
pub fn to_line(value: &Value) -> String {
    write(value, None)
}

fn write(value: &Value, indent: Option<usize>) -> String {
    let mut text = Vec::new();
    let mut serializer = Serializer::with_formatter(
        &mut text,
        Plain {
            indent,
            filled: false,
        },
    );
    let written = value.serialize(&mut serializer);
    debug_assert!(written.is_ok(), "JSON is written into memory");
    String::from_utf8(text).unwrap_or_default()
}

/// Writes numbers as people do, 12 and not 12.0, on one line or, where it is given a depth, on many.
struct Plain {
    indent: Option<usize>,
    filled: bool,
}

impl Plain {
    fn line<W: ?Sized + io::Write>(&self, writer: &mut W) -> io::Result<()> {
        let Some(depth) = self.indent else {
            return Ok(());
        };
        writer.write_all(b"\n")?;
        (0..depth).try_for_each(|_| writer.write_all(b"  "))
    }

    fn open<W: ?Sized + io::Write>(&mut self, writer: &mut W, with: u8) -> io::Result<()> {
        self.indent = self.indent.map(|depth| depth + 1);
        self.filled = false;
        writer.write_all(&[with])
    }

    fn close<W: ?Sized + io::Write>(&mut self, writer: &mut W, with: u8) -> io::Result<()> {
        self.indent = self.indent.map(|depth| depth.saturating_sub(1));
        if self.filled {
            self.line(writer)?;
        }
        self.filled = true;
        writer.write_all(&[with])
    }

    fn next<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        self.filled = true;
        self.line(writer)
    }
}

impl Formatter for Plain {
    fn write_f64<W: ?Sized + io::Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        // Very large and very small numbers as every reader takes them; `{value}` would write 301 figures for 1e300.
        match value.abs() {
            size if size != 0.0 && !(1e-7..1e17).contains(&size) => write!(writer, "{value:e}"),
            _ => write!(writer, "{value}"),
        }
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b'[')
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b']')
    }

    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.next(writer, first)
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b'{')
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b'}')
    }

    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.next(writer, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(if self.indent.is_some() { b": " } else { b":" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Load;

    fn sample() -> Plan {
        let mut plan = Plan::default();
        plan.loads.push(Load {
            id: 4,
            name: "lamp, “good” one".into(),
            ..Load::default()
        });
        plan.unknown
            .insert("colour of the curtains".into(), "blue".into());
        plan.unknown.insert(
            "loads/4/bought".into(),
            serde_json::json!({ "in": [1, 2.5] }),
        );
        plan
    }

    #[test]
    fn what_a_plan_does_not_know_leaves_with_its_row() {
        let mut plan = sample();
        assert!(to_text(&plan).contains("\"bought\": {"));
        assert!(
            to_text(&plan).contains("\"count\": 1,\n"),
            "numbers are written as people do"
        );
        plan.loads.clear();
        assert!(!to_text(&plan).contains("bought"));
        assert!(to_text(&plan).contains("curtains"));
    }

    #[test]
    fn what_a_plan_does_not_know_stays_where_it_stood() {
        let text = r#"{"version":1,"and/or~":2,"loads":[{"bought":"May"},{"id":1,"bought":"June"},{"id":1,"bought":"July"}],
            "wiring":{"made by":"hand"},"drafts":{"loads/1/draw":{"text":"4o","says":"No.","at":9}}}"#;
        let mut plan = from_text(text).unwrap();
        plan.wiring.add_route(50);
        let value = to_value(&plan);
        assert_eq!(value["and/or~"], 2);
        for (at, month) in ["May", "June", "July"].into_iter().enumerate() {
            assert_eq!(value["loads"][at]["bought"], month);
        }
        assert_eq!(value["wiring"]["made by"], "hand");
        assert_eq!(value["wiring"]["routes"][0]["id"], 50);
        assert_eq!(value["drafts"]["loads/1/draw"]["at"], 9);
        assert_eq!(to_value(&from_value(value.clone()).unwrap()), value);
    }

    #[test]
    fn a_link_gives_back_the_plan_with_all_that_it_does_not_know() {
        let plan = sample();
        let link = format!("https://example.org/larder/#{}", to_fragment(&plan));
        assert_eq!(from_link(&link).unwrap(), plan);
        assert_eq!(from_text(&to_text(&plan)).unwrap(), plan);
    }

    #[test]
    fn each_bad_link_has_its_sentence() {
        let whole = to_fragment(&sample());
        for keep in [6, 8, 20, whole.len() / 2, whole.len() - 3] {
            let says = from_link(&whole[..keep]).unwrap_err();
            assert!(
                says.contains("cut short") || says.contains("no plan"),
                "{keep}: {says}"
            );
        }
        assert!(
            from_link("#plan=999.AAAA")
                .unwrap_err()
                .contains("newer version (999)")
        );
        assert!(
            from_link("https://example.org/")
                .unwrap_err()
                .contains("holds no plan")
        );
        let zeros = miniz_oxide::deflate::compress_to_vec(&vec![b'0'; 3_000_000], 8);
        let bomb = format!("plan=1.{}", URL_SAFE_NO_PAD.encode(zeros));
        assert!(
            from_link(&bomb)
                .unwrap_err()
                .contains("larger than any plan")
        );
    }

    #[test]
    fn each_bad_file_has_its_sentence() {
        let says = |text: &str| from_text(text).unwrap_err();
        assert!(says("{").contains("isn't a plan file"));
        assert!(says("[1, 2]").contains("not a plan"));
        assert!(says("{\"version\": 1, \"loads\": 3}").contains("stands at loads"));
        assert!(says(&" ".repeat(MOST_BYTES + 1)).contains("larger than any plan"));
    }

    #[test]
    fn a_plan_of_a_newer_version_is_read_as_far_as_understood_and_written_back_whole() {
        let text = r#"{"version":2.5,"name":"van","heat_pump":{"w":900},"volts":{"bus":48},
            "loads":[{"id":1,"name":"fan","draw":4},{"id":2,"way":"by-tide","draw":9}],
            "candidates":[{"id":3,"chemistry":"salt-water"},{"id":4,"smart":true}],"inverter":{"mains":"v400","idle_w":7}}"#;
        let plan = from_text(text).unwrap();
        let newer = plan.newer.as_ref().unwrap();
        assert_eq!(
            newer.not_understood,
            [
                "candidates/3/chemistry",
                "inverter/mains",
                "loads/2/way",
                "volts/bus",
                "candidates/4/smart",
                "heat_pump"
            ]
        );
        let ids: Vec<u32> = plan
            .loads
            .iter()
            .map(|row| row.id)
            .chain(plan.candidates.iter().map(|row| row.id))
            .collect();
        assert_eq!((ids, plan.volts), (vec![1, 4], 12.0));
        assert!(newer.says().contains("newer version") && newer.says().contains("loads/2/way"));
        // Whatever is done to it here, the original is what is written.
        let mut changed = plan.clone();
        changed.name = "changed".into();
        let whole: Value = serde_json::from_str(text).unwrap();
        assert_eq!(to_value(&changed), whole);
        assert_eq!(from_link(&to_fragment(&changed)).unwrap(), plan);
        assert_eq!(from_text(&to_text(&changed)).unwrap(), plan);
        // A copy to edit is a plan of this version, without what was left out.
        let own = to_value(&plan.into_own());
        assert_eq!(own["version"], VERSION);
        assert!(own.get("heat_pump").is_none() && own["loads"].as_array().unwrap().len() == 1);
        assert!(from_value(own).unwrap().newer.is_none());
    }

    #[test]
    fn words_of_a_newer_form_make_a_plan_that_can_be_read_only() {
        let plan =
            from_text(r#"{"version":1,"candidates":[{"id":3,"chemistry":"salt-water"}]}"#).unwrap();
        assert!(
            plan.newer
                .unwrap()
                .says()
                .starts_with("This plan uses words")
        );
        // Faults of another kind are refused as before.
        assert!(
            from_text(r#"{"version":1,"units":"cubits","loads":7}"#)
                .unwrap_err()
                .contains("stands at")
        );
    }

    #[test]
    fn rows_that_share_an_id_are_told_apart() {
        let plan = from_text("{\"version\":1,\"loads\":[{\"id\":1,\"name\":\"a\"},{\"id\":1,\"name\":\"b\"},{\"name\":\"c\"}]}").unwrap();
        let ids: std::collections::BTreeSet<u32> = plan.loads.iter().map(|l| l.id).collect();
        assert_eq!(ids.len(), 3);
        // Even after the last id that there can be.
        let plan =
            from_text("{\"version\":1,\"loads\":[{\"id\":4294967295},{\"id\":4294967295},{}]}")
                .unwrap();
        let ids: std::collections::BTreeSet<u32> = plan.loads.iter().map(|l| l.id).collect();
        assert_eq!(ids.len(), 3);
        assert!(!ids.contains(&plan.fresh_id()));
    }
}
