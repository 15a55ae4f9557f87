//! Wrong use, and the names of the JSON fields.

use super::{refused, words};
use bevelbook_tests::bevelbook;

#[test]
fn the_fields_are_exactly_those_agreed() {
    let prism = ["base_deg", "horizontal_base", "horizontal_pd", "total_pd", "vertical_base", "vertical_pd"];
    let solved = [
        "base_deg",
        "horizontal_base",
        "horizontal_pd",
        "in_mm",
        "total_pd",
        "up_mm",
        "vertical_base",
        "vertical_pd",
    ];
    let lens = ["axis_deg", "cylinder_d", "sphere_d"];
    for (args, fields) in [
        ("prism -3.00 --eye r --in 2", &prism[..]),
        ("prism -3.00 --eye r --want 2in", &solved),
        ("prism --horizontal 2in --eye r", &prism),
        ("prism --total 2 --base 90 --eye r", &prism),
        (
            "imbalance -1.00 -3.00 --down 8",
            &["base_up_eye", "horizontal_base", "horizontal_pd", "vertical_pd"],
        ),
        ("vertex -12.00 --from 12 --to 14", &lens),
        ("tilt -12.00 --by 8 --index 1.6", &lens),
        ("magnify --bvp +4 --front +8 --centre 4 --index 1.5 --vertex 15", &["power", "shape", "total"]),
        ("backvertex --front +3 --back -8.50 --centre 2.2 --index 1.5", &["back_d", "front_d"]),
    ] {
        let output = bevelbook(["calc", "--json"].into_iter().chain(words(args)));
        assert_eq!((output.status, output.stderr.as_str()), (Some(0), ""), "{args}");
        let json = output.json();
        let mut found: Vec<&str> = json.as_object().into_iter().flatten().map(|(name, _)| &**name).collect();
        found.sort_unstable();
        assert_eq!(found, fields, "{args}");
    }
}

#[test]
fn a_prescription_may_begin_with_a_minus_and_needs_its_quotes() {
    let quotes = ["put quotes round it: \"-1.25 -0.75 x 15\""];
    refused(&words("prism -1.25 -0.75 x 15 --eye r --in 2"), &quotes);
    refused(&words("imbalance -1.25 -0.75 x 15 -1.00 --down 8"), &quotes);
    refused(&words("vertex -1.25 -0.75 x 15 --from 12 --to 14"), &quotes);
    refused(&words("tilt -1.25 -0.75 x 15 --by 8 --index 1.5"), &quotes);
}

#[test]
fn prism_needs_its_eye() {
    for rest in ["-3.00 --in 2", "-3.00 --want 2in", "--horizontal 2in", "--total 2 --base 0"] {
        refused(&[&["prism"], &words(rest)[..]].concat(), &["--eye <R|L>"]);
    }
    refused(&words("prism -3.00 --in 2 --eye both"), &["expected right or left, or r or l"]);
}

#[test]
fn what_does_not_go_together_is_told_what_does() {
    for (args, wrong) in [
        ("prism -3.00 --eye r --in 2 --out 2", "'--in <MM>' cannot be used with '--out <MM>'"),
        ("prism -3.00 --eye r --up 2 --down 2", "'--up <MM>' cannot be used with '--down <MM>'"),
        ("imbalance -3.00 -1.00 --up 2 --down 2", "'--up <MM>' cannot be used with '--down <MM>'"),
        ("prism --eye r", "<--in <MM>|--out <MM>|--up <MM>|--down <MM>|--want <PRISM>|--horizontal <PRISM>"),
        ("prism -3.00 --eye r", "<--in <MM>|--out <MM>|--up <MM>|--down <MM>|--want <PRISM>|"),
        ("prism -3.00 --eye r --in 2 --want 2in", "'--in <MM>' cannot be used with '--want <PRISM>'"),
        (
            "prism -3.00 --eye r --in 2 --horizontal 2in",
            "'[RX]' cannot be used with:\n  --horizontal <PRISM>",
        ),
        ("prism -3.00 --eye r --total 2 --base 0", "'[RX]' cannot be used with:\n  --total <PD>"),
        ("prism --eye r --in 2", "not provided:\n  <RX>"),
        ("prism --eye r --want 2in", "not provided:\n  <RX>"),
        ("prism --eye r --horizontal 2in --total 2 --base 0", "cannot be used with:\n  --total <PD>"),
        (
            "prism --eye r --want 2in --total 2 --base 0",
            "'--want <PRISM>' cannot be used with:\n  --total <PD>",
        ),
        ("prism --eye r --in 2 --total 2 --base 0", "'--in <MM>' cannot be used with:\n  --total <PD>"),
        ("prism --eye r --in 2 --vertical 1up", "'--in <MM>' cannot be used with"),
        ("prism --eye r --total 2", "not provided:\n  --base <DEG>"),
        ("prism --eye r --base 90", "--total <PD>"),
        ("imbalance -3.00 -1.00", "<--in <MM>|--out <MM>|--up <MM>|--down <MM>|--right <POINT>|"),
        ("imbalance -3.00 -1.00 --right 2in", "not provided:\n  --left <POINT>"),
        (
            "imbalance -3.00 -1.00 --right 2in --left 0 --down 8",
            "'--right <POINT>' cannot be used with:\n  --in",
        ),
    ] {
        refused(&words(args), &[wrong]);
    }
    // Whatever was wrong with prism, every way that is right is shown.
    let ways = ["[--up MM|--down MM]", "--want PRISM", "[--vertical PRISM]", "--total PD --base DEG"];
    refused(&words("prism -3.00 --eye r"), &ways);
}

#[test]
fn figures_that_cannot_be_right_are_refused_with_an_example() {
    for (args, hints) in [
        (
            &["prism", "-3.00", "--eye", "r", "--out", "-2"][..],
            ["zero or more millimetres", "write it like: 2"],
        ),
        (
            &["prism", "-3.00", "--eye", "r", "--want", "2"],
            ["the base direction", "write it like: 1.5 up 2 in"],
        ),
        (&["prism", "--eye", "r", "--horizontal", "2up"], ["in or out", "write it like: 2in"]),
        (&["prism", "--eye", "r", "--vertical", "1.5up2in"], ["up or down", "write it like: 1.5up"]),
        (
            &["prism", "--eye", "r", "--total", "-2", "--base", "0"],
            ["without a sign, at most 100", "write it like: 2.5"],
        ),
        (
            &["prism", "--eye", "r", "--total", "2", "--base", "361"],
            ["an angle from 0 to 360", "write it like: 37.5"],
        ),
        (
            &["imbalance", "-3.00", "-1.00", "--right", "2", "--left", "0"],
            ["the direction: in, out, up or down", "write it like: 2 in 8 down"],
        ),
        (
            &["vertex", "-3.00", "--from", "-12", "--to", "0"],
            ["zero or more millimetres", "write it like: 2"],
        ),
        (&["tilt", "-3.00", "--by", "8", "--index", "0.999"], ["index from 1 to 3", "write it like: 1.498"]),
        (
            &["tilt", "-3.00", "--by", "8", "--about", "0.5.", "--index", "1.5"],
            ["nothing more", "write it like"],
        ),
        (
            &["magnify", "--bvp", "4", "--front", "+8", "--centre", "4", "--index", "1.5", "--vertex", "15"],
            ["a power with its sign", "write it like: -1.25"],
        ),
        (
            &["backvertex", "--front", "+3", "--back", "-8", "--centre", "2", "--index", "149.8"],
            ["index from 1 to 3", "write it like: 1.498"],
        ),
    ] {
        refused(args, &hints);
    }
}

#[test]
fn what_no_lens_can_do_says_why() {
    for (args, hints) in [
        // No power at all, none along the axis, and so little that the point is beyond a metre.
        (
            "prism pl --eye r --want 2in",
            ["0.00 D in the meridian 180°", "another lens, or prism worked into"],
        ),
        ("prism +0.12 --eye r --want 13up", ["+0.12 D in the meridian 90°", "the 13.00 Δ wanted along it"]),
        ("prism -20.00 --eye r --in 60", ["beyond ±100 Δ", "for example --in 2"]),
        ("imbalance -20.00 +20.00 --down 40", ["beyond ±100 Δ", "for example --in 2"]),
        // The focus of +20.00 lies 50 mm behind it, that of -20.00 as far before it.
        (
            "vertex +20.00 --from 60 --to 0",
            ["+20.00 D comes to a focus within 60 mm", "is the distance right?"],
        ),
        (
            "vertex +20.00 --from 50 --to 0",
            ["+20.00 D comes to a focus within 50 mm", "is the distance right?"],
        ),
        (
            "vertex -20.00 --from 0 --to 60",
            ["-20.00 D comes to a focus within 60 mm", "is the distance right?"],
        ),
        ("vertex +20.00 --from 45 --to 0", ["beyond ±100 D", "check the powers"]),
        ("tilt -3.00 --by 31 --index 1.5", ["a tilt of 31° is too large", "up to 30°"]),
        (
            "backvertex --front +20.00 --back -8.50 --centre 80 --index 1.5",
            ["+20.00 D comes to a focus within 80 mm", "is the distance right?"],
        ),
        (
            "magnify --bvp +20.00 --front +8 --centre 4 --index 1.5 --vertex 50",
            ["+20.00 D comes to a focus within 50 mm", "is the distance right?"],
        ),
        ("combine +60.00 +60.00 --plus", ["beyond ±100 D", "check the powers"]),
    ] {
        refused(&words(args), &hints);
    }
    let across = ["prism", "pl -2.00 x 90", "--eye", "l", "--want", "1 in 0.5 down"];
    refused(&across, &["0.00 D in the meridian 90°", "0.50 Δ wanted along it"]);
}

#[test]
fn what_is_missing_is_named() {
    refused(&words("imbalance -1.00 --down 8"), &["<RX_L>"]);
    refused(&words("vertex -1.00"), &["--from <MM>", "--to <MM>"]);
    refused(&words("tilt -1.00 --by 8"), &["--index <N>"]);
    refused(&words("magnify --bvp +4"), &["--front <D>", "--centre <MM>", "--index <N>", "--vertex <MM>"]);
    refused(&words("backvertex --front +4"), &["--back <D>", "--centre <MM>", "--index <N>"]);
    refused(&words("backvertx"), &["'backvertex'"]);
}
