//! What must be readable: the code of the sharing dialog, the chosen words of every select, the paper.

use crate::visit::{Screen, Visit};
use amp_larder_tests::STARTS;
use base64::{Engine, engine::general_purpose::STANDARD};
use serde_json::{Value, json};

/// The text of the QR code on the screen.
async fn scanned(visit: &Visit) -> String {
    visit
        .run("document.querySelector('.code').scrollIntoView({ block: 'center' }); return true")
        .await;
    let shot = visit
        .devtools("Page.captureScreenshot", json!({ "format": "png" }))
        .await;
    let bytes = STANDARD.decode(shot["data"].as_str().unwrap()).unwrap();
    let shot = image::load_from_memory(&bytes).unwrap().to_luma8();
    let (wide, high) = (shot.width() as usize, shot.height() as usize);
    let mut shot = rqrr::PreparedImage::prepare_from_greyscale(wide, high, |x, y| {
        shot.get_pixel(x as u32, y as u32).0[0]
    });
    let grids = shot.detect_grids();
    assert_eq!(grids.len(), 1, "codes found on the screen");
    grids[0].decode().expect("a readable code").1
}

#[tokio::test]
async fn the_shared_code_fits_the_screen_and_scans() {
    for (width, height) in [(320, 568), (390, 844)] {
        for (theme, scale) in [("light", 1), ("dark", 2), ("light", 2)] {
            let visit = Visit::open(Screen::Phone(width)).await;
            visit.press("From nothing: five answers").await;
            visit.kept().await;
            let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": true });
            visit
                .devtools("Emulation.setDeviceMetricsOverride", metrics)
                .await;
            let set = format!(
                "document.documentElement.setAttribute('data-theme', '{theme}'); return true"
            );
            visit.run(&set).await;
            let link = visit.shared_link().await;
            visit
                .until(
                    "there is a code",
                    "return document.querySelector('.code svg') !== null",
                )
                .await;
            let size = visit
                .run(
                    "const dialog = document.querySelector('#share'); const svg = dialog.querySelector('.code svg'); \
                     const modules = svg.viewBox.baseVal.width / 3; \
                     return { over: dialog.scrollWidth - dialog.clientWidth, \
                       pixels: svg.getBoundingClientRect().width * devicePixelRatio / modules }",
                )
                .await;
            println!("{width} px, {theme}, scale {scale}: {size}");
            assert_eq!(size["over"], 0, "{width} px: the dialog scrolls sideways");
            let pixels = size["pixels"].as_f64().unwrap();
            assert!(
                pixels >= f64::from(scale) && (pixels - pixels.round()).abs() < 0.01,
                "{width} px: {pixels} device pixels a module"
            );
            assert_eq!(scanned(&visit).await, link, "{width} px, {theme}");
            visit.done().await;
        }
    }
}

/// Selects whose chosen words are wider than the room for them, with both widths [px].
async fn clipped(visit: &Visit) -> Value {
    visit
        .run(
            "const pen = document.createElement('canvas').getContext('2d'); \
             return [...document.querySelectorAll('select')].filter(its => its.offsetWidth > 0).flatMap(its => { \
               const style = getComputedStyle(its); pen.font = style.font; \
               const words = its.selectedOptions[0]?.text ?? ''; const wide = pen.measureText(words).width; \
               const room = its.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight); \
               return wide > room + 1 ? [[words, Math.round(wide), Math.round(room)]] : []; })",
        )
        .await
}

#[tokio::test]
async fn no_chosen_words_are_clipped() {
    let plan = larder::link::from_text(STARTS[0].1).unwrap();
    let mut wrong = Vec::new();
    for screen in [Screen::Phone(320), Screen::Phone(390), Screen::Desk(1280)] {
        let visit = Visit::with_plan(screen, &plan).await;
        wrong.push((screen, "as it is", clipped(&visit).await));
        visit.done().await;
        let visit = Visit::open(screen).await;
        visit.press("From nothing: five answers").await;
        visit
            .until(
                "there is a guess",
                "return document.querySelector('select.guess + .mark') !== null",
            )
            .await;
        wrong.push((screen, "from nothing", clipped(&visit).await));
        visit.done().await;
    }
    wrong.retain(|(_, _, clipped)| *clipped != json!([]));
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Every colour on the page, once each.
const COLOURS: &str = "return [...new Set([...document.querySelectorAll('body, body *')].flatMap(its => { \
    const style = getComputedStyle(its); \
    return [style.color, style.backgroundColor, style.fill, style.stroke, style.borderTopColor]; }))].sort()";

#[tokio::test]
async fn paper_is_light_whatever_the_theme() {
    let plan = larder::link::from_text(STARTS[0].1).unwrap();
    let visit = Visit::with_plan(Screen::Desk(1280), &plan).await;
    let is_final = "return !!document.querySelector('#sure .map svg') && !document.querySelector('#sure progress')";
    visit.until("nothing is drawn any more", is_final).await;
    let mut seen = Vec::new();
    for media in ["screen", "print"] {
        for (theme, device) in [("light", "light"), ("dark", "light"), ("device", "dark")] {
            let emulated = json!({ "media": media, "features": [{ "name": "prefers-color-scheme", "value": device }] });
            visit.devtools("Emulation.setEmulatedMedia", emulated).await;
            let set = format!(
                "document.documentElement.setAttribute('data-theme', '{theme}'); return true"
            );
            visit.run(&set).await;
            seen.push(visit.run(COLOURS).await);
        }
    }
    assert!(seen[0] != seen[1] && seen[0] != seen[2], "no dark screen");
    assert!(seen[3] == seen[4], "dark paper under the dark theme");
    assert!(seen[3] == seen[5], "dark paper under a dark device");
    visit.done().await;
}
