//! The status of a job.

use super::{GOOD, OUT, listed, shop, work};
use crate::bench::{done, refused};
use bevelbook_tests::Shop;

/// The status of job 1, which every face that lists jobs says in the same words.
fn status(shop: &Shop) -> String {
    let status = listed(shop, 1)["status"].as_str().unwrap().to_owned();
    for list in [["job", "list", "--all"], ["job", "show", "1"]] {
        let text = done(shop, list).stdout;
        assert!(text.contains(&status), "{list:?} does not say {status:?}: {text}");
    }
    done(shop, ["sheet", "1"]);
    let sheet = std::fs::read_to_string(shop.folder().join("job-1.html")).unwrap();
    assert!(sheet.contains(&status), "the sheet does not say {status:?}");
    status
}

#[test]
fn a_job_waits_for_its_lenses_until_they_come_or_are_worked_on() {
    let arrived = shop();
    assert_eq!(status(&arrived), "waiting for both lenses");
    assert_eq!(listed(&arrived, 1)["state"], "waiting");
    done(&arrived, ["job", "arrive", "1", "left"]);
    assert_eq!(status(&arrived), "waiting for the right lens");
    done(&arrived, ["job", "arrive", "1", "right"]);
    let next = listed(&arrived, 1);
    assert_eq!((&next["state"], &next["out"]), (&"in-work".into(), &false.into()));
    assert_eq!(status(&arrived), format!("next: {}", next["next"].as_str().unwrap()));

    // A shop that logs no arrivals begins one lens of a pair that came together.
    let begun = shop();
    done(&begun, ["record", "mark", "1", "right"]);
    assert_eq!(listed(&begun, 1)["state"], "in-work", "{}", status(&begun));
    // A remade lens has to come first.
    done(&begun, ["job", "remake", "1", "left", "--cause", "damaged", "--bearer", "shop"]);
    assert_eq!(status(&begun), "waiting for the left lens");
    // An eye without a lens waits for none.
    done(&begun, ["job", "amend", "1", "--left", "none", "--why", "one lens alone"]);
    assert_eq!(listed(&begun, 1)["state"], "in-work");
}

#[test]
fn a_finished_pair_is_to_be_inspected_then_signed_then_handed_over() {
    let shop = shop();
    work(&shop, "1", GOOD);
    assert_eq!(status(&shop), "done, within: sign it off");
    done(&shop, ["inspect", "1", "--sign-off", "EM"]);
    assert_eq!(status(&shop), "signed off by EM");
    done(&shop, ["job", "close", "1"]);
    assert_eq!(status(&shop), "handed over");
    let closed = listed(&shop, 1);
    assert_eq!((&closed["state"], &closed["out"]), (&"closed".into(), &false.into()));
    assert!(closed["next"].is_null());
}

#[test]
fn a_pair_that_is_out_says_so_in_every_list_from_its_reading_to_its_end() {
    let shop = shop();
    // The uncut lens alone tells it already.
    let wrong = ["record", "reading", "1", "right", "--stage", "uncut", "--direct", OUT[0], "--prism", "0"];
    done(&shop, wrong);
    assert!(status(&shop).starts_with("OUT; next: "), "{}", status(&shop));
    work(&shop, "1", OUT);
    assert_eq!(status(&shop), "done, OUT: inspect it");
    let done_and_out = listed(&shop, 1);
    assert_eq!((&done_and_out["state"], &done_and_out["out"]), (&"done".into(), &true.into()));
    let signed = shop.run(["inspect", "1", "--sign-off", "EM", "--despite", "the wearer wants it so"]);
    assert_eq!(signed.status, Some(1), "{signed:?}");
    assert_eq!(status(&shop), "signed off OUT by EM");
    assert_eq!(listed(&shop, 1)["out"], true);
}

#[test]
fn what_was_not_read_is_no_peace_either() {
    let shop = shop();
    work(&shop, "1", GOOD);
    done(&shop, ["record", "reading", "1", "right", "--stage", "mounted", "--direct", GOOD[0]]);
    assert_eq!(status(&shop), "done, not judged yet: inspect it");
}

#[test]
fn a_pd_that_is_out_is_told_before_anything_else_is_done() {
    let shop = shop();
    // Strong enough that the standard judges the PD itself.
    let strong = ["--right", "-4.00 -1.00 x 10", "--left", "-4.25 -1.25 x 175"];
    done(&shop, ["job", "amend", "1", "--why", "a test"].iter().chain(&strong));
    for eye in ["right", "left"] {
        done(&shop, ["job", "arrive", "1", eye]);
    }
    assert_eq!(listed(&shop, 1)["out"], false);
    done(&shop, ["record", "pd", "1", "36/31"]);
    assert!(status(&shop).starts_with("OUT; next: "), "{}", status(&shop));
}

/// A pair that is within by its powers, with one check that was found bad after all of them were good.
fn found_bad(check: &[&str]) -> Shop {
    let shop = shop();
    work(&shop, "1", GOOD);
    done(&shop, ["record", "check", "1"].iter().chain(check).chain(&["--bad"]));
    shop
}

#[test]
fn a_pair_with_something_found_bad_is_signed_and_closed_with_a_reason_alone_and_says_so() {
    for (check, said) in [
        (&["firm", "left"][..], "lens firm in the rim: BAD"),
        (&["alignment"], "frame true: BAD"),
        (&["drop-ball-tested", "right"], "drop ball: tested: BAD"),
    ] {
        let shop = found_bad(check);
        assert!(!status(&shop).contains("within"), "{}", status(&shop));
        let told = refused(&shop, ["inspect", "1", "--sign-off", "EM"], 2);
        assert!(told.contains(said) && told.contains("--despite"), "{told}");
        done(&shop, ["inspect", "1", "--sign-off", "EM", "--despite", "she will come back"]);
        assert_eq!(status(&shop), format!("signed off by EM; {said}"));
        let told = refused(&shop, ["job", "close", "1"], 2);
        assert!(told.contains(said), "{told}");
        done(&shop, ["job", "close", "1", "--despite", "she will come back"]);
        assert_eq!(status(&shop), format!("handed over, {said}"));
    }
}

#[test]
fn a_pd_far_from_what_was_ordered_says_so_although_no_limit_is_on_it() {
    let shop = shop();
    work(&shop, "1", GOOD);
    done(&shop, ["record", "pd", "1", "35/35"]);
    let off = "PD";
    assert_eq!(status(&shop), format!("done, within: inspect it; look: {off}"));
    done(&shop, ["inspect", "1", "--sign-off", "EM"]);
    assert_eq!(status(&shop), format!("signed off by EM; look: {off}"));
    let page = done(&shop, ["sheet", "1", "--for", "wearer", "--out", "-"]).stdout;
    assert!(page.contains("right PD 3.5 mm off") && page.contains("If in doubt"), "{page}");
}
