//! The case as OpenSCAD makes it of its text: closed bodies that can be printed, open where something is to be seen or pressed.
//!
//! It needs OpenSCAD (Debian: `openscad`), which draws a whole desktop in; so these run with the long tests alone.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_tests::build::root;
use std::collections::{HashMap, HashSet};
use std::process::Command;
use tempfile::TempDir;

type Point = [f64; 3];
type Triangle = [Point; 3];

/// What OpenSCAD makes of a part, with `set` said over what the text says; what it says of it.
fn made(part: &str, set: &[&str]) -> Result<(Vec<Triangle>, String), String> {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("part.stl");
    let mut command = Command::new("openscad");
    command.arg("-o").arg(&file).args(["-D", &format!("part=\"{part}\"")]);
    for set in set {
        command.args(["-D", set]);
    }
    command.arg(root().join("firmware-example/case/keypad.scad"));
    let output = command.output().unwrap_or_else(|why| panic!("this test needs openscad: {why}"));
    let said = String::from_utf8(output.stderr).unwrap();
    if !output.status.success() || said.contains("WARNING") {
        return Err(said);
    }
    let text = std::fs::read_to_string(file).unwrap();
    let vertices: Vec<Point> =
        text.lines().filter_map(|line| line.trim().strip_prefix("vertex ")).map(numbers).collect();
    Ok((vertices.as_chunks().0.to_vec(), said))
}

fn numbers<const N: usize>(text: &str) -> [f64; N] {
    let numbers: Vec<f64> = text.split([' ', ',']).filter_map(|word| word.trim().parse().ok()).collect();
    numbers.try_into().unwrap()
}

/// What the text says of `name`.
fn told<const N: usize>(said: &str, name: &str) -> [f64; N] {
    let (_, after) = said.split_once(&format!("{name} = ")).unwrap();
    let end = after.find([']', '\n']).unwrap();
    numbers(after[..end].trim_start_matches('['))
}

/// Every edge is walked once in either direction: the body is closed, and knows its inside.
fn assert_closed(triangles: &[Triangle], part: &str) {
    let key = |point: Point| point.map(f64::to_bits);
    let mut edges = HashMap::new();
    for triangle in triangles {
        for (from, to) in [(0, 1), (1, 2), (2, 0)] {
            *edges.entry((key(triangle[from]), key(triangle[to]))).or_insert(0) += 1;
        }
    }
    assert!(triangles.len() > 500, "{part} is made of {} triangles", triangles.len());
    for ((from, to), times) in &edges {
        assert_eq!(
            (*times, edges.get(&(*to, *from))),
            (1, Some(&1)),
            "{part}: {:?}",
            from.map(f64::from_bits)
        );
    }
}

/// In how many pieces the body is.
fn pieces(triangles: &[Triangle]) -> usize {
    let mut around: HashMap<[u64; 3], Vec<[u64; 3]>> = HashMap::new();
    for triangle in triangles.iter().map(|triangle| triangle.map(|point| point.map(f64::to_bits))) {
        triangle.iter().for_each(|point| around.entry(*point).or_default().extend(triangle));
    }
    let mut left: HashSet<[u64; 3]> = around.keys().copied().collect();
    let mut pieces = 0;
    while let Some(first) = left.iter().next().copied() {
        pieces += 1;
        let mut reached = vec![first];
        while let Some(point) = reached.pop() {
            if left.remove(&point) {
                reached.extend(&around[&point]);
            }
        }
    }
    pieces
}

/// In mm³, by the divergence theorem.
fn volume(triangles: &[Triangle]) -> f64 {
    let six = |[a, b, c]: &Triangle| {
        a[0] * (b[1] * c[2] - b[2] * c[1])
            + a[1] * (b[2] * c[0] - b[0] * c[2])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    triangles.iter().map(six).sum::<f64>() / 6.0
}

/// Whether a line along z at that place meets nothing.
fn is_open(triangles: &[Triangle], at: [f64; 2]) -> bool {
    let side = |from: Point, to: Point| {
        (to[0] - from[0]) * (at[1] - from[1]) - (to[1] - from[1]) * (at[0] - from[0])
    };
    !triangles.iter().any(|[a, b, c]| {
        let sides = [side(*a, *b), side(*b, *c), side(*c, *a)];
        sides.iter().all(|side| *side > 0.0) || sides.iter().all(|side| *side < 0.0)
    })
}

#[test]
#[ignore = "needs openscad"]
fn tub_and_lid_are_closed_bodies_of_one_piece() {
    for (part, material) in [("tub", 80_000.0..250_000.0), ("lid", 30_000.0..60_000.0)] {
        let (triangles, said) = made(part, &[]).unwrap();
        assert_closed(&triangles, part);
        assert_eq!(pieces(&triangles), 1, "{part}");
        assert!(material.contains(&volume(&triangles)), "{part} takes {} mm³", volume(&triangles));
        let outside: [f64; 3] = told(&said, "outside");
        let reach = |axis: usize| triangles.iter().flatten().map(|point| point[axis]).fold(0.0, f64::max);
        assert_eq!([reach(0), reach(1)], [outside[0], outside[1]], "{part}");
    }
}

#[test]
#[ignore = "needs openscad"]
fn all_that_lights_up_is_seen_and_every_key_comes_through() {
    for off in [[0.0, 2.0], [0.5, 1.0]] {
        let [right, up] = off;
        let (lid, said) = made("lid", &["pane_rim=1.8", &format!("active_off=[{right}, {up}]")]).unwrap();
        let [x, y] = told(&said, "lit_at");
        for (across, upright) in [(-27.5, -13.75), (-27.5, 13.75), (27.5, -13.75), (27.5, 13.75), (0.3, 0.2)]
        {
            assert!(is_open(&lid, [x + across, y + upright]), "{across} {upright}");
        }
        let [x, y] = told(&said, "keys_at");
        for (across, upright) in [(0.0, 0.0), (26.0, 0.0), (-26.0, 0.0), (0.0, 26.0), (0.0, -26.0)] {
            assert!(is_open(&lid, [x + across + 0.1, y + upright + 0.2]), "{across} {upright}");
        }
        assert!(!is_open(&lid, [x + 13.1, y + 13.2]), "between the keys");
    }
}

#[test]
#[ignore = "needs openscad"]
fn parts_that_cannot_fit_are_refused_with_a_sentence() {
    for (set, why) in [
        ("key_pitch=20", "the keys' nuts touch"),
        ("gland_nut=60", "the gland's nut"),
        ("pane_rim=6", "the pane lies where the display's posts stand"),
        ("cord=5", "the groove breaks out"),
        ("beside=2", "the display's board meets the rim"),
        ("plug=80", "the plug meets the gland"),
    ] {
        let said = made("lid", &[set]).err().unwrap_or_default();
        assert!(said.contains(why), "{set}: {said}");
    }
    // Larger parts make a larger case.
    let (lid, _) =
        made("lid", &["display_board=[80, 50]", "display_holes=[74, 45]", "key_pitch=30"]).unwrap();
    assert_closed(&lid, "a larger lid");
}
