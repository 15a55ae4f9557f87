//! Pairs for reading alone are centred at the near PD.

use super::{assert_near, shown};

#[test]
fn a_near_pair_is_centred_at_the_near_pd_and_says_so() {
    let order = [["--for", "near"], ["--pd", "63"], ["--near-pd", "60"], ["--ed", "53"]];
    let near = shown("", &order);
    for eye in ["right", "left"] {
        // Frame PD 68: (68 − 60)/2, not (68 − 63)/2.
        assert_near(&near.json[eye]["in_mm"], 4.0);
    }
    assert_eq!(near.json["viewing"], "near");
    assert_eq!(near.row("near pair").unwrap(), "centred at the near PD 60");
    assert!(near.sheet.contains("centred at the near PD 60"));
    let far = shown("", &[&order[1..], &[["--for", "distance"]]].concat());
    assert_near(&far.json["right"]["in_mm"], 2.5);
    assert_eq!((far.row("near pair"), &far.json["viewing"]), (None, &"distance".into()));
}
