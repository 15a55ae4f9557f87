//! In what order an inspection is told: what is out first, the verdict last.

use crate::made::{Made, STRONG, as_ordered, near};
use bevelbook_core::tolerance::Design;

const SECTIONS: [&str; 9] = [
    "Job 1: ",
    "OUT  ",
    "Look",
    "At the limit",
    "Ordered and read",
    "Not checked",
    "The verdict waits for",
    "Still to do",
    "Verdict (",
];

/// The headings of a text, each with the first line behind it.
fn sections(text: &str) -> Vec<&'static str> {
    let headings = text.lines().filter(|line| !line.starts_with(' ') && !line.is_empty());
    headings
        .map(|line| {
            let known = SECTIONS.into_iter().find(|section| line.starts_with(section));
            assert!(known.is_some(), "what is {line:?}? {text}");
            known.unwrap_or_default()
        })
        .collect()
}

#[test]
fn what_is_out_stands_first_and_the_verdict_on_the_pair_in_the_last_line() {
    let good = as_ordered(STRONG);
    let out = Made {
        mounted: [Some("-4.00 -1.00 x 16"), None],
        measured_pd: Some("33.3/31"),
        checked: false,
        ..good.clone()
    };
    for (made, expected, last) in [
        (
            good.clone(),
            &["Job 1: ", "Ordered and read", "Not checked", "Verdict ("][..],
            "  pair   within by ",
        ),
        (
            out,
            &[
                "Job 1: ",
                "OUT  ",
                "Look",
                "Ordered and read",
                "Not checked",
                "The verdict waits for",
                "Still to do",
                "Verdict (",
            ],
            "  pair   OUT by ",
        ),
        (
            Made { prism: [None; 2], ..good },
            &["Job 1: ", "Ordered and read", "Not checked", "The verdict waits for", "Verdict ("],
            "  pair   not judged yet by ",
        ),
    ] {
        let text = made.text().stdout;
        assert_eq!(sections(&text), expected, "{text}");
        // It may go on in a second line, behind which there is nothing.
        let (_, verdict) = text.rsplit_once("\nVerdict (").unwrap();
        assert!(verdict.contains(&format!("\n{last}ANSI Z80.1-2015")), "{text}");
        let behind = verdict.rsplit_once("\n  pair   ").unwrap().1;
        assert!(behind.lines().skip(1).all(|line| line.starts_with("         ")), "{text}");
    }
}

#[test]
fn a_lens_that_is_out_before_it_is_blocked_stands_first_too() {
    let uncut = Made { mounted: [None; 2], fits: false, checked: false, ..as_ordered(STRONG) };
    let text = Made { uncut: [Some("-4.00 -1.00 x 16"), Some(STRONG[1])], ..uncut }.text().words();
    assert!(text.contains("OUT ordered read uncut right axis 10 16 6° off, limit 3: OUT"), "{text}");
    assert!(text.contains("uncut -4.00 -1.00 x 16, prism none: OUT: axis 6° off, limit 3"), "{text}");
}

#[test]
fn what_a_check_found_bad_is_to_be_looked_at_and_stays_to_be_done() {
    let shop = as_ordered(STRONG).build();
    for eye in ["right", "left"] {
        assert_eq!(shop.run(["record", "check", "1", "surfaces", eye, "--bad"]).status, Some(0));
    }
    let text = shop.run(["inspect", "1"]).words();
    let (_, look) = text.split_once("Look ! right lens: surfaces").unwrap();
    let (look, to_do) = look.split_once("Still to do").unwrap();
    assert!(look.contains(": BAD ! left lens: surfaces"), "{text}");
    // The same of both lenses is said once.
    assert_eq!(to_do.matches("surfaces free of scratches and chips: BAD").count(), 1, "{text}");
    assert!(to_do.contains("both surfaces"), "{text}");
}

#[test]
fn sources_are_told_when_they_are_asked_for_and_the_verdict_stays_last() {
    let made = near(Design::Progressive, STRONG);
    let (short, long) = (made.text().stdout, made.sources().stdout);
    for detail in ["margin", "Limits, inclusive", "public quick guide", "from memory", "table version"] {
        assert!(!short.contains(detail) && long.contains(detail), "{detail}: {short}\n{long}");
    }
    let verdict = |text: &str| text.rsplit_once("\nVerdict (").unwrap().1.to_owned();
    assert_eq!(verdict(&short), verdict(&long));
    assert!(short.lines().all(|line| line.chars().count() <= 80), "{short}");
}
