//! Screens in letters, row by row.

use super::super::{Marks, Tone, samples};
use super::*;
use std::string::{String, ToString};
use std::vec::Vec;

fn text(screen: &Screen) -> String {
    render(screen).to_string()
}

fn lines(rows: [&str; ROWS]) -> String {
    rows.join("\n")
}

#[test]
fn a_pass_with_its_four_outcomes_at_the_arrows() {
    let expected = lines([
        "RIGHT 12    3 to send",
        "cut, then: how is it?",
        "    +0.35",
        "offset mm, pass 2",
        "-----|---------B#####",
        "↑ much     ↓ fits",
        "← loose    → touch",
        "● size",
    ]);
    assert_eq!(text(&samples::sizing()), expected);
}

#[test]
fn a_size_below_the_smallest_that_fitted_warns() {
    let expected = lines([
        "RIGHT job 12   5 held",
        "! below what fitted",
        "    +0.15",
        "+0.20 fits",
        "...|.F-----------B###",
        "↑ +        ↓ -",
        "← --       → ++",
        "● set",
    ]);
    assert_eq!(text(&samples::guarded()), expected);
}

#[test]
fn an_axis_stands_on_its_half_circle() {
    let expected = lines([
        "LEFT walk-in    alone",
        "uncut axis",
        "    15",
        "ordered 20",
        "180--------+------|-0",
        "↑ +        ↓ -",
        "← --       → ++",
        "● set",
    ]);
    assert_eq!(text(&samples::axis()), expected);
}

#[test]
fn both_parts_of_a_prism_show_with_the_way_to_their_bases() {
    let expected = lines([
        "RIGHT job 12  console",
        "prism at the dot",
        "  2.00 IN →",
        "  1.50 UP ↑",
        "as ordered?",
        "",
        "           → no",
        "● yes",
    ]);
    assert_eq!(text(&samples::prism()), expected);
    let expected = lines([
        "LEFT job 12   console",
        "mounted prism up/down",
        "  12.75 OUT →",
        "> 1.25 DOWN ↓",
        "",
        "↑ +        ↓ -",
        "← --       → ++",
        "● set",
    ]);
    assert_eq!(text(&samples::prism_changed()), expected);
}

#[test]
fn a_lens_shows_its_marks_and_where_the_nose_is() {
    let expected = lines([
        "RIGHT job 12  console",
        "three dots spotted?",
        "    15",
        "dot on OC",
        "180--------+------|-0",
        "     ( •  ●  • ) nose",
        "",
        "● done",
    ]);
    assert_eq!(text(&samples::uncut(Eye::Right, Some(15), Marks::Dots)), expected);
    let shows = |screen: &Screen, row: &str| assert!(text(screen).contains(row), "{}", text(screen));
    shows(&samples::uncut(Eye::Left, Some(90), Marks::Segment), "nose ( • u●  • )");
    shows(&samples::uncut(Eye::Right, None, Marks::Cross), "     ( o  +  o ) nose");
    shows(&samples::blocked(), "     ([•  ●  •]) nose");
}

#[test]
fn a_press_that_was_not_taken_and_a_key_that_is_held_show() {
    assert_eq!(text(&samples::too_fast()).lines().next(), Some("RIGHT job 12 too fast"));
    assert_eq!(text(&samples::held()).lines().last(), Some("● size[menu]  ===="));
}

#[test]
fn a_list_shows_what_is_chosen_and_that_there_is_more() {
    let expected = lines([
        "no job        console",
        "which job?",
        "  11 Ash 52-18      ↑",
        "> 12 Birch 50-20",
        "  13 Cedar 54⌀16",
        "  14                ↓",
        "← back",
        "● open",
    ]);
    assert_eq!(text(&samples::list()), expected);
}

#[test]
fn a_refusal_says_no_and_how_much_is_held() {
    let expected = lines([
        "LEFT 1234    487 held",
        "STOP memory full",
        "Nothing more is kept",
        "until a console took",
        "what is held here.",
        "Plug in the cable.",
        "",
        "● seen",
    ]);
    assert_eq!(text(&samples::refusal()), expected);
}

#[test]
fn whatever_is_too_long_is_cut_and_every_answer_still_shows() {
    for tone in [Tone::Plain, Tone::Warning, Tone::Refusal] {
        for screen in samples::full("Å", tone) {
            let text = render(&screen);
            let rows: Vec<&str> = text.rows().collect();
            assert_eq!(rows.len(), ROWS);
            assert!(rows.iter().all(|row| row.chars().count() <= COLUMNS), "{text}");
            assert!(rows[0].starts_with("R Å") && rows[0].ends_with("~ 65535 to send"), "{text}");
            assert_eq!(rows[6], "← gggggggg → ÅÅÅÅÅÅÅÅ");
            assert_eq!(rows[7], "● WWWWWWWW");
        }
    }
}

#[test]
fn the_axis_runs_from_180_on_the_left_to_0_on_the_right() {
    assert_eq!(axis(180).as_str(), "180|-------+--------0");
    assert_eq!(axis(90).as_str(), "180--------|--------0");
    assert_eq!(axis(1).as_str(), "180--------+-------|0");
}

#[test]
fn sizes_that_differ_by_little_keep_their_places_apart() {
    let mm = Length::from_milli;
    assert_eq!(gauge(mm(490), Some(mm(500)), Some(mm(-500))).as_str(), "...F------------|B###");
    assert_eq!(gauge(mm(500), Some(mm(500)), None).as_str(), "----------|##########");
    assert_eq!(gauge(mm(500), None, None).as_str(), "----------|----------");
}
