//! What is dialled next, and what is recorded as advised.

use super::*;
use serde_json::json;

/// A shop that had four pairs of a model, and the next job of it.
fn known() -> (Shop, String) {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    (shop, job)
}

fn next(plan: &Value) -> [Option<f64>; 2] {
    [0, 1].map(|eye| plan["sizes"][eye]["next_dialled_mm"].as_f64())
}

#[test]
fn a_pass_says_what_to_dial_next_as_the_plan_does_and_what_was_advised_is_recorded() {
    let (shop, job) = known();
    let (size, _) = first(&plan(&shop, &job));
    // Another size than the advised one: the person's choice.
    let own = format!("{:.2}", size + 0.1);
    let answer = done(shop.run(["record", "pass", &job, "right", &own, "touch"]));
    assert!(answer.stdout.contains(&format!("advised +{size:.2} mm")), "{answer:?}");
    let [right, left] = next(&plan(&shop, &job));
    assert!(answer.stdout.contains(&format!("\n  dial {:+.2} next\n", right.unwrap())), "{answer:?}");
    assert_eq!(left, Some(size));
    let json = done(shop.run(["record", "pass", &job, "right", "0.10", "fits", "--json"])).json();
    assert_eq!(json["advised_mm"].as_f64(), right, "{json}");
    assert_eq!(json["next_dialled_mm"], json!(next(&plan(&shop, &job))), "{json}");
    assert_eq!(json["next_dialled_mm"][0], Value::Null);
    // It is in the book, beside what was dialled.
    let log = done(shop.run(["job", "show", &job])).stdout;
    assert!(log.contains(&format!(", advised +{size:.2} mm")), "{log}");
}

#[test]
fn a_lens_that_is_opened_again_past_its_fit_follows_the_plan_too() {
    let (shop, job) = known();
    for eye in ["right", "left"] {
        pass(&shop, &job, eye, &[["0.10", "fits"]]);
    }
    let past = ["record", "pass", &job, "right", "0.05", "touch", "--past", "--json"];
    let json = done(shop.run(past)).json();
    assert_eq!(json["next_dialled_mm"], json!(next(&plan(&shop, &job))), "{json}");
    assert!(json["next_dialled_mm"][0].is_number(), "{json}");
}

#[test]
fn the_ladder_of_the_plan_is_the_way_that_is_advised_pass_by_pass() {
    for felt in ["much", "touch"] {
        let (shop, job) = known();
        let advice = plan(&shop, &job)["advice"].clone();
        let rungs = advice["first"].as_array().unwrap();
        let top = rungs[0]["size_mm"].as_f64().unwrap();
        let then = rungs[0][format!("{felt}_mm")].as_f64().unwrap();
        let pass = ["record", "pass", &job, "right", &format!("{top:.2}"), felt, "--json"];
        let json = done(shop.run(pass)).json();
        assert_eq!(json["advised_mm"].as_f64(), Some(top), "{json}");
        assert_eq!(json["next_dialled_mm"][0].as_f64(), Some(then), "{felt} {advice}");
    }
}

#[test]
fn the_other_eye_follows_once_the_first_one_fits() {
    let (shop, job) = known();
    let [by_model, _] = next(&plan(&shop, &job));
    // Larger than where the model fits: the second eye of this frame follows the first one.
    pass(&shop, &job, "left", &[["0.35", "touch"], ["0.25", "fits"]]);
    let plan = plan(&shop, &job);
    let [right, left] = next(&plan);
    assert_eq!((left, &plan["advice"]["second_from_fit"]), (None, &json!(false)));
    assert!(right > by_model && right.unwrap() <= 0.35, "{plan}");
    assert_eq!(plan["advice"]["second"][0]["size_mm"].as_f64(), right);
    assert!(
        said(&shop, &job, "second eye")
            .starts_with(&format!("dial +{:.2} on diameter; expect ", right.unwrap()))
    );
    let text = done(shop.run(["plan", &job])).stdout;
    assert!(!text.contains("first size"), "it is behind this frame: {text}");
}

#[test]
fn figures_are_those_of_the_dial() {
    let (shop, job) = known();
    let (diameter, _) = first(&plan(&shop, &job));
    let dials: [(&[&str], f64); 3] = [
        (&["--basis", "radius", "--absolute", "--step", "0.025"], 0.5),
        (&["--basis", "girth", "--absolute", "--step", "0.05"], std::f64::consts::PI),
        (&["--basis", "diameter", "--take-off-from", "0.60", "--step", "0.05"], 1.0),
    ];
    for (flags, scale) in dials {
        dial(&shop, flags);
        let plan = plan(&shop, &job);
        let advice = &plan["advice"];
        let step: f64 = flags[flags.len() - 1].parse().unwrap();
        let size = advice["first"][0]["size_mm"].as_f64().unwrap();
        // One step of either dial.
        assert!((size - scale * diameter).abs() < 0.05 * scale + step, "{flags:?} {advice}");
        let fitted = advice["fitted_mm"][0].as_f64().unwrap();
        assert!((fitted - scale * 0.1).abs() < 0.001, "{advice}");
        let (dialled, _) = first(&plan);
        let taken = if flags.contains(&"--take-off-from") { 0.6 - size } else { size };
        assert!((dialled - taken).abs() < 1e-9, "{plan}");
        let whole = (dialled / step).round() * step;
        assert!((dialled - whole).abs() < 1e-9, "{dialled} is on the dial");
        let [right, left] = next(&plan);
        assert_eq!([right, left], [Some(dialled); 2]);
    }
    let words = said(&shop, &job, "first size");
    assert!(words.starts_with("take off ") && words.contains("(shop default 0.20)"), "{words}");
}

#[test]
fn it_stays_within_what_a_bench_would_dial_whatever_was_typed() {
    let (shop, job) = known();
    let (size, _) = first(&plan(&shop, &job));
    // A slip of the keys, and a frame that is not like the others.
    let slip = open(&shop, "Lindgren 7", &[]);
    pass(&shop, &slip, "right", &[["3.00", "fits"]]);
    let (after, _) = first(&plan(&shop, &job));
    assert!((after - size).abs() <= 0.1, "{size} {after}");
    let plan = plan(&shop, &job);
    let rungs = plan["advice"]["first"].as_array().unwrap();
    assert!(rungs.len() <= 8 && rungs.iter().all(|rung| rung["much_mm"].as_f64().unwrap() > -1.0), "{plan}");
}

#[test]
fn a_lens_that_was_lost_tells_of_the_other_eye() {
    let (shop, _) = known();
    let job = open(&shop, "Lindgren 7", &[]);
    let usual = first(&plan(&shop, &job)).0;
    // It was loose where all others fitted: this frame is larger, and so is the other rim.
    pass(&shop, &job, "right", &[["0.20", "loose"]]);
    let plan = plan(&shop, &job);
    let [_, left] = next(&plan);
    assert!(left.unwrap() > usual + 0.05 && left.unwrap() > 0.20, "{usual} {left:?}");
}

#[test]
fn a_pass_and_the_plan_say_the_same_whatever_was_felt() {
    let (shop, _) = known();
    for (size, felt) in
        [("0.35", "much"), ("0.30", "touch"), ("0.15", "touch"), ("0.20", "loose"), ("0.10", "fits")]
    {
        let job = open(&shop, "Lindgren 7", &[]);
        let answer = done(shop.run(["record", "pass", &job, "right", size, felt, "--json"])).json();
        let told: Vec<Option<f64>> =
            answer["next_dialled_mm"].as_array().unwrap().iter().map(Value::as_f64).collect();
        assert_eq!(told, next(&plan(&shop, &job)), "{size} {felt}");
    }
}
