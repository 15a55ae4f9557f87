//! Power cuts at every page write of a short day, and again while the keypad starts after it.

use super::super::faults::{Cut, Torn};
use super::model::{Model, PowerOff};
use super::*;

/// From switching on to the last pair: everything that writes.
fn short_day(store: &mut Store, model: &mut Model) -> Result<(), PowerOff> {
    let memory = &mut model.open(store)?;
    model.store(memory, 1)?;
    for _ in 0..3 {
        model.append(memory, Urgency::Ordinary)?;
    }
    model.acknowledge_lightly(memory, 1)?;
    model.append(memory, Urgency::FinishLens)?;
    model.acknowledge_lightly(memory, 0)?;
    model.store(memory, 1)?;
    model.append(memory, Urgency::Ordinary)?;
    model.drop(memory, 2)?;
    model.store(memory, 2)?;
    model.acknowledge(memory, 0)?;
    model.append(memory, Urgency::Ordinary)
}

/// The keypad works on after a cut, and keeps what it held. How often luck with half-written bits showed.
fn works_on(store: &mut Store, model: &mut Model) -> u32 {
    for _ in 0..2 {
        let Ok(mut memory) = model.open(store) else { panic!("the power is on") };
        let memory = &mut memory;
        let done = model
            .append(memory, Urgency::FinishLens)
            .and_then(|()| model.append(memory, Urgency::FinishLens));
        assert!(done.is_ok());
    }
    assert!(model.open(store).is_ok());
    model.luck
}

/// A memory at the start of its first lap, one in its third, and one that waits for a console with its reserve in
/// use.
fn mornings() -> [(Store, Model); 3] {
    [(1, 1), (75, 5), (58, 22)].map(|(records, kept)| {
        let (mut store, mut model) = (begun().into_pages(), Model::new());
        {
            let Ok(mut memory) = model.open(&mut store) else { panic!("the power is on") };
            let memory = &mut memory;
            for n in 0..records {
                assert!(model.append(memory, Urgency::FinishLens).is_ok());
                let keep = if n + 1 == records { kept } else { 20 };
                assert!(n % 9 != 0 && n + 1 != records || model.acknowledge(memory, keep).is_ok());
            }
            assert!(model.store(memory, 1).and_then(|()| model.store(memory, 2)).is_ok());
        }
        (store, model)
    })
}

/// What was tried, and what was seen that is worth knowing.
#[derive(Debug, Default)]
struct Count {
    /// Power cuts.
    cuts: u32,
    /// Records never saved that were there at one start and not at another.
    luck: u32,
}

/// Cuts every write of the day in every way, and each write of the start after it in `again` ways.
fn cut_everywhere(seeds: core::ops::Range<u64>, again: &[Torn]) -> Count {
    let mut count = Count::default();
    for (store, model) in &mornings() {
        for (seed, torn) in seeds.clone().flat_map(|seed| Torn::ALL.map(|torn| (seed, torn))) {
            for write in 0.. {
                let (mut store, mut model) = (store.clone(), model.clone());
                store.power_on();
                let seed = seed * 1000 + u64::from(write);
                store.cut_at(Cut { write, torn, seed });
                if short_day(&mut store, &mut model).is_ok() {
                    assert!(write > 15, "the day has {write} writes");
                    break;
                }
                store.power_on();
                again.iter().for_each(|torn| cut_the_start(&store, &model, *torn, seed, &mut count));
                count.cuts += 1;
                count.luck += works_on(&mut store, &mut model);
            }
        }
    }
    count
}

fn cut_the_start(store: &Store, model: &Model, torn: Torn, seed: u64, count: &mut Count) {
    for write in 0.. {
        let (mut store, mut model) = (store.clone(), model.clone());
        store.cut_at(Cut { write, torn, seed: seed + 7 });
        let whole = Memory::open(&mut store, layout()).is_ok();
        store.power_on();
        count.luck += works_on(&mut store, &mut model);
        if whole {
            break;
        }
        count.cuts += 1;
    }
}

#[test]
fn a_cut_at_each_page_write_of_a_short_day_loses_nothing_and_invents_nothing() {
    let count = cut_everywhere(0..2, &[]);
    assert!(count.cuts > 500, "{count:?}");
}

#[test]
fn a_second_cut_while_starting_loses_nothing_either() {
    let count = cut_everywhere(0..1, &[Torn::Garbage]);
    assert!(count.cuts > 900, "{count:?}");
}

/// The long run; `MEMORY_CUT_SEEDS` sets its length.
#[test]
#[ignore = "takes minutes: cargo test --release -p bevelbook-keypad -- --ignored --nocapture"]
fn a_long_run_of_cuts() {
    let seeds = std::env::var("MEMORY_CUT_SEEDS").ok().and_then(|seeds| seeds.parse().ok()).unwrap_or(50);
    let Count { cuts, luck } = cut_everywhere(100..100 + seeds, &Torn::ALL);
    std::println!("{cuts} power cuts: no saved record lost, no garbage accepted, no number given twice");
    std::println!("{luck} records that were never saved were there at one start and not at another");
    assert!(cuts > 4000);
}
