//! Orders from a file: one or many, all of them or none.

use bevelbook_tests::{Output, Shop};
use serde_json::json;
use std::fs;
use std::io::Write;
use std::process::Stdio;

const TWO: &str = r#"# Monday's
[[order]]
customer = "K-17"
name = "Ann Example"
right = "-1.25 -0.75 x 15"
left = "-1.50 -0.50 x 170"
pd = [31.5, 31]
frame = "Lindgren 7"
a = 50
b = 38
dbl = 18
ed = 53
rim = "metal"
material = "CR39"
treatment = ["HC", "AR"]
due = 2056-12-04

[[order]]
customer = "K-18"
right = "SPH +1.00 ADD +2.00"
left = +1.25
pd = 62
design = "progressive"
heights = 18
frame = "Marten 2"
a = 52.5
b = 40
dbl = 17
rim = "semi-rimless"
material = 1.6
tray = 4
"#;

fn from(shop: &Shop, text: &str, more: &[&str]) -> Output {
    let file = shop.folder().join("orders.toml");
    fs::write(&file, text).unwrap();
    shop.run(["job", "new", "--from", file.to_str().unwrap()].iter().chain(more))
}

#[test]
fn a_batch_is_opened_in_one_go_and_numbered_in_its_order() {
    let shop = Shop::new();
    let two = TWO.replace("left = +1.25", "left = \"+1.25 add 2\"");
    let output = from(&shop, &two, &["--json"]);
    assert_eq!(output.status, Some(0), "{output:?}");
    let jobs = output.json();
    assert_eq!([&jobs[0]["job"], &jobs[1]["job"]], [&json!(1), &json!(2)]);
    assert_eq!(jobs[0]["due"], "2056-12-04");
    assert_eq!(jobs[0]["lens"]["treatments"], json!(["HC", "AR"]));
    assert_eq!(jobs[0]["pd"]["left_mm"], json!(31.0));
    assert_eq!([&jobs[1]["frame"]["rim"], &jobs[1]["lens"]["material"]], [&json!("grooved"), &json!("i160")]);
    assert_eq!([&jobs[1]["tray"], &jobs[1]["frame"]["a_mm"]], [&json!("4"), &json!(52.5)]);
    assert!(output.stderr.contains("order 2, no ED: using the box diagonal"), "{output:?}");
    assert!(output.stderr.contains("order 2, PD: progressive lenses are centred eye by eye"), "{output:?}");
    let shown = shop.run(["job", "show", "1"]).stdout;
    assert!(shown.contains("Ann Example"), "{shown}");
}

#[test]
fn json_says_the_same_and_comes_by_the_standard_input_too() {
    let shop = Shop::new();
    let json = r#"[{"customer": "K-17", "right": "-1.25 DS", "left": "-1.50 DS", "pd": [31.5, 31], "frame": "Lindgren 7",
        "a": 50, "b": 38, "dbl": 18, "ed": 53, "rim": "metal", "material": "cr39", "rim_material": "steel"}]"#;
    let mut command = shop.command();
    command.args(["job", "new", "--from", "-", "--json"]).stdin(Stdio::piped());
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(json.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let jobs: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(
        [&jobs[0]["right"]["sphere_d"], &jobs[0]["frame"]["material"]],
        [&json!(-1.25), &json!("steel")]
    );
    assert_eq!(shop.run(["job", "list", "--json"]).json()[0]["job"], json!(1));
}

#[test]
fn all_or_nothing_and_every_mistake_with_its_order_its_line_and_the_right_form() {
    let shop = Shop::new();
    let wrong = TWO
        .replace("left = \"-1.50 -0.50 x 170\"", "left = \"-0.50 x 170\"")
        .replace("treatment =", "treatement =")
        .replace("heights = 18", "heights = 44");
    let output = from(&shop, &wrong, &[]);
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{output:?}");
    for said in [
        "2 of 2 orders cannot be opened, and nothing was saved:",
        "order 1, line 6, left: expected a cylinder before the axis",
        "write one of the two: pl -0.50 x 170, or -0.50 DS",
        "order 1, line 15, treatement: there is no such field; did you mean `treatment`?",
        "order 2, line 24, left height: 44 mm lies outside the box, which is 40 mm high; for example 22",
    ] {
        assert!(output.stderr.contains(said), "{said}: {}", output.stderr);
    }
    assert!(!shop.book().exists(), "a refused file begins no book");
    let lacks = from(&shop, "[[order]]\ncustomer = \"K-17\"\npd = 62\n", &[]);
    assert!(lacks.stderr.contains("order 1, line 1: the order lacks what every job needs"), "{lacks:?}");
    let broken = from(&shop, "[[order]]\ncustomer = K-17\n", &[]);
    assert!(broken.status == Some(2) && broken.stderr.contains("line 2: "), "{broken:?}");
    let missing = shop.run(["job", "new", "--from", "nowhere.toml"]);
    assert_eq!(missing.status, Some(3), "{missing:?}");
    let both = shop.run(["job", "new", "--from", "orders.toml", "--tray", "4"]);
    assert!(both.status == Some(2) && both.stderr.contains("the file says everything"), "{both:?}");
}

#[test]
fn an_order_that_the_book_refuses_leaves_none_of_its_batch() {
    let shop = Shop::new();
    let good = TWO.replace("left = +1.25", "left = \"+1.25 add 2\"");
    assert_eq!(from(&shop, &good, &[]).status, Some(0));
    let bad = good.replace("material = 1.6", "material = 1.9");
    let output = from(&shop, &bad, &[]);
    assert!(output.stderr.contains("order 2, line 30, material: no material `1.9`"), "{output:?}");
    assert_eq!(shop.run(["job", "list", "--json"]).json().as_array().map(Vec::len), Some(2));
}

#[test]
fn a_check_says_what_it_would_be_and_saves_nothing() {
    let shop = Shop::new();
    let good = TWO.replace("left = +1.25", "left = \"+1.25 add 2\"");
    let output = from(&shop, &good, &["--check"]);
    assert_eq!(output.status, Some(0), "{output:?}");
    assert!(output.stdout.contains("order 1, can be opened") && output.stdout.contains("Lindgren 7 50□18"));
    assert!(output.stderr.contains("nothing was saved") && !shop.book().exists(), "{output:?}");
    let wrong = from(&shop, TWO, &["--check"]);
    assert!(
        wrong.status == Some(0) && wrong.stderr.contains("order 2, add: right +2.00, left none"),
        "{wrong:?}"
    );
    let order = bevelbook_tests::usual_order(&[["--right", "-35.00 DS"]]);
    let refused = shop.run(order.into_iter().chain(["--check".into()]));
    assert!(refused.status == Some(2) && refused.stderr.contains("please check the order:"), "{refused:?}");
}

#[test]
fn a_field_that_is_given_twice_is_named_and_no_quotes_are_asked_for() {
    let shop = Shop::new();
    let twice = from(&shop, r#"{"tray": "1", "tray": "2"}"#, &[]);
    assert!(twice.stderr.contains("tray is given more than once"), "{twice:?}");
    let lone = from(&shop, "right = \"4\"\n", &[]);
    assert!(lone.stderr.contains("line 1, right: expected a power"), "{lone:?}");
    assert!(!lone.stderr.contains("quotes"), "{lone:?}");
}
