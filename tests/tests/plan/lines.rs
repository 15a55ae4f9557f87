//! The lines that a focimeter shows: one answer, in text, JSON and on the sheet.

use super::{assert_near, done, plan};
use bevelbook_tests::{Shop, usual_order};

#[test]
fn the_lines_of_a_plus_cylinder_order_are_the_same_on_every_face() {
    // Transposition, any dispensing course: -2.00 +0.75 x 105 is -1.25 -0.75 x 15, and -2.00 +0.50 x 80 is
    // -1.50 -0.50 x 170. The first line is the sphere of the minus-cylinder form, at its axis.
    let shop = Shop::new();
    let order = [["--right", "-2.00 +0.75 x 105"], ["--left", "-2.00 +0.50 x 80"], ["--ed", "53"]];
    done(shop.run(usual_order(&order)));
    let (plan, text) = (plan(&shop), done(shop.run(["plan", "1"])).stdout);
    let sheet = done(shop.run(["sheet", "1", "--out", "-"])).stdout;
    for (name, field, right, left) in [
        ("sphere line", "first_line", ("-1.25", 15.0), ("-1.50", 170.0)),
        ("cylinder line", "second_line", ("-2.00", 105.0), ("-2.00", 80.0)),
    ] {
        let row = text.lines().find(|line| line.starts_with(name)).unwrap();
        let row: Vec<&str> = row[name.len()..].split_whitespace().collect();
        let said = [right, left].map(|(power, axis)| format!("{power} at {axis}"));
        assert_eq!(row.join(" "), said.join(" "));
        for (eye, (power, axis)) in [("right", right), ("left", left)] {
            assert_near(&plan[eye][format!("{field}_d")], power.parse().unwrap());
            assert_near(&plan[eye][format!("{field}_deg")], axis);
        }
        let [right, left] = said.map(|line| line.replace('-', "−"));
        let printed =
            format!("{right}</td><th class=\"what\" scope=\"row\">{name}</th><td class=\"l\">{left}");
        assert!(sheet.contains(&printed), "{printed}");
    }
}
