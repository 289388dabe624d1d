//! `amp-larder`: serve the page, build it for any file host, or assess a plan at a prompt.

use amp_larder::assess::{self, Form};
use amp_larder::drawn::{self, MapForm};
use amp_larder::{build, print, server, tell};
use clap::{Parser, Subcommand};
use std::io::{ErrorKind, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Port tried first when none is asked for.
const PORT: u16 = 4180;

/// Exit codes, as `--help` lists them.
const CODES: &str = "Exit codes:
  0  done; the plan has no grave finding
  1  the plan has a grave finding
  2  the plan, or how the command is written, was refused
  3  something could not be written, built or served, such as output on a full disk
A reader of the output that stops early, as `head` does, changes no code.";

/// Exit code where something could not be written, built or served.
const FAILED: u8 = 3;

/// Plans the power of a small home: serves the page unless told otherwise.
#[derive(Parser)]
#[command(version, about, after_help = CODES)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Build the page and serve it on this machine; the first line of output is its address.
    Serve {
        /// Port on loopback; 0 takes any that is free.
        #[arg(long)]
        port: Option<u16>,
    },
    /// Build the page into a folder, ready for any file host.
    Build {
        /// The folder; what was built into it before is replaced, what else stands in it stays.
        folder: PathBuf,
    },
    /// Work a plan out and print the report.
    Assess {
        /// A plan file, `-` for standard input, or a link.
        plan: String,
        /// Form of the report.
        #[arg(long = "as", value_enum, default_value_t = Form::Text)]
        form: Form,
        /// Draw so many years for every candidate, up to 100000, and add how often it runs short.
        #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u64).range(0..=100_000))]
        years: u64,
    },
    /// Print days short a year by strings of batteries and solar watts.
    Map {
        /// A plan file, `-` for standard input, or a link.
        plan: String,
        /// Days short a year that are borne, 0 to 366: where the map is worked out the closest.
        #[arg(long, default_value_t = 3.0, value_parser = days, allow_negative_numbers = true)]
        tolerance: f64,
        /// Form of the map.
        #[arg(long = "as", value_enum, default_value_t = MapForm::Csv)]
        form: MapForm,
    },
    /// Print the JSON Schema of plan files.
    Schema,
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(says) => return said(&says),
    };
    let command = arguments.command.unwrap_or(Command::Serve { port: None });
    let done = match command {
        Command::Serve { port } => done(serve(port)),
        Command::Build { folder } => done(build::site(&folder)),
        Command::Assess { plan, form, years } => assess::run(&plan, form, years),
        Command::Map {
            plan,
            tolerance,
            form,
        } => drawn::map(&plan, tolerance, form),
        Command::Schema => done(print(&(assess::schema() + "\n"))),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(fault) => {
            // Where even this can't be written, the code says it.
            let _ = tell(&format!("{fault}\n"));
            ExitCode::from(FAILED)
        }
    }
}

/// Prints help, the version, or what is wrong with the arguments.
fn said(says: &clap::Error) -> ExitCode {
    match says.print().and_then(|()| std::io::stdout().flush()) {
        Err(fault) if fault.kind() != ErrorKind::BrokenPipe => ExitCode::from(FAILED),
        _ => ExitCode::from(if says.use_stderr() {
            assess::REFUSED
        } else {
            assess::SOUND
        }),
    }
}

/// Days of a year, whole or in part.
fn days(text: &str) -> Result<f64, String> {
    let days = text
        .parse()
        .ok()
        .filter(|days| (0.0..=366.0).contains(days));
    days.ok_or_else(|| "a year has 0 to 366 days".to_owned())
}

/// What has no finding to tell ends with 0.
fn done(done: Result<(), String>) -> Result<u8, String> {
    done.map(|()| assess::SOUND)
}

fn serve(port: Option<u16>) -> Result<(), String> {
    let folder = build::own_folder();
    // A port that can't be had is told before the page is built, not after.
    let server = match port {
        Some(port) => server::bind(&folder, port)?,
        None => server::bind(&folder, PORT).or_else(|_| server::bind(&folder, 0))?,
    };
    build::site(&folder)?;
    print(&format!("{}\n", server.address()))?;
    server.run()
}
