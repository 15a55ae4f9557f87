//! Each door is fed its good bytes, and some thousands that were changed at random: the same in every run.
//! `HOSTILE_RUNS=N` makes N times as many.
#![allow(clippy::unwrap_used, reason = "all of this is called by tests alone")]

use bevelbook_hostile::{Chance, TARGETS, changed};
use std::panic::catch_unwind;

fn smoke(name: &str) {
    let target = TARGETS.iter().find(|target| target.name == name).unwrap();
    let times = std::env::var("HOSTILE_RUNS").ok().and_then(|times| times.parse().ok()).unwrap_or(1);
    let seeds = (target.seeds)();
    seeds.iter().for_each(|seed| (target.feed)(seed));
    for run in 0..target.runs * times {
        let mut chance = Chance(run);
        let seed = &seeds[chance.below(seeds.len() as u64) as usize];
        let bytes = changed(seed, &mut chance);
        if let Err(panic) = catch_unwind(|| (target.feed)(&bytes)) {
            let file = std::env::temp_dir().join(format!("bevelbook-{name}-{run}"));
            std::fs::write(&file, &bytes).unwrap();
            eprintln!("run {run} of {name}; its bytes are in {}", file.display());
            std::panic::resume_unwind(panic);
        }
    }
}

macro_rules! each {
    ($($name:ident)+) => {
        $(#[test]
        fn $name() {
            smoke(stringify!($name));
        })+

        #[test]
        fn none_is_left_out() {
            assert_eq!([$(stringify!($name)),+], TARGETS.map(|target| target.name));
        }
    };
}

each! {
    frames messages host_session keypad_session memory_image memory_cuts facts intake book_file import prescription trace settings
}
