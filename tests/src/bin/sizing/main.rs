//! How many passes a lens takes by habit, by heart and by advice, in invented shops:
//! `cargo run --release -p bevelbook-tests --bin sizing`.
//!
//! `sizing [--seed N] [--models N] [--pairs N] [--shop NAME] [--way NAME] [--promises] [--json]` plays each way of sizing in
//! each shop, the same lenses for all of them, and prints passes a lens by how often the model came before, those of the
//! second eye of a model's first pair, the share that ended loose with its standard error and what was promised of it, and
//! how much more than the oracle it needs at the third pair and the tenth. `--promises` adds promised and happened by tenths
//! of the lenses; `--time` prints what advice costs instead. A shop of 300 models and 12 pairs takes a minute or two of one
//! processor for each of the two that are advised, one whose wheel wears some ten.
//!
//! A lens fits its rim up to a size; sizes are millimetres of diameter over the trace. All shops are invented.

#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it"))]

mod bench;
// The same draws as in the tests of the belief.
#[path = "../../../../console/belief/tests/common/chance.rs"]
mod chance;
mod contest;
mod habit;
mod hand;
mod oracle;
mod ours;
mod policy;
mod shop;
mod table;
mod tally;
mod time;
mod way;

use contest::{Setup, WAYS, play_all};
use shop::{KINDS, Kind};
use std::process::ExitCode;

const USAGE: &str = "usage: sizing [--seed N] [--models N] [--pairs N] [--shop NAME] [--way NAME] [--promises] [--json] [--time]";

struct Options {
    setup: Setup,
    shops: Vec<Kind>,
    ways: Vec<&'static str>,
    promises: bool,
    json: bool,
    time: bool,
}

fn main() -> ExitCode {
    match options() {
        Ok(Options { time: true, setup, .. }) => {
            print!("{}", time::text(setup.seed));
            ExitCode::SUCCESS
        }
        Ok(options) => {
            play(&options);
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}\n{USAGE}");
            ExitCode::from(2)
        }
    }
}

fn play(Options { setup, shops, ways, promises, json, .. }: &Options) {
    let played = play_all(shops, ways, *setup);
    let shops = shops.iter().zip(&played);
    if *json {
        let shops: Vec<_> = shops.map(|(kind, tallies)| table::json(kind.name, tallies)).collect();
        let Setup { seed, models, pairs } = setup;
        println!(
            "{:#}",
            serde_json::json!({ "seed": seed, "models": models, "pairs": pairs, "shops": shops })
        );
        return;
    }
    for (kind, tallies) in shops {
        println!("{}", table::text(kind.name, tallies));
        if *promises {
            println!("{}", table::promises(tallies));
        }
    }
}

fn options() -> Result<Options, String> {
    let setup = Setup { seed: 1, models: 300, pairs: 12 };
    let mut options = Options {
        setup,
        shops: KINDS.to_vec(),
        ways: WAYS.to_vec(),
        promises: false,
        json: false,
        time: false,
    };
    let mut words = std::env::args().skip(1);
    while let Some(flag) = words.next() {
        let mut value = || words.next().ok_or(format!("{flag} wants a value"));
        let number = |text: String| text.parse::<u64>().map_err(|_| format!("{flag}: {text:?} is no number"));
        match flag.as_str() {
            "--seed" => options.setup.seed = number(value()?)?,
            "--models" => options.setup.models = number(value()?)?.max(1) as usize,
            "--pairs" => options.setup.pairs = number(value()?)?.max(1) as usize,
            "--shop" => options.shops = only(KINDS.iter().map(|kind| (kind.name, *kind)), &value()?)?,
            "--way" => options.ways = only(WAYS.iter().map(|way| (*way, *way)), &value()?)?,
            "--promises" => options.promises = true,
            "--time" => options.time = true,
            "--json" => options.json = true,
            _ => return Err(format!("{flag:?} is none of its options")),
        }
    }
    Ok(options)
}

/// Those of `all` that are named, one or several with commas between them.
fn only<T: Clone>(all: impl Iterator<Item = (&'static str, T)>, named: &str) -> Result<Vec<T>, String> {
    let all: Vec<(&str, T)> = all.collect();
    let find = |name: &str| {
        let names = || all.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ");
        let found = all.iter().find(|(known, _)| *known == name).map(|(_, it)| it.clone());
        found.ok_or_else(|| format!("there is no {name:?}; there are {}", names()))
    };
    named.split(',').map(find).collect()
}
