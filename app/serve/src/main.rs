//! `amp-larder`: serve the page, build it for any file host, or assess a plan at a prompt.

use amp_larder::assess::{self, Form};
use amp_larder::drawn::{self, MapForm};
use amp_larder::{build, server};
use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Port tried first when none is asked for.
const PORT: u16 = 4180;

/// Plans the power of a small home: serves the page unless told otherwise.
#[derive(Parser)]
#[command(version, about)]
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
        /// The folder; what stands in it under the same names is replaced.
        folder: PathBuf,
    },
    /// Work a plan out and print the report: exit 0 sound, 1 with a grave finding, 2 refused.
    Assess {
        /// A plan file, `-` for standard input, or a link.
        plan: String,
        /// Form of the report.
        #[arg(long = "as", value_enum, default_value_t = Form::Text)]
        form: Form,
        /// Draw so many years for every candidate, and add how often it runs short.
        #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u64).range(0..=100_000))]
        years: u64,
    },
    /// Print days short a year by strings of batteries and solar watts.
    Map {
        /// A plan file, `-` for standard input, or a link.
        plan: String,
        /// Days short a year that are borne: where the map is worked out the closest.
        #[arg(long, default_value_t = 3.0)]
        tolerance: f64,
        /// Form of the map.
        #[arg(long = "as", value_enum, default_value_t = MapForm::Csv)]
        form: MapForm,
    },
    /// Print the JSON Schema of plan files.
    Schema,
}

fn main() -> ExitCode {
    let command = Arguments::parse()
        .command
        .unwrap_or(Command::Serve { port: None });
    let done = match command {
        Command::Serve { port } => serve(port),
        Command::Build { folder } => build::site(&folder),
        Command::Assess { plan, form, years } => {
            return ExitCode::from(assess::run(&plan, form, years));
        }
        Command::Map {
            plan,
            tolerance,
            form,
        } => return ExitCode::from(drawn::map(&plan, tolerance, form)),
        Command::Schema => {
            println!("{}", assess::schema());
            Ok(())
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            eprintln!("{fault}");
            ExitCode::FAILURE
        }
    }
}

fn serve(port: Option<u16>) -> Result<(), String> {
    let folder = build::own_folder();
    build::site(&folder)?;
    let server = match port {
        Some(port) => server::bind(&folder, port)?,
        None => server::bind(&folder, PORT).or_else(|_| server::bind(&folder, 0))?,
    };
    println!("{}", server.address());
    server.run()
}
