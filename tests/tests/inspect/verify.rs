//! A supplier's power to verify beside the ordered power.

use crate::made::{Made, STRONG, as_ordered, unwrapped};
use bevelbook_tests::{Shop, usual_order};

#[test]
fn a_reading_is_judged_by_the_power_to_verify_and_says_so() {
    // Made for the position of wear: the right lens is to read -3.81 -0.92 x 12.
    let verify = [Some("-3.81 -0.92 x 12"), None];
    let made = Made { verify, mounted: verify.map(|v| v.or(Some(STRONG[1]))), ..as_ordered(STRONG) };
    let made = Made { uncut: made.mounted, ..made };
    let (status, json) = made.inspect();
    assert_eq!((status, &json["verdict"]), (Some(0), &"within".into()), "{json}");
    assert_eq!(json["right"]["ordered"]["sphere_d"], -4.0);
    assert_eq!(json["right"]["verify"]["sphere_d"], -3.81);
    assert!(json["left"]["verify"].is_null());
    assert_eq!(json["findings"][0]["ordered_d"], -3.81);
    assert!(json["warnings"].as_array().unwrap().is_empty(), "{json}");
    let text = unwrapped(&made.text().stdout);
    assert!(
        text.contains("to read as -3.81 -0.92 x 12, the supplier's: readings are judged by it"),
        "{text}"
    );
    // Read as ordered it is out: 0.19 D, and 0.13 D is allowed.
    let as_prescribed = Made { mounted: STRONG.map(Some), ..made };
    assert_eq!(as_prescribed.inspect().0, Some(1));
}

#[test]
fn its_prism_and_addition_are_judged_by_too_and_the_ordered_ones_stand_beside() {
    use crate::made::near;
    use bevelbook_core::tolerance::Design;
    let verify = [Some("-2.06 prism 0.4 down add 1.88"), Some("-2.06 prism 0.4 down add 1.88")];
    let made = Made {
        verify,
        uncut: [Some("-2.06 DS"); 2],
        mounted: [Some("-2.06 DS"); 2],
        uncut_prism: [Some("0.4 down"); 2],
        prism: [Some("0.4 down"); 2],
        add: [Some(1880); 2],
        ..near(Design::Progressive, ["-2.00 DS"; 2])
    };
    let (status, json) = made.inspect();
    assert_eq!((status, &json["right"]["uncut"]["verdict"]), (Some(0), &"within".into()), "{json}");
    let [verify, ordered] = ["verify", "ordered"].map(|name| &json["right"][name]);
    assert_eq!((&verify["base_up_pd"], &verify["add_d"]), (&(-0.4).into(), &1.88.into()));
    assert_eq!((&ordered["base_up_pd"], &ordered["add_d"]), (&0.0.into(), &2.0.into()));
    let text = unwrapped(&made.text().stdout);
    assert!(text.contains("to read as -2.06 DS, prism 0.40 down, add +1.88, the supplier's"), "{text}");
}

#[test]
fn a_lens_that_reads_as_ordered_and_not_as_the_supplier_says_is_a_likely_slip() {
    let verify = [Some("-3.81 -0.92 x 12"), None];
    let (_, json) = Made { verify, ..as_ordered(STRONG) }.inspect();
    let warned = json["warnings"].as_array().unwrap();
    let said = warned.iter().map(|warning| warning["text"].as_str().unwrap());
    let slip =
        said.filter(|text| text.contains("reads the ordered power, not the supplier's (-3.81 -0.92 x 12)"));
    assert_eq!(slip.count(), 1, "{json}");
}

#[test]
fn it_is_ordered_amended_and_emptied_with_the_job() {
    let shop = Shop::new();
    let order = [
        ["--right", "-4.00 -1.00 x 10"],
        ["--left", "-4.25"],
        ["--pd", "31/31"],
        ["--ed", "53"],
        ["--lab-power-right", "-3.81 -0.92 x 12"],
    ];
    let made = shop.run(usual_order(&order));
    assert_eq!(made.status, Some(0), "{made:?}");
    let shown = || shop.run(["job", "show", "1", "--json"]).json();
    // Decimals of a power to verify are what they are.
    assert_eq!(shown()["right_verify"]["cylinder_d"], -0.92);
    assert!(shop.run(["job", "show", "1"]).stdout.contains("lab power -3.81 -0.92 x 12"));
    let amend = |args: &[&str]| {
        let amended = shop.run(["job", "amend", "1", "--why", "the supplier's slip"].iter().chain(args));
        assert_eq!(amended.status, Some(0), "{amended:?}");
    };
    amend(&["--lab-power-right", "-3.80 -0.90 x 13", "--lab-power-left", "-4.12"]);
    assert_eq!(shown()["right_verify"]["axis_deg"], 13.0);
    assert_eq!(shown()["left_verify"]["sphere_d"], -4.12);
    amend(&["--clear", "lab-power-right"]);
    assert!(shown()["right_verify"].is_null());
    let read = ["record", "reading", "1", "left", "--stage", "mounted", "--direct", "-4.20", "--centred"];
    let recorded = shop.run(read);
    assert!(recorded.stdout.contains("judged against the supplier's power to verify, -4.12"), "{recorded:?}");
}
