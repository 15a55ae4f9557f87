//! Whether a lens that was read is within the tolerances of a standard, and by how much.
//!
//! `cargo run -p bevelbook-core --example within -- "-4.25 -1.00 x 92" "-4.37 -0.95 x 94"`

use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::tolerance::{Design, EyeReading, Standard, Verdict, judge_mounted_eye};
use bevelbook_core::units::{Notation, TextError};
use std::process::ExitCode;

fn main() -> Result<ExitCode, TextError> {
    let mut args = std::env::args().skip(1);
    let ordered = args.next().unwrap_or_else(|| "-4.25 -1.00 x 92".into());
    let read = args.next().unwrap_or_else(|| "-4.37 -0.95 x 94".into());
    let ordered = EyeOrder::parse(&ordered)?;
    // A reading keeps the step of its instrument: -4.37 is no eighth there.
    let read = EyeReading::of_power(SphereCylinder::parse(&read, Notation::Reading)?);
    let standard = Standard::Iso21987_2017;
    let judged = judge_mounted_eye(standard, Design::SingleVision, Eye::Right, &ordered, &read);
    println!("{standard}: {}", judged.verdict());
    for finding in judged.findings() {
        println!("  {finding}");
    }
    for missing in judged.missing() {
        println!("  not read: {missing}");
    }
    // What is missing never passes.
    Ok(if judged.verdict() == Verdict::Within { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}
