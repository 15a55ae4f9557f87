//! Whose lenses count, and what is said of them.

use super::*;
use serde_json::json;

#[test]
fn lenses_of_a_model_say_how_big_to_cut_the_next_one_and_why() {
    let shop = shop();
    let fits = [["0.15", "0.05"], ["0.20", "0.10"], ["0.25", "0.15"], ["0.20", "0.10"]];
    for [touch, fit] in fits {
        pair(&shop, "Lindgren 7", touch, fit);
    }
    let job = open(&shop, "Lindgren 7", &[]);
    let plan = plan(&shop, &job);
    let advice = &plan["advice"];
    // Each fit was typed for two lenses.
    let mut typed: Vec<f64> = fits.iter().map(|[_, fit]| fit.parse().unwrap()).collect();
    typed.sort_by(f64::total_cmp);
    assert_eq!(
        (&advice["lenses"], &advice["fitted_mm"]),
        (&json!(2 * typed.len()), &json!([typed[0], typed[typed.len() - 1]]))
    );
    assert_eq!(advice["basis"], "diameter");
    let (size, _) = first(&plan);
    assert!((0.10..=0.25).contains(&size), "{advice}");
    assert_eq!(advice["first"][0]["size_mm"].as_f64(), Some(size));
    assert_eq!(plan["sizes"][0]["next_dialled_mm"].as_f64(), Some(size));
    let passes = advice["first_passes"].as_f64().unwrap();
    assert!((1.0..=1.9).contains(&passes), "{advice}");
    // The second is told of by the fit of the first, or by the model; and sized in no more passes.
    assert!(advice["second_passes"].as_f64().unwrap() <= passes, "{advice}");
    let expect = if passes > 1.0 { format!("expect {passes:.1} passes") } else { "expect one pass".into() };
    assert_eq!(
        said(&shop, &job, "first size"),
        format!("dial +{size:.2} on diameter (shop default +0.40); {expect}")
    );
    assert_eq!(said(&shop, &job, "this frame"), "8 lenses fitted +0.05 to +0.15 mm on diameter, last +0.10");
    assert!(said(&shop, &job, "second eye").contains("; expect "));
}

#[test]
fn it_is_on_one_screen_on_the_sheet_and_on_the_card_and_the_whole_ladder_in_the_whole_plan() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    let first_size = said(&shop, &job, "first size");
    let second = said(&shop, &job, "second eye");
    let short = done(shop.run(["plan", &job])).stdout;
    assert!(short.lines().count() <= 23 && short.lines().all(|line| line.chars().count() <= 80), "{short}");
    for card in [&["--out", "-"][..], &["--card", "--out", "-"]] {
        let sheet = done(shop.run(["sheet", &job].iter().chain(card)));
        // A sheet sets its minus and its fractions by themselves.
        let told = sheet.words();
        assert!(told.contains("first size") && told.contains("second eye"), "{told}");
        assert!(told.contains("(shop default +0.40)"), "{first_size} {second} {told}");
    }
    let whole = done(shop.run(["plan", &job, "--full"])).stdout;
    assert!(whole.lines().all(|line| line.chars().count() <= 80), "{whole}");
    let (_, table) = whole.split_once("by the book ").unwrap();
    let rungs = plan(&shop, &job)["advice"]["first"].as_array().unwrap().clone();
    for rung in &rungs {
        let [size, much, touch] = ["size_mm", "much_mm", "touch_mm"].map(|key| rung[key].as_f64().unwrap());
        let figure = |size: f64| {
            if size == 0.0 { "0.00".to_owned() } else { format!("{size:+.2}") }
        };
        let line = table.lines().filter(|line| line.trim_start().starts_with(&figure(size)));
        let told = line.map(|line| line.split_whitespace().take(3).collect::<Vec<_>>().join(" ")).next();
        assert_eq!(told.unwrap(), [size, much, touch].map(figure).join(" "), "{whole}");
        assert!(much <= touch && touch < size, "{rung}");
    }
    let loose = plan(&shop, &job)["advice"]["first_loose_percent"].as_f64().unwrap();
    // Not more than three times the shop's 0.3 in a hundred.
    assert!((0.0..=0.9).contains(&loose), "{loose}");
    assert!(whole.contains("ends loose       first eye ") && whole.contains("learned from "), "{whole}");
    assert!(!short.contains("ends loose"), "{short}");
}

#[test]
fn who_opens_a_job_is_told_at_once() {
    let shop = shop();
    let nothing = done(shop.run(usual_order(&[["--ed", "53"], ["--frame", "Lindgren 7"]])));
    assert!(!nothing.stdout.contains("first size"), "{nothing:?}");
    (0..3).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let order = usual_order(&[["--ed", "53"], ["--frame", "Lindgren 7"]]);
    let opened = done(shop.run(&order)).stdout;
    for name in ["first size", "second eye", "this frame"] {
        let told = opened.lines().find_map(|line| line.strip_prefix(&format!("  {name} ")));
        assert_eq!(told.map(str::trim), Some(&*said(&shop, "5", name)), "{opened}");
    }
    let json = done(shop.run(order.into_iter().chain(["--json".to_owned()]))).json();
    assert_eq!(json["advice"], plan(&shop, "6")["advice"]);
}

#[test]
fn a_model_never_had_goes_by_the_others_once_there_are_enough() {
    let shop = shop();
    for model in 0..9 {
        pair(&shop, &format!("Model {model}"), "0.55", "0.45");
    }
    let job = open(&shop, "Lindgren 7", &[]);
    assert_eq!(first(&plan(&shop, &job)), (0.4, false), "18 lenses are too few");
    assert_eq!(said(&shop, &job, "this frame"), "nothing known yet of this model and size");
    pair(&shop, "Model 9", "0.55", "0.45");
    let plan = plan(&shop, &job);
    let (size, advised) = first(&plan);
    // All others were cut larger than this shop's default.
    assert!(advised && size > 0.4 && size <= 1.0, "{}", plan["advice"]);
    let advice = &plan["advice"];
    assert_eq!([&advice["learned_from_lenses"], &advice["learned_from_models"]], [&json!(20), &json!(10)]);
    assert_eq!((&advice["lenses"], &advice["fitted_mm"]), (&json!(0), &Value::Null));
    assert_eq!(
        said(&shop, &job, "this frame"),
        "first of this model and size; goes by 20 lenses of 10 models"
    );
}

#[test]
fn a_slip_of_the_space_bar_makes_no_other_model() {
    let shop = shop();
    pair(&shop, " Lindgren  7", "0.20", "0.10");
    pair(&shop, "Lindgren\u{a0}7 ", "0.20", "0.10");
    let job = open(&shop, "Lindgren 7", &[]);
    assert_eq!(said(&shop, &job, "this frame"), "4 lenses fitted +0.10 mm on diameter");
}

#[test]
fn what_it_was_learned_from_and_the_limit_are_told_in_the_whole_plan() {
    let shop = shop();
    let job = open(&shop, "Lindgren 7", &[]);
    pass(&shop, &job, "right", &[["0.20", "touch"], ["0.10", "fits"]]);
    let next = open(&shop, "Lindgren 7", &[]);
    let whole = done(shop.run(["plan", &next, "--full"])).words();
    assert!(
        whole.contains("; your limit: 0.3 % of all lenses learned from one lens of one model and size "),
        "{whole}"
    );
    assert!(done(shop.run(["station"])).stdout.contains("too little is known: 1 job since then"));
}

#[test]
fn two_sizes_of_a_model_are_kept_apart() {
    let shop = shop();
    for _ in 0..4 {
        pair(&shop, "Lindgren 7", "0.10", "0.00");
        let large = open(&shop, "Lindgren 7", &[["--a", "54"], ["--ed", "57"]]);
        for eye in ["right", "left"] {
            pass(&shop, &large, eye, &[["0.60", "touch"], ["0.50", "fits"]]);
        }
    }
    let small = plan(&shop, &open(&shop, "lindgren 7", &[]));
    let large = plan(&shop, &open(&shop, "LINDGREN 7", &[["--a", "54.3"], ["--ed", "57"]]));
    assert_eq!(small["advice"]["fitted_mm"], json!([0.0, 0.0]));
    assert_eq!(large["advice"]["fitted_mm"], json!([0.5, 0.5]));
    assert!(first(&small).0 <= 0.2 && first(&large).0 >= 0.5, "{small} {large}");
}

#[test]
fn what_was_strained_or_undone_does_not_count_and_a_walk_in_does_once_it_is_filed() {
    let shop = shop();
    for _ in 0..3 {
        pair(&shop, "Lindgren 7", "0.30", "0.20");
    }
    let fitted = |job: &str| {
        let plan = plan(&shop, job);
        (plan["advice"]["lenses"].clone(), plan["advice"]["fitted_mm"].clone())
    };
    let job = open(&shop, "Lindgren 7", &[]);
    assert_eq!(fitted(&job), (json!(6), json!([0.2, 0.2])));
    let strained = open(&shop, "Lindgren 7", &[]);
    pass(&shop, &strained, "right", &[["0.40", "fits"]]);
    assert_eq!(fitted(&job), (json!(7), json!([0.2, 0.4])));
    done(shop.run(["record", "check", &strained, "strain", "right", "--bad"]));
    assert_eq!(fitted(&job), (json!(6), json!([0.2, 0.2])));
    let logged = done(shop.run(["record", "pass", &strained, "left", "0.35", "fits", "--json"])).json();
    assert_eq!(fitted(&job), (json!(7), json!([0.2, 0.35])));
    done(shop.run(["record", "void", &logged["record"]["seq"].to_string()]));
    assert_eq!(fitted(&job), (json!(6), json!([0.2, 0.2])));
}
