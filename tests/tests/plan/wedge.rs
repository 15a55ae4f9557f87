//! Lenses with prescribed prism, thick as they are ground.

use super::{assert_near, done, number, plan, shop};
use bevelbook_tests::{Shop, mirrored_record, usual_order};
use serde_json::Value;

/// Made by `tests/reference/wedge_plan.py`: random orders, and the edges of tilted spheres and tyres.
const PLANS: &str = include_str!("../../../core/tests/vectors/plan_wedge.txt");

/// The right lens of a round shape of radius 25, its dot 3 mm in.
fn round(rx: &str, changes: &[[&str; 2]]) -> Value {
    let round = [["--a", "50"], ["--b", "50"], ["--ed", "50"], ["--dbl", "20"], ["--pd", "32/32"]];
    let shop = Shop::new();
    done(shop.run(usual_order(&[&round, changes, &[["--right", rx]]].concat())));
    plan(&shop)["right"]["thickness"].clone()
}

#[test]
fn the_edges_are_those_of_exact_spheres() {
    // Worked out apart from this program, as exact spheres, and printed to two decimals; 1.498. Recomputed by
    // tests/reference/wedge.py.
    for (rx, front, centre, thickest, thinnest) in [
        ("-0.50 DS prism 2 in", "5.75", "2", 3.21, 1.28),
        ("-0.50 DS prism 1 in", "5.75", "2", 2.74, 1.87),
        ("-1.00 DS prism 3 in", "5.50", "2", 3.94, 1.12),
        ("-2.00 DS prism 5 in", "5.00", "2", 5.42, 0.80),
        ("-4.00 DS prism 3 in", "4.00", "2", 5.51, 3.64),
        ("+1.00 DS prism 3 in", "7.00", "5", 5.96, 2.50),
        ("+2.00 DS prism 3 in", "8.00", "5", 5.46, 1.63),
    ] {
        let ordered = [["--base-curve", front], ["--centre-thickness", centre]];
        let thickness = round(rx, &ordered);
        for (name, printed) in [("thickest_mm", thickest), ("thinnest_mm", thinnest)] {
            // Printed to 0.01, found to whole µm.
            assert!((number(&thickness[name]) - printed).abs() <= 0.0055, "{rx}: {thickness}");
        }
        assert_near(&thickness["centre_mm"], centre.parse().unwrap());
        assert_eq!(
            (&thickness["thickest_at"], &thickness["thinnest_at"]),
            (&"nasal".into(), &"temporal".into())
        );
    }
}

#[test]
fn a_lens_without_power_is_planned_like_any_other() {
    // Base up and in; the shop's least edge decides. The figures are those of tests/reference/wedge.py.
    let plano = round("pl prism 3 in 4 up", &[["--base-curve", "6"]]);
    assert_eq!((&plano["thickest_at"], &plano["thinnest_at"]), (&"nasal up".into(), &"temporal down".into()));
    for (name, exact) in [("thickest_mm", 6.226), ("thinnest_mm", 1.0), ("centre_mm", 3.695)] {
        assert_near(&plano[name], exact);
    }
    assert_eq!(plano["bound_by_edge"], true);
}

#[test]
fn random_lenses_are_those_of_tilted_surfaces() {
    let mut worst: f64 = 0.0;
    let jobs = PLANS.lines().filter(|line| !line.starts_with('#'));
    for (at, line) in jobs.enumerate() {
        let (order, edges) = line.split_once(" = ").unwrap();
        let fields: Vec<&str> = order.split(';').collect();
        let [material, dbl, right, left, high, low, first, front, centre, second, front2, centre2, radii] =
            fields[..].try_into().unwrap();
        let mm = |hundredths: &str| format!("{:.2}", hundredths.parse::<f64>().unwrap() / 100.0);
        let radii: Vec<&str> = radii.split(' ').collect();
        let shop = shop(&format!("DBL={}\n{}", mm(dbl), mirrored_record(&radii)));
        let sides = |right: &str, left: &str| format!("{right}/{left}");
        let order = super::traced(&[
            ["--material", material],
            ["--pd", &sides(&mm(right), &mm(left))],
            ["--heights", &sides(&mm(high), &mm(low))],
            ["--right", first],
            ["--left", second],
            ["--base-curve", &sides(front, front2)],
            ["--centre-thickness", &sides(centre, centre2)],
        ]);
        done(shop.run(order));
        let plan = plan(&shop);
        let found = ["right", "left"].map(|eye| plan[eye]["thickness"].clone());
        let found = found.iter().flat_map(|body| [&body["thickest_mm"], &body["thinnest_mm"]]);
        for (found, expected) in found.zip(edges.split(' ')) {
            let error = (number(found) - expected.parse::<f64>().unwrap()).abs();
            // Points are whole µm, and so is what is found.
            assert!(error < 0.002, "job {at}: {found} for {expected}: {line}");
            worst = worst.max(error);
        }
    }
    println!("worst edge of a plan with prism: {:.2} µm", worst * 1000.0);
}
