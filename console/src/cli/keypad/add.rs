//! `keypad add`: after a yes, a keypad is one of this shop's.

use super::journal::journal;
use crate::cli::adoption::{ask, new_name};
use crate::cli::ports::port_failure;
use crate::cli::{Failure, Report, answer, arguments, shop::Shop};
use crate::keypad::Port;
use crate::work::Work;
use bevelbook_core::link::{HelloAck, plain};
use clap::Args;
use std::path::Path;

/// Make a keypad this shop's; only then are its records taken in.
#[derive(Args)]
#[command(after_help = "Example: bevelbook keypad add /dev/ttyACM0 --name bench")]
pub(crate) struct AddArgs {
    /// The serial port that it is on, or its log id: 16 hexadecimal digits.
    #[arg(value_name = "PORT|LOG")]
    keypad: String,
    /// What to call it; otherwise what it calls itself.
    #[arg(long, value_parser = arguments::name)]
    name: Option<String>,
    /// Do not ask.
    #[arg(long)]
    yes: bool,
}

pub(super) fn run(shop: &Shop, args: &AddArgs) -> Result<Report, Failure> {
    let mut work = shop.begin()?;
    let keypads = work.keypads()?;
    let (journal, greeted) = match journal(&args.keypad) {
        Some(journal) => (journal, None),
        None => {
            let keypad = greet(&work, Path::new(&args.keypad))?;
            (keypad.journal, Some(keypad))
        }
    };
    let (known, others): (Vec<_>, Vec<_>) = keypads.iter().partition(|keypad| keypad.journal == journal);
    let taken: Vec<String> = others.iter().map(|keypad| keypad.name.clone()).collect();
    let name = match (&args.name, known.first(), greeted) {
        (Some(name), ..) => name.clone(),
        (None, Some(known), _) => known.name.clone(),
        (None, None, Some(keypad)) => new_name(&keypad, &taken),
        (None, None, None) => {
            return Err(Failure::Use("say what to call it, for example --name bench".into()));
        }
    };
    if taken.contains(&name) {
        return Err(Failure::Use(format!("another keypad is called `{name}`; give this one another --name")));
    }
    if !args.yes && !ask(&format!("add the keypad with log id {journal} as `{name}`? [y/N] ")) {
        return Err(Failure::Use("not added; --yes adds it without asking".into()));
    }
    work.adopt(journal, &name)?;
    let (written, shown) = (journal.to_string(), plain(&name).collect::<String>());
    Ok(answer!("keypad {shown} added (log id {journal})"; keypad = name, journal = written))
}

/// Says hello to what is on a port.
fn greet(work: &Work, path: &Path) -> Result<HelloAck, Failure> {
    let mut port = Port::open(path).map_err(|error| port_failure(&error))?;
    let greeted = crate::keypad::greet(work, &mut port)?;
    greeted.map_err(|why| Failure::Fault(format!("no keypad answers on {}: {why}", path.display())))
}
