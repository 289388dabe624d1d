//! A plan of a newer version: it can be read, is never changed, and passes through whole.

use crate::visit::{Screen, Visit};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use larder::link;
use serde_json::{Value, json};

/// A link that holds any JSON; the deflate stream is one stored block (RFC 1951, 3.2.4).
fn link_of(value: &Value) -> String {
    let text = value.to_string();
    let length = u16::try_from(text.len()).expect("one block");
    let mut packed = vec![1];
    packed.extend(length.to_le_bytes());
    packed.extend((!length).to_le_bytes());
    packed.extend(text.bytes());
    format!("#plan=1.{}", URL_SAFE_NO_PAD.encode(packed))
}

/// The plans in the browser's store.
async fn stored(visit: &Visit) -> Vec<Value> {
    let plans = "return Object.keys(localStorage).filter(k => k.startsWith('amp-larder/plan/')).map(k => JSON.parse(localStorage[k]).plan)";
    visit.run(plans).await.as_array().expect("plans").clone()
}

#[tokio::test]
async fn a_newer_plan_is_read_only_and_passes_through_whole() {
    let whole = json!({
        "version": 2, "name": "From the future", "heat_pump": { "w": 900 },
        "loads": [{ "id": 1, "name": "lamp", "draw": 12, "way": "always" }, { "id": 2, "name": "tide clock", "way": "by-tide" }],
        "candidates": [{ "id": 3, "chemistry": "agm", "capacity_ah": 100 }],
    });
    let visit = Visit::fresh(Screen::Phone(390)).await;
    visit.go(&link_of(&whole)).await;
    visit
        .says(".newer-notice", "comes from a newer version")
        .await;
    visit.says(".newer-notice", "heat_pump").await;
    visit.says(".plan-name", "From the future").await;
    visit.write("candidates/3/capacity_ah", "163").await;
    visit.says("body", "Changes are off").await;
    visit.reload().await;
    visit
        .says(".newer-notice", "comes from a newer version")
        .await;
    assert_eq!(stored(&visit).await, std::slice::from_ref(&whole));
    assert_eq!(visit.value("candidates/3/capacity_ah").await, "100 Ah");
    let link = visit.shared_link().await;
    let passed_on = link::to_value(&link::from_link(&link).expect("a plan"));
    assert_eq!(passed_on, whole);
    visit.press("Done").await;
    // A copy can be changed; the original stays beside it.
    visit.press("Make a copy to edit").await;
    visit.write("candidates/3/capacity_ah", "163").await;
    visit.kept().await;
    let stored = stored(&visit).await;
    assert!(stored.contains(&whole));
    let copy = stored.iter().find(|plan| **plan != whole).expect("a copy");
    assert_eq!(
        (&copy["version"], &copy["candidates"][0]["capacity_ah"]),
        (&json!(1), &json!(163))
    );
    assert!(copy.get("heat_pump").is_none());
    visit.done().await;
}
