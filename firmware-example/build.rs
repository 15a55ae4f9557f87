//! Makes the tables of letters of the fonts of `embedded-graphics`: its rows of a whole font side by side become the columns of
//! one letter behind the other, as a page of the display takes them.

use embedded_graphics::image::GetPixel as _;
use embedded_graphics::mono_font::MonoFont;
use embedded_graphics::mono_font::ascii::{FONT_4X6, FONT_6X10, FONT_7X13_BOLD};
use embedded_graphics::mono_font::iso_8859_1::{FONT_5X8, FONT_6X9};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::prelude::{OriginDimensions as _, Point};
use std::path::PathBuf;
use std::{env, fs};

/// Each under the name that the library's module `letters` has for it. Titles, figures and answers are the keypad's own words, in
/// letters of ASCII; what others wrote is not among them.
const FONTS: [(&str, &MonoFont<'_>); 5] = [
    ("BOLD", &FONT_7X13_BOLD),
    ("TITLE", &FONT_6X10),
    ("SAID", &FONT_6X9),
    ("SMALL", &FONT_5X8),
    ("SMALLEST", &FONT_4X6),
];

/// The letters of a font that are in a row of its picture, and all of them.
fn letters(font: &MonoFont<'_>) -> (u32, u32) {
    let (whole, one) = (font.image.size(), font.character_size);
    (whole.width / one.width, whole.width / one.width * (whole.height / one.height))
}

/// From the first letter's left column on, the lowest bit on top.
fn columns(font: &MonoFont<'_>) -> Vec<bool> {
    let (size, (in_a_row, all)) = (font.character_size, letters(font));
    let pixel = |letter: u32, x: u32, y: u32| {
        let (left, top) = (letter % in_a_row * size.width, letter / in_a_row * size.height);
        font.image.pixel(Point::new((left + x) as i32, (top + y) as i32)) == Some(BinaryColor::On)
    };
    let column = |letter, x| (0..size.height).map(move |y| pixel(letter, x, y));
    (0..all).flat_map(|letter| (0..size.width).flat_map(move |x| column(letter, x))).collect()
}

fn table(name: &str, font: &MonoFont<'_>) -> String {
    let packed = |bits: &[bool]| bits.iter().rev().fold(0, |byte, bit| byte << 1 | u8::from(*bit));
    let mut bytes: Vec<u8> = columns(font).chunks(8).map(packed).collect();
    // A column is read with the bytes behind its first.
    bytes.extend([0; 2]);
    let (width, height) = (font.character_size.width, font.character_size.height);
    format!("const {name}_FONT: Font = Font {{ width: {width}, height: {height}, columns: &{bytes:?} }};\n")
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or("cargo sets no OUT_DIR")?);
    let tables: String = FONTS.into_iter().map(|(name, font)| table(name, font)).collect();
    fs::write(out.join("fonts.rs"), tables)?;
    println!("cargo:rerun-if-changed=build.rs");
    Ok(())
}
