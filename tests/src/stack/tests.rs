//! Small pieces of code, assembled by hand.

use super::code::{Code, Function};
use super::decode::{Op, long, short};
use super::{BARE, bound_of};
use std::collections::BTreeMap;

const START: u32 = 0x100;

/// An image of functions of 16-bit pieces, one every 64 bytes; the first is where it starts.
fn code(functions: &[(&str, &[u16])]) -> Code {
    let mut bytes = vec![0; 64 * functions.len()];
    let mut found = BTreeMap::new();
    for ((start, (name, halves)), place) in
        (START..).step_by(64).zip(functions).zip(bytes.chunks_exact_mut(64))
    {
        let written = halves.iter().flat_map(|half| half.to_le_bytes());
        place.iter_mut().zip(written).for_each(|(to, byte)| *to = byte);
        let end = start + 2 * halves.len() as u32;
        found.insert(start, Function { names: vec![(*name).to_owned()], start, end });
    }
    Code::assembled(found, START, bytes, vec![0, START | 1])
}

const PANIC: (&str, &[u16]) = ("__rustc::rust_begin_unwind", &[0xe7fe]);

fn bytes(functions: &[(&str, &[u16])]) -> Result<u32, String> {
    let functions: Vec<_> = functions.iter().copied().chain([PANIC]).collect();
    bound_of(&code(&functions), BARE).map(|bound| bound.bytes())
}

#[test]
fn a_frame_is_what_is_pushed_and_what_is_reserved_and_a_callee_lies_below_it() {
    // push {r4, lr}; sub sp, #16; bl second; add sp, #16; pop {r4, pc}
    let first: &[u16] = &[0xb510, 0xb084, 0xf000, 0xf81c, 0xb004, 0xbd10];
    // push {r4-r7, lr}; pop {r4-r7, pc}
    let second: &[u16] = &[0xb5f0, 0xbdf0];
    assert_eq!(bytes(&[("first", first), ("second", second)]), Ok(8 + 16 + 20));
    // A jump at the end leaves no frame: push {r4}; pop {r4}; b second
    let jumps: &[u16] = &[0xb410, 0xbc10, 0xe01c];
    assert_eq!(bytes(&[("jumps", jumps), ("second", second)]), Ok(20));
}

#[test]
fn of_two_ways_the_deeper_counts_and_a_large_frame_is_a_number_in_the_code() {
    // cbz r0, 1f; sub sp, #8; add sp, #8; 1: ldr r4, =-0x400; add sp, r4; ...; bx lr; the number
    let large: &[u16] = &[0xb108, 0xb082, 0xb002, 0x4c02, 0x44a5, 0x4770, 0xbf00, 0xbf00, 0xfc00, 0xffff];
    assert_eq!(bytes(&[("large", large)]), Ok(0x400));
}

#[test]
fn a_stack_that_grows_without_end_is_refused() {
    // 1: push {r0}; b 1b
    let grows: &[u16] = &[0xb401, 0xe7fd];
    assert!(bytes(&[("grows", grows)]).is_err_and(|why| why.contains("without end")));
    // push {lr}; bl itself
    let itself: &[u16] = &[0xb500, 0xbf00, 0xf000, 0xf81c];
    let other: &[u16] = &[0xb500, 0xf7ff, 0xffdd];
    assert!(bytes(&[("itself", itself), ("other", other)]).is_err_and(|why| why.contains("call each other")));
    // mov sp, r0
    assert!(bytes(&[("moved", &[0x4685, 0x4770])]).is_err_and(|why| why.contains("not known")));
    // blx r0, and no function's address is anywhere
    assert!(bytes(&[("pointer", &[0x4780, 0x4770])]).is_err_and(|why| why.contains("through a pointer")));
}

#[test]
fn a_pointer_that_lay_in_the_frame_may_be_any() {
    // push {r4, lr}; sub sp, #8; ldr r3, =third; ldr r0, =second; str r0, [sp]; mov r0, sp; bl second; ldr r1, [sp];
    // blx r1; add sp, #8; pop {r4, pc}
    let mut first = vec![0xb510, 0xb082, 0x4b06, 0x4805, 0x9000, 0x4668, 0xbf00];
    first.extend([0xf000, 0xf817, 0x9900, 0x4788, 0xb002, 0xbd10, 0xbf00, 0x0141, 0x0000, 0x0181, 0x0000]);
    let second: &[u16] = &[0xb510, 0xbd10];
    let third: &[u16] = &[0xb5f0, 0xbdf0];
    assert_eq!(bytes(&[("first", &first), ("second", second), ("third", third)]), Ok(16 + 20));
}

#[test]
fn instructions_that_move_the_stack_pointer_are_all_known() {
    assert_eq!(short(0, 0xb5b0), Op::Push(16)); // push {r4, r5, r7, lr}
    assert_eq!(short(0, 0xbdb0), Op::Pop(0x80b0, 16)); // pop {r4, r5, r7, pc}
    assert_eq!(long(0, 0xe92d, 0x4ff0), Op::Push(36)); // push.w {r4-r11, lr}
    assert_eq!(long(0, 0xe8bd, 0x8ff0), Op::Pop(0x8ff0, 36)); // pop.w {r4-r11, pc}
    assert_eq!(long(0, 0xf84d, 0xed08), Op::Push(8)); // str lr, [sp, #-8]!
    assert_eq!(long(0, 0xf85d, 0xeb08), Op::Pop(1 << 14, 8)); // ldr lr, [sp], #8
    assert_eq!(long(0, 0xf5ad, 0x6d80), Op::Add { to: 13, from: 13, number: -1024 }); // sub.w sp, sp, #1024
    assert_eq!(long(0, 0xf6ad, 0x0d04), Op::Add { to: 13, from: 13, number: -2052 }); // subw sp, sp, #2052
    assert_eq!(long(0, 0xed2d, 0x8b04), Op::Push(16)); // vpush {d8, d9}
    assert_eq!(long(0, 0xecbd, 0x8b04), Op::Pop(0, 16)); // vpop {d8, d9}
    assert_eq!(long(0, 0xe96d, 0x4504), Op::Push(16)); // strd r4, r5, [sp, #-16]!
    assert_eq!(long(0, 0xf380, 0x8808), Op::Unknown); // msr msp, r0
    assert_eq!(long(0, 0xeba0, 0x0d01), Op::Unknown); // sub.w sp, r0, r1
}
