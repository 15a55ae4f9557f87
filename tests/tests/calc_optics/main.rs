//! `calc` for prism, distance from the eye, tilt, thickness and magnification, run as a person runs it.
//!
//! Each published worked example names its source. "recomputed" is no published value but the stated formula worked out
//! with general numerical libraries. A published figure is met when the answer, rounded as the figure is, equals it.

mod prism;
mod usage;
mod worn;

use bevelbook_tests::{answer, bevelbook, meets};

const RECOMPUTED: &str = "recomputed";

fn words(text: &str) -> Vec<&str> {
    text.split_whitespace().collect()
}

/// Runs `command` with `rx` and the words of `rest`, and compares each field with its printed figure.
fn check(command: &str, rx: &[&str], rest: &str, expected: &[(&str, &str)], source: &str) {
    let args: Vec<&str> = [&[command], rx, &words(rest)[..]].concat();
    let answer = answer(&args);
    for (field, printed) in expected {
        let met = match printed.parse::<f64>() {
            Ok(_) => meets(&answer[field], printed),
            Err(_) => answer[field] == *printed,
        };
        assert!(met, "{args:?} {field}: {answer} is not {printed} ({source})");
    }
}

/// Wrong use ends with 2, prints nothing but an error, and the error holds `hints`.
fn refused(args: &[&str], hints: &[&str]) {
    let output = bevelbook(["calc", "--json"].iter().chain(args));
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}: {output:?}");
    for hint in hints {
        assert!(output.stderr.contains(hint), "{args:?} lacks `{hint}`: {}", output.stderr);
    }
}

/// An answer for people is `text`.
fn told(args: &[&str], text: &str) {
    let output = bevelbook(["calc"].iter().chain(args));
    assert_eq!((output.status, output.stdout.trim_end()), (Some(0), text), "{args:?}");
}
