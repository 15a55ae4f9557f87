//! What is planned: nothing for an eye without a lens, place, blank and size of a balance lens.

use super::{EYES, done, other, shop_with};
use serde_json::json;

#[test]
fn an_eye_without_a_lens_has_no_rows_of_work() {
    for (order, said) in
        [("none", "no lens"), ("old -2.00 DS", "no lens: the frame keeps its old one (-2.00 DS)")]
    {
        for eye in EYES {
            let shop = shop_with(eye, order, &[]);
            let plan = done(&shop, ["plan", "1", "--json"]).json();
            assert!(plan[eye].is_null(), "{plan}");
            assert!(plan[other(eye)]["thickness"]["thickest_mm"].is_number(), "{plan}");
            let wanted = EYES.map(|which| if which == eye { "none" } else { "lens" });
            assert_eq!((&plan["wanted"], &plan["pair_weight_g"]), (&json!(wanted), &json!(null)));
            let text = done(&shop, ["plan", "1", "--full"]).stdout;
            assert!(text.lines().any(|line| line == format!("{:<17}{said}", format!("{eye} eye"))), "{text}");
            assert!(
                done(&shop, ["plan", "1"]).stdout.contains(&format!("{:<17}{said}", format!("{eye} eye")))
            );
            assert!(!text.contains(&format!("order, {eye}")), "{text}");
            assert!(text.contains(&format!("order, {}", other(eye))), "{text}");
            // Its column has one word, and that is no work.
            for row in text
                .lines()
                .skip_while(|line| !line.starts_with("lens "))
                .skip(1)
                .take_while(|line| !line.is_empty())
            {
                let (right, left) = row.split_at_checked(49).unwrap_or((row, ""));
                let own = if eye == "right" { right.get(18..).unwrap_or_default() } else { left };
                assert_eq!(own.trim(), "", "{row}");
            }
        }
    }
}

#[test]
fn a_balance_lens_of_whatever_power_is_planned_but_for_its_thickness() {
    for eye in EYES {
        let shop = shop_with(eye, "bal", &[]);
        let output = done(&shop, ["plan", "1", "--json"]);
        let plan = output.json();
        let own = &plan[eye];
        assert!(
            own["thickness"].is_null() && own["minus"].is_null() && own["first_line_d"].is_null(),
            "{own}"
        );
        assert!(
            own["in_mm"].is_number() && own["least_blank_mm"].is_number() && own["shape"]["a_mm"].is_number()
        );
        assert_eq!(
            (&own["ordered"]["wanted"], &own["ordered"]["sphere_d"]),
            (&json!("balance"), &json!(null))
        );
        assert!(plan[other(eye)]["thickness"]["centre_mm"].is_number() && plan["pair_weight_g"].is_null());
        let said = format!("{eye}: thickness not worked out: the power of the balance lens is not told");
        assert!(done(&shop, ["plan", "1"]).stdout.contains(&format!("! {said}")), "{plan}");
        let text = done(&shop, ["plan", "1", "--full"]).stdout;
        assert!(text.contains(&said) && text.contains("equivalent sphere"), "{text}");
        assert!(text.contains(&format!("order, {eye}")) && text.contains("single vision, bal, "), "{text}");
    }
}

#[test]
fn a_balance_lens_whose_power_is_told_is_planned_whole() {
    for eye in EYES {
        let shop = shop_with(eye, "bal -2.00 DS", &[]);
        let plan = done(&shop, ["plan", "1", "--json"]).json();
        let own = &plan[eye];
        assert_eq!(
            (&own["ordered"]["wanted"], &own["ordered"]["sphere_d"]),
            (&json!("balance"), &json!(-2.0))
        );
        assert!(own["thickness"]["thickest_mm"].is_number() && plan["pair_weight_g"].is_number(), "{plan}");
    }
}

#[test]
fn thinning_of_one_lens_alone_is_told_of() {
    for eye in EYES {
        let made = format!("--{}", other(eye));
        let warned = |order: &str, thinning: &str| {
            let progressive = [[&*made, "-1.75 add 2"], ["--design", "progressive"], ["--heights", "18"]];
            let shop = shop_with(eye, order, &[&progressive[..], &[["--thinning", thinning]]].concat());
            done(&shop, ["plan", "1"]).stdout.contains("one lens alone is thinned")
        };
        assert!(warned("none", "1.25") && warned("old -2.00 add 2", "1.25"));
        assert!(!warned("none", "0") && !warned("-2.00 add 2", "1.25") && !warned("bal -2.00 add 2", "1.25"));
    }
}
