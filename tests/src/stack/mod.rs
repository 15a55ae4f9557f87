//! The most that an image's stack can take, proven from its code.
//!
//! - Each function's own frame, and how much of it lies on the stack at each of its calls, is read from its machine code
//!   (`decode`, `state`, `flow`): along every way through it, whatever its data.
//! - Calls, jumps into other functions, and calls through pointers that are numbers in the code go where they go. Other
//!   pointers say what a rule names (`rules`), or any function whose address is taken.
//! - Functions that call each other without end are refused, but for those that a rule bounds.
//! - A panic never comes back: it is told once, on top of the deepest place.
//! - Interrupts come on top of the deepest place: each that the table of vectors names, all at once, whatever their
//!   priorities are.
//!
//! Not seen: code that is no part of the image, which a rule states.

mod code;
mod decode;
mod flow;
mod graph;
mod rules;
mod state;
#[cfg(test)]
mod tests;

pub use graph::Step;
pub use rules::{BARE, EXCEPTION, EXCEPTION_WITH_FLOATS, Nested, Outside, PICO, Pointer, Rules};

use code::Code;
use graph::Graph;
use std::collections::BTreeSet;
use std::fmt;
use std::path::Path;

/// The deepest that one way in goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// In bytes, what the processor itself puts there included.
    pub bytes: u32,
    /// From the entry to the deepest place.
    pub steps: Vec<Step>,
}

/// What an image's stack takes at most.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bound {
    /// From the start on.
    pub start: Way,
    /// Each interrupt.
    pub interrupts: Vec<Way>,
    /// A panic.
    pub panic: Way,
}

impl Bound {
    fn ways(&self) -> impl Iterator<Item = &Way> {
        [&self.start].into_iter().chain(&self.interrupts).chain([&self.panic])
    }

    /// All of it, in bytes.
    #[must_use]
    pub fn bytes(&self) -> u32 {
        self.ways().map(|way| way.bytes).sum()
    }
}

impl fmt::Display for Bound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for way in self.ways() {
            writeln!(f, "{:>6} bytes", way.bytes)?;
            way.steps.iter().try_for_each(|step| writeln!(f, "{:>12} {}", step.bytes, step.name))?;
        }
        write!(f, "the stack takes at most {} bytes", self.bytes())
    }
}

/// The bound of an image.
///
/// # Errors
/// It cannot be read, or something in it cannot be bounded: which function, and why.
pub fn bound(image: &Path, rules: Rules) -> Result<Bound, String> {
    let code = Code::load(image)?;
    if let Some(rule) = rules.pointers.iter().copied().flatten().find(|rule| !names_a_caller(rule, &code)) {
        return Err(format!(
            "a rule says whom these call, and the image has none of them: {:?}",
            rule.callers
        ));
    }
    bound_of(&code, rules)
}

fn names_a_caller(rule: &Pointer, code: &Code) -> bool {
    code.functions.values().any(|function| rule.callers.iter().any(|part| function.is(part)))
}

fn bound_of(code: &Code, rules: Rules) -> Result<Bound, String> {
    let mut graph = Graph::of(code, rules)?;
    let mut entries = code.vectors.iter().skip(1).filter_map(|vector| code.pointed_at(*vector));
    let start = entries.next().ok_or("no start in the table of vectors")?;
    let panic = graph.panic().ok_or("nothing tells a panic")?;
    let mut way = |entry: u32, exception: u32| {
        graph.deepest(entry).map(|(bytes, steps)| Way { bytes: bytes + exception, steps })
    };
    let handlers: BTreeSet<u32> = entries.collect();
    Ok(Bound {
        start: way(start, 0)?,
        panic: way(panic, 0)?,
        interrupts: handlers
            .into_iter()
            .map(|handler| way(handler, rules.exception))
            .collect::<Result<_, _>>()?,
    })
}
