//! How deep a function's own code takes the stack, and whom it calls how deep.
//!
//! Its instructions are followed along every way from its first, with what is known of each register: a number, or a place
//! on the stack counted from the function's entry. Where ways meet, what differs is unknown, and of two depths the greater
//! counts; one that grows without end is refused. Places that only a table of branches leads to are followed with what
//! held at the tables.

use super::code::{Code, Function};
use super::decode::{LR, Op, PC, SP, is_long, long, short};
use super::state::{State, Value};
use std::collections::{BTreeMap, BTreeSet};

/// No frame of a keypad is deeper: what is deeper grows without end.
const MOST: i32 = 16 * 1024;

/// Whom a function calls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Callee {
    /// The code there.
    At(u32),
    /// What a pointer says; where that was read from memory, so many bytes behind what another pointer says.
    Pointer(Option<u32>),
}

/// A call, and how many bytes of the caller's frame lie on the stack then.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Call {
    pub(super) callee: Callee,
    pub(super) depth: i32,
}

/// What following a function showed.
#[derive(Debug, Default)]
pub(super) struct Flow {
    /// The most bytes of the stack that its own code takes.
    pub(super) deepest: i32,
    pub(super) calls: BTreeSet<Call>,
    /// Functions whose addresses it makes of numbers.
    pub(super) taken: BTreeSet<u32>,
}

struct Walk<'c> {
    code: &'c Code,
    function: &'c Function,
    states: BTreeMap<u32, State>,
    open: Vec<u32>,
    tables: Option<State>,
    /// What holds where it returns.
    returned: Option<State>,
    flow: Flow,
}

/// Follows `function`.
pub(super) fn follow(code: &Code, function: &Function) -> Result<Flow, String> {
    Ok(walk(code, function, State::entered())?.flow)
}

fn walk<'c>(code: &'c Code, function: &'c Function, state: State) -> Result<Walk<'c>, String> {
    let (states, open, tables, returned) = (BTreeMap::new(), Vec::new(), None, None);
    let mut walk = Walk { code, function, states, open, tables, returned, flow: Flow::default() };
    walk.meet(function.start, state);
    loop {
        while let Some(at) = walk.open.pop() {
            walk.step(at).map_err(|why| format!("{}, at {at:#x}: {why}", function.name()))?;
        }
        // What is left unfollowed is entered from a table, if there is any.
        let (Some(table), Some(at)) = (walk.tables.clone(), walk.unfollowed()) else { return Ok(walk) };
        walk.meet(at, table);
    }
}

impl<'c> Walk<'c> {
    fn length(&self, at: u32) -> u32 {
        if self.code.half(at).is_some_and(is_long) { 4 } else { 2 }
    }

    /// The first instruction that no way led to yet.
    fn unfollowed(&self) -> Option<u32> {
        let mut at = self.function.start;
        while at < self.function.end {
            let nothing = matches!(self.code.half(at), Some(0 | 0xbf00 | 0x46c0));
            if self.code.is_data(at) || nothing {
                at += 2;
            } else if self.states.contains_key(&at) {
                at += self.length(at);
            } else {
                return Some(at);
            }
        }
        None
    }

    /// Joins what is known where a way comes to `at`.
    fn meet(&mut self, at: u32, state: State) {
        let Some(known) = self.states.get_mut(&at) else {
            self.states.insert(at, state);
            self.open.push(at);
            return;
        };
        let joined = known.joined(&state);
        if *known != joined {
            *known = joined;
            self.open.push(at);
        }
    }

    fn step(&mut self, at: u32) -> Result<(), String> {
        let before = self.states[&at].clone();
        let next = at + self.length(at);
        let first = self.code.half(at).ok_or("there is no code")?;
        let op = match self.code.half(at + 2) {
            Some(second) if is_long(first) => long(at, first, second),
            _ => short(at, first),
        };
        let conditional = before.conditional > 0;
        let mut after = before.clone();
        after.conditional = before.conditional.saturating_sub(1);
        let mut skipped = after.clone();
        if let Op::Condition(count) = op {
            after.conditional = count;
        }
        let goes_on = self.act(op, &before, &mut after, at)?;
        let numbers = after.registers.iter().filter_map(|value| match value {
            Value::Number(number) => self.code.pointed_at(*number),
            _ => None,
        });
        self.flow.taken.extend(numbers);
        let Value::Stack(place) = after.registers[usize::from(SP)] else {
            return Err(format!("the stack pointer is not known after {op:?}"));
        };
        if place < -MOST {
            return Err("its frame grows without end".into());
        }
        self.flow.deepest = self.flow.deepest.max(-place);
        if goes_on {
            self.go(next, after);
        }
        if conditional {
            skipped.conditional = before.conditional - 1;
            self.go(next, skipped);
        }
        Ok(())
    }

    /// Goes on at `at`, unless that is behind a call that never returns: data, or another function.
    fn go(&mut self, at: u32, state: State) {
        if at < self.function.end && !self.code.is_data(at) {
            self.meet(at, state);
        }
    }

    fn call(&mut self, callee: Callee, state: &State) -> Result<(), String> {
        let Value::Stack(place) = state.registers[usize::from(SP)] else {
            return Err("a call with a stack pointer that is not known".into());
        };
        self.flow.calls.insert(Call { callee, depth: -place });
        Ok(())
    }

    fn call_pointer(&mut self, register: u8, state: &State) -> Result<(), String> {
        let callee = match state.registers[usize::from(register)] {
            Value::Number(to) => Callee::At(to & !1),
            Value::Loaded(offset) => Callee::Pointer(Some(offset)),
            _ => Callee::Pointer(None),
        };
        self.call(callee, state)
    }

    /// Carries out `op`; whether the next instruction follows.
    fn act(&mut self, op: Op, before: &State, after: &mut State, at: u32) -> Result<bool, String> {
        after.calculate(op, at, self.code);
        match op {
            Op::Pop(listed, _) if listed >> PC & 1 == 1 => {
                self.returns(after);
                return Ok(false);
            }
            Op::Branch { to, always } => {
                self.branch(to, after)?;
                return Ok(!always);
            }
            // The smallest processors have no longer branch: it goes far within a function that has put LR by.
            Op::Call(to) if (self.function.start + 1..self.function.end).contains(&to) => {
                after.registers[usize::from(LR)] = Value::Unknown;
                self.meet(to, after.clone());
                return Ok(false);
            }
            Op::Call(to) => {
                if self.taken_out(to) {
                    return self.inside(to, before, after);
                }
                self.call(Callee::At(to), before)?;
                after.called();
            }
            Op::CallRegister(register) => {
                self.call_pointer(register, before)?;
                after.called();
            }
            Op::Jump(register) => {
                if register != LR && before.registers[usize::from(register)] != Value::Return {
                    self.call_pointer(register, before)?;
                    after.called();
                }
                self.returns(after);
                return Ok(false);
            }
            Op::Table => {
                let mut held = State { conditional: 0, ..before.clone() };
                if let Some(other) = &self.tables {
                    if other.registers[usize::from(SP)] != held.registers[usize::from(SP)] {
                        return Err("two tables at different depths".into());
                    }
                    held = held.joined(other);
                }
                self.tables = Some(held);
                return Ok(false);
            }
            Op::Stop => return Ok(false),
            Op::Unknown => return Err("an instruction that is not known here".into()),
            _ => {}
        }
        Ok(true)
    }

    fn branch(&mut self, to: u32, state: &State) -> Result<(), String> {
        if (self.function.start..self.function.end).contains(&to) {
            self.meet(to, state.clone());
            Ok(())
        } else if self.taken_out(to) {
            let mut after = state.clone();
            if self.inside(to, state, &mut after)? {
                self.returns(&after);
            }
            Ok(())
        } else {
            // Whom it calls last goes back to its caller.
            self.call(Callee::At(to), state)?;
            let mut after = state.clone();
            after.called();
            self.returns(&after);
            Ok(())
        }
    }

    fn returns(&mut self, state: &State) {
        let joined = self.returned.as_ref().map_or_else(|| state.clone(), |known| known.joined(state));
        self.returned = Some(joined);
    }

    /// Whether the compiler took the code at `at` out of several functions for size: it keeps to no rule of calls, and is
    /// followed as a part of each of them.
    fn taken_out(&self, at: u32) -> bool {
        self.code.functions.get(&at).is_some_and(|found| found.is("OUTLINED_FUNCTION"))
    }

    /// Follows such code with what holds at its call; whether it comes back.
    fn inside(&mut self, at: u32, before: &State, after: &mut State) -> Result<bool, String> {
        let code = self.code;
        let function = code.functions.get(&at).ok_or("there is no code")?;
        let mut state = before.clone();
        state.conditional = 0;
        let walk = walk(code, function, state)?;
        self.flow.deepest = self.flow.deepest.max(walk.flow.deepest);
        self.flow.calls.extend(walk.flow.calls);
        self.flow.taken.extend(walk.flow.taken);
        let Some(returned) = walk.returned else { return Ok(false) };
        after.registers = returned.registers;
        Ok(true)
    }
}
