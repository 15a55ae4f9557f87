//! A job that is not signed off within is closed with the reason alone, and says what it was ever after.

use super::{GOOD, OUT, listed, shop, work};
use crate::bench::{done, refused};

#[test]
fn a_job_that_is_not_done_is_closed_with_its_reason_alone() {
    let shop = shop();
    let told = refused(&shop, ["job", "close", "1", "--how", "cancelled"], 2);
    assert!(told.contains("waiting for both lenses"), "{told}");
    assert!(told.contains("bevelbook job close 1 --how \"cancelled\" --despite \"…\""), "{told}");
    assert_eq!(listed(&shop, 1)["state"], "waiting", "nothing was closed");
    let empty = refused(&shop, ["job", "close", "1", "--how", "cancelled", "--despite", " "], 2);
    assert!(empty.contains("--despite"), "{empty}");
    done(&shop, ["job", "close", "1", "--how", "cancelled", "--despite", "she moved away"]);
    assert_eq!(listed(&shop, 1)["status"], "cancelled, not done");
    let log = done(&shop, ["job", "show", "1"]).stdout;
    assert!(log.contains("closed: cancelled, although: she moved away"), "{log}");
}

#[test]
fn a_pair_that_is_out_is_closed_with_its_reason_alone_and_stays_out() {
    for signed in [true, false] {
        let shop = shop();
        work(&shop, "1", OUT);
        if signed {
            shop.run(["inspect", "1", "--sign-off", "EM", "--despite", "the wearer wants it so"]);
        }
        let told = refused(&shop, ["job", "close", "1"], 2);
        assert!(told.contains("OUT") && told.contains("--despite"), "{told}");
        done(&shop, ["job", "close", "1", "--despite", "the wearer wants it so"]);
        let closed = listed(&shop, 1);
        assert_eq!((&closed["status"], &closed["out"]), (&"handed over, OUT".into(), &true.into()));
    }
}

#[test]
fn a_finished_pair_that_nobody_signed_is_closed_with_its_reason_alone() {
    let shop = shop();
    work(&shop, "1", GOOD);
    let told = refused(&shop, ["job", "close", "1"], 2);
    assert!(told.contains("done, within: sign it off"), "{told}");
    done(&shop, ["job", "close", "1", "--despite", "it was fetched in a hurry"]);
    assert_eq!(listed(&shop, 1)["status"], "handed over, not signed off");
}

#[test]
fn a_closed_job_is_opened_again_without_a_new_lens_and_is_signed_anew() {
    let shop = shop();
    work(&shop, "1", GOOD);
    done(&shop, ["inspect", "1", "--sign-off", "EM"]);
    let early = refused(&shop, ["job", "reopen", "1", "--for", "complaint", "--why", "it pinches"], 2);
    assert!(early.contains("job 1 is open"), "{early}");
    done(&shop, ["job", "close", "1"]);
    let shut = refused(&shop, ["record", "pd", "1", "62"], 2);
    assert!(shut.contains("job reopen 1 --for"), "{shut}");
    let unsaid = refused(&shop, ["job", "reopen", "1", "--for", "adjustment"], 2);
    assert!(unsaid.contains("--why"), "{unsaid}");
    let opened = done(&shop, ["job", "reopen", "1", "--for", "adjustment", "--why", "the frame sits askew"]);
    assert!(opened.stdout.contains("job 1: done, within: sign it off"), "{opened:?}");
    let again = listed(&shop, 1);
    assert_eq!((&again["closed"], &again["lens_numbers"]), (&false.into(), &serde_json::json!([1, 1])));
    // Nothing of what was logged is gone, and work is taken in again.
    done(&shop, ["record", "pd", "1", "31.5/31"]);
    let told = refused(&shop, ["job", "close", "1"], 2);
    assert!(told.contains("not signed off within"), "{told}");
    done(&shop, ["inspect", "1", "--sign-off", "EM"]);
    done(&shop, ["job", "close", "1"]);
    let log = done(&shop, ["job", "show", "1"]).stdout;
    assert!(log.contains("opened again for an adjustment: the frame sits askew"), "{log}");
}

#[test]
fn an_opening_again_that_is_undone_leaves_the_job_closed() {
    let shop = shop();
    done(&shop, ["job", "close", "1", "--how", "cancelled", "--despite", "she moved away"]);
    done(&shop, ["job", "reopen", "1", "--for", "mistake", "--why", "it was the other job"]);
    assert_eq!(listed(&shop, 1)["state"], "waiting");
    assert!(done(&shop, ["job", "list"]).stdout.contains("waiting for both lenses"));
    let records = done(&shop, ["job", "show", "1", "--json"]).json();
    let last = records["records"].as_array().unwrap().last().unwrap()["record"].as_str().unwrap().to_owned();
    done(&shop, ["record", "void", &last]);
    assert_eq!(listed(&shop, 1)["status"], "cancelled, not done");
}
