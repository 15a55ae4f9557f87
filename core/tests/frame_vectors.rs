//! Outlines against shapely, scipy and numpy.
//!
//! `vectors/frame.txt` is written by `tests/reference/frame.py` from those libraries alone. Each line begins with
//! what it holds; what follows a `shape` is true of that shape.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_core::frame::{Decentration, Ellipse, Outline, Point};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length};
use std::collections::BTreeMap;

const VECTORS: &str = include_str!("vectors/frame.txt");

/// What is compared, and how far it may be off: µm, µm² for areas, degrees for directions. Lengths are given in whole
/// micrometres, so half of one is in each bound.
const BOUNDS: [(&str, f64); 16] = [
    ("box", 0.51),
    ("centre", 0.51),
    ("ed", 0.51),
    ("ed axis", 0.001),
    ("girth", 0.55),
    ("area", 20.0),
    ("reach", 0.55),
    ("blank", 1.01),
    ("decentre", 1.01),
    ("offset", 0.55),
    ("ring", 0.6),
    ("made", 0.52),
    ("ellipse", 0.65),
    // 0.51 nm, and the last figure of the vector.
    ("closed", 0.000_56),
    ("across", 1.01),
    ("inset", 1.1),
];

fn mm(micrometres: i32) -> Length {
    Length::from_milli(micrometres)
}

/// The numbers of one line, what they are compared with, and the worst so far.
struct Check {
    shape: Vec<Point>,
    name: String,
    worst: BTreeMap<&'static str, (u32, f64)>,
}

impl Check {
    fn outline(&self) -> Outline<'_> {
        Outline::new(&self.shape).unwrap()
    }

    fn compare(&mut self, what: &'static str, ours: f64, exact: f64) -> Result<(), String> {
        let bound = BOUNDS.iter().find(|(name, _)| *name == what).unwrap().1;
        let error = (ours - exact).abs();
        let (cases, worst) = self.worst.entry(what).or_default();
        *cases += 1;
        *worst = worst.max(error);
        if error <= bound { Ok(()) } else { Err(format!("{} {what}: {ours} for {exact}", self.name)) }
    }

    fn length(&mut self, what: &'static str, ours: Length, exact: f64) -> Result<(), String> {
        self.compare(what, ours.milli().into(), exact)
    }

    fn line(&mut self, key: &str, words: &[&str]) -> Result<(), String> {
        if key == "shape" {
            words[0].clone_into(&mut self.name);
            let radii: Vec<Length> = words[1..].iter().map(|word| mm(word.parse().unwrap())).collect();
            let mut points = vec![Point::ORIGIN; radii.len()];
            Outline::from_radii(radii, &mut points).unwrap();
            self.shape = points;
            return Ok(());
        }
        let numbers: Vec<f64> = words.iter().map(|word| word.parse().unwrap()).collect();
        match key {
            "made" => self.made(&numbers),
            "ellipse" => self.ellipse(&numbers),
            "across" => self.across(&numbers),
            "inset" => self.inset(&numbers),
            "offset" => self.offset(&numbers),
            _ => self.measure(key, &numbers),
        }
    }

    fn measure(&mut self, key: &str, numbers: &[f64]) -> Result<(), String> {
        let outline = self.outline();
        let boxed = outline.boxed();
        let whole = |at: usize| numbers[at] as i32;
        match key {
            "box" => {
                self.length("box", boxed.a, numbers[0])?;
                self.length("box", boxed.b, numbers[1])?;
                self.length("centre", boxed.centre.x(), numbers[2])?;
                self.length("centre", boxed.centre.y(), numbers[3])
            }
            "ed" => {
                self.length("ed", boxed.ed, numbers[0])?;
                // Of a circle every radius is the longest.
                if self.name.starts_with("circle") {
                    return Ok(());
                }
                self.compare("ed axis", f64::from(boxed.ed_axis.milli()) / 1000.0, numbers[1])
            }
            "girth" => self.length("girth", outline.girth(), numbers[0]),
            "area" => self.compare("area", outline.area() as f64, numbers[0]),
            "reach" => {
                let reach = outline.reach(boxed.centre, Angle::from_milli(whole(0) * 1000));
                self.length("reach", reach, numbers[1])
            }
            "blank" => {
                let way = Decentration { inward: mm(whole(0)), up: mm(whole(1)) };
                let least = outline.least_blank(outline.optical_centre(Eye::Right, &way), Length::ZERO);
                let outward = Decentration { inward: -way.inward, up: way.up };
                assert_eq!(
                    least,
                    outline.least_blank(outline.optical_centre(Eye::Left, &outward), Length::ZERO)
                );
                assert!(f64::from(least.milli()) >= numbers[2] - 0.005, "{} understated", self.name);
                self.length("blank", least, numbers[2])
            }
            "decentre" => {
                let toward = Angle::from_milli(whole(1) * 1000);
                let way = outline.largest_decentration(mm(whole(0)), toward, Length::ZERO).unwrap();
                self.length("decentre", way, numbers[2])
            }
            "ring" => {
                let (girth, ring) = numbers.split_last().unwrap();
                let ring: Vec<Length> = ring.iter().map(|depth| mm(*depth as i32)).collect();
                self.length("ring", outline.girth_with_ring(&ring).unwrap(), *girth)
            }
            _ => Err(format!("no such vector: {key}")),
        }
    }

    fn offset(&mut self, numbers: &[f64]) -> Result<(), String> {
        let mut into = vec![Point::ORIGIN; numbers[1] as usize];
        let shape = self.shape.clone();
        let curve = Outline::new(&shape).unwrap().offset(mm(numbers[0] as i32), &mut into).unwrap();
        assert_eq!(curve.radii().len(), numbers.len() - 2);
        curve.radii().zip(&numbers[2..]).try_for_each(|(ours, exact)| self.length("offset", ours, *exact))
    }

    fn made(&mut self, numbers: &[f64]) -> Result<(), String> {
        let [a, b, ed] = [0, 1, 2].map(|at| mm(numbers[at] as i32));
        self.name = format!("{a} {b} {ed}");
        let mut into = vec![Point::ORIGIN; numbers[3] as usize];
        let made = Outline::made(a, b, Some(ed).filter(|ed| !ed.is_zero()), &mut into).unwrap();
        assert_eq!(made.radii().len(), numbers.len() - 4);
        made.radii().zip(&numbers[4..]).try_for_each(|(ours, exact)| self.length("made", ours, *exact))
    }

    /// The girth of 2000 chords falls short of the ellipse by 0.14 µm at most, and half of one is rounding.
    fn ellipse(&mut self, numbers: &[f64]) -> Result<(), String> {
        let mut into = vec![Point::ORIGIN; 2000];
        let made = Outline::made(mm(numbers[0] as i32), mm(numbers[1] as i32), None, &mut into).unwrap();
        self.name = format!("ellipse {} {}", numbers[0], numbers[1]);
        self.length("ellipse", made.girth(), numbers[2])?;
        let closed = Ellipse::new(mm(numbers[0] as i32), mm(numbers[1] as i32)).unwrap();
        let rest = numbers[3] - f64::from(closed.tightest_bend().milli());
        assert!((0.0..1.0).contains(&rest), "{} bends at {}", self.name, closed.tightest_bend());
        self.compare("closed", closed.girth_nanometres() as f64 / 1000.0, numbers[2])
    }

    fn across(&mut self, numbers: &[f64]) -> Result<(), String> {
        let [a, b, inward, up] = [0, 1, 2, 3].map(|at| mm(numbers[at] as i32));
        self.name = format!("ellipse {a} {b} from {inward} {up}");
        let least = Ellipse::new(a, b).unwrap().least_blank(&Decentration { inward, up }, Length::ZERO);
        assert!(f64::from(least.milli()) >= numbers[4] - 0.01, "{} understated", self.name);
        self.length("across", least, numbers[4])
    }

    /// Beyond the smallest radius of curvature there is no closed form here: the points of the ellipse, as many rays.
    fn inset(&mut self, numbers: &[f64]) -> Result<(), String> {
        let [a, b, step] = [0, 1, 2].map(|at| mm(numbers[at] as i32));
        self.name = format!("ellipse {a} {b} at {step}");
        assert_eq!(Ellipse::new(a, b).unwrap().offset_girth_nanometres(step), None);
        let (mut points, mut into) = (vec![Point::ORIGIN; 2000], vec![Point::ORIGIN; 2000]);
        let inset = Outline::made(a, b, None, &mut points).unwrap().offset(step, &mut into).unwrap();
        self.length("inset", inset.girth(), numbers[3])
    }
}

/// How many were compared of each kind, and the worst error.
fn check(vectors: &str) -> Result<BTreeMap<&'static str, (u32, f64)>, String> {
    let mut check = Check { shape: Vec::new(), name: String::new(), worst: BTreeMap::new() };
    for line in vectors.lines().filter(|line| !line.starts_with('#')) {
        let words: Vec<&str> = line.split(' ').collect();
        check.line(words[0], &words[1..])?;
    }
    Ok(check.worst)
}

#[test]
fn outlines_agree_with_the_references() {
    let worst = check(VECTORS).unwrap();
    for (what, bound) in BOUNDS {
        // Every kind is there.
        let (cases, error) = worst[what];
        let unit = match what {
            "area" => "µm²",
            "ed axis" => "°",
            _ => "µm",
        };
        println!("accuracy|outline: {what}|{cases}|{error:.4}|{bound}|{unit}");
    }
}

/// `line` with its last number altered by `by`.
fn altered(line: &str, by: f64) -> String {
    let (before, last) = line.rsplit_once(' ').unwrap();
    format!("{before} {:.4}", last.parse::<f64>().unwrap() + by)
}

#[test]
fn one_altered_vector_is_found() {
    assert!(check(VECTORS).is_ok());
    // The last number of a line is what the reference found; of an `ed` it is the axis in degrees.
    for (key, by) in [
        ("box", 2.0), // its last number is the centre
        ("ed", 0.01),
        ("girth", 2.0),
        ("area", 300.0),
        ("reach", 2.0),
        ("blank", -3.0),
        ("decentre", 3.0),
        ("offset", 2.0),
        ("ring", 2.0),
        ("made", 2.0),
        ("across", -3.0),
        ("inset", 3.0),
    ] {
        let line = VECTORS.lines().find(|line| line.starts_with(&format!("{key} "))).unwrap();
        let error = check(&VECTORS.replacen(line, &altered(line, by), 1)).unwrap_err();
        let found = if key == "box" { "centre" } else { key };
        assert!(error.contains(found), "{key} altered, found {error}");
    }
    // Of an ellipse the last number but one.
    let line = VECTORS.lines().find(|line| line.starts_with("ellipse ")).unwrap();
    let (before, last) = line.rsplit_once(' ').unwrap();
    let error = check(&VECTORS.replacen(line, &format!("{} {last}", altered(before, 2.0)), 1)).unwrap_err();
    assert!(error.contains("ellipse"), "{error}");
}

#[test]
fn the_tightest_bend_of_an_ellipse_is_near_that_of_the_curve() {
    let mut worst = (0.0_f64, 0.0_f64);
    for line in VECTORS.lines().filter(|line| line.starts_with("ellipse ")) {
        let numbers: Vec<f64> = line.split(' ').skip(1).map(|word| word.parse().unwrap()).collect();
        for count in [100, 360, 400, 1000] {
            let mut into = vec![Point::ORIGIN; count];
            let (a, b) = (mm(numbers[0] as i32), mm(numbers[1] as i32));
            let exact = Outline::made(a, b, None, &mut into).unwrap();
            // As a trace gives it.
            let radii: Vec<Length> = exact.radii().map(|radius| mm((radius.milli() + 5) / 10 * 10)).collect();
            let traced = Outline::from_radii(radii, &mut into).unwrap();
            let apart = f64::from(traced.tightest_bend().unwrap().radius.milli()) / numbers[3] - 1.0;
            worst = (worst.0.min(apart), worst.1.max(apart));
        }
    }
    println!("from {:+.4} to {:+.4}", worst.0, worst.1);
    assert!(worst.0 >= -0.03 && worst.1 <= 0.06, "{worst:?}");
}
