//! The report to read at a prompt: plain text, or Markdown.

use super::escape::{line_marked_down, marked_down, visible};
use super::{
    answer, bank_name, bank_working, comparison, energy, least_banks, least_income, month,
    needs_summary, whole,
};
use crate::finding::{Finding, Gravity};
use crate::plan::{Plan, Units};
use crate::report::{Report, SpaceReport, YearReport};
use std::collections::BTreeSet;
use std::fmt::Display;

/// Text under way, plain or with the marks of Markdown.
struct Writer {
    out: String,
    markdown: bool,
}

impl Writer {
    fn new(markdown: bool) -> Self {
        let out = String::new();
        Self { out, markdown }
    }

    /// A line as it stands, marks and all.
    fn raw(&mut self, line: impl Display) {
        self.out += &format!("{line}\n");
    }

    /// Text inside a line: whatever names hold, it stays there and marks nothing up.
    fn shown(&self, says: &str) -> String {
        if self.markdown {
            marked_down(says)
        } else {
            visible(says)
        }
    }

    fn line(&mut self, says: impl Display) {
        self.raw(self.opening(&says.to_string()));
    }

    /// As [`Self::shown`], at the beginning of a line.
    fn opening(&self, says: &str) -> String {
        if self.markdown {
            line_marked_down(says)
        } else {
            visible(says)
        }
    }

    /// A title, with a number of marks, or underlined with such a letter.
    fn title(&mut self, says: &str, marks: &str, under: &str) {
        let says = self.shown(says);
        if self.markdown {
            self.raw(format!("{marks} {says}\n"));
        } else {
            self.raw(format!("{says}\n{}", under.repeat(says.chars().count())));
        }
    }

    /// The head of a part.
    fn head(&mut self, says: &str) {
        self.line("");
        self.title(says, "##", "-");
    }

    /// A paragraph of its own; nothing where there is nothing to say.
    fn paragraph(&mut self, says: impl AsRef<str>) {
        let says = says.as_ref();
        if !says.is_empty() {
            self.raw("");
            self.line(says);
        }
    }

    fn item(&mut self, says: impl Display) {
        let bullet = if self.markdown { "- " } else { "  " };
        let says = self.opening(&says.to_string());
        self.raw(format!("{bullet}{says}"));
    }

    fn table(&mut self, heads: &[String], rows: &[Vec<String>]) {
        let shown =
            |row: &[String]| -> Vec<String> { row.iter().map(|cell| self.shown(cell)).collect() };
        let heads = shown(heads);
        let rows: Vec<Vec<String>> = rows.iter().map(|row| shown(row)).collect();
        if self.markdown {
            self.raw(format!("| {} |", heads.join(" | ")));
            self.raw(format!("|{}", "---|".repeat(heads.len())));
            for row in rows {
                self.raw(format!("| {} |", row.join(" | ")));
            }
            return;
        }
        let all = || std::iter::once(&heads).chain(&rows);
        let wide = |at: usize| {
            let cells = all().filter_map(|row| row.get(at));
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        for row in all() {
            let mut line = String::new();
            for (at, cell) in row.iter().enumerate() {
                let gap = " ".repeat(wide(at).saturating_sub(cell.chars().count()));
                // Names stand at the left of their column, figures at its right.
                line += &if at == 0 {
                    format!("  {cell}{gap}")
                } else {
                    format!("  {gap}{cell}")
                };
            }
            self.raw(line.trim_end());
        }
    }
}

fn owned<const N: usize>(heads: [&str; N]) -> Vec<String> {
    heads.map(String::from).to_vec()
}

/// Writes the whole report. With `markdown`, headings and tables are marked so.
pub fn text(
    report: &Report,
    year: Option<&YearReport>,
    space: Option<&SpaceReport>,
    units: Units,
    currency: &str,
    markdown: bool,
) -> String {
    let mut page = Writer::new(markdown);
    page.title(&report.name, "#", "=");
    if !markdown {
        page.line("");
    }
    for line in answer(report, year, units) {
        page.item(line.into_iter().map(|span| span.text).collect::<String>());
    }
    if let Some(says) = super::decides(report, units) {
        page.item(says);
    }
    runs(&mut page, report);
    puts_back(&mut page, report);
    stores(&mut page, report, year, units, currency);
    if let Some(space) = space {
        goes(&mut page, report, space, units);
    }
    if let Some(year) = year {
        lives(&mut page, report, year, currency);
    }
    carries(&mut page, report, units);
    working(&mut page, report, units);
    found(&mut page, &report.findings);
    page.head("Before you build");
    for caution in super::CAUTIONS {
        page.item(caution);
    }
    page.paragraph(format!(
        "Used on average: {} a day. {}",
        energy(report.needs.mean_wh),
        match report.guesses {
            0 => super::NO_GUESSES.to_owned(),
            guesses => format!(
                "This answer rests on {}.",
                super::count(guesses, "guess", "guesses")
            ),
        }
    ));
    page.out
}

fn runs(page: &mut Writer, report: &Report) {
    page.head("What runs");
    page.line(needs_summary(report));
    if report.needs.least_inverter_w > 0.0 {
        page.line(super::least_inverter(&report.needs));
    }
    if report.needs.metered {
        page.line(super::meter_difference(&report.needs));
    }
}

fn puts_back(page: &mut Writer, report: &Report) {
    page.head("What puts it back");
    let moves = report.months.iter().any(|m| !m.places.is_empty());
    let rows = report.months.iter().map(|m| {
        let figures = [m.sun_wh, m.alternator_wh, m.shore_wh, m.use_wh, m.left_wh].map(whole);
        let place = moves.then(|| super::month_places(&m.places));
        std::iter::once(month(m.month).to_owned())
            .chain(figures)
            .chain(place)
            .collect()
    });
    let heads = [
        "month",
        "sun",
        super::under_way(report.rig),
        "hook-up",
        "use",
        "left (Wh a day)",
    ];
    let mut heads = owned(heads);
    heads.extend(moves.then(|| "near".to_owned()));
    page.table(&heads, &rows.collect::<Vec<_>>());
    page.paragraph(least_income(report));
}

fn stores(
    page: &mut Writer,
    report: &Report,
    year: Option<&YearReport>,
    units: Units,
    currency: &str,
) {
    page.head("What stores it");
    let compared = comparison(report, year, units, currency);
    if page.markdown {
        let heads: Vec<String> = std::iter::once(String::new())
            .chain(compared.heads)
            .collect();
        let rows = compared.rows.into_iter().map(|line| {
            let cells = line.cells.into_iter().map(|cell| cell.text);
            std::iter::once(line.what).chain(cells).collect()
        });
        page.table(&heads, &rows.collect::<Vec<_>>());
    } else {
        for (at, name) in compared.heads.iter().enumerate() {
            page.line(name);
            for line in &compared.rows {
                let cell = line.cells.get(at).map_or("", |cell| cell.text.as_str());
                page.line(format!("  {:<44} {cell}", line.what));
            }
        }
    }
    page.paragraph(least_banks(report));
}

fn goes(page: &mut Writer, report: &Report, space: &SpaceReport, units: Units) {
    page.head("Where it goes");
    for line in super::space_lines(report, space, units) {
        page.item(line);
    }
    let chosen = report.chosen_bank().and_then(|bank| bank.fit.as_ref());
    page.paragraph(chosen.and_then(super::carried_line).unwrap_or_default());
}

fn lives(page: &mut Writer, report: &Report, year: &YearReport, currency: &str) {
    page.head("A typical year");
    for bank in &year.banks {
        let (short, life) = (
            super::year_line(report, bank),
            super::life_line(bank, currency),
        );
        page.item(format!("{short} {life}"));
    }
    if let Some(chosen) = super::chosen_year(report, year) {
        page.paragraph(super::year_energy(chosen));
    }
    page.line(super::YEAR_NOTE);
}

fn carries(page: &mut Writer, report: &Report, units: Units) {
    let carries = &report.carries;
    page.head("What carries it");
    page.table(&owned(super::RUN_HEADS), &super::run_rows(carries, units));
    for strings in &carries.parallel {
        page.paragraph(super::share_line(report, strings));
        page.line("");
        page.table(&owned(super::SHARE_HEADS), &super::share_rows(strings));
    }
    let strings = carries.parallel_of(report.chosen);
    let joining = strings.map(super::joining_line);
    let others = [
        super::link_line(carries, units),
        super::fault_line(carries, units),
        super::isolator_line(carries),
        super::NEGATIVE_LINE.to_owned(),
        super::holding_line(carries, units),
        super::screw_line(carries, units),
        super::air_line(carries, units),
    ];
    let all = joining.into_iter().chain(super::split_fuses(carries));
    for says in all.chain(others) {
        page.paragraph(says);
    }
}

fn working(page: &mut Writer, report: &Report, units: Units) {
    page.head("How this is worked out");
    for bank in &report.banks {
        page.line(bank_name(bank));
        for line in bank_working(report, bank, units) {
            page.item(line);
        }
    }
    for run in &report.carries.runs {
        page.item(super::run_working(run, None, units));
    }
}

fn found(page: &mut Writer, findings: &[Finding]) {
    if findings.is_empty() {
        return;
    }
    page.head("What was found");
    // What is so of several banks alike is said once.
    let mut said = BTreeSet::new();
    for finding in findings.iter().filter(|one| said.insert(&one.says)) {
        let word = match finding.gravity {
            Gravity::Grave => "Mend this",
            Gravity::Caution => "Mind",
            Gravity::Note => "Note",
        };
        page.item(format!("{word}: {} {}", finding.says, finding.mend).trim_end());
    }
}

/// Writes the build sheet, the same as the page prints.
pub fn sheet_text(plan: &Plan, report: &Report, markdown: bool) -> String {
    let mut page = Writer::new(markdown);
    page.line("");
    page.title(&format!("Build sheet: {}", report.name), "#", "=");
    for part in super::build_sheet(plan, report) {
        page.head(part.title);
        if !part.heads.is_empty() {
            let heads: Vec<String> = part.heads.iter().map(|head| (*head).to_owned()).collect();
            page.table(&heads, &part.rows);
            continue;
        }
        for row in &part.rows {
            page.item(row.join(": "));
        }
        for (at, step) in part.steps.iter().enumerate() {
            let step = page.shown(step);
            page.raw(format!("{}. {step}", at + 1));
        }
    }
    page.out
}
