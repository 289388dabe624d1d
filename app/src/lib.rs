//! The page of Amp Larder: it shows what the core computes.

pub mod browser;
pub mod fields;
pub mod pictures;
pub mod screens;
pub mod state;
pub mod view;

/// Mounts the page and tells the world that it is ready.
pub fn start() {
    let Some(place) = browser::page::mount_point() else {
        return;
    };
    leptos::mount::mount_to(place, screens::shell::shell).forget();
    browser::page::mark_ready();
}
