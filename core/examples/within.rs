//! Whether a lens that was read is within the tolerances of a standard, and what is left of each limit.
//!
//! `cargo run -p bevelbook-core --example within -- "-4.25 -1.00 x 92" "-4.37 -0.95 x 94"`

use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::tolerance::{Design, EyeReading, Stage, Standard, Verdict, judge_eye};
use bevelbook_core::units::{Notation, TextError};
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let ordered = args.next().unwrap_or_else(|| "-4.25 -1.00 x 92".into());
    let read = args.next().unwrap_or_else(|| "-4.37 -0.95 x 94".into());
    match judged(&ordered, &read) {
        // What is missing never passes.
        Ok(Verdict::Within) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn judged(ordered: &str, read: &str) -> Result<Verdict, TextError> {
    let ordered = EyeOrder::parse(ordered)?;
    // A reading keeps the step of its instrument: -4.37 is no eighth there.
    let read = EyeReading::of_power(SphereCylinder::parse(read, Notation::Reading)?);
    let standard = Standard::Iso21987_2017;
    let judged = judge_eye(standard, Design::SingleVision, Stage::Mounted, Eye::Right, &ordered, &read);
    println!("{} by {standard}", judged.verdict());
    for finding in judged.findings() {
        // In thousandths of its unit.
        let off = f64::from(finding.deviation) / 1000.0;
        let (limit, left, unit) = (finding.limit, finding.margin(), finding.unit().symbol());
        println!("  {:<21} {off:+.3} {unit}, limit ±{limit}, left {left}", finding.quantity.to_string());
    }
    for missing in judged.missing() {
        println!("  not read: {missing}");
    }
    Ok(judged.verdict())
}
