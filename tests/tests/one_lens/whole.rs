//! Whole jobs: from the order to its closing.

use super::{EYES, done, other, shop_with, stated};
use serde_json::{Value, json};

/// Reads, marks, sizes, reads again and looks over the lens of one eye.
fn work(shop: &bevelbook_tests::Shop, eye: &str, power: &str) {
    let power = ["--direct", power, "--prism", "0"];
    done(shop, ["record", "reading", "1", eye, "--stage", "uncut"].iter().chain(&power));
    done(shop, ["record", "mark", "1", eye]);
    done(shop, ["record", "pass", "1", eye, "0.40", "far"]);
    done(shop, ["record", "pass", "1", eye, "0.20", "fits"]);
    done(shop, ["record", "reading", "1", eye, "--stage", "mounted"].iter().chain(&power));
    done(shop, ["record", "check", "1", "drop-ball-batch", eye]);
}

fn next(shop: &bevelbook_tests::Shop) -> String {
    let listed: Value = done(shop, ["job", "list", "--json"]).json();
    listed[0]["next"].as_str().unwrap_or_else(|| listed[0]["status"].as_str().unwrap()).to_owned()
}

#[test]
fn one_lens_from_its_order_to_its_closing() {
    for eye in EYES {
        for order in ["none", "old -2.00 DS"] {
            let (power, unmade) = ("-1.75 -0.50 x 20", other(eye));
            let shop = stated(shop_with(unmade, order, &[[&format!("--{eye}"), power]]));
            let shown = done(&shop, ["job", "show", "1", "--json"]).json();
            assert_eq!((&shown[eye]["wanted"], &shown[unmade]["wanted"]), (&json!("lens"), &json!("none")));
            assert_eq!(shown[unmade]["sphere_d"].is_null(), order == "none");
            assert_eq!(next(&shop), format!("read the uncut {eye} lens"));
            work(&shop, eye, power);
            assert_eq!(next(&shop), "measure the PD of the pair");
            let pd = if eye == "right" { "31.5/-" } else { "-/31" };
            // Beside a lens that stays both look through the pair: it is measured and read with the other one.
            if order == "none" {
                done(&shop, ["record", "pd", "1", pd]);
            } else {
                done(&shop, ["record", "pd", "1", "31.5/31"]);
                let missing = done_or_not(&shop, ["inspect", "1", "--json"]);
                assert_eq!(missing["verdict"], "not-judged", "{missing}");
                done(&shop, ["record", "reading", "1", unmade, "--direct", "-2.00", "--prism", "0"]);
            }
            done(&shop, ["record", "check", "1", "finish"]);
            assert_eq!(next(&shop), "inspect and sign off");
            let verdict = done(&shop, ["inspect", "1", "--json"]).json();
            assert_eq!(verdict["verdict"], "within", "{verdict}");
            for list in ["missing", "open", "warnings"] {
                assert_eq!(verdict[list], json!([]), "{verdict}");
            }
            done(&shop, ["inspect", "1", "--sign-off", "EM"]);
            assert_eq!(next(&shop), "signed off by EM");
            // In the heading, and in what was signed.
            let text = done(&shop, ["inspect", "1"]).stdout.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(text.matches(&format!(", {eye} lens 1")).count(), 2, "{text}");
            let numbers = EYES.map(|which| (which == eye).then_some(1));
            assert_eq!(done(&shop, ["job", "show", "1", "--json"]).json()["lens_numbers"], json!(numbers));
            done(&shop, ["sheet", "1"]);
            let closed = done(&shop, ["job", "close", "1"]);
            assert!(closed.stdout.contains("job 1: handed over") && closed.stderr.is_empty(), "{closed:?}");
            // What this frame has shown is one lens.
            let again = [["--left", "-1.50"], ["--right", "-1.50"], ["--ed", "53"]];
            done(&shop, bevelbook_tests::usual_order(&again));
            let plan = done(&shop, ["plan", "2", "--json"]).json();
            assert_eq!(plan["fitted_before_on_diameter_mm"], json!([0.2]), "{plan}");
        }
    }
}

#[test]
fn a_pair_with_a_balance_lens_from_its_order_to_its_closing() {
    for eye in EYES {
        for order in ["bal", "bal -2.00 DS"] {
            let (power, balance) = ("-1.75 -0.50 x 20", other(eye));
            let shop = stated(shop_with(balance, order, &[[&format!("--{eye}"), power]]));
            work(&shop, eye, power);
            assert_eq!(next(&shop), format!("mark the {balance} lens"));
            done(&shop, ["record", "mark", "1", balance]);
            assert_eq!(next(&shop), format!("size the {balance} lens"));
            done(&shop, ["record", "pass", "1", balance, "0.20", "fits"]);
            done(&shop, ["record", "check", "1", "drop-ball-batch", balance]);
            // Its edges are bevelled before it goes into the frame.
            assert!(next(&shop).starts_with(&format!("check the {balance} lens: ")), "{}", next(&shop));
            done(&shop, ["record", "check", "1", "bevel", balance]);
            assert_eq!(next(&shop), "measure the PD of the pair");
            done(&shop, ["record", "pd", "1", "31.5/31"]);
            done(&shop, ["record", "check", "1", "finish"]);
            assert_eq!(next(&shop), "inspect and sign off");
            let verdict = done(&shop, ["inspect", "1", "--json"]).json();
            assert_eq!(verdict["verdict"], "within", "{verdict}");
            assert_eq!((&verdict["missing"], &verdict["open"]), (&json!([]), &json!([])), "{verdict}");
            done(&shop, ["inspect", "1", "--sign-off", "EM"]);
            done(&shop, ["sheet", "1"]);
            done(&shop, ["job", "close", "1"]);
        }
    }
}

/// What a command says that may answer that something is not within.
fn done_or_not<const N: usize>(shop: &bevelbook_tests::Shop, args: [&str; N]) -> Value {
    let output = shop.run(args);
    assert!(matches!(output.status, Some(0 | 1)), "{args:?}: {output:?}");
    output.json()
}
