//! What an instruction of Thumb code does to registers that hold addresses, and where it goes on.
//!
//! Encodings: Armv6-M, Armv7-M and Armv8-M Architecture Reference Manuals (DDI 0419, 0403, 0553), chapters "The Thumb
//! instruction set encoding"; from memory, tried on single instructions by the tests beside it, and not compared with another
//! disassembler over whole images. What is not known here counts as writing every register that it names; what might write the
//! stack pointer and is not known is refused.

/// The number of the stack pointer, of the link register and of the program counter.
pub(super) const SP: u8 = 13;
pub(super) const LR: u8 = 14;
pub(super) const PC: u8 = 15;

/// What one instruction does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Op {
    /// Stores this many bytes below the stack pointer, and lowers it.
    Push(i32),
    /// Takes the registers of a mask and raises the stack pointer by this many bytes.
    Pop(u16, i32),
    /// `to = from + number`.
    Add { to: u8, from: u8, number: i32 },
    /// `to += by`.
    AddRegister { to: u8, by: u8 },
    /// `to = number`.
    Set { to: u8, number: u32 },
    /// The upper half of `to`.
    SetTop { to: u8, half: u32 },
    /// `to = from << by`.
    Shift { to: u8, from: u8, by: u32 },
    /// `to = -from`, or with every bit turned.
    Negate { to: u8, from: u8, bits: bool },
    /// `to` is the word at this address.
    Literal { to: u8, address: u32 },
    /// `to` is the word that lies `offset` bytes behind what `base` points at.
    Load { to: u8, base: u8, offset: u32 },
    /// Goes on there; or, if it is conditional, behind it.
    Branch { to: u32, always: bool },
    /// Calls a function.
    Call(u32),
    /// Calls what a register points at.
    CallRegister(u8),
    /// Goes to what a register points at: back to the caller, or into another function for good.
    Jump(u8),
    /// Goes to one of a table of places in this function.
    Table,
    /// So many of the next instructions are conditional.
    Condition(u8),
    /// Writes the registers of a mask, with figures that nothing here asks for.
    Writes(u16),
    /// Never goes on.
    Stop,
    /// May write the stack pointer in a way that is not known here.
    Unknown,
}

/// Whether an instruction that begins so has 32 bits.
pub(super) const fn is_long(first: u16) -> bool {
    first >> 11 >= 0b11101
}

/// The instruction of 16 bits at `at`.
pub(super) fn short(at: u32, code: u16) -> Op {
    let code = u32::from(code);
    let field = |shift: u32, bits: u32| code >> shift & ((1 << bits) - 1);
    let register = |shift: u32| field(shift, 3) as u8;
    let any = |shift: u32| 1_u16 << field(shift, 3);
    match code >> 8 {
        0x00..=0x07 => Op::Shift { to: register(0), from: register(3), by: field(6, 5) },
        0x1c | 0x1d => Op::Add { to: register(0), from: register(3), number: field(6, 3) as i32 },
        0x1e | 0x1f => Op::Add { to: register(0), from: register(3), number: -(field(6, 3) as i32) },
        0x08..=0x1b => Op::Writes(any(0)),
        0x20..=0x27 => Op::Set { to: register(8), number: field(0, 8) },
        // Comparing writes nothing.
        0x28..=0x2f | 0x45 => Op::Writes(0),
        0x30..=0x37 => Op::Add { to: register(8), from: register(8), number: field(0, 8) as i32 },
        0x38..=0x3f => Op::Add { to: register(8), from: register(8), number: -(field(0, 8) as i32) },
        0x40..=0x43 => match field(6, 4) {
            0b1001 => Op::Negate { to: register(0), from: register(3), bits: false },
            0b1111 => Op::Negate { to: register(0), from: register(3), bits: true },
            _ => Op::Writes(any(0)),
        },
        0x44 | 0x46 => {
            let (to, from) = ((field(7, 1) << 3 | field(0, 3)) as u8, field(3, 4) as u8);
            match (to, code >> 8) {
                (PC, _) => Op::Table,
                (_, 0x44) => Op::AddRegister { to, by: from },
                _ => Op::Add { to, from, number: 0 },
            }
        }
        0x47 if field(7, 1) == 1 => Op::CallRegister(field(3, 4) as u8),
        0x47 => Op::Jump(field(3, 4) as u8),
        0x48..=0x4f => Op::Literal { to: register(8), address: (at & !3) + 4 + 4 * field(0, 8) },
        0x68..=0x6f => Op::Load { to: register(0), base: register(3), offset: 4 * field(6, 5) },
        // Of loads and stores the loads write their lowest register.
        0x50..=0x55 | 0x60..=0x67 | 0x70..=0x77 | 0x80..=0x87 | 0x90..=0x97 => Op::Writes(0),
        0x56..=0x5f | 0x78..=0x7f | 0x88..=0x8f => Op::Writes(any(0)),
        0x98..=0x9f => Op::Load { to: register(8), base: SP, offset: 4 * field(0, 8) },
        0xa0..=0xa7 => Op::Set { to: register(8), number: (at & !3) + 4 + 4 * field(0, 8) },
        0xa8..=0xaf => Op::Add { to: register(8), from: SP, number: 4 * field(0, 8) as i32 },
        0xb0 => {
            let bytes = 4 * field(0, 7) as i32;
            Op::Add { to: SP, from: SP, number: if field(7, 1) == 1 { -bytes } else { bytes } }
        }
        0xb1 | 0xb3 | 0xb9 | 0xbb => {
            Op::Branch { to: at + 4 + (field(9, 1) << 6 | field(3, 5) << 1), always: false }
        }
        0xb2 | 0xba => Op::Writes(any(0)),
        0xb4 | 0xb5 => Op::Push(4 * (code & 0x1ff).count_ones() as i32),
        0xb6 | 0xbe => Op::Writes(0),
        0xbc | 0xbd => {
            let listed = (code & 0xff) as u16 | (field(8, 1) as u16) << PC;
            Op::Pop(listed, 4 * listed.count_ones() as i32)
        }
        0xbf if field(0, 4) == 0 => Op::Writes(0),
        // As many as there are bits above the lowest that is set.
        0xbf => Op::Condition(4 - field(0, 4).trailing_zeros() as u8),
        // Storing and loading several, raising their base.
        0xc0..=0xcf => Op::Writes(any(8) | if field(11, 1) == 1 { field(0, 8) as u16 } else { 0 }),
        0xde => Op::Stop,
        0xdf => Op::Writes(0),
        0xd0..=0xdd => {
            let offset = 2 * i32::from(field(0, 8) as u8 as i8);
            Op::Branch { to: at.wrapping_add(4).wrapping_add_signed(offset), always: false }
        }
        0xe0..=0xe7 => {
            let offset = ((field(0, 11) << 21) as i32) >> 20;
            Op::Branch { to: at.wrapping_add(4).wrapping_add_signed(offset), always: true }
        }
        _ => Op::Unknown,
    }
}

/// The instruction of 32 bits at `at`.
pub(super) fn long(at: u32, first: u16, second: u16) -> Op {
    let (first, second) = (u32::from(first), u32::from(second));
    let (base, top, destination) = ((first & 15) as u8, (second >> 12) as u8, (second >> 8 & 15) as u8);
    match first >> 9 & 0b11_11 {
        // 0b1110_100: several registers, two, tables of branches.
        0b0100 => several(first, second, base, top, destination),
        // 0b1110_101: with a register that is shifted; `mov.w` among them. Comparing has PC for its destination.
        0b0101 => match destination {
            SP if first & 0xffef == 0xea4f && second & 0x70f0 == 0 => {
                Op::Add { to: SP, from: (second & 15) as u8, number: 0 }
            }
            SP => Op::Unknown,
            PC => Op::Writes(0),
            _ => Op::Writes(1 << destination),
        },
        0b1000..=0b1011 if second & 0x8000 != 0 => branches(at, first, second),
        0b1000..=0b1011 => number(at, first, second, base, destination),
        // 0b1111_100: one register is loaded or stored.
        0b1100 => one(at, first, second, base, top),
        // 0b1111_101: register by register, products.
        0b1101 if [destination, top].contains(&SP) => Op::Unknown,
        0b1101 => Op::Writes(1 << destination | 1 << top),
        // Coprocessors, floating point among them: only storing and loading several move the stack pointer.
        _ => coprocessor(first, second, base, top),
    }
}

fn several(first: u32, second: u32, base: u8, top: u8, destination: u8) -> Op {
    if first & 0x40 == 0 {
        let listed = second as u16;
        let bytes = 4 * listed.count_ones() as i32;
        let raised = if first & 0x20 == 0 { 0 } else { 1_u16 << base };
        return match (first & 0xffd0, base, raised != 0) {
            (0xe900, SP, true) => Op::Push(bytes),
            (0xe890, SP, true) => Op::Pop(listed, bytes),
            (_, SP, true) => Op::Unknown,
            (0xe890 | 0xe910, ..) => Op::Writes(listed | raised),
            (0xe880 | 0xe900, ..) => Op::Writes(raised),
            _ => Op::Unknown,
        };
    }
    if first & 0xfff0 == 0xe8d0 && second & 0xffe0 == 0xf000 {
        return Op::Table;
    }
    // Two registers, with a base that moves before (P) or behind; without either it is an exclusive access.
    let double = first & 0x120 != 0;
    let loads = first & 0x10 != 0;
    let bytes = 4 * (second & 0xff) as i32 * if first & 0x80 == 0 { -1 } else { 1 };
    let moves = double && first & 0x20 != 0;
    let loaded = 1_u16 << top | 1 << destination | 1 << (second & 15);
    match (moves && base == SP, loads) {
        (true, false) if bytes < 0 => Op::Push(-bytes),
        (true, true) if bytes > 0 => Op::Pop(1 << top | 1 << destination, bytes),
        (true, _) => Op::Unknown,
        (false, _) if loads && double => Op::Writes(1 << top | 1 << destination | u16::from(moves) << base),
        // An exclusive store says in a register whether it did.
        (false, _) if !double => Op::Writes(loaded & !(1 << SP | 1 << PC)),
        (false, _) => Op::Writes(u16::from(moves) << base),
    }
}

/// The number that twelve bits stand for (ThumbExpandImm).
const fn expanded(bits: u32) -> u32 {
    let byte = bits & 0xff;
    match bits >> 8 {
        0 => byte,
        1 => byte << 16 | byte,
        2 => byte << 24 | byte << 8,
        3 => byte << 24 | byte << 16 | byte << 8 | byte,
        _ => (0x80 | bits & 0x7f).rotate_right(bits >> 7),
    }
}

/// With a number in the instruction.
fn number(at: u32, first: u32, second: u32, base: u8, to: u8) -> Op {
    let bits = (first >> 10 & 1) << 11 | (second >> 12 & 7) << 8 | second & 0xff;
    let half = (first & 15) << 12 | bits;
    match (first & 0xfbf0, base) {
        (0xf100 | 0xf110 | 0xf1a0 | 0xf1b0, _) if to == PC => Op::Writes(0),
        (0xf100 | 0xf110, _) => Op::Add { to, from: base, number: expanded(bits) as i32 },
        (0xf1a0 | 0xf1b0, _) => Op::Add { to, from: base, number: (expanded(bits) as i32).wrapping_neg() },
        (0xf040 | 0xf050, PC) => Op::Set { to, number: expanded(bits) },
        (0xf060 | 0xf070, PC) => Op::Set { to, number: !expanded(bits) },
        (0xf200, PC) => Op::Set { to, number: (at & !3) + 4 + bits },
        (0xf2a0, PC) => Op::Set { to, number: (at & !3) + 4 - bits },
        (0xf200, _) => Op::Add { to, from: base, number: bits as i32 },
        (0xf2a0, _) => Op::Add { to, from: base, number: -(bits as i32) },
        (0xf240, _) => Op::Set { to, number: half },
        (0xf2c0, _) => Op::SetTop { to, half },
        _ if to == SP => Op::Unknown,
        _ if to == PC => Op::Writes(0),
        _ => Op::Writes(1 << to),
    }
}

fn branches(at: u32, first: u32, second: u32) -> Op {
    let (sign, j1, j2) = (first >> 10 & 1, second >> 13 & 1, second >> 11 & 1);
    let target = |offset: u32, bits: u32| {
        let offset = ((offset << (32 - bits)) as i32) >> (32 - bits);
        at.wrapping_add(4).wrapping_add_signed(offset)
    };
    let (i1, i2) = (!(j1 ^ sign) & 1, !(j2 ^ sign) & 1);
    let far = target(sign << 24 | i1 << 23 | i2 << 22 | (first & 0x3ff) << 12 | (second & 0x7ff) << 1, 25);
    match second >> 12 & 0b101 {
        0b101 => Op::Call(far),
        0b001 => Op::Branch { to: far, always: true },
        0b100 => Op::Unknown,
        _ if first >> 7 & 7 != 7 => {
            let near = sign << 20 | j2 << 19 | j1 << 18 | (first & 0x3f) << 12 | (second & 0x7ff) << 1;
            Op::Branch { to: target(near, 21), always: false }
        }
        // `udf.w`
        _ if first & 0xfff0 == 0xf7f0 && second & 0xf000 == 0xa000 => Op::Stop,
        // A special register is read into a register; written, or a barrier, or a hint, into none. Those that are stack
        // pointers are written with the base of a new stack.
        _ if first & 0xffe0 == 0xf3e0 => Op::Writes(1 << (second >> 8 & 15)),
        _ if first & 0xffe0 == 0xf380 && matches!(second & 0xff, 8 | 9) => Op::Unknown,
        _ => Op::Writes(0),
    }
}

fn one(at: u32, first: u32, second: u32, base: u8, to: u8) -> Op {
    let loads = first & 0x10 != 0;
    let moved = first & 0x80 == 0 && second & 0x900 == 0x900 && base != PC;
    let bytes = (second & 0xff) as i32 * if second & 0x200 == 0 { -1 } else { 1 };
    if base == SP && moved {
        return match (first & 0xfff0, bytes) {
            (0xf840, ..0) => Op::Push(-bytes),
            (0xf850, 1..) if to != SP => Op::Pop(1 << to, bytes),
            _ => Op::Unknown,
        };
    }
    let raised = u16::from(moved) << base;
    match (loads, to) {
        (false, _) => Op::Writes(raised),
        (true, SP) => Op::Unknown,
        // Loading into the program counter: a word goes there, a byte or a half is a hint for the cache.
        (true, PC) if first & 0x60 == 0x40 => Op::Table,
        (true, PC) => Op::Writes(raised),
        _ if first & 0xff7f == 0xf85f => {
            let bytes = second & 0xfff;
            let from = (at & !3) + 4;
            Op::Literal { to, address: if first & 0x80 == 0 { from - bytes } else { from + bytes } }
        }
        _ if first & 0xfff0 == 0xf8d0 => Op::Load { to, base, offset: second & 0xfff },
        _ => Op::Writes(1 << to | raised),
    }
}

fn coprocessor(first: u32, second: u32, base: u8, top: u8) -> Op {
    let memory = first & 0x0e00 == 0x0c00 && first & 0x0fa0 != 0x0c00;
    let words = 4 * (second & 0xff) as i32;
    match (memory && first & 0x20 != 0 && base == SP, first & 0xffb0) {
        (true, 0xed20) => Op::Push(words),
        (true, 0xecb0) => Op::Pop(0, words),
        (true, _) => Op::Unknown,
        _ if memory && first & 0x20 != 0 => Op::Writes(1 << base),
        _ if memory => Op::Writes(0),
        // From a coprocessor into one register or two.
        _ => Op::Writes((1 << top | 1 << base) & !(1 << SP | 1 << PC)),
    }
}
