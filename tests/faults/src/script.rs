//! What happens in a run, as data: a seed makes it, a file of lines holds it, shrinking takes lines away.
//!
//! ```text
//! start usual 7          how the day begins, and the seed of what is left to chance
//! press 3                one thing that happens, with its numbers
//! ```

use std::fmt;
use std::str::FromStr;

/// States each step once: its word, its name, and its numbers.
macro_rules! steps {
    ($($(#[$doc:meta])+ $word:literal $name:ident($($field:ident),*);)+) => {
        /// One thing that happens.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub(crate) enum Step {
            $($(#[$doc])+ $name { $($field: u64),* },)+
        }

        impl fmt::Display for Step {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self {
                    $(Self::$name { $($field),* } => {
                        f.write_str($word)?;
                        $(write!(f, " {}", $field)?;)*
                        Ok(())
                    })+
                }
            }
        }

        impl FromStr for Step {
            type Err = String;

            fn from_str(line: &str) -> Result<Self, String> {
                let mut words = line.split_whitespace();
                let word = words.next().unwrap_or_default();
                let mut number = |what: &str| {
                    let given = words.next().ok_or_else(|| format!("`{line}`: {what} is missing"))?;
                    given.parse::<u64>().map_err(|_| format!("`{line}`: {what} is no number: {given}"))
                };
                match word {
                    $($word => Ok(Self::$name { $($field: number(stringify!($field))?),* }),)+
                    _ => Err(format!("`{line}`: no such step")),
                }
            }
        }
    };
}

steps! {
    /// A key is pressed, in the order of `Key::ALL`, and 320 ms pass.
    "press" Press(key);
    /// A key is held, and 320 ms pass.
    "hold" Hold(key);
    /// Time passes.
    "wait" Wait(ms);
    /// Power is cut at a page write from now on, counted from 0; it comes back half a second later.
    "cut" Cut(write, torn, seed);
    /// Power is cut at a page write of the next start, or behind it.
    "start-cut" StartCut(write, torn, seed);
    /// The keypad is switched off between two writes, and on again half a second later.
    "restart" Restart();
    /// The keypad is switched off and stays so.
    "off" Off();
    /// The keypad is switched on.
    "on" On();
    /// One read of the memory in so many is not answered, and one write in so many is disturbed; 0 is none.
    "unanswered" Unanswered(reads, writes);
    /// A page keeps what it holds from now on.
    "stick" Stick(page);
    /// The line spoils so many of ten thousand: bytes flipped, left out or doubled, frames cut, held up or lost.
    "noise" Noise(kind, often);
    /// The line is sound.
    "quiet" Quiet();
    /// Bytes that were on the line before are on it again.
    "replay" Replay(seed);
    /// The cable is pulled.
    "unplug" Unplug();
    /// It is put in again.
    "plug" Plug();
    /// It is put in again, which resets the keypad.
    "plug-reset" PlugReset();
    /// A second console is at the same line and at the same book.
    "second" Second();
    /// It is gone.
    "second-gone" SecondGone();
    /// What the next commit meets.
    "commit" Commit(how);
    /// The console is killed when it has sent so many frames more.
    "kill" Kill(frames);
    /// A console that was killed is started.
    "console" Console();
    /// The book cannot be opened so many times.
    "locked" Locked(times);
    /// The server that keeps the book is away for so long: whatever it is asked fails, and nothing is done.
    "away" Away(ms);
    /// The server goes for so long while it commits: 1 before that is done, 2 behind it. Nobody is answered.
    "unanswered-commit" UnansweredCommit(how, ms);
    /// Another server takes its place so long later, which lacks nothing that was answered.
    "promoted" Promoted(ms);
    /// It takes so long to answer whatever it is asked at once; 0 is no time.
    "slow" Slow(ms);
    /// The book is copied away.
    "backup" Backup();
    /// The copy is put in the book's place; consoles are ended for it.
    "restore" Restore();
    /// Another book is put in the book's place while it is in use.
    "replace" Replace();
    /// Wall time jumps on.
    "clock-on" ClockOn(seconds);
    /// Wall time jumps back.
    "clock-back" ClockBack(seconds);
    /// The other keypad is put on the cable.
    "swap" Swap();
    /// A new journal is begun on the keypad: 0 on a new chip, 1 on the old one with its records given up.
    "wipe" Wipe(how);
    /// The memory is copied away.
    "copy" Copy();
    /// The copy is put in its place.
    "roll-back" RollBack();
    /// A keypad that answers anything is on the cable for so long.
    "stranger" Stranger(ms, seed);
    /// Somebody logs a pass of the first job at another console.
    "typed" Typed(eye, outcome);
    /// Somebody undoes at a console what the keypad said last but so many.
    "undone" Undone(back);
    /// The job that is not in hand is taken in hand.
    "other" Other();
}

impl Step {
    /// Whether it means something to the real book: what the model's disk does with whole books does not, nor does what
    /// a stranger says, which only the real book's gate looks at.
    pub(crate) const fn is_for_real(&self) -> bool {
        !matches!(
            self,
            Self::Backup {}
                | Self::Restore {}
                | Self::Replace {}
                | Self::Promoted { .. }
                | Self::Typed { .. }
                | Self::Undone { .. }
                | Self::Stranger { .. }
        )
    }
}

/// How a day begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Start {
    /// The keypad is this shop's.
    Usual,
    /// It is not yet.
    New,
    /// Its journal is at the end of its numbers.
    LastNumbers,
    /// It is at the end of its numbers of starts.
    LastBoots,
    /// In the third lap of its journal.
    ThirdLap,
    /// Nearly full of records that no console has.
    Filled,
}

impl Start {
    pub(crate) const ALL: [(&'static str, Self); 6] = [
        ("usual", Self::Usual),
        ("new", Self::New),
        ("last-numbers", Self::LastNumbers),
        ("last-boots", Self::LastBoots),
        ("third-lap", Self::ThirdLap),
        ("filled", Self::Filled),
    ];
}

/// A whole run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Script {
    pub(crate) start: Start,
    /// Of what is left to chance: sessions, times on the line.
    pub(crate) seed: u64,
    pub(crate) steps: Vec<Step>,
}

impl fmt::Display for Script {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = Start::ALL.iter().find(|(_, start)| *start == self.start).map_or("", |(word, _)| word);
        writeln!(f, "start {word} {}", self.seed)?;
        self.steps.iter().try_for_each(|step| writeln!(f, "{step}"))
    }
}

impl FromStr for Script {
    type Err = String;

    /// Lines that begin with `#` and empty ones are passed over.
    fn from_str(text: &str) -> Result<Self, String> {
        let mut lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
        let first = lines.next().unwrap_or_default();
        let mut words = first.split_whitespace().skip(1);
        let word = words.next().unwrap_or_default();
        let start = Start::ALL.iter().find(|(known, _)| *known == word).map(|(_, start)| *start);
        let seed = words.next().and_then(|seed| seed.parse().ok());
        let (Some(start), Some(seed)) = (start, seed) else {
            return Err(format!("`{first}`: should be `start WORD SEED`"));
        };
        Ok(Self { start, seed, steps: lines.map(str::parse).collect::<Result<_, _>>()? })
    }
}
