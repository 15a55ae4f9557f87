//! What is taken and what is refused of an eye: no work without a lens, the centre of one eye alone.

use super::{EYES, done, other, refused, shop_with, stated};
use serde_json::{Value, json};

fn records(shop: &bevelbook_tests::Shop) -> usize {
    let shown: Value = done(shop, ["job", "show", "1", "--json"]).json();
    shown["records"].as_array().unwrap().len()
}

#[test]
fn work_on_an_eye_without_a_lens_is_refused_and_nothing_is_written() {
    for order in ["none", "old -2.00 DS"] {
        for eye in EYES {
            let shop = stated(shop_with(eye, order, &[]));
            let before = records(&shop);
            for work in [
                &["record", "mark", "1", eye][..],
                &["record", "reading", "1", eye, "--direct", "-2.00", "--stage", "uncut"],
                &["record", "pass", "1", eye, "0.30", "just"],
                &["record", "pass", "1", eye, "0.30", "just", "--past"],
                &["record", "girth", "1", eye, "141.2"],
                &["record", "girth", "1", eye, "141.2", "--rim"],
                &["record", "check", "1", "bevel", eye],
                &["record", "check", "1", "bevel", "both"],
                &["record", "check", "1", "drop-ball-tested", eye],
                &["record", "check", "1", "finish", eye],
                &["record", "made", "1", eye, "--centre", "2.0"],
                &["job", "arrive", "1", eye],
                &["job", "remake", "1", eye, "--cause", "slipped", "--bearer", "shop"],
            ] {
                let error = refused(&shop, work, 2);
                assert!(
                    error.contains(&format!("no lens is made for the {eye} eye of job 1")),
                    "{work:?}: {error}"
                );
                assert!(error.contains(&format!("bevelbook job amend 1 --{eye} RX --why")), "{error}");
            }
            assert_eq!(records(&shop), before);
            // The other eye goes its way, and its finish is the pair's.
            done(&shop, ["record", "pass", "1", other(eye), "0.20", "fits"]);
            let finish = done(&shop, ["record", "check", "1", "finish", "--json"]).json();
            assert_eq!(finish["records"].as_array().unwrap().len(), 5, "{finish}");
        }
    }
}

#[test]
fn a_lens_that_stays_is_read_in_its_frame_and_one_that_nobody_knows_is_not() {
    for eye in EYES {
        let reading = ["record", "reading", "1", eye, "--direct", "-2.00", "--prism", "0"];
        let shop = shop_with(eye, "old -2.00 DS", &[]);
        let said = done(&shop, reading).stdout;
        assert!(said.contains("taken as mounted, since the lens stays in its frame"), "{said}");
        assert!(said.contains("ordered none, old -2.00 DS"), "{said}");
        let error = refused(&shop_with(eye, "none", &[]), reading, 2);
        assert!(error.contains("no lens is made"), "{error}");
    }
}

#[test]
fn the_pd_of_one_lens_is_that_of_its_eye() {
    for (eye, pd, heights) in [("right", "31.5/-", "18/-"), ("left", "-/31.5", "-/18")] {
        for order in ["none", "old -2.00 DS"] {
            let shop = shop_with(other(eye), order, &[]);
            let fact = done(&shop, ["record", "pd", "1", pd, "--heights", heights, "--json"]).json();
            let of =
                |what: &str| [&fact[format!("{eye}_{what}_mm")], &fact[format!("{}_{what}_mm", other(eye))]];
            assert_eq!(of("pd"), [&json!(31.5), &Value::Null], "{fact}");
            assert_eq!(of("height"), [&json!(18.0), &Value::Null], "{fact}");
            assert!(fact["pd_mm"].is_null(), "{fact}");
            let shown = done(&shop, ["job", "show", "1"]).stdout;
            assert!(shown.contains(&format!("pair: PD {pd} mm, heights {heights} mm")), "{shown}");
            // One figure of heights is that eye's, and both halves may be measured where a lens stays.
            done(&shop, ["record", "pd", "1", pd, "--heights", "18"]);
            done(&shop, ["record", "pd", "1", "31.5/31"]);
            // A half in the place of the whole would leave the place of the lens that stays unmeasured.
            if order != "none" {
                let error = refused(&shop, ["record", "pd", "1", pd], 2);
                assert!(error.contains("the whole PD of job 1 was measured, 31.5/31 mm"), "{error}");
            }
        }
    }
}

#[test]
fn half_a_pd_is_that_of_a_lens_which_is_made_alone() {
    let shop = shop_with("right", "-1.00", &[]);
    let error = refused(&shop, ["record", "pd", "1", "31.5/-"], 2);
    assert!(
        error.contains("both lenses of job 1 are made: give the PD of each, as 31.5/31, or one figure"),
        "{error}"
    );
    let balance = shop_with("left", "bal", &[]);
    assert!(refused(&balance, ["record", "pd", "1", "31.5/-"], 2).contains("both lenses"));
    for (eye, pd, wrong) in [("right", "31.5/-", "-/31.5"), ("left", "-/31.5", "31.5/-")] {
        let shop = shop_with(other(eye), "none", &[]);
        let error = refused(&shop, ["record", "pd", "1", wrong], 2);
        assert!(error.contains(&format!("no lens is made for the {} eye of job 1", other(eye))), "{error}");
        // Heights are of the eyes that the PD is of.
        let same = "give the heights of the same eyes as the PD";
        for [pd, heights] in
            [[pd, "18/18.5"], [pd, if eye == "right" { "-/18" } else { "18/-" }], ["31.5/31", "18/-"]]
        {
            let error = refused(&shop, ["record", "pd", "1", pd, "--heights", heights], 2);
            assert!(error.contains(same), "{pd} {heights}: {error}");
        }
    }
}

#[test]
fn a_balance_lens_is_worked_on_like_any_other() {
    for order in ["bal", "bal -2.00 DS"] {
        for eye in EYES {
            let shop = stated(shop_with(eye, order, &[]));
            let reading = ["record", "reading", "1", eye, "--direct", "-2.37", "--stage", "uncut"];
            let said = done(&shop, reading).stdout;
            assert!(!said.contains("within") && !said.contains("out:"), "{said}");
            done(&shop, ["record", "mark", "1", eye]);
            done(&shop, ["record", "pass", "1", eye, "0.20", "fits"]);
            done(&shop, ["record", "girth", "1", eye, "141.2"]);
            done(&shop, ["record", "check", "1", "finish", eye]);
            done(&shop, ["job", "remake", "1", eye, "--cause", "slipped", "--bearer", "shop"]);
        }
    }
}

#[test]
fn an_eye_that_work_was_logged_of_may_be_left_out_later() {
    for eye in EYES {
        let shop = stated(shop_with(eye, "-1.50", &[]));
        done(&shop, ["record", "pass", "1", eye, "0.40", "loose"]);
        let flag = format!("--{eye}");
        let output = done(&shop, ["job", "amend", "1", &flag, "none", "--why", "keeps the old lens"]);
        let said =
            format!("{eye} eye: what was logged of its lens stays in the log, and asks for nothing more");
        assert!(output.stderr.contains(&said), "{output:?}");
        // What was spoiled asks for nothing; what was logged is still there, and counts again with the lens.
        let list = done(&shop, ["job", "list"]).stdout;
        assert!(list.contains(&format!("read the uncut {} lens", other(eye))), "{list}");
        assert_eq!(records(&shop), 3);
        assert!(
            !done(&shop, ["job", "amend", "1", "--tray", "5", "--why", "moved"]).stderr.contains("logged")
        );
        done(&shop, ["job", "amend", "1", &flag, "-1.50", "--why", "a lens after all"]);
        let list = done(&shop, ["job", "list"]).stdout;
        assert!(list.contains(&format!("remake the {eye} lens")), "{list}");
    }
}

#[test]
fn the_command_that_a_verdict_waits_for_asks_for_the_eyes_that_there_are() {
    for (eye, asked, pd) in [("right", "…/-", "31.5/-"), ("left", "-/…", "-/31")] {
        for (order, asked) in [("none", asked), ("old -4.00 add 2", "…/…")] {
            let made = format!("--{eye}");
            let progressive = [[&*made, "-4.00 add 2"], ["--design", "progressive"], ["--heights", "18"]];
            let shop = shop_with(other(eye), order, &progressive);
            let waits = || {
                let found: Value = shop.run(["inspect", "1", "--json"]).json();
                let commands =
                    found["missing"].as_array().unwrap().iter().filter_map(|gap| gap["command"].as_str());
                commands
                    .map(str::to_owned)
                    .filter(|command| command.contains("record pd"))
                    .collect::<Vec<_>>()
            };
            assert_eq!(waits()[0], format!("bevelbook record pd 1 {asked} --heights {asked}"));
            // What is known is repeated.
            done(&shop, ["record", "pd", "1", pd]);
            let pd = if order == "none" { pd } else { asked };
            assert_eq!(waits()[0], format!("bevelbook record pd 1 {pd} --heights {asked}"));
        }
    }
}
