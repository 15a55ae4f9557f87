//! The example against the rule it states, and what is wrong with a file.

use super::{EXAMPLE, ShopFile};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::tolerance::Verdict::{Out, Within};
use bevelbook_core::tolerance::{Design, EyeReading, Judgement, Stage, judge_eye};
use bevelbook_core::units::Notation;

fn load(text: &str) -> Result<ShopFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tolerances.toml");
    std::fs::write(&path, text).unwrap();
    ShopFile::load(&path).map_err(|error| error.to_string())
}

fn judged(file: &ShopFile, ordered: &str, read: &str) -> Judgement {
    let read = EyeReading::of_power(SphereCylinder::parse(read, Notation::Reading).unwrap());
    let order = EyeOrder::parse(ordered).unwrap();
    judge_eye(&file.table, Design::SingleVision, Stage::Mounted, Eye::Right, &order, &read)
}

#[test]
fn the_example_holds_a_lens_to_the_rule_of_new_jersey() {
    // N.J.A.C. 13:35-5.2: power to 6.00 D ±0.12, to 12.00 D 2 %, above ±0.25; cylinder ±0.12; axis to 0.37 D ±3°, to
    // 1.00 D ±2°, from 1.12 D ±1°.
    let file = load(EXAMPLE).unwrap();
    for (ordered, within, out) in [
        ("-6.00", "-6.12 DS", "-6.121 DS"),
        ("-6.25", "-6.375 DS", "-6.376 DS"),
        ("-12.00", "-12.24 DS", "-12.241 DS"),
        ("-12.25", "-12.50 DS", "-12.501 DS"),
        ("-1.00 -2.00 x 90", "-1.00 -2.12 x 90", "-1.00 -2.121 x 90"),
        ("-1.00 -0.12 x 90", "-1.00 -0.12 x 93", "-1.00 -0.12 x 93.001"),
        ("-1.00 -0.37 x 90", "-1.00 -0.37 x 93", "-1.00 -0.37 x 93.001"),
        ("-1.00 -0.50 x 90", "-1.00 -0.50 x 92", "-1.00 -0.50 x 92.001"),
        ("-1.00 -1.00 x 90", "-1.00 -1.00 x 92", "-1.00 -1.00 x 92.001"),
        ("-1.00 -1.12 x 90", "-1.00 -1.12 x 91", "-1.00 -1.12 x 91.001"),
    ] {
        assert_eq!(judged(&file, ordered, within).verdict(), Within, "{ordered}, {within}");
        assert_eq!(judged(&file, ordered, out).verdict(), Out, "{ordered}, {out}");
    }
    assert!(
        judged(&file, "-1.00 -1.00 x 90", "-1.00 -1.00 x 90")
            .findings()
            .iter()
            .all(|found| found.cited.confirmed)
    );
    let doubtful = load(&EXAMPLE.replace("confirmed = true", "confirmed = false")).unwrap();
    assert!(judged(&doubtful, "-1.00", "-1.00").findings().iter().all(|found| !found.cited.confirmed));
}

#[test]
fn progressives_can_have_rows_of_their_own() {
    let own = format!("{EXAMPLE}\n[progressive.power]\nabove = 0.16\n");
    let file = load(&own).unwrap();
    let verdict = |design, read: &str| {
        let read = EyeReading::of_power(SphereCylinder::parse(read, Notation::Reading).unwrap());
        let order = EyeOrder::parse("-1.00").unwrap();
        judge_eye(&file.table, design, Stage::Mounted, Eye::Left, &order, &read).verdict()
    };
    assert_eq!(verdict(Design::Progressive, "-1.16 DS"), Within);
    assert_eq!(verdict(Design::Progressive, "-1.161 DS"), Out);
    assert_eq!(verdict(Design::Multifocal, "-1.16 DS"), Out);
}

#[test]
fn an_error_names_the_file_the_line_and_the_value() {
    let line = |text: &str| EXAMPLE.lines().position(|line| line.starts_with(text)).unwrap() + 1;
    for (from, to, says) in [
        ("[6.00, 0.12]", "[6.00, 0.1234567]", "0.1234567 is finer than 0.001"),
        ("[6.00, 0.12]", "[6.00, -0.12]", "-0.12 is not above 0 and up to 100"),
        ("[6.00, 0.12]", "[16.00, 0.12]", "the step to 12 must end above 16"),
        ("\"2 %\"]", "\"2,5 %\"]", "\"2,5 %\""),
        ("above = 0.25", "over = 0.25", "over"),
        ("[0.375, 3]", "[0.375, \"2 %\"]", "a percentage has no meaning here"),
        ("meridian = \"each\"", "meridian = \"both\"", "both"),
        ("version = 1", "version = 0", "versions count from 1"),
        ("designs = [\"single-vision\",", "designs = [\"single\",", "single"),
    ] {
        assert!(EXAMPLE.contains(from), "{from}");
        let wrong = EXAMPLE.replacen(from, to, 1);
        let error = load(&wrong).unwrap_err();
        let at = wrong.lines().position(|line| !line.starts_with('#') && line.contains(to)).unwrap() + 1;
        assert!(error.contains("tolerances.toml") && error.contains(says), "{to}: {error}");
        assert!(error.contains(&format!("line {at}")), "{to}, line {at}: {error}");
    }
    // What belongs together is asked for at the table.
    let switch = EXAMPLE.replacen("[vertical]\nprism = 0.50", "[vertical]\nprism = 0.50\nup_to = 3.375", 1);
    let error = load(&switch).unwrap_err();
    assert!(
        error.contains("`above_effect`") && error.contains(&format!("line {}", line("[vertical]"))),
        "{error}"
    );
    let long = EXAMPLE.replacen("New Jersey 13:35-5.2", &"x".repeat(65), 1);
    assert!(load(&long).unwrap_err().contains("longer than 64 bytes"));
    assert!(ShopFile::load(std::path::Path::new("none.toml")).unwrap_err().to_string().contains("none.toml"));
}
