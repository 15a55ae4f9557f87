//! Bits that fall over in a book, as a person meets them.

use super::done;
use bevelbook_tests::{Shop, usual_order};
use std::fs;

/// The next number of a fixed sequence (splitmix64).
fn next(seed: &mut u64) -> u64 {
    *seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut bits = *seed;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

#[test]
fn whatever_a_job_says_differently_after_a_bit_fell_over_the_check_is_not_content() {
    let shop = Shop::new();
    done(&shop, usual_order(&[["--name", "Ottoline Quillfeather"]]));
    done(&shop, ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    for size in ["1.50", "1.20", "0.90", "0.60"] {
        done(&shop, ["record", "pass", "1", "right", size, "far-too-big"]);
        done(&shop, ["record", "note", "1", &format!("the lens sat high in the rim at {size}")]);
    }
    let bytes = fs::read(shop.book()).unwrap();
    let (mut seed, mut differed) = (11, 0);
    let copy = shop.folder().join("flipped.db");
    let flipped = copy.to_str().unwrap();
    fs::write(&copy, &bytes).unwrap();
    let before = done(&shop, ["job", "show", "1", "--json", "--book", flipped]);
    // Most of a book's pages are empty: only bits in and around what stands there tell anything.
    let full: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at] != 0).collect();
    for _ in 0..160 {
        let at = full[usize::try_from(next(&mut seed) % full.len() as u64).unwrap()];
        let mut book = bytes.clone();
        book[at] ^= 1 << (next(&mut seed) % 8);
        fs::write(&copy, book).unwrap();
        let shown = shop.run(["job", "show", "1", "--json", "--book", flipped]);
        if shown != before {
            differed += 1;
            let check = shop.run(["book", "check", "--book", flipped]);
            assert_ne!(check.status, Some(0), "a bit of byte {at} changed it, unnoticed: {shown:?}");
        }
    }
    assert!(differed > 20, "{differed} of 160 changed anything: the test tells little");
}
