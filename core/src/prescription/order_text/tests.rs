//! One eye of an order as people write it.

use super::*;
use std::string::ToString;

fn of(eye: Eye, text: &str) -> Result<OrderText, TextError> {
    OrderText::read(text, Notation::Order, Some(eye))
}

fn shown(eye: Eye, text: &str) -> std::string::String {
    of(eye, text).map_or_else(|error| error.to_string(), |read| read.eye.to_string())
}

#[test]
fn prism_is_read_with_and_without_its_word() {
    for text in ["prism 2 in", "prism: 2 BI", "2 BI", "2Δ BI", "2 Δ base in", "2 base in", "2 in", "2pd in"]
    {
        for power in ["-1.25 -0.75 x 15", "-1.25 -0.75 15", "pl", "-1.25 DS", "-1.25"] {
            let text = std::format!("{power} {text}");
            assert_eq!(EyeOrder::parse(&text).map(|eye| eye.prism.base_in.milli()), Ok(2000), "{text}");
        }
    }
    assert_eq!(
        shown(Eye::Left, "-1.00 / 2 BI / 1 BU; +2.25 add"),
        "-1.00 DS prism 1.00 up 2.00 in add +2.25"
    );
}

#[test]
fn an_addition_is_read_before_and_behind_its_word() {
    for text in ["add +2.25", "add 2.25", "ad 2.25", "Add: 2.25", "addition 2,25", "+2.25 add", "+2.25 AD"] {
        for power in ["-1.25 -0.75 x 15", "-1.25 -0.75 15", "pl", "-1.25 DS", "-1.25"] {
            let text = std::format!("{power}, {text}");
            let eye = EyeOrder::parse(&text).unwrap();
            assert_eq!(eye.add.map(Power::milli), Some(2250), "{text}");
        }
    }
    // .12 is an eighth in an addition too, and as it is in what a supplier says.
    assert_eq!(shown(Eye::Left, "pl add 2.12"), "pl add +2.125");
    let lab = OrderText::read("pl add 2.12", Notation::Reading, None).unwrap();
    assert_eq!(lab.eye.add.map(Power::milli), Some(2120));
}

#[test]
fn a_prism_by_the_angle_of_its_base_is_split() {
    // ISO 8429: 0 to the viewer's right as one faces the wearer, anticlockwise, the same for both eyes. 2 at 135: √2 each.
    for text in ["prism 2 @ 135", "2 @ 135", "2Δ @ 135°", "2Δ base 135", "prism 2 base at 135"] {
        let text = std::format!("-1.25 -0.75 x 15 {text}");
        assert_eq!(shown(Eye::Right, &text), "-1.25 -0.75 x 15 prism 1.414 up 1.414 out", "{text}");
        assert_eq!(shown(Eye::Left, &text), "-1.25 -0.75 x 15 prism 1.414 up 1.414 in", "{text}");
    }
    let read = of(Eye::Right, "pl prism 2 @ 270").unwrap();
    assert_eq!(
        (read.oblique.map(|by| by.total.milli()), read.eye.prism.base_up.milli()),
        (Some(2000), -2000)
    );
    assert!(
        OrderText::read("pl 2Δ @ 135", Notation::Order, None).unwrap_err().expected.contains("no known eye")
    );
    let other = of(Eye::Left, "pl 2Δ @ 135 R").unwrap_err();
    assert_eq!(other.expected, "the left eye, for which this is given, not the right");
    for text in
        ["pl prism 2 @ 361", "pl prism 2 @ up", "pl prism 2 @ 135 up", "pl 2 @ 135", "pl prism -2 @ 135"]
    {
        assert!(of(Eye::Right, text).is_err(), "{text}");
    }
}

#[test]
fn the_eye_that_is_named_is_the_one_that_is_read() {
    for text in
        ["-1.25 -0.75 x 15 OD", "R: -1.25 -0.75 x 15", "OD -1.25/-0.75/15", "-1.25 -0.75 15 right", "bal R"]
    {
        assert!(of(Eye::Right, text).is_ok(), "{text}");
        let error = of(Eye::Left, text).unwrap_err();
        assert_eq!(error.expected, "the left eye, for which this is given, not the right", "{text}");
    }
    assert!(OrderText::read("R -1.25 L", Notation::Order, None).is_err());
    assert_eq!(of(Eye::Right, "bal OD").unwrap().eye.wanted, Wanted::Balance { known: false });
}

#[test]
fn what_an_order_has_no_place_for_is_said() {
    let error = of(Eye::Right, "-12.00 DS BVD 12").unwrap_err();
    assert!(error.expected.starts_with("no BVD") && error.start == 10, "{error:?}");
}

#[test]
fn an_order_says_what_was_interpreted() {
    let eighths = |text| of(Eye::Right, text).map(|read| read.eighths);
    assert_eq!(eighths("-1.25 -0.75 x 15"), Ok(false));
    assert_eq!(eighths("-1.12 -0.75 x 15"), Ok(true));
    assert_eq!(eighths("-1.125 -0.75 x 15"), Ok(false));
    assert!(eighths("-1.25 x 15").is_err() && eighths("bal -1.25 x 15 add 2").is_err());
}

#[test]
fn what_is_shown_reads_back() {
    for text in [
        "-1.25 -0.75 x 15 prism 1.50 up 2.00 in add +2.00",
        "pl add +0.75",
        "bal",
        "bal -2.00 DS",
        "none",
        "none, old -2.00 -0.50 x 10 add +1.50",
    ] {
        assert_eq!(EyeOrder::parse(text).unwrap().to_string(), text);
    }
    // A hundredth written with a nought behind it would else be shown as what reads as an eighth.
    let eye = EyeOrder::parse("-1.120 DS").unwrap();
    assert_eq!(EyeOrder::parse(&eye.to_string()), Ok(eye));
}

#[test]
fn prism_and_add_come_once_in_any_order() {
    assert_eq!(EyeOrder::parse("pl add 2 prism 1 up"), EyeOrder::parse("pl prism 1 up add +2.00"));
    for text in [
        "pl add 2 add 2",
        "pl +2 add 2",
        "pl add -2",
        "pl prism 2",
        "pl 2 in prism 1 up",
        "pl prism",
        "pl add",
    ] {
        assert!(EyeOrder::parse(text).is_err(), "{text}");
    }
}
