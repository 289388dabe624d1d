//! Mounts the page.

fn main() {
    amp_larder_app::start();
}
