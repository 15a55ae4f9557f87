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
