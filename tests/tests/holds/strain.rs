//! A fit that strain has withdrawn is not told as what this frame has shown.

use crate::shop::{at_sizing, done, open_job};
use bevelbook_tests::Shop;
use serde_json::{Value, json};

/// What the plan of `job` tells of earlier fits in this frame, on diameter.
fn fitted(shop: &Shop, job: u32) -> Value {
    let job = job.to_string();
    let plan = done(shop, &["plan", &job, "--json"]).json();
    let fitted = plan["fitted_before_on_diameter_mm"].clone();
    // The text tells of a fit when the JSON does, and not otherwise.
    let text = done(shop, &["plan", &job]).stdout;
    let said = text.lines().find(|line| line.contains("fitted"));
    match fitted.as_array().map_or(0, Vec::len) {
        0 => assert_eq!(said, None, "{text}"),
        _ => assert!(said.is_some(), "{text}"),
    }
    fitted
}

fn run(shop: &Shop, command: &str) -> String {
    done(shop, &command.split(' ').collect::<Vec<_>>()).stdout
}

#[test]
fn a_strained_lens_shows_no_fit_until_it_fits_again() {
    let shop = at_sizing(1);
    open_job(&shop, 2);
    run(&shop, "record pass 1 r 0.20 fits");
    // What a lens shows itself it did not show before.
    assert_eq!((fitted(&shop, 1), fitted(&shop, 2)), (json!([]), json!([0.2])));
    run(&shop, "record check 1 strain r --bad");
    for job in [1, 2] {
        let fitted = fitted(&shop, job);
        assert_eq!(fitted.as_array().map_or(0, Vec::len), 0, "the fit at +0.20 was withdrawn: {fitted}");
    }
    run(&shop, "record pass 1 r 0.15 fits");
    assert_eq!(fitted(&shop, 2), json!([0.15]));
}

#[test]
fn a_strain_check_that_is_voided_gives_the_fit_back() {
    let shop = at_sizing(1);
    open_job(&shop, 2);
    run(&shop, "record pass 1 r 0.20 fits");
    let strained = run(&shop, "record check 1 strain r --bad");
    let fits = |shop: &Shop| fitted(shop, 2).as_array().map_or(0, Vec::len);
    assert_eq!(fits(&shop), 0);
    // Its number stands first.
    run(&shop, &format!("record void {}", strained.split(' ').next().unwrap()));
    assert_eq!(fitted(&shop, 2), json!([0.2]));
}

#[test]
fn the_fit_of_a_lens_that_was_made_again_is_not_touched_by_strain_in_the_next() {
    let shop = at_sizing(1);
    open_job(&shop, 2);
    run(&shop, "record pass 1 r 0.20 fits");
    run(&shop, "job remake 1 right --cause damaged --bearer shop");
    run(&shop, "record pass 1 r 0.25 fits");
    assert_eq!((fitted(&shop, 1), fitted(&shop, 2)), (json!([0.2]), json!([0.2, 0.25])));
    run(&shop, "record check 1 strain r --bad");
    assert_eq!((fitted(&shop, 1), fitted(&shop, 2)), (json!([0.2]), json!([0.2])));
}

#[test]
fn a_pair_whose_lens_is_strained_is_not_signed_off_without_a_reason() {
    let shop = at_sizing(1);
    for (eye, power) in [("r", "-1.25 -0.75 x 15"), ("l", "-2.00 -0.50 x 160")] {
        run(&shop, &format!("record pass 1 {eye} 0.20 fits"));
        let reading =
            ["record", "reading", "1", eye, "--stage", "mounted", "--direct", power, "--prism", "0"];
        done(&shop, &reading);
    }
    run(&shop, "record pd 1 31/31");
    assert_eq!(done(&shop, &["inspect", "1", "--json"]).json()["verdict"], "within");
    run(&shop, "record check 1 strain r --bad");
    let found = shop.run(["inspect", "1", "--json"]).json();
    assert_eq!(
        (&found["verdict"], &found["missing"][0]["kind"]),
        (&json!("not-judged"), &json!("not-fitted"))
    );
    assert_eq!(shop.run(["inspect", "1", "--sign-off", "EM"]).status, Some(2));
    run(&shop, "record pass 1 r 0.15 fits");
    done(&shop, &["inspect", "1", "--sign-off", "EM"]);
}
