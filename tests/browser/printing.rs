//! On paper: the answer, the pictures and the build sheet, without the page's tools.

use crate::visit::{Screen, Visit};
use amp_larder_tests::STARTS;
use base64::{Engine, engine::general_purpose::STANDARD};
use serde_json::json;
use std::process::Command;

#[tokio::test]
async fn a_plan_prints_whole_and_without_tools() {
    let plan =
        larder::link::from_text(include_str!("../../demo-data/orchard-van.larder.json")).unwrap();
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    let printed = visit
        .devtools(
            "Page.printToPDF",
            json!({ "paperWidth": 8.27, "paperHeight": 11.69, "printBackground": true }),
        )
        .await;
    let bytes = STANDARD.decode(printed["data"].as_str().unwrap()).unwrap();
    let file = std::env::temp_dir().join(format!("larder-print-{}.pdf", std::process::id()));
    std::fs::write(&file, bytes).unwrap();
    let text = Command::new("pdftotext")
        .args(["-layout", &file.display().to_string(), "-"])
        .output()
        .expect("pdftotext");
    let text = String::from_utf8_lossy(&text.stdout).into_owned();
    std::fs::remove_file(&file).unwrap();
    for wanted in [
        "What do you run?",
        "Build sheet",
        "Before you build",
        "parked in January",
        "Fuse it at the source",
    ] {
        assert!(text.contains(wanted), "{wanted} is not on paper:\n{text}");
    }
    for unwanted in [
        "Share",
        "Print the build sheet",
        "Add another panel",
        "Undo",
    ] {
        assert!(!text.contains(unwanted), "{unwanted} is on paper");
    }
    let pages = text.matches('\u{c}').count();
    // Every question of the plan; the build sheet alone has a print of its own, of two to four pages.
    assert!((2..=16).contains(&pages), "{pages} pages");
    visit.done().await;
}

/// The build sheet of one starting point on paper, as text; its pages are kept as pictures where BUILD_SHEETS names a folder.
async fn sheet_on_paper(name: &str, plan: &str) -> String {
    let plan = larder::link::from_text(plan).unwrap();
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    visit
        .until(
            "the sheet is there",
            "return document.querySelector('#sheet .diagram svg') !== null",
        )
        .await;
    // The button opens the browser's own window; the paper is the same with the mark that it sets.
    visit
        .run("document.documentElement.setAttribute('data-print', 'sheet'); return true")
        .await;
    let printed = visit
        .devtools(
            "Page.printToPDF",
            json!({ "paperWidth": 8.27, "paperHeight": 11.69, "printBackground": false, "preferCSSPageSize": true }),
        )
        .await;
    let bytes = STANDARD.decode(printed["data"].as_str().unwrap()).unwrap();
    let file = std::env::temp_dir().join(format!("larder-sheet-{name}-{}.pdf", std::process::id()));
    std::fs::write(&file, bytes).unwrap();
    let text = Command::new("pdftotext")
        .args(["-layout", &file.display().to_string(), "-"])
        .output()
        .expect("pdftotext");
    if let Some(folder) = std::env::var_os("BUILD_SHEETS") {
        let pages = std::path::Path::new(&folder).join(name);
        let done = Command::new("pdftoppm")
            .args(["-png", "-gray", "-r", "70"])
            .args([&file, &pages])
            .status()
            .expect("pdftoppm");
        assert!(done.success());
    }
    std::fs::remove_file(&file).unwrap();
    visit.done().await;
    String::from_utf8_lossy(&text.stdout).into_owned()
}

#[tokio::test]
async fn a_build_sheet_prints_alone_on_two_to_four_pages() {
    for (name, plan) in STARTS {
        let text = sheet_on_paper(name, plan).await;
        for wanted in [
            "Build sheet",
            "The answer",
            "from above, front at the foot",
            "no sparks within",
            "To cut and to buy",
            "main fuse and switch",
            "Order of work",
            "First power-up",
            "Commissioning record",
            "Before you build",
        ] {
            assert!(
                text.contains(wanted),
                "{name}: {wanted} is not on paper:\n{text}"
            );
        }
        for unwanted in [
            "What do you run?",
            "How do you live?",
            "Print the",
            "as a table",
        ] {
            assert!(!text.contains(unwanted), "{name}: {unwanted} is on paper");
        }
        let pages = text.matches('\u{c}').count();
        assert!((2..=4).contains(&pages), "{name}: {pages} pages");
        println!("{name}: the build sheet takes {pages} pages");
    }
}

#[tokio::test]
async fn the_diagram_reads_on_a_phone() {
    let plan = larder::link::from_text(include_str!("../../demo-data/estuary-cutter.larder.json"))
        .unwrap();
    for wide in [320, 390] {
        let visit = Visit::with_plan(Screen::Phone(wide), &plan).await;
        visit
            .until(
                "the diagram is there",
                "return document.querySelector('#sheet .diagram svg') !== null",
            )
            .await;
        // Drawn as large as it was laid out, no letter below 12 px, none over the edge.
        let wrong = visit
            .run(
                "const svg = document.querySelector('#sheet .diagram svg'); const box = svg.getBoundingClientRect(); \
                 const scale = box.width / svg.viewBox.baseVal.width; \
                 return [...svg.querySelectorAll('text')].filter(text => { \
                   const at = text.getBoundingClientRect(); \
                   return parseFloat(getComputedStyle(text).fontSize) * scale < 12 || at.right > box.right + 1 || at.left < box.left - 1; \
                 }).map(text => text.textContent)",
            )
            .await;
        assert_eq!(wrong, json!([]), "at {wide} px");
        let says = visit
            .run("return document.querySelector('#sheet .diagram .drawing').getAttribute('aria-label')")
            .await;
        assert!(
            says.as_str().unwrap().contains("One-line diagram"),
            "{says}"
        );
        if let Some(folder) = std::env::var_os("BUILD_SHEETS") {
            visit
                .run("document.querySelector('#sheet .diagram').scrollIntoView(); return true")
                .await;
            let shot = visit
                .devtools("Page.captureScreenshot", json!({ "format": "png" }))
                .await;
            let bytes = STANDARD.decode(shot["data"].as_str().unwrap()).unwrap();
            let file = std::path::Path::new(&folder).join(format!("diagram-{wide}.png"));
            std::fs::write(file, bytes).unwrap();
        }
        visit.done().await;
    }
}
