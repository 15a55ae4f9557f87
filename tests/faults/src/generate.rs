//! From a seed to what happens. Each campaign leans towards one sort of fault; a day is a little of everything.

use crate::chance::Chance;
use crate::chip::{PAGES, RING};
use crate::disk::COMMITS;
use crate::script::{Script, Start, Step};
use crate::wire::KINDS;

/// What makes the next step.
type Make = fn(&mut Chance) -> Step;

/// A sort of day: its name, how it begins, and what happens in it beside presses.
pub(crate) struct Campaign {
    pub(crate) name: &'static str,
    starts: &'static [Start],
    faults: &'static [Make],
    /// Steps at most.
    most: u64,
    /// Of ten steps so many are faults.
    often: u64,
}

const USUAL: &[Start] = &[Start::Usual, Start::Usual, Start::Usual, Start::New];

/// Those that a run without a name takes in turn.
pub(crate) const CAMPAIGNS: &[Campaign] = &[
    Campaign {
        name: "cuts",
        starts: &[Start::Usual, Start::ThirdLap],
        faults: &[cut, cut, start_cut, restart, stick],
        most: 14,
        often: 4,
    },
    Campaign {
        name: "line",
        starts: USUAL,
        faults: &[noise, noise, quiet, replay, unplug, plug, second, second_gone],
        most: 14,
        often: 4,
    },
    Campaign {
        name: "book",
        starts: USUAL,
        faults: &[commit, commit, kill, console, locked, backup, restore, replace, typed, undone, clock],
        most: 16,
        often: 5,
    },
    Campaign {
        name: "server",
        starts: &[Start::Usual, Start::Usual, Start::ThirdLap, Start::New],
        faults: &[
            away,
            away,
            unanswered_commit,
            unanswered_commit,
            unanswered_commit,
            promoted,
            slow,
            typed,
            undone,
            second,
            second_gone,
            kill,
            console,
            restart,
            unplug,
            plug,
        ],
        most: 24,
        often: 5,
    },
    Campaign {
        name: "keypads",
        starts: USUAL,
        faults: &[swap, swap, wipe, copy, roll_back, stranger, plug, cut],
        most: 16,
        often: 4,
    },
    Campaign {
        name: "ends",
        starts: &[Start::LastNumbers, Start::LastBoots],
        faults: &[restart, cut, start_cut, kill, console, unplug, plug],
        most: 40,
        often: 3,
    },
    Campaign {
        name: "cards",
        starts: &[Start::Usual, Start::ThirdLap, Start::Filled],
        faults: &[typed, undone, other, other, cut, restart, unplug, plug, console, kill],
        most: 60,
        often: 2,
    },
    Campaign {
        name: "full",
        starts: &[Start::Filled, Start::ThirdLap],
        faults: &[unplug, plug, cut, restart, kill, console],
        most: 60,
        often: 1,
    },
    Campaign {
        name: "answers",
        starts: &[Start::Usual, Start::ThirdLap],
        faults: &[unanswered, unanswered, restart, cut, unplug, plug],
        most: 16,
        often: 4,
    },
    Campaign {
        name: "day",
        starts: USUAL,
        faults: &[
            cut,
            start_cut,
            restart,
            stick,
            noise,
            quiet,
            replay,
            unplug,
            plug,
            second,
            second_gone,
            commit,
            kill,
            console,
            locked,
            backup,
            restore,
            replace,
            typed,
            undone,
            other,
            clock,
            swap,
            wipe,
            stranger,
            unanswered,
            away,
            unanswered_commit,
            promoted,
            slow,
        ],
        most: 24,
        often: 5,
    },
];

/// The campaign of that name.
pub(crate) fn named(name: &str) -> Option<&'static Campaign> {
    CAMPAIGNS.iter().find(|campaign| campaign.name == name)
}

/// What happens under a seed.
pub(crate) fn script(seed: u64, campaign: Option<&Campaign>) -> Script {
    let campaign = campaign.unwrap_or(&CAMPAIGNS[(seed % CAMPAIGNS.len() as u64) as usize]);
    let mut chance = Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
    let start = chance.one(campaign.starts);
    let mut steps = Vec::new();
    // The keypad hears of the station, and a job is taken in hand.
    steps.push(Step::Wait { ms: 300 + chance.below(3000) });
    steps.push(Step::Press { key: CENTRE });
    for _ in 0..2 + chance.below(campaign.most) {
        if chance.below(10) < campaign.often {
            let make = chance.one(campaign.faults);
            steps.push(make(&mut chance));
        } else {
            steps.push(work(&mut chance));
        }
    }
    Script { start, seed: chance.next() >> 16, steps }
}

const CENTRE: u64 = 4;

/// What somebody at the bench does: passes most of the time.
fn work(chance: &mut Chance) -> Step {
    match chance.below(16) {
        0..=6 => Step::Press { key: chance.one(&[0, 3]) },
        7 => Step::Press { key: 1 },
        8 => Step::Press { key: CENTRE },
        9 => Step::Press { key: chance.below(5) },
        10 => Step::Hold { key: chance.one(&[0, 2, 4]) },
        11..=13 => Step::Wait { ms: 1 + chance.below(400) },
        _ => Step::Wait { ms: 200 + chance.below(5000) },
    }
}

fn cut(chance: &mut Chance) -> Step {
    Step::Cut { write: chance.below(6), torn: chance.below(6), seed: chance.below(1 << 20) }
}

fn start_cut(chance: &mut Chance) -> Step {
    Step::StartCut { write: chance.below(6), torn: chance.below(6), seed: chance.below(1 << 20) }
}

fn restart(_: &mut Chance) -> Step {
    Step::Restart {}
}

/// One mark, or a page of the journal.
fn stick(chance: &mut Chance) -> Step {
    let journal = PAGES as u64 - u64::from(RING);
    Step::Stick { page: if chance.once_in(4) { 2 } else { journal + chance.below(12) } }
}

fn unanswered(chance: &mut Chance) -> Step {
    Step::Unanswered { reads: chance.one(&[0, 3, 10, 100]), writes: chance.one(&[0, 0, 2, 10]) }
}

fn noise(chance: &mut Chance) -> Step {
    Step::Noise { kind: chance.below(KINDS.len() as u64), often: chance.one(&[5, 50, 500, 3000]) }
}

fn quiet(_: &mut Chance) -> Step {
    Step::Quiet {}
}

fn replay(chance: &mut Chance) -> Step {
    Step::Replay { seed: chance.below(1 << 20) }
}

fn unplug(_: &mut Chance) -> Step {
    Step::Unplug {}
}

fn plug(chance: &mut Chance) -> Step {
    if chance.once_in(3) { Step::PlugReset {} } else { Step::Plug {} }
}

fn second(_: &mut Chance) -> Step {
    Step::Second {}
}

fn second_gone(_: &mut Chance) -> Step {
    Step::SecondGone {}
}

fn commit(chance: &mut Chance) -> Step {
    Step::Commit { how: chance.below(COMMITS.len() as u64) }
}

fn kill(chance: &mut Chance) -> Step {
    Step::Kill { frames: 1 + chance.below(6) }
}

fn console(_: &mut Chance) -> Step {
    Step::Console {}
}

fn locked(chance: &mut Chance) -> Step {
    Step::Locked { times: 1 + chance.below(3) }
}

/// Shorter than a keypad waits for a console, and longer.
fn away_ms(chance: &mut Chance) -> u64 {
    chance.one(&[1, 200, 2000, 9000, 40_000])
}

fn away(chance: &mut Chance) -> Step {
    Step::Away { ms: away_ms(chance) }
}

fn unanswered_commit(chance: &mut Chance) -> Step {
    Step::UnansweredCommit { how: 1 + chance.below(2), ms: away_ms(chance) }
}

fn promoted(chance: &mut Chance) -> Step {
    Step::Promoted { ms: away_ms(chance) }
}

fn slow(chance: &mut Chance) -> Step {
    Step::Slow { ms: chance.one(&[0, 50, 400, 3000, 12_000]) }
}

fn backup(_: &mut Chance) -> Step {
    Step::Backup {}
}

fn restore(_: &mut Chance) -> Step {
    Step::Restore {}
}

fn replace(_: &mut Chance) -> Step {
    Step::Replace {}
}

fn typed(chance: &mut Chance) -> Step {
    Step::Typed { eye: chance.below(2), outcome: chance.below(4) }
}

fn undone(chance: &mut Chance) -> Step {
    Step::Undone { back: chance.below(6) }
}

fn other(_: &mut Chance) -> Step {
    Step::Other {}
}

fn clock(chance: &mut Chance) -> Step {
    let seconds = chance.one(&[60, 86_400, 40_000_000]);
    if chance.once_in(2) { Step::ClockOn { seconds } } else { Step::ClockBack { seconds } }
}

fn swap(_: &mut Chance) -> Step {
    Step::Swap {}
}

fn wipe(chance: &mut Chance) -> Step {
    Step::Wipe { how: chance.below(2) }
}

fn copy(_: &mut Chance) -> Step {
    Step::Copy {}
}

fn roll_back(_: &mut Chance) -> Step {
    Step::RollBack {}
}

fn stranger(chance: &mut Chance) -> Step {
    Step::Stranger { ms: 500 + chance.below(8000), seed: chance.below(1 << 20) }
}
