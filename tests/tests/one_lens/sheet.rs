//! The sheet: one drawing and one gauge where one lens is made, and the other column says why.

use super::{EYES, done, other, shop_with, stated};

fn sheet(shop: &bevelbook_tests::Shop) -> String {
    done(shop, ["sheet", "1", "--out", "-"]).stdout
}

#[test]
fn an_eye_without_a_lens_has_neither_drawing_nor_gauge_and_its_column_says_so() {
    for (order, said) in [("none", "no lens"), ("old -2.00 DS", "no lens: the old one stays")] {
        for eye in EYES {
            let shop = stated(shop_with(eye, order, &[]));
            done(&shop, ["record", "pass", "1", other(eye), "0.40", "far"]);
            let page = sheet(&shop);
            assert_eq!(page.matches("<figure class=\"lens\"").count(), 1);
            assert!(page.contains(&format!("<figure class=\"lens\" data-eye=\"{}\"", other(eye))), "{page}");
            let side = if eye == "right" { "r" } else { "l" };
            assert!(page.contains(&format!("<td class=\"{side}\">{said}</td>")), "{page}");
            assert_eq!(
                (page.matches("class=\"gauge\"").count(), page.matches("Nothing logged yet.").count()),
                (1, 0)
            );
            assert!(page.contains(&format!("<h3>{eye} eye: {said}</h3>")), "{page}");
            assert!(page.contains(&format!("<h3>{} lens 1</h3>", other(eye))), "{page}");
        }
    }
}

#[test]
fn what_was_logged_before_a_lens_was_left_out_stays_on_the_sheet() {
    for eye in EYES {
        let shop = stated(shop_with(eye, "-1.50", &[]));
        done(&shop, ["record", "pass", "1", eye, "0.35", "just"]);
        done(&shop, ["job", "amend", "1", &format!("--{eye}"), "none", "--why", "keeps the old lens"]);
        let page = sheet(&shop);
        assert!(page.contains(&format!("<h3>{eye} eye: no lens</h3><table class=\"passes\">")), "{page}");
        assert!(page.contains("+0.35"), "{page}");
    }
}

#[test]
fn a_balance_lens_is_drawn_and_read_like_any_other() {
    for eye in EYES {
        let shop = stated(shop_with(eye, "bal", &[]));
        done(&shop, ["record", "pass", "1", eye, "0.20", "fits"]);
        let page = sheet(&shop);
        assert_eq!(
            (page.matches("<figure class=\"lens\"").count(), page.matches("class=\"gauge\"").count()),
            (2, 1)
        );
        assert!(page.contains("balance lens, in work"), "{page}");
        assert!(page.contains("the power of the balance lens is not told"), "{page}");
    }
}
