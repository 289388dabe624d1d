//! On paper: the answer, the pictures and the build sheet, without the page's tools.

use crate::visit::{Screen, Visit};
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
    for unwanted in ["Share", "Print or save as PDF", "Add another panel", "Undo"] {
        assert!(!text.contains(unwanted), "{unwanted} is on paper");
    }
    let pages = text.matches('\u{c}').count();
    assert!((2..=10).contains(&pages), "{pages} pages");
    visit.done().await;
}
