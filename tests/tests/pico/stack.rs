//! How deep the stack goes at most, proven from the images' code.

use crate::budget::static_ram;
use crate::image::{Built, built, built_2};
use bevelbook_tests::image::Image;
use bevelbook_tests::stack::{Bound, EXCEPTION_WITH_FLOATS, PICO, Rules, bound};

/// What static RAM and the stack may take together, the Pico 2 as built with a floating-point unit; 16 KiB are the aim, and
/// missed: both boards have half a megabyte or half of that.
const MOST: u32 = 20_000;

fn proven_of(built: &Built, rules: Rules) -> Bound {
    bound(&built.image, rules).unwrap_or_else(|why| panic!("{why}"))
}

/// The Pico's.
pub(crate) fn proven() -> Bound {
    proven_of(built(), PICO)
}

#[test]
fn ram_and_the_deepest_stack_that_the_code_allows_stay_within_their_bound() {
    let with_floats = Rules { exception: EXCEPTION_WITH_FLOATS, ..PICO };
    for (built, rules) in [(built(), PICO), (built_2(), with_floats)] {
        let proven = proven_of(built, rules);
        let sum = static_ram(&Image::load(&built.image).unwrap()) + proven.bytes();
        println!("{proven}\nwith static RAM {sum} bytes");
        assert!(sum <= MOST, "{sum}");
    }
}
