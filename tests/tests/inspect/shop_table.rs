//! Pairs by a table of the shop's own.

use crate::made::{Made, STRONG, as_ordered, unwrapped};
use bevelbook_tests::Shop;

/// A shop whose table is the example, the rule of New Jersey.
fn with_example(made: &Made) -> Shop {
    let shop = made.build();
    let example = shop.run(["settings", "tolerances"]).stdout;
    std::fs::write(shop.folder().join("nj.toml"), example).unwrap();
    std::fs::write(shop.settings(), "tolerance.shop_table = \"nj.toml\"").unwrap();
    shop
}

#[test]
fn a_pair_is_judged_by_it_and_signed_by_its_name() {
    // N.J.A.C. 13:35-5.2: power within 0.12 D, axis within 2° to 1.00 D, prism 0.50 Δ in total.
    for (mounted, prism, code, words) in [
        ("-4.12 -1.00 x 12", "0.5 in", 0, "pair within"),
        ("-4.13 -1.00 x 10", "0", 1, ": right power 0.13 D off, limit 0.12"),
        ("-4.00 -1.00 x 13", "0", 1, ": right axis 3° off, limit 2"),
        ("-4.00 -1.00 x 10", "0.51 in", 1, ": horizontal prism 0.51 Δ off, limit 0.50"),
    ] {
        let made = Made {
            mounted: [Some(mounted), Some(STRONG[1])],
            prism: [Some(prism), Some("0")],
            ..as_ordered(STRONG)
        };
        let output = with_example(&made).run(["inspect", "1", "--standard", "shop"]);
        assert_eq!(output.status, Some(code), "{mounted}: {}", output.stdout);
        assert!(unwrapped(&output.stdout).contains(words), "{words}: {}", output.stdout);
    }
    let shop = with_example(&as_ordered(STRONG));
    let signed = shop.run(["inspect", "1", "--standard", "shop", "--sign-off", "EM", "--sources"]);
    let text = unwrapped(&signed.stdout);
    assert!(text.contains("New Jersey 13:35-5.2, table version 1: the shop's own table"), "{text}");
    assert!(text.contains("it cites: New Jersey Administrative Code 13:35-5.2"), "{text}");
    assert!(text.contains("within by New Jersey 13:35-5.2 (shop table), table version 1"), "{text}");
    let json = shop.run(["inspect", "1", "--json", "--standard", "shop"]).json();
    assert!(json["findings"][0]["source"].as_str().unwrap().starts_with("New Jersey Administrative Code"));
    assert_eq!(json["signed"]["standard"], "New Jersey 13:35-5.2 (shop table)");
    // The rule has nothing on the reference point: the uncut lens is not held to it.
    let left = json["not_covered"].as_array().unwrap().iter();
    assert!(left.clone().any(|left| left["what"] == "reference point" && left["uncut"] == true), "{json}");
}

#[test]
fn a_slip_in_the_file_stops_with_file_line_and_value() {
    let shop = with_example(&as_ordered(STRONG));
    let path = shop.folder().join("nj.toml");
    let text = std::fs::read_to_string(&path).unwrap().replace("[6.00, 0.12]", "[6.00, 0.1234]");
    let line = text.lines().position(|line| line.contains("0.1234")).unwrap() + 1;
    std::fs::write(&path, text).unwrap();
    let refused = shop.run(["inspect", "1", "--standard", "shop"]);
    assert_eq!((refused.status, refused.stdout.as_str()), (Some(4), ""), "{refused:?}");
    for said in ["nj.toml", &format!("line {line}"), "0.1234 is finer than 0.001"] {
        assert!(refused.stderr.contains(said), "{said}: {refused:?}");
    }
    std::fs::remove_file(path).unwrap();
    assert!(shop.run(["inspect", "1"]).stderr.contains("cannot read the tolerance table"));
}

#[test]
fn without_a_table_shop_is_no_standard() {
    let shop = as_ordered(STRONG).build();
    let refused = shop.run(["inspect", "1", "--standard", "shop"]);
    assert_eq!((refused.status, refused.stdout.as_str()), (Some(2), ""), "{refused:?}");
    assert!(refused.stderr.contains("settings tolerances"), "{refused:?}");
}
