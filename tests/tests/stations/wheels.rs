//! What one station's wheel teaches is not another's; what rims of a model are like is shared.
//!
//! Rims of known sizes are cut at two stations of which the second leaves every lens 0.10 mm larger on the diameter: there it
//! fits by a dial that is 0.10 smaller. Passes are logged past the command line, as in `frames`: of many only what becomes of
//! them is asked.

use super::*;
use bevelbook::settings::Settings;
use bevelbook::work::{Job, PassEntry, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Outcome::{Fits, JustTooBig};
use bevelbook_core::units::Length;

/// Models, and up to which size lenses fit them on a station that is true.
const MODELS: [(&str, f64); 4] = [("Oak", 0.10), ("Elm", 0.20), ("Ash", 0.00), ("Fir", 0.15)];
/// How much larger the second station leaves them.
const LARGER: f64 = 0.10;

/// A shop of two stations whose dials count alike.
fn two_wheels() -> Shop {
    let shop = Shop::new();
    let dial = ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"];
    done(&shop, &dial);
    done(&shop, &["station", "name", "Edge 1"]);
    done(&shop, &["station", "add", "Edge 2"]);
    done(&shop, &[&dial[..], &["--station", "Edge 2"]].concat());
    open(&shop, "None of these");
    shop
}

fn work(shop: &Shop, station: &str) -> Work {
    let mut settings = Settings::defaults().unwrap();
    settings.desk.station = Some(station.into());
    Work::reopen(shop.book().as_path(), settings).unwrap()
}

/// Opens one more job like the first, with a frame of this model.
fn one_more(work: &mut Work, model: &str) -> Job {
    let mut order = work.find("J1").unwrap().order;
    order.frame.model = model.into();
    work.open_job(order, None).unwrap().0
}

/// A pair of a model is cut at a station: a touch too big a step above where it fits there.
fn cut(shop: &Shop, station: &str, (model, rim): (&str, f64)) {
    let mut work = work(shop, station);
    let id = one_more(&mut work, model).id;
    let fits = rim - if station == "Edge 2" { LARGER } else { 0.0 };
    for eye in [Eye::Right, Eye::Left] {
        for (at, outcome) in [(fits + 0.05, JustTooBig), (fits, Fits)] {
            let amount = Length::from_milli((at * 1000.0).round() as i32);
            work.log_pass(id, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
        }
    }
}

/// The first size for a model at a station, and whether the book advised it.
fn first(shop: &Shop, station: &str, model: &str) -> (f64, bool) {
    let job = one_more(&mut work(shop, station), model).order.number.to_string();
    let plan = done(shop, &["plan", &job, "--station", station, "--json"]).json();
    (plan["first_size"]["dialled_mm"].as_f64().unwrap(), plan["advice"].is_object())
}

#[test]
fn each_station_is_advised_its_own_size_and_models_are_shared() {
    let shop = two_wheels();
    for model in [0, 1, 2, 3].repeat(3) {
        cut(&shop, "Edge 1", MODELS[model]);
    }
    // Of a station that has cut nothing it is not known how its sizes lie; what the model is like is.
    let (untried, advised) = first(&shop, "Edge 2", "Oak");
    let (known, _) = first(&shop, "Edge 1", "Oak");
    assert!(advised && (known..=known + 0.25).contains(&untried), "{known} {untried}");
    for model in [0, 1].repeat(5) {
        cut(&shop, "Edge 2", MODELS[model]);
    }
    for (model, rim) in [MODELS[0], MODELS[3]] {
        let ([one, two], advised) = {
            let sizes = ["Edge 1", "Edge 2"].map(|station| first(&shop, station, model));
            (sizes.map(|(size, _)| size), sizes.map(|(_, advised)| advised))
        };
        assert_eq!(advised, [true; 2]);
        // The other one of them was never cut at the second station.
        assert!((one - two - LARGER).abs() < 0.051 && two < one, "{model}: {one} {two}");
        // A lens is firm down to 0.15 below its largest fit, and a first size above that costs passes alone.
        for (size, fits) in [(one, rim), (two, rim - LARGER)] {
            assert!((fits - 0.151..=fits + 0.151).contains(&size), "{model}: {size} where {fits} fits");
        }
    }
    let json = |station: &str| done(&shop, &["station", "--station", station, "--json"]).json();
    let (one, two) = (json("Edge 1"), json("Edge 2"));
    assert!(one["offset"]["smaller_mm"].as_f64().unwrap().abs() < 0.03, "{one}");
    let beside = &two["beside"];
    assert_eq!((&beside["station"], &one["beside"]), (&"Edge 1".into(), &serde_json::Value::Null));
    let (larger, within) = (-beside["smaller_mm"].as_f64().unwrap(), beside["within_mm"].as_f64().unwrap());
    assert!((larger - LARGER).abs() <= within + 0.005 && within < 0.08, "{two}");
    let all = done(&shop, &["station", "--all"]).stdout;
    assert!(all.contains("larger than at Edge 1"), "{all}");
    assert!(all.lines().all(|line| line.chars().count() <= 80), "{all}");
}

#[test]
fn a_new_wheel_at_one_station_is_none_at_the_other() {
    let shop = two_wheels();
    for model in [0, 1].repeat(4) {
        cut(&shop, "Edge 1", MODELS[model]);
        cut(&shop, "Edge 2", MODELS[model]);
    }
    let since = |station: &str| {
        let json = done(&shop, &["station", "--station", station, "--json"]).json();
        (json["wheel"]["lenses_since"].as_u64(), json["jobs_since"].as_u64())
    };
    done(&shop, &["station", "new-wheel", "--station", "Edge 2"]);
    cut(&shop, "Edge 1", MODELS[0]);
    assert_eq!((since("Edge 1"), since("Edge 2")), ((None, Some(9)), (Some(0), Some(0))));
    cut(&shop, "Edge 2", MODELS[0]);
    assert_eq!((since("Edge 1"), since("Edge 2")), ((None, Some(9)), (Some(2), Some(1))));
}

#[test]
fn typed_passes_are_answered_for_the_station_that_they_were_ground_at() {
    let shop = two_wheels();
    for model in [0, 1, 2].repeat(4) {
        cut(&shop, "Edge 1", MODELS[model]);
        cut(&shop, "Edge 2", MODELS[model]);
    }
    let next = |station: &str| {
        let job = open(&shop, "Elm");
        let pass = ["record", "pass", &job, "right", "0.60", "much", "--station", station, "--json"];
        let json = done(&shop, &pass).json();
        (json["advised_mm"].as_f64().unwrap(), json["next_dialled_mm"][0].as_f64().unwrap())
    };
    let ((one, after_one), (two, after_two)) = (next("Edge 1"), next("Edge 2"));
    assert!(
        (one - two - LARGER).abs() < 0.051 && after_two < after_one,
        "{one} {two} {after_one} {after_two}"
    );
}

#[test]
fn why_it_says_so_is_told_in_sizes_of_the_station_where_they_are_dialled() {
    let shop = two_wheels();
    for _ in 0..3 {
        cut(&shop, "Edge 1", MODELS[1]);
        cut(&shop, "Edge 2", MODELS[1]);
        cut(&shop, "Edge 2", MODELS[3]);
    }
    let told = |station: &str, model: &str| {
        let job = one_more(&mut work(&shop, station), model).order.number.to_string();
        let text = done(&shop, &["plan", &job, "--station", station]).words();
        let plan = done(&shop, &["plan", &job, "--station", station, "--json"]).json();
        (text, plan["advice"]["fitted_mm"].clone())
    };
    for (station, at) in [("Edge 1", 0.20), ("Edge 2", 0.10)] {
        let (text, fitted) = told(station, "Elm");
        let here = format!("6 lenses fitted +{at:.2} mm on diameter; 6 at other stations");
        assert!(text.contains(&here), "{station}: {text}");
        assert_eq!(fitted, serde_json::json!([at, at]), "{station}");
        let frames = done(&shop, &["frames", "--station", station]).words();
        assert!(frames.contains(&format!("Elm 50□18 12 +{at:.2} ")), "{frames}");
        assert!(frames.contains(&format!("+ to the trace, at {station}.")), "{frames}");
        let shown = done(&shop, &["frames", "show", "Elm", "--station", station]).words();
        assert!(shown.contains(&format!("now at {station}: cut at +")), "{shown}");
        assert!(shown.contains("at 1 1 2 2 1 1 2 2 1 1 2 2 "), "{shown}");
        assert!(shown.contains("at: 1 Edge 1, 2 Edge 2"), "{shown}");
    }
    // Of a model that was cut elsewhere alone it is reckoned what that is here.
    let (text, fitted) = told("Edge 1", "Fir");
    assert!(text.contains("none fitted here; 6 at other stations"), "{text}");
    let at = fitted[0].as_f64().unwrap();
    assert!((at - MODELS[3].1).abs() < 0.051 && fitted[0] == fitted[1], "{fitted}");
}
