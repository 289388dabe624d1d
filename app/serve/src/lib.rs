//! Builds the page into a folder, and serves that folder on loopback.

pub mod assess;
pub mod build;
pub mod drawn;
mod folder;
mod input;
mod map_picture;
mod pictures;
pub mod server;

use std::io::{ErrorKind, Write};

/// Writes to standard output. A reader that has read enough, as `head` has, is no fault.
///
/// # Errors
/// A sentence where the text could not be written, as on a full disk.
pub fn print(text: &str) -> Result<(), String> {
    written(&mut std::io::stdout().lock(), text)
}

/// Writes to standard error, like [`print`].
///
/// # Errors
/// Like [`print`].
pub fn tell(text: &str) -> Result<(), String> {
    written(&mut std::io::stderr().lock(), text)
}

fn written(out: &mut impl Write, text: &str) -> Result<(), String> {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(fault) if fault.kind() != ErrorKind::BrokenPipe => {
            Err(format!("The output can't be written: {fault}."))
        }
        _ => Ok(()),
    }
}
