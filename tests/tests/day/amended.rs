//! An order that is amended when work was done by its former figures.

use super::{GOOD, listed, shop, work};
use crate::bench::done;

#[test]
fn an_axis_amended_after_spotting_is_told_until_the_lens_is_spotted_again() {
    let shop = shop();
    done(&shop, ["record", "mark", "1", "right"]);
    let same = done(&shop, ["job", "amend", "1", "--tray", "5", "--why", "moved"]);
    assert!(!same.stderr.contains("spotted"), "{same:?}");
    let amended = done(&shop, ["job", "amend", "1", "--right", "-1.25 -0.75 x 25", "--why", "misread"]);
    let told = "right lens: it was spotted for -1.25 -0.75 x 15; the order now says -1.25 -0.75 x 25";
    assert!(amended.stderr.contains(told), "{amended:?}");
    assert!(!amended.stderr.contains("left lens"), "{amended:?}");
    // Neither the plan nor the inspection passes it over.
    let unwrapped = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(unwrapped(&done(&shop, ["plan", "1"]).stdout).contains(told));
    assert!(done(&shop, ["plan", "1", "--json"]).stdout.contains(told));
    assert!(unwrapped(&shop.run(["inspect", "1"]).stdout).contains(told));
    done(&shop, ["record", "mark", "1", "right"]);
    assert!(!done(&shop, ["plan", "1"]).stdout.contains("spotted for"));
}

#[test]
fn what_is_amended_after_cutting_is_told_and_judged_by_the_new_order() {
    let shop = shop();
    for eye in ["right", "left"] {
        done(&shop, ["record", "pass", "1", eye, "0.20", "fits"]);
    }
    let wider = ["--pd", "33/31", "--a", "52", "--why", "measured again"];
    let amended = done(&shop, ["job", "amend", "1"].iter().chain(&wider));
    for told in [
        "right lens: it was cut for a PD of 31.5 mm; the order now says a PD of 33 mm",
        "right lens: it was cut for A 50, B 38, DBL 18; the order now says A 52, B 38, DBL 18",
        "left lens: it was cut for A 50, B 38, DBL 18; the order now says A 52, B 38, DBL 18",
    ] {
        assert!(amended.stderr.contains(told), "{told}: {amended:?}");
    }
    assert!(!amended.stderr.contains("left lens: it was cut for a PD"), "{amended:?}");
    // Once it is measured, what was measured is judged.
    done(&shop, ["record", "pd", "1", "33/31"]);
    let plan = done(&shop, ["plan", "1", "--json"]).stdout;
    assert!(!plan.contains("cut for a PD") && plan.contains("cut for A 50"), "{plan}");
}

#[test]
fn a_signed_pair_whose_power_is_amended_is_signed_no_more_and_is_out() {
    let shop = shop();
    work(&shop, "1", GOOD);
    done(&shop, ["inspect", "1", "--sign-off", "EM"]);
    let amended = done(&shop, ["job", "amend", "1", "--right", "-2.25 -0.75 x 15", "--why", "misread"]);
    let told = "it was read in the frame for -1.25 -0.75 x 15; the order now says -2.25 -0.75 x 15";
    assert!(amended.stderr.contains(told), "{amended:?}");
    assert!(amended.stderr.contains("EM had signed"), "{amended:?}");
    assert_eq!(listed(&shop, 1)["status"], "done, OUT: inspect it");
}

#[test]
fn a_new_lens_was_not_made_by_the_former_order() {
    let shop = shop();
    done(&shop, ["record", "mark", "1", "right"]);
    done(&shop, ["job", "amend", "1", "--right", "-1.25 -0.75 x 25", "--why", "misread"]);
    done(&shop, ["job", "remake", "1", "right", "--cause", "transcription", "--bearer", "shop"]);
    assert!(!done(&shop, ["plan", "1", "--json"]).stdout.contains("spotted for"));
    // One that came in by the former order is told of too.
    done(&shop, ["job", "arrive", "1", "left"]);
    let amended = done(&shop, ["job", "amend", "1", "--left", "-3.00 DS", "--why", "misread"]);
    assert!(amended.stderr.contains("left lens: it came in for -2.00 -0.50 x 160"), "{amended:?}");
}
