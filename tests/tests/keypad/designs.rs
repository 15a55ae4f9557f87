//! A whole job of each design: ordered at the console, worked at the keypad with nothing but "as it stands there", judged
//! and printed at the console.

use crate::loopback::Pair;
use crate::shop::done;
use bevelbook_keypad::keys::Key;
use bevelbook_tests::{Shop, usual_order};

/// What differs in the order, and what the log of its work says among other things.
type Case = (&'static str, &'static [[&'static str; 2]], &'static [&'static str]);

const CASES: &[Case] = &[
    (
        "a compensated single vision",
        &[["--right", "-4.00 -1.00 x 15"], ["--lab-power-right", "-3.87 -1.25 x 22"]],
        &["right: spotted at 22", "right: read mounted -3.87 -1.25 x 22"],
    ),
    (
        "a progressive with thinning",
        &[
            ["--design", "progressive"],
            ["--right", "-2.00 -0.50 x 90 add 2.00"],
            ["--left", "-2.25 add 2.00"],
            ["--heights", "20/20"],
            ["--thinning", "1.2"],
        ],
        &["right: read mounted -2.00 -0.50 x 90", "prism 1.20 down", "add +2.00", "heights 20/20 mm"],
    ),
    (
        "a flat-top bifocal",
        &[
            ["--design", "multifocal"],
            ["--segment", "flat top 28"],
            ["--right", "+1.00 add 2.00"],
            ["--left", "+1.25 add 2.00"],
            ["--near-pd", "30/29.5"],
            ["--heights", "17/17"],
        ],
        &["left: read mounted +1.25 DS", "heights 17/17 mm"],
    ),
    (
        "prism in both eyes, plano in one",
        &[["--right", "pl prism 2 in 1 up"], ["--left", "-1.00 prism 2 in 1 down"]],
        &["right: read mounted pl", "prism 1.00 up 2.00 in", "prism 1.00 down 2.00 in"],
    ),
    ("one lens only", &[["--left", "none"]], &["right: read mounted -1.25 -0.75 x 15", "PD 31.5/- mm"]),
    ("a balance lens", &[["--left", "bal"]], &["left: +0.50 mm on diameter: fits"]),
    ("drilled rimless", &[["--rim", "rimless"], ["--material", "polycarbonate"]], &["left: +0.30 mm"]),
];

#[test]
fn a_job_of_each_design_goes_through_the_keypad_to_a_verdict_and_a_sheet() {
    for (what, order, says) in CASES {
        let shop = Shop::new();
        done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
        done(&shop, &usual_order(order));
        let mut pair = Pair::of(shop);
        let mut screens = Vec::new();
        while !pair.screen().contains("is done") {
            let screen = pair.screen();
            // What is felt is no answer to a question: the first size fits.
            let sizing = screen.contains("fits");
            pair.press(if sizing { Key::Down } else { Key::Centre });
            screens.push(screen);
            assert!(screens.len() < 100, "{what}: {}", screens.join("\n"));
        }
        pair.run(3000);
        let inspected = pair.shop.run(["inspect", "1", "--json"]);
        let verdict = inspected.json()["verdict"].clone();
        assert_eq!(verdict, "within", "{what}: {inspected:?}\n{}", screens.join("\n"));
        let shown = done(&pair.shop, &["job", "show", "1"]).stdout;
        for says in *says {
            assert!(shown.contains(says), "{what}, {says}: {shown}");
        }
        let sheet = done(&pair.shop, &["sheet", "1", "--out", "-"]).stdout;
        assert!(sheet.contains("<svg") && sheet.contains("</html>"), "{what}");
    }
}
