//! A bar code that a hand scanner reads and types: Code 128, code set B (ISO/IEC 15417; the patterns from memory, compared
//! with an independent writer and read back by an independent reader, `tests/reference/bar_code.py`).
//!
//! Its check character lets a scanner refuse what it misread: a wrong number would be another person's job.

use super::pen::{c, mm};
use maud::{Markup, html};

/// The width of the narrowest bar in millimetres: wide enough for an office printer and a plain scanner. Common practice, no
/// source.
const MODULE: f64 = 0.33;
const HEIGHT: f64 = 6.5;
/// Modules left blank before and behind the bars.
const QUIET: usize = 10;

/// Of each character its bars and spaces in modules, a bar first; the last is the stop.
const PATTERNS: &str = "\
    212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231 113222 \
    123122 123221 223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211 212123 212321 \
    232121 111323 131123 131321 112313 132113 132311 211313 231113 231311 112133 112331 132131 113123 113321 133121 \
    313121 211331 231131 213113 213311 213131 311123 311321 331121 312113 312311 332111 314111 221411 431111 111224 \
    111422 121124 121421 141122 141221 112214 112412 122114 122411 142112 142211 241211 221114 413111 241112 134111 \
    111242 121142 121241 114212 124112 124211 411212 421112 421211 212141 214121 412121 111143 111341 131141 114113 \
    114311 411113 411311 113141 114131 311141 411131 211412 211214 211232 2331112";
const START: usize = 104;
const STOP: usize = 106;
/// What a check is counted by.
const CHECK: usize = 103;

/// The bars of a text, and the text below them. Of the text count the letters of ASCII alone: no other has a bar.
pub(super) fn bar_code(text: &str) -> Markup {
    let widths = widths(text);
    let modules = QUIET + widths.iter().sum::<usize>() + QUIET;
    let (width, high) = (modules as f64 * MODULE, HEIGHT);
    let mut at = QUIET;
    let bars: String = widths
        .chunks(2)
        .map(|pair| {
            let bar = format!("M{at} 0h{}v{}h-{}z", pair[0], c(high / MODULE), pair[0]);
            at += pair.iter().sum::<usize>();
            bar
        })
        .collect();
    html! {
        figure.code {
            svg role="img" width=(mm(width)) height=(mm(high)) viewBox=(format!("0 0 {modules} {}", c(high / MODULE)))
                shape-rendering="crispEdges" {
                title { "Bar code of " (text) }
                rect.ground width=(modules) height=(c(high / MODULE)) {}
                path.bars d=(bars) {}
            }
            figcaption { (text) }
        }
    }
}

/// The widths of bars and spaces in turn, a bar first and last.
fn widths(text: &str) -> Vec<usize> {
    let patterns: Vec<&str> = PATTERNS.split(' ').collect();
    let letters = text.bytes().filter(|letter| (b' '..=b'~').contains(letter));
    let letters: Vec<usize> = letters.map(|letter| usize::from(letter - b' ')).collect();
    let sum: usize = (1..).zip(&letters).map(|(place, letter)| place * letter).sum();
    let characters = [START].into_iter().chain(letters).chain([(START + sum) % CHECK, STOP]);
    let of = |character: usize| patterns[character].bytes().map(|width| usize::from(width - b'0'));
    characters.flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn its_bars_are_those_of_an_independent_writer() {
        let mut codes = 0;
        for line in include_str!("tests/bar_codes.txt").lines() {
            let (text, expected) = line.rsplit_once(' ').unwrap();
            let drawn = widths(text).into_iter().enumerate();
            let drawn: String = drawn.map(|(at, width)| ["1", "0"][at % 2].repeat(width)).collect();
            assert_eq!(drawn, expected, "{text}");
            codes += 1;
        }
        assert_eq!(codes, 15);
    }

    #[test]
    fn it_is_as_wide_as_its_modules_and_has_its_quiet_zones() {
        let drawn = bar_code("J12").into_string();
        // Start, three letters and check of 11 modules, a stop of 13, and 10 on either side.
        assert!(
            drawn.contains("viewBox=\"0 0 88 19.697\"") && drawn.contains("width=\"29.04mm\""),
            "{drawn}"
        );
        assert!(drawn.contains("d=\"M10 0h2v") && drawn.contains("<figcaption>J12</figcaption>"), "{drawn}");
    }
}
