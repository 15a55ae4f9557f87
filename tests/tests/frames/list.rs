//! Every model and size, a line each.

use crate::bench::{Bench, Cut};

fn mean(passes: &[usize]) -> f64 {
    passes.iter().sum::<usize>() as f64 / passes.len() as f64
}

/// A figure of the program beside one that was counted here.
#[track_caller]
fn is(value: &serde_json::Value, counted: f64) {
    assert!((value.as_f64().unwrap() - counted).abs() < 1e-4, "{value} is not {counted}");
}

#[test]
fn an_empty_book_has_no_rows_and_says_so_beside_them() {
    let mut bench = Bench::new();
    let output = bench.types(&["frames", "--json"]);
    assert_eq!(output.stdout, "[]\n");
    assert!(output.stderr.contains("no lens in a full rim was sized yet"), "{output:?}");
    assert_eq!(bench.types(&["frames"]).stdout, "");
    // An order alone is no lens, and a grooved one is cut to a shape.
    let order = bevelbook_tests::usual_order(&[["--rim", "grooved"], ["--frame", "Fir"]]);
    assert_eq!(bench.shop.run(order).status, Some(0));
    bench.types(&["record", "pass", "1", "r", "0.30", "fits"]);
    bench.orders("Oak", "50");
    assert_eq!(bench.types(&["frames", "--json"]).stdout, "[]\n");
    let shown = bench.shop.run(["frames", "show", "Oak"]);
    assert!(
        shown.status == Some(3) && shown.stderr.contains("no lens of Oak in a full rim was sized yet"),
        "{shown:?}"
    );
}

#[test]
fn figures_are_those_that_were_typed() {
    let mut bench = Bench::new();
    // Two sizes that differ are two, however the model is written; the narrow one runs small.
    let mut cuts: [Vec<Cut>; 2] = [Vec::new(), Vec::new()];
    for pair in 0..9 {
        let model = if pair % 2 == 0 { "Oak" } else { "OAK" };
        let off = 0.02 * f64::from(pair % 3);
        let (size, a, rim) = if pair % 3 == 0 { (0, "48", -0.1 + off) } else { (1, "52", 0.15 + off) };
        cuts[size].extend(bench.pair(model, a, [rim, rim - 0.03], if pair < 6 { 0.4 } else { 0.25 }));
    }
    // One that is cut with no patience goes undersize.
    let job = bench.orders("Oak", "48");
    bench.types(&["record", "pass", &job.to_string(), "r", "0.40", "much"]);
    bench.types(&["record", "pass", &job.to_string(), "r", "-0.50", "loose"]);
    cuts[0].push(Cut { passes: 2, ..Cut::default() });

    let rows = bench.json(&["frames"]);
    assert_eq!(rows.as_array().unwrap().len(), 2, "{rows}");
    for (cuts, a) in cuts.iter().zip([48.0, 52.0]) {
        let row = rows.as_array().unwrap().iter().find(|row| row["a_mm"] == a).unwrap();
        let passes: Vec<usize> = cuts.iter().map(|cut| cut.passes).collect();
        let fits = cuts.iter().filter_map(|cut| cut.fits_at);
        is(&row["lenses"], cuts.len() as f64);
        is(&row["fitted_mm"][0], fits.clone().fold(f64::MAX, f64::min));
        is(&row["fitted_mm"][1], fits.fold(f64::MIN, f64::max));
        is(&row["passes_first_three"], mean(&passes[..3]));
        let lately = &passes[3..];
        is(&row["passes_lately"], mean(&lately[lately.len().saturating_sub(10)..]));
        is(&row["undersize"], if a == 48.0 { 1.0 } else { 0.0 });
        let replayed = &row["replayed"];
        is(&replayed["lenses"], cuts.len() as f64);
        assert_eq!(replayed["undersize"], row["undersize"]);
        let promised = replayed["promised_undersize"].as_f64().unwrap();
        // A cut of 0.9 mm in one go was going to be loose.
        assert!(if a == 48.0 { promised > 0.5 && promised < 1.5 } else { promised < 0.5 }, "{row}");
    }
    // The book begins where lenses of each size fit, and not where the other one does.
    let first = |at: usize| rows[at]["cut_first_mm"].as_f64().unwrap();
    let [narrow, wide] = if rows[0]["a_mm"] == 48.0 { [first(0), first(1)] } else { [first(1), first(0)] };
    assert!(narrow < 0.05 && wide > narrow + 0.1 && wide < 0.35, "{rows}");

    let table = bench.types(&["frames"]).stdout;
    assert!(table.lines().all(|line| line.chars().count() <= 80), "{table}");
    assert!(table.contains("Oak 48□18") && table.contains("happened 1 of 19"), "{table}");
    let by = |sort: &str| bench.json(&["frames", "--sort", sort]);
    assert!(
        by("spoiled")[0]["a_mm"] == 48.0 && by("use")[0]["a_mm"] == 52.0 && by("model")[0]["a_mm"] == 48.0
    );
}

#[test]
fn a_table_is_no_wider_than_a_terminal_and_no_longer_unless_it_is_asked_for() {
    let mut bench = Bench::new();
    for at in 0..22 {
        let model = format!("Größenwahn {at} 眼鏡 {}", "x".repeat(60));
        let job = bench.orders(&model, "50.4");
        bench.types(&["record", "pass", &job.to_string(), "r", "0.10", "fits"]);
    }
    let table = bench.types(&["frames"]).stdout;
    assert!(table.lines().all(|line| line.chars().count() <= 80), "{table}");
    assert!(table.contains("and 2 more with less: --all") && table.contains("□18"), "{table}");
    assert_eq!(bench.json(&["frames"]).as_array().unwrap().len(), 20);
    assert_eq!(bench.json(&["frames", "--all"]).as_array().unwrap().len(), 22);
}
