//! Writes a prescription with the other cylinder sign, and tells its power in any meridian.
//!
//! `cargo run -p bevelbook-core --example meridian -- "-1.25 -0.75 x 15" 60`

use bevelbook_core::prescription::{OrderText, SphereCylinder};
use bevelbook_core::units::{Axis, Notation, Scanner, TextError};
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let order = args.next().unwrap_or_else(|| "-1.25 -0.75 x 15".into());
    let meridian = args.next().unwrap_or_else(|| "60".into());
    match (OrderText::read(&order, Notation::Order, None), axis(&meridian)) {
        (Ok(read), Ok(meridian)) => {
            if read.eighths {
                println!("read as {}", read.eye.power);
            }
            told(read.eye.power, meridian);
            ExitCode::SUCCESS
        }
        (Err(error), _) => refused(&order, error),
        (_, Err(error)) => refused(&meridian, error),
    }
}

fn axis(text: &str) -> Result<Axis, TextError> {
    Scanner::whole(text, "60", |scanner| Axis::scan(scanner, "60"))
}

fn told(lens: SphereCylinder, meridian: Axis) {
    println!("{:<12} {}", "minus", lens.minus_cylinder());
    println!("{:<12} {}", "plus", lens.plus_cylinder());
    let [horizontal, vertical] = lens.horizontal_and_vertical();
    println!("{:<12} {horizontal} D across, {vertical} D up and down", "upright");
    println!("{:<12} {} D", format!("at {meridian}°"), lens.meridian(meridian.angle()));
}

/// Shows what could not be read, and what was expected there.
fn refused(text: &str, error: TextError) -> ExitCode {
    let before = text[..error.start].chars().count();
    eprintln!("{text}\n{}^ {error}", " ".repeat(before));
    ExitCode::FAILURE
}
