//! The report to read at a prompt: plain text, or Markdown.

use super::{
    answer, bank_name, bank_working, comparison, energy, least_banks, least_income, month,
    needs_summary, whole,
};
use crate::finding::Gravity;
use crate::plan::{Plan, Units};
use crate::report::{Report, SpaceReport, YearReport};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Writes the whole report. With `markdown`, headings and tables are marked so.
pub fn text(
    report: &Report,
    year: Option<&YearReport>,
    space: Option<&SpaceReport>,
    units: Units,
    currency: &str,
    markdown: bool,
) -> String {
    let mut out = String::new();
    let head = |out: &mut String, title: &str| {
        let _ = if markdown {
            writeln!(out, "\n## {title}\n")
        } else {
            writeln!(out, "\n{title}\n{}", "-".repeat(title.chars().count()))
        };
    };
    let bullet = if markdown { "- " } else { "  " };
    let _ = if markdown {
        writeln!(out, "# {}\n", report.name)
    } else {
        writeln!(
            out,
            "{}\n{}\n",
            report.name,
            "=".repeat(report.name.chars().count())
        )
    };
    for line in answer(report, year, units) {
        let words: String = line.into_iter().map(|span| span.text).collect();
        let _ = writeln!(out, "{bullet}{words}");
    }
    if let Some(says) = super::decides(report, units) {
        let _ = writeln!(out, "{bullet}{says}");
    }
    head(&mut out, "What runs");
    let _ = writeln!(out, "{}", needs_summary(report));
    if report.needs.least_inverter_w > 0.0 {
        let _ = writeln!(out, "{}", super::least_inverter(&report.needs));
    }
    if report.needs.metered {
        let _ = writeln!(out, "{}", super::meter_difference(&report.needs));
    }
    head(&mut out, "What puts it back");
    let heads = [
        "month",
        "sun",
        "driving",
        "hook-up",
        "use",
        "left (Wh a day)",
    ]
    .map(String::from)
    .to_vec();
    let rows = report.months.iter().map(|m| {
        let figures = [m.sun_wh, m.alternator_wh, m.shore_wh, m.use_wh, m.left_wh].map(whole);
        std::iter::once(month(m.month).to_owned())
            .chain(figures)
            .collect()
    });
    table(&mut out, &heads, &rows.collect::<Vec<_>>(), markdown);
    let _ = writeln!(out, "\n{}", least_income(report));
    head(&mut out, "What stores it");
    let compared = comparison(report, year, units, currency);
    let heads: Vec<String> = std::iter::once("".to_owned())
        .chain(compared.heads)
        .collect();
    let rows: Vec<Vec<String>> = compared
        .rows
        .into_iter()
        .map(|line| {
            std::iter::once(line.what)
                .chain(line.cells.into_iter().map(|cell| cell.text))
                .collect()
        })
        .collect();
    if markdown {
        table(&mut out, &heads, &rows, true);
    } else {
        for (at, name) in heads.iter().enumerate().skip(1) {
            let _ = writeln!(out, "{name}");
            for row in &rows {
                let cell = row.get(at).map_or("", String::as_str);
                let _ = writeln!(
                    out,
                    "  {:<44} {cell}",
                    row.first().map_or("", String::as_str)
                );
            }
        }
    }
    let _ = writeln!(out, "\n{}", least_banks(report));
    if let Some(space) = space {
        head(&mut out, "Where it goes");
        for line in super::space_lines(report, space, units) {
            let _ = writeln!(out, "{bullet}{line}");
        }
        let chosen = report.chosen_bank().and_then(|bank| bank.fit.as_ref());
        if let Some(says) = chosen.and_then(super::carried_line) {
            let _ = writeln!(out, "\n{says}");
        }
    }
    if let Some(year) = year {
        head(&mut out, "A typical year");
        for bank in &year.banks {
            let _ = writeln!(
                out,
                "{bullet}{} {}",
                super::year_line(report, bank),
                super::life_line(bank, currency)
            );
        }
        if let Some(chosen) = super::chosen_year(report, year) {
            let _ = writeln!(out, "\n{}", super::year_energy(chosen));
        }
        let _ = writeln!(out, "{}", super::YEAR_NOTE);
    }
    head(&mut out, "What carries it");
    let heads = super::RUN_HEADS.map(String::from).to_vec();
    table(
        &mut out,
        &heads,
        &super::run_rows(&report.carries, units),
        markdown,
    );
    for strings in &report.carries.parallel {
        let heads = super::SHARE_HEADS.map(String::from).to_vec();
        let _ = writeln!(out, "\n{}\n", super::share_line(report, strings));
        table(&mut out, &heads, &super::share_rows(strings), markdown);
    }
    let strings = report.carries.parallel_of(report.chosen);
    let says = strings.map(super::joining_line);
    let says = says.into_iter().chain(super::split_fuses(&report.carries));
    for says in says.chain([
        super::link_line(&report.carries),
        super::fault_line(&report.carries),
        super::holding_line(&report.carries),
        super::screw_line(&report.carries, units),
        super::air_line(&report.carries),
    ]) {
        if !says.is_empty() {
            let _ = writeln!(out, "\n{says}");
        }
    }
    head(&mut out, "How this is worked out");
    for bank in &report.banks {
        let _ = writeln!(out, "{}", bank_name(bank));
        for line in bank_working(report, bank) {
            let _ = writeln!(out, "{bullet}{line}");
        }
    }
    for run in &report.carries.runs {
        let _ = writeln!(out, "{bullet}{}", super::run_working(run, None));
    }
    if !report.findings.is_empty() {
        head(&mut out, "What was found");
        // What is so of several banks alike is said once.
        let mut said = BTreeSet::new();
        for finding in report
            .findings
            .iter()
            .filter(|finding| said.insert(&finding.says))
        {
            let word = match finding.gravity {
                Gravity::Grave => "Mend this",
                Gravity::Caution => "Mind",
                Gravity::Note => "Note",
            };
            let _ = writeln!(out, "{bullet}{word}: {} {}", finding.says, finding.mend);
        }
    }
    head(&mut out, "Before you build");
    for caution in super::CAUTIONS {
        let _ = writeln!(out, "{bullet}{caution}");
    }
    let _ = writeln!(
        out,
        "\nUsed on average: {} a day. Resting on {}.",
        energy(report.needs.mean_wh),
        match report.guesses {
            0 => "no guess".to_owned(),
            guesses => super::count(guesses, "guess", "guesses"),
        }
    );
    out
}

/// Writes the build sheet, the same as the page prints.
pub fn sheet_text(plan: &Plan, report: &Report, markdown: bool) -> String {
    let mut out = String::new();
    let title = format!("Build sheet: {}", report.name);
    let _ = if markdown {
        writeln!(out, "\n# {title}")
    } else {
        writeln!(out, "\n{title}\n{}", "=".repeat(title.chars().count()))
    };
    for part in super::build_sheet(plan, report) {
        let _ = if markdown {
            writeln!(out, "\n## {}\n", part.title)
        } else {
            writeln!(out, "\n{}\n{}", part.title, "-".repeat(part.title.len()))
        };
        if !part.heads.is_empty() {
            let heads: Vec<String> = part.heads.iter().map(|head| (*head).to_owned()).collect();
            table(&mut out, &heads, &part.rows, markdown);
            continue;
        }
        for row in &part.rows {
            let bullet = if markdown { "- " } else { "  " };
            let _ = writeln!(out, "{bullet}{}", row.join(": "));
        }
        for (at, step) in part.steps.iter().enumerate() {
            let _ = writeln!(out, "{}. {step}", at + 1);
        }
    }
    out
}

fn table(out: &mut String, heads: &[String], rows: &[Vec<String>], markdown: bool) {
    if markdown {
        let _ = writeln!(
            out,
            "| {} |\n|{}",
            heads.join(" | "),
            "---|".repeat(heads.len())
        );
        for row in rows {
            let _ = writeln!(out, "| {} |", row.join(" | "));
        }
        return;
    }
    let wide = |at: usize| {
        rows.iter()
            .chain([&heads.to_vec()])
            .filter_map(|row| row.get(at))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
    };
    for row in std::iter::once(&heads.to_vec()).chain(rows) {
        let mut line = String::new();
        for (at, cell) in row.iter().enumerate() {
            let gap = wide(at).saturating_sub(cell.chars().count());
            let _ = if at == 0 {
                write!(line, "  {cell}{}", " ".repeat(gap))
            } else {
                write!(line, "  {}{cell}", " ".repeat(gap))
            };
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
}
