//! The page for the wearer.

use super::{Bench, Reader, read, text_of};
use crate::desk::{Order, Viewing};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::EyeOrder;
use bevelbook_core::tolerance::Design;

fn shown(change: impl FnOnce(&mut Order)) -> String {
    text_of(read(&Bench::with(change).page(Reader::Wearer, None)).root())
}

fn near(order: &mut Order) {
    order.lens.viewing = Viewing::Near;
    order.near_pd = Some(PupillaryDistance::parse("60").unwrap());
}

#[test]
fn each_kind_of_glasses_says_what_it_is_for_and_what_to_expect() {
    let progressive = |order: &mut Order| {
        order.lens.design = Design::Progressive;
        [order.right, order.left] = ["+1.00 add +2.00"; 2].map(|text| EyeOrder::parse(text).unwrap());
    };
    let far = shown(|_| {});
    assert!(far.contains("Single vision glasses") && far.contains("Do not drive until"), "{far}");
    let near = shown(near);
    assert!(
        near.contains("for reading and close work") && near.contains("Do not drive with them."),
        "{near}"
    );
    let progressive = shown(progressive);
    assert!(
        progressive.contains("Progressive glasses") && progressive.contains("two weeks"),
        "{progressive}"
    );
    assert!(progressive.contains("+1.00 DS, add +2.00"), "{progressive}");
}

#[test]
fn a_lens_that_is_not_for_seeing_with_is_said_to_be_so() {
    let balance = shown(|order| order.left = EyeOrder::parse("bal").unwrap());
    assert!(balance.contains("The lens before your left eye is a balance lens"), "{balance}");
    let none = shown(|order| order.right = EyeOrder::parse("none").unwrap());
    assert!(none.contains("No lens was made for your right eye."), "{none}");
}

#[test]
fn every_page_has_its_cautions_and_leaves_the_eye_to_the_prescriber() {
    let page = shown(|_| {});
    let cautions = [
        "not safety glasses",
        "No lens is unbreakable",
        "dizzy",
        "Only your prescriber",
        "Local law",
        "no certificate",
    ];
    for caution in cautions {
        assert!(page.contains(caution), "{caution}");
    }
    // Of the bench's words none stands on it.
    for word in ["focimeter", "decentration", "meridian"] {
        assert!(!page.contains(word), "{word}");
    }
    let bench = Bench::with(|_| {});
    let named = bench.page(Reader::Wearer, Some("Ada Invented"));
    assert!(!page.contains("Ada Invented") && named.contains("Ada Invented"));
}

#[test]
fn what_is_not_checked_or_not_signed_for_is_said_loudly() {
    let page = shown(|_| {});
    assert!(page.contains("NOT FULLY CHECKED") && page.contains("Nobody has signed"), "{page}");
    assert!(page.contains("power of the right lens, in the frame"), "{page}");
}
