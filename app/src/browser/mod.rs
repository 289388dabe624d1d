//! The only files that touch the browser's own interfaces.
//! They may use `web_sys`, `js_sys`, `gloo_storage` and nothing of the plan.
//! Architecture invariant: whatever the browser refuses comes back as a value, never as a panic.

pub mod crew;
pub mod markup;
pub mod page;
pub mod pointer;
pub mod store;
pub mod towns;
pub mod transfer;
pub mod viewport;
