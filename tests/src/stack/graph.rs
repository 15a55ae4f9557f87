//! The deepest way through the calls.

use super::code::Code;
use super::flow::{Call, Callee, Flow, follow};
use super::rules::{Nested, Pointer, Rules};
use std::collections::{BTreeMap, BTreeSet};

/// A function on the deepest way, and what lies on the stack of it when the next is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// Bytes.
    pub bytes: u32,
}

/// What writes the pieces of a text, each by a pointer that lies 4 bytes behind that to the piece.
const TEXT: &str = "core::fmt::write";
/// What writes a text that was made elsewhere.
const HANDED_ON: &str = "core::fmt::Arguments as";

/// How deep, and by which of the calls: what lies on the stack then, whom, and in what text that is.
type Deepest = (u32, Option<(u32, Place)>);

/// A function as it is entered.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    function: u32,
    /// How often each function that may be entered again still may.
    rounds: Vec<u32>,
    /// Who writes a value into a text just then: the pieces of its text are of its own making.
    formatter: Option<u32>,
}

/// All functions and their calls.
#[derive(Debug)]
pub(super) struct Graph<'c> {
    code: &'c Code,
    rules: Rules,
    flows: BTreeMap<u32, Flow>,
    taken: BTreeSet<u32>,
    known: BTreeMap<Place, Deepest>,
    running: Vec<Place>,
    /// What each writer of values makes pointers to, and whom it calls.
    made: BTreeMap<u32, BTreeSet<u32>>,
}

impl<'c> Graph<'c> {
    pub(super) fn of(code: &'c Code, rules: Rules) -> Result<Self, String> {
        let flows: BTreeMap<u32, Flow> = code
            .functions
            .values()
            .map(|function| Ok((function.start, follow(code, function)?)))
            .collect::<Result<_, String>>()?;
        let made = flows.values().flat_map(|flow| flow.taken.iter().copied());
        let taken = code.stored_pointers().into_iter().chain(made).collect();
        Ok(Self {
            code,
            rules,
            flows,
            taken,
            known: BTreeMap::new(),
            running: Vec::new(),
            made: BTreeMap::new(),
        })
    }

    fn name(&self, at: u32) -> &str {
        self.code.functions.get(&at).map_or("?", |function| function.name())
    }

    fn is(&self, function: u32, name: &str) -> bool {
        self.code.functions.get(&function).is_some_and(|found| found.names.iter().any(|known| known == name))
    }

    /// What tells a panic.
    pub(super) fn panic(&self) -> Option<u32> {
        self.code.functions.keys().copied().find(|function| self.is(*function, self.rules.panic.function))
    }

    /// The most that the stack takes from the entry of `function` on, panics left out unless it is what tells them, and
    /// the way there.
    pub(super) fn deepest(&mut self, function: u32) -> Result<(u32, Vec<Step>), String> {
        self.known.clear();
        let panics = if self.is(function, self.rules.panic.function) { self.rules.panic.times } else { 0 };
        let nested = self.rules.nested.iter().map(|nested| nested.times);
        let rounds: Vec<u32> = [panics].into_iter().chain(nested).collect();
        let mut at = Place { function, rounds, formatter: None };
        let (bytes, _) = self.from(&at)?;
        let mut way = Vec::new();
        loop {
            let (own, next) = self.known[&self.entered(&at)].clone();
            let name = self.name(at.function).into();
            let Some((bytes_before, next)) = next else {
                way.push(Step { name, bytes: own });
                return Ok((bytes, way));
            };
            way.push(Step { name, bytes: bytes_before });
            at = next;
        }
    }

    /// With what is left of the rounds once it is entered.
    fn entered(&self, place: &Place) -> Place {
        let left = |(left, nested): (&u32, &Nested)| {
            left.saturating_sub(self.is(place.function, nested.function).into())
        };
        Place { rounds: place.rounds.iter().zip(self.bounded()).map(left).collect(), ..place.clone() }
    }

    fn bounded(&self) -> impl Iterator<Item = &Nested> {
        [&self.rules.panic].into_iter().chain(self.rules.nested)
    }

    fn from(&mut self, place: &Place) -> Result<Deepest, String> {
        let place = self.entered(place);
        if let Some(known) = self.known.get(&place) {
            return Ok(known.clone());
        }
        if let Some(begun) = self.running.iter().position(|running| *running == place) {
            let ring: Vec<&str> =
                self.running[begun..].iter().map(|place| self.name(place.function)).collect();
            return Err(format!("these call each other, and no rule says how often: {}", ring.join(" -> ")));
        }
        let Some(flow) = self.flows.get(&place.function) else {
            let caller = self.running.last().map_or("", |caller| self.name(caller.function));
            return Err(format!("{caller} goes to {:#x}, which is no function", place.function));
        };
        self.running.push(place.clone());
        let mut deepest: Deepest = (flow.deepest as u32, None);
        for Call { callee, depth } in flow.calls.clone() {
            let depth = u32::try_from(depth).map_err(|_| "a call above the entry's stack")?;
            let (callees, outside) = self.callees(&place, callee)?;
            if depth + outside > deepest.0 {
                deepest = (depth + outside, None);
            }
            for function in callees {
                if self.spent(function, &place.rounds) {
                    continue;
                }
                let pieces = self.code.functions[&place.function].is(TEXT)
                    && matches!(callee, Callee::Pointer(Some(4)));
                let formatter = if pieces { Some(function) } else { place.formatter };
                let next = Place { function, rounds: place.rounds.clone(), formatter };
                let (below, _) = self.from(&next)?;
                if depth + below > deepest.0 {
                    deepest = (depth + below, Some((depth, next)));
                }
            }
        }
        self.running.pop();
        self.known.insert(place, deepest.clone());
        Ok(deepest)
    }

    /// Whether `function` may be entered no more.
    fn spent(&self, function: u32, rounds: &[u32]) -> bool {
        rounds
            .iter()
            .zip(self.bounded())
            .any(|(left, nested)| *left == 0 && self.is(function, nested.function))
    }

    /// What the code below `formatter` makes pointers to, as far as it calls without any.
    fn made_by(&mut self, formatter: u32) -> BTreeSet<u32> {
        if let Some(known) = self.made.get(&formatter) {
            return known.clone();
        }
        let (mut seen, mut open, mut made) = (BTreeSet::from([formatter]), vec![formatter], BTreeSet::new());
        while let Some(flow) = open.pop().and_then(|function| self.flows.get(&function)) {
            made.extend(flow.taken.iter().copied());
            let called = flow.calls.iter().filter_map(|call| match call.callee {
                Callee::At(to) => Some(to),
                Callee::Pointer(_) => None,
            });
            open.extend(called.filter(|to| seen.insert(*to)));
        }
        self.made.insert(formatter, made.clone());
        made
    }

    /// Whom a call may reach, and how many bytes what is not in the image takes.
    fn callees(&mut self, place: &Place, callee: Callee) -> Result<(Vec<u32>, u32), String> {
        let from = &self.code.functions[&place.function];
        let outside = self.rules.outside.iter().find(|outside| from.is(outside.caller));
        let offset = match (callee, outside) {
            (Callee::At(to), _) if outside.is_none() || self.flows.contains_key(&to) => {
                return Ok((vec![to], 0));
            }
            (_, Some(outside)) => return Ok((Vec::new(), outside.bytes)),
            (Callee::At(to), None) => return Ok((vec![to], 0)),
            (Callee::Pointer(offset), None) => offset,
        };
        let code = self.code;
        let names = |rule: &Pointer, function: u32| {
            rule.callees.iter().any(|part| code.functions[&function].is_named(part))
        };
        let fits = |rule: &&Pointer| {
            rule.callers.iter().any(|part| from.is(part))
                && (rule.offsets.is_empty() || offset.is_some_and(|offset| rule.offsets.contains(&offset)))
        };
        let rules = self.rules.pointers.iter().copied().flatten();
        let rule = rules.clone().find(fits);
        let may = |function: &u32| match rule {
            Some(rule) => names(rule, *function),
            None => !rules.clone().any(|rule| names(rule, *function)),
        };
        let found: Vec<u32> = self.taken.iter().copied().filter(may).collect();
        if found.is_empty() {
            let name = from.name();
            return Err(format!(
                "{name} calls through a pointer at {offset:?}, and no function is what its rule names"
            ));
        }
        // The pieces of a text within a value are what that value's writer made; arguments hand on what others made.
        match place.formatter {
            Some(writer) if from.is(TEXT) && offset == Some(4) && !code.functions[&writer].is(HANDED_ON) => {
                let made = self.made_by(writer);
                Ok((found.into_iter().filter(|function| made.contains(function)).collect(), 0))
            }
            _ => Ok((found, 0)),
        }
    }
}
