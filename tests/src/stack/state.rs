//! What is known at one place of a function's code, and what an instruction makes of it.

use super::code::Code;
use super::decode::{LR, Op, PC, SP};

/// What is known of a register.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Value {
    Unknown,
    Number(u32),
    /// So many bytes above the stack pointer at the entry.
    Stack(i32),
    /// The word so many bytes behind a pointer that is not known.
    Loaded(u32),
    /// Where the caller goes on.
    Return,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct State {
    pub(super) registers: [Value; 16],
    /// How many of the next instructions are conditional.
    pub(super) conditional: u8,
}

impl Value {
    fn plus(self, by: i32) -> Self {
        match self {
            Self::Stack(place) => Self::Stack(place + by),
            Self::Number(number) => Self::Number(number.wrapping_add_signed(by)),
            _ => Self::Unknown,
        }
    }

    fn of(self, make: impl FnOnce(u32) -> u32) -> Self {
        match self {
            Self::Number(number) => Self::Number(make(number)),
            _ => Self::Unknown,
        }
    }

    /// A word that is read from a place that is known: a number where nothing writes, below RAM.
    fn stored(code: &Code, address: u32) -> Self {
        match code.word(address) {
            Some(word) if address < 0x2000_0000 => Self::Number(word),
            _ => Self::Loaded(0),
        }
    }
}

impl State {
    /// At a function's entry.
    pub(super) fn entered() -> Self {
        let mut registers = [Value::Unknown; 16];
        registers[usize::from(SP)] = Value::Stack(0);
        registers[usize::from(LR)] = Value::Return;
        Self { registers, conditional: 0 }
    }

    /// What holds of both.
    pub(super) fn joined(&self, other: &Self) -> Self {
        let mut joined = self.clone();
        joined.conditional = joined.conditional.max(other.conditional);
        for (number, (one, other)) in joined.registers.iter_mut().zip(other.registers).enumerate() {
            *one = match (*one, other) {
                (one, other) if one == other => one,
                (Value::Stack(one), Value::Stack(other)) if number == usize::from(SP) => {
                    Value::Stack(one.min(other))
                }
                _ => Value::Unknown,
            };
        }
        joined
    }

    /// What a call leaves: numbers and places in registers that a callee keeps.
    pub(super) fn called(&mut self) {
        for register in [0, 1, 2, 3, 12, 14] {
            self.registers[register] = Value::Unknown;
        }
    }

    /// Carries out what `op`, at `at`, does to registers, wherever it goes on.
    pub(super) fn calculate(&mut self, op: Op, at: u32, code: &Code) {
        let registers = self.registers;
        let value = |register: u8| match register {
            PC => Value::Number(at.wrapping_add(4)),
            _ => registers[usize::from(register)],
        };
        let mut set = |register: u8, value: Value| self.registers[usize::from(register)] = value;
        match op {
            Op::Push(bytes) => set(SP, value(SP).plus(-bytes)),
            Op::Pop(listed, bytes) => {
                (0..15).filter(|bit| listed >> bit & 1 == 1).for_each(|bit| set(bit, Value::Unknown));
                set(SP, value(SP).plus(bytes));
            }
            Op::Add { to, from, number } => set(to, value(from).plus(number)),
            Op::AddRegister { to, by } => {
                let sum = match (value(to), value(by)) {
                    (Value::Number(number), other) | (other, Value::Number(number)) => {
                        other.plus(number as i32)
                    }
                    _ => Value::Unknown,
                };
                set(to, sum);
            }
            Op::Set { to, number } => set(to, Value::Number(number)),
            Op::SetTop { to, half } => set(to, value(to).of(|number| half << 16 | number & 0xffff)),
            Op::Shift { to, from, by: 0 } => set(to, value(from)),
            Op::Shift { to, from, by } => set(to, value(from).of(|number| number << by)),
            Op::Negate { to, from, bits: true } => set(to, value(from).of(|number| !number)),
            Op::Negate { to, from, bits: false } => set(to, value(from).of(u32::wrapping_neg)),
            Op::Literal { to, address } => {
                set(to, code.word(address).map_or(Value::Unknown, Value::Number));
            }
            Op::Load { to, base, offset } => {
                let loaded = match value(base) {
                    // What lies in the frame somebody may have stored over who was told where it is.
                    Value::Stack(_) => Value::Unknown,
                    Value::Number(number) => Value::stored(code, number.wrapping_add(offset)),
                    _ => Value::Loaded(offset),
                };
                set(to, loaded);
            }
            Op::Writes(listed) => {
                (0..15).filter(|bit| listed >> bit & 1 == 1).for_each(|bit| set(bit, Value::Unknown));
            }
            // These go elsewhere, and leave what they find.
            Op::Branch { .. } | Op::Call(_) | Op::CallRegister(_) | Op::Jump(_) | Op::Table => {}
            Op::Condition(_) | Op::Stop | Op::Unknown => {}
        }
    }
}
