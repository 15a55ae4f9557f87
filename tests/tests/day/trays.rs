//! Which job is meant by what is typed: a number is a job's, T10 is a tray, J10 is job 10.

use super::listed;
use crate::bench::{done, refused};
use bevelbook_tests::{Shop, usual_order};

/// Jobs in trays, by number, each with its tray.
fn shop(trays: &[&str]) -> Shop {
    let shop = Shop::new();
    for tray in trays {
        done(&shop, usual_order(&[["--ed", "53"], ["--tray", tray]]));
    }
    shop
}

/// The number of the job that is shown for `wanted`.
fn meant(shop: &Shop, wanted: &str) -> u64 {
    done(shop, ["job", "show", wanted, "--json"]).json()["job"].as_u64().unwrap()
}

#[test]
fn a_bare_number_is_a_jobs_and_never_silently_another_ones_tray() {
    let shop = shop(&["2", "7", "3"]);
    // Job 1 lies in tray 2, where there is a job 2.
    let told = refused(&shop, ["plan", "2"], 2);
    assert!(told.contains("J2") && told.contains("T2"), "{told}");
    assert!(told.contains("tray 2 holds another one (1)"), "{told}");
    for (wanted, job) in [("J2", 2), ("j2", 2), ("#2", 2), ("T2", 1), ("t2", 1), ("1", 1), ("T7", 2)] {
        assert_eq!(meant(&shop, wanted), job, "{wanted}");
    }
    // A job that lies in the tray of its own number is meant either way.
    assert_eq!(meant(&shop, "3"), 3);
    // A tray alone is none of a number's either, and the right form is shown.
    let told = refused(&shop, ["plan", "7"], 3);
    assert!(told.contains("tray 7 holds job 2: T7"), "{told}");
    // What was closed lies in no tray.
    done(&shop, ["job", "close", "J1", "--despite", "a test"]);
    assert_eq!(meant(&shop, "2"), 2);
    assert!(refused(&shop, ["plan", "T2"], 3).contains("no open job lies in tray 2"));
}

#[test]
fn a_tray_that_is_in_use_is_warned_of() {
    let shop = shop(&["4"]);
    let told = "tray 4 holds job 1 already";
    let second = done(&shop, usual_order(&[["--ed", "53"], ["--tray", "4"]]));
    assert!(second.stderr.contains(told), "{second:?}");
    assert!(refused(&shop, ["plan", "T4"], 2).contains("1, 2"));
    let third = done(&shop, usual_order(&[["--ed", "53"], ["--tray", "5"]]));
    assert!(!third.stderr.contains("tray"), "{third:?}");
    let moved = done(&shop, ["job", "amend", "3", "--tray", "4", "--why", "moved"]);
    assert!(moved.stderr.contains("tray 4 holds jobs 1, 2 already"), "{moved:?}");
    let other = done(&shop, ["job", "amend", "3", "--pd", "31/31", "--why", "measured"]);
    assert!(!other.stderr.contains("tray"), "{other:?}");
    assert_eq!(listed(&shop, 3)["tray"], "4");
}

#[test]
fn a_slip_in_a_name_is_answered_with_what_may_be_meant() {
    let shop = shop(&["red"]);
    for (typed, meant) in [("K-71", "K-17"), ("rde", "red"), ("Tred1", "Tred")] {
        let told = refused(&shop, ["plan", typed], 3);
        assert!(told.contains(&format!("did you mean `{meant}`?")), "{typed}: {told}");
    }
    assert!(!refused(&shop, ["plan", "something else"], 3).contains("did you mean"));
}

#[test]
fn a_job_that_is_opened_again_warns_of_its_tray_in_use() {
    let shop = shop(&["4"]);
    done(&shop, ["job", "close", "1", "--how", "cancelled", "--despite", "so"]);
    done(&shop, usual_order(&[["--ed", "53"], ["--tray", "4"]]));
    let told = done(&shop, ["job", "reopen", "1", "--for", "mistake", "--why", "it was the other job"]);
    assert!(told.stderr.contains("tray 4 holds job 2 already"), "{told:?}");
}
