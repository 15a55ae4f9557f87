//! Three passes on one lens: what is known of its size after each, and where the guard stops the next.
//!
//! `cargo run -p bevelbook-core --example sizing`

use bevelbook_core::sizing::{Basis, Counting, Dial, OffStep, Outcome, Sizing};
use bevelbook_core::units::Length;

fn main() -> Result<(), OffStep> {
    // This station's figures are what is left over the traced shape, across the lens, in steps of 0.05 mm.
    let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
    let mut sizing = Sizing::new();
    for (amount, outcome) in
        [(400, Outcome::FarTooBig), (250, Outcome::JustTooBig), (200, Outcome::Fits), (150, Outcome::Fits)]
    {
        let dialled = dial.dial(Length::from_milli(amount))?;
        if let Err(refusal) = sizing.guard(&dialled) {
            println!("{dialled}  not ground: {refusal}");
            continue;
        }
        sizing.apply(&dialled, outcome);
        println!("{dialled}  {outcome}");
    }
    Ok(())
}
