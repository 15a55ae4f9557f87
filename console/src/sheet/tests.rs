//! The whole page, read back as XML.

mod accessible;
mod designs;
mod wearer;

use super::*;
use crate::advice::Earlier;
use crate::desk::{Bearer, Cause, Order, sample};
use crate::inspection::Inspection;
use crate::plan::Plan;
use crate::settings::Settings;
use crate::work::{PassEntry, Work};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::record::{JobId, RecordId, StationEvent};
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome};
use bevelbook_core::units::Length;
use roxmltree::{Document, Node, ParsingOptions};
use tempfile::TempDir;

/// A book with one job in it.
struct Bench {
    work: Work,
    job: JobId,
    _folder: TempDir,
}

impl Bench {
    fn with(change: impl FnOnce(&mut Order)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book"), Settings::defaults().unwrap()).unwrap();
        let step = Length::from_milli(50);
        let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step };
        work.log_station(StationEvent::Dial(dial)).unwrap();
        let mut order = sample();
        change(&mut order);
        let (job, _) = work.open_job(order, Some("Ada Invented")).unwrap();
        Self { work, job: job.id, _folder: folder }
    }

    fn pass(&mut self, eye: Eye, micrometres: i32, outcome: Outcome, insist: bool) -> RecordId {
        let entry = PassEntry { eye, amount: Length::from_milli(micrometres), outcome, insist };
        self.work.log_pass(self.job, &entry).unwrap().id
    }

    fn sheet(&self, name: Option<&str>) -> String {
        self.page(Reader::Bench, name)
    }

    fn page(&self, reader: Reader, name: Option<&str>) -> String {
        let job = self.work.job(self.job).unwrap();
        let settings = self.work.settings();
        let plan = Plan::of(&job.order, settings, self.work.station().unwrap().as_ref(), [None; 2]).unwrap();
        let now = jiff::Timestamp::UNIX_EPOCH.to_zoned_datetime(jiff::tz::TimeZone::UTC);
        let plan = PlanView::of(&job, plan, &Earlier::default());
        let inspection = Inspection::of(&job, &settings.tolerances().unwrap());
        render(reader, &job, &plan, &InspectionView::of(&inspection), name, &now)
    }
}

fn read(sheet: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(sheet, options).unwrap_or_else(|error| panic!("{error}:\n{sheet}"))
}

fn text_of(node: Node<'_, '_>) -> String {
    node.descendants().filter(Node::is_text).filter_map(|node| node.text()).collect()
}

/// The drawing of one eye's lens.
fn lens<'a>(page: &'a Document<'a>, eye: &str) -> Node<'a, 'a> {
    let of_eye = |node: &Node<'_, '_>| node.has_tag_name("figure") && node.attribute("data-eye") == Some(eye);
    page.descendants().find(of_eye).unwrap()
}

/// The parts of one eye's drawing.
fn parts<'a>(page: &'a Document<'a>, eye: &str, part: &str) -> Vec<Node<'a, 'a>> {
    lens(page, eye).descendants().filter(|node| node.attribute("data-part") == Some(part)).collect()
}

fn part<'a>(page: &'a Document<'a>, eye: &str, name: &str) -> Node<'a, 'a> {
    parts(page, eye, name)[0]
}

fn figure(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 0.0011
}

#[test]
fn whatever_a_person_writes_stays_text() {
    const EVIL: &str = "</p><script>alert(1)</script>\"'&\u{1b}";
    let mut bench = Bench::with(|order| {
        order.customer = EVIL.into();
        order.tray = Some(EVIL.into());
        order.frame.model = EVIL.into();
        order.frame.material = EVIL.into();
        order.lens.treatments = vec![EVIL.into()];
    });
    let job = bench.job;
    bench.work.note(job, EVIL).unwrap();
    bench.work.arrive(job, Eye::Right, None, EVIL).unwrap();
    bench.work.remake(job, Eye::Left, None, Cause::Other, Bearer::Supplier, EVIL).unwrap();
    bench.work.amend(job, EVIL, None, |order| order.tray = Some(format!("2{EVIL}"))).unwrap();
    bench.work.close(job, EVIL, Some(EVIL)).unwrap();
    let sheet = bench.sheet(Some(EVIL));
    assert!(!sheet.to_lowercase().contains("<script"), "{sheet}");
    let page = read(&sheet);
    let shown = text_of(page.root());
    // Reference, name, tray, status, model, rim, treatment three times, note, arrival, story, why, closing and its reason.
    assert_eq!(shown.matches("<script>alert(1)</script>\"'&").count(), 15, "{shown}");
    for reader in [Reader::Bench, Reader::Tray, Reader::Wearer] {
        let sheet = bench.page(reader, Some(EVIL));
        assert!(!read(&sheet).descendants().any(|node| node.has_tag_name("script")), "{sheet}");
    }
}

#[test]
fn nothing_is_fetched_and_no_script_runs() {
    let sheet = Bench::with(|_| {}).sheet(None);
    for fetched in ["http:", "https:", "src=", "href=", "url(", "@import", "<script", "<link", "javascript:"]
    {
        assert!(!sheet.contains(fetched), "{fetched}");
    }
    let page = read(&sheet);
    assert!(!page.descendants().flat_map(|node| node.attributes()).any(|a| a.name().starts_with("on")));
    assert!(is_sheet(sheet.as_bytes()) && !is_sheet(b"<!DOCTYPE html><html>"));
}

#[test]
fn the_name_is_printed_only_when_it_is_given() {
    let bench = Bench::with(|_| {});
    assert!(!bench.sheet(None).contains("Ada Invented"));
    assert!(bench.sheet(Some("Ada Invented")).contains("Ada Invented"));
    assert!(bench.sheet(None).contains("K-17"));
}

#[test]
fn the_dot_sits_toward_the_nose_in_a_mirrored_pair() {
    // A 50, DBL 18: frame PD 68; 31.5 and 31 leave 2.5 and 3 mm in; heights 21 and 17 in B 38 are 2 up and 2 down.
    let sheet =
        Bench::with(|order| order.heights = Some([21_000, 17_000].map(Length::from_milli))).sheet(None);
    let page = read(&sheet);
    for (eye, nose, inward, up) in [("right", 1.0, 2.5, 2.0), ("left", -1.0, 3.0, -2.0)] {
        let dot = part(&page, eye, "centre-dot");
        assert!(near(figure(dot, "cx"), nose * inward) && near(figure(dot, "cy"), -up), "{eye}");
        let blank = part(&page, eye, "blank");
        assert!(near(figure(blank, "cx"), figure(dot, "cx")) && near(figure(blank, "cy"), figure(dot, "cy")));
        assert!(near(figure(blank, "r"), 32.5), "{eye}: ED 53 with its decentration needs more than 60");
        let outer = parts(&page, eye, "outer-dot");
        assert!(near(figure(outer[0], "cx") + figure(outer[1], "cx"), 2.0 * figure(dot, "cx")), "{eye}");
        assert!(outer.iter().all(|outer| near(figure(*outer, "cy"), -up)), "{eye}: on the 180 line");
        let [nose_x, temple_x] = ["nose", "temple"].map(|side| figure(part(&page, eye, side), "x"));
        assert!((nose_x - temple_x) * nose > 0.0, "{eye}: the nose is between the eyes");
    }
    let [right, left] = ["right", "left"].map(|eye| part(&page, eye, "blank").range().start);
    assert!(right < left, "the right eye comes first");
}

#[test]
fn the_axis_grows_anticlockwise_from_the_viewers_right() {
    let sheet = Bench::with(|order| {
        order.right = EyeOrder::parse("-1.00 -0.50 x 30").unwrap();
        order.left = EyeOrder::parse("-1.00 -0.50 x 120").unwrap();
    })
    .sheet(None);
    let page = read(&sheet);
    for (eye, degrees) in [("right", 30.0), ("left", 120.0)] {
        let axis = part(&page, eye, "axis");
        let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| figure(axis, name));
        let dot = part(&page, eye, "centre-dot");
        assert!(
            near((x1 + x2) / 2.0, figure(dot, "cx")) && near((y1 + y2) / 2.0, figure(dot, "cy")),
            "{eye}"
        );
        let angle = (y1 - y2).atan2(x2 - x1).to_degrees().rem_euclid(180.0);
        assert!((angle - degrees).abs() < 0.01, "{eye}: {angle}");
    }
    let sphere = Bench::with(|order| order.left = EyeOrder::parse("-1.00").unwrap()).sheet(None);
    let page = read(&sphere);
    assert_eq!((parts(&page, "left", "axis").len(), parts(&page, "right", "axis").len()), (0, 1));
}

#[test]
fn one_unit_is_one_millimetre_and_both_drawings_fit_the_paper() {
    let sheet = Bench::with(|order| {
        // The widest blank on the shelf.
        order.frame.size.a = Length::from_milli(60_000);
        order.frame.size.ed = Some(Length::from_milli(64_000));
        order.far_pd = bevelbook_core::frame::PupillaryDistance::parse("32/32").unwrap();
    })
    .sheet(None);
    let page = read(&sheet);
    let mut across = 0.0;
    for eye in ["right", "left"] {
        assert!(near(figure(part(&page, eye, "blank"), "r"), 40.0), "{eye}");
        let svg = part(&page, eye, "blank").ancestors().find(|node| node.has_tag_name("svg")).unwrap();
        let view: Vec<f64> =
            svg.attribute("viewBox").unwrap().split(' ').map(|part| part.parse().unwrap()).collect();
        for (name, units) in [("width", view[2]), ("height", view[3])] {
            let size = svg.attribute(name).unwrap().strip_suffix("mm").unwrap();
            assert!(near(size.parse().unwrap(), units), "{eye} {name}");
        }
        across += view[2];
        let scale = part(&page, eye, "scale");
        assert!(near(figure(scale, "x2") - figure(scale, "x1"), 10.0), "{eye}");
        let boxed = part(&page, eye, "box");
        assert!(near(figure(boxed, "width"), 60.0) && near(figure(boxed, "x"), -30.0), "{eye}");
        assert!(near(figure(boxed, "height"), 38.0) && near(figure(boxed, "y"), -19.0), "{eye}");
    }
    assert!(across < 190.0, "{across} mm");
}

#[test]
fn a_traced_shape_is_drawn_as_it_was_traced() {
    let sheet = Bench::with(|order| order.trace = Some(crate::desk::kept(crate::desk::RECORD))).sheet(None);
    let page = read(&sheet);
    for eye in ["right", "left"] {
        let points: Vec<[f64; 2]> = figure_points(part(&page, eye, "outline"));
        assert_eq!(points.len(), 36, "{eye}");
        let span = |axis: usize| {
            let along = points.iter().map(|point| point[axis]);
            (along.clone().fold(f64::MAX, f64::min), along.fold(f64::MIN, f64::max))
        };
        // The record's own box, 50.400 by 38.092, about its centre and not the origin of the trace.
        let ((left, right), (top, bottom)) = (span(0), span(1));
        assert!(near(right, 25.2) && near(left, -25.2), "{eye}: {left} {right}");
        assert!(near(bottom, 19.046) && near(top, -19.046), "{eye}: {top} {bottom}");
        let boxed = part(&page, eye, "box");
        assert!(near(figure(boxed, "width"), 50.4) && near(figure(boxed, "height"), 38.092), "{eye}");
        assert!(text_of(lens(&page, eye)).contains("traced"), "{eye}");
    }
}

fn figure_points(outline: Node<'_, '_>) -> Vec<[f64; 2]> {
    let pair = |point: &str| {
        let (x, y) = point.split_once(',').unwrap();
        [x, y].map(|number| number.parse().unwrap())
    };
    outline.attribute("points").unwrap().split(' ').map(pair).collect()
}

#[test]
fn a_void_pass_stays_on_the_paper_and_out_of_the_account() {
    let mut bench = Bench::with(|_| {});
    bench.pass(Eye::Right, 400, Outcome::JustTooBig, false);
    let slip = bench.pass(Eye::Right, 100, Outcome::Fits, false);
    bench.work.void(slip).unwrap();
    bench.pass(Eye::Right, 300, Outcome::Fits, false);
    bench.pass(Eye::Right, 250, Outcome::Fits, true);
    let sheet = bench.sheet(None);
    let page = read(&sheet);
    let rows: Vec<Node<'_, '_>> = page
        .descendants()
        .filter(|node| node.has_tag_name("table") && node.attribute("class") == Some("passes"))
        .flat_map(|table| table.descendants().filter(|node| node.has_tag_name("tr")).skip(1))
        .collect();
    let said: Vec<String> = rows.iter().map(|row| text_of(*row)).collect();
    assert_eq!(rows.len(), 4, "{said:?}");
    assert_eq!(rows[1].attribute("class"), Some("void"));
    assert!(said[1].contains("void") && said[1].contains("not counted"), "{said:?}");
    let struck = rows[1].descendants().find(|node| node.has_tag_name("s")).unwrap();
    assert_eq!(text_of(struck), "+0.10 mm");
    assert!(said[2].contains("+0.30 mm, diameter") && said[2].contains("rim closes, lens firm"), "{said:?}");
    assert!(said[3].contains("in spite of STOP"), "{said:?}");
    assert!(
        [0, 2].iter().all(|row| !said[*row].contains("void") && !said[*row].contains("guard")),
        "{said:?}"
    );
    // The void pass has no tick.
    let ticks: Vec<&str> = page.descendants().filter_map(|node| node.attribute("data-pass")).collect();
    assert_eq!(ticks, ["1", "3", "4"]);
}

#[test]
fn the_passes_of_a_lens_that_was_remade_are_kept_apart() {
    let mut bench = Bench::with(|_| {});
    bench.pass(Eye::Left, 300, Outcome::JustTooBig, false);
    bench.pass(Eye::Left, 100, Outcome::Loose, false);
    bench
        .work
        .remake(bench.job, Eye::Left, None, Cause::Undersize, Bearer::Shop, "one step too many")
        .unwrap();
    bench.pass(Eye::Left, 350, Outcome::FarTooBig, false);
    let sheet = bench.sheet(None);
    let page = read(&sheet);
    let shown = text_of(page.root());
    for words in
        ["left lens 1, spoiled", "left lens 2", "cut too small", "charged to the shop", "one step too many"]
    {
        assert!(shown.contains(words), "{words}");
    }
    // The new lens begins at its own first size: the old one's 0.10 does not carry over.
    assert!(shown.contains("+0.35 mm, diameter"));
}

#[test]
fn a_sheet_before_any_work_says_that_nothing_is_judged() {
    let sheet = Bench::with(|_| {}).sheet(None);
    let page = read(&sheet);
    let shown = text_of(page.root());
    assert!(shown.contains("NOT JUDGED YET") && shown.contains("Not signed off"));
    assert!(shown.contains("power of the right lens, in the frame"));
    assert!(!shown.contains("Work done"));
    for caution in ["guards closed", "licensed prescriber", "Local law", "local rule", "not a certificate"] {
        assert!(shown.contains(caution), "{caution}");
    }
}

#[test]
fn numbers_on_paper_have_the_typographic_minus() {
    let page_text = |sheet: &str| {
        let page = read(sheet);
        let body = page.descendants().find(|node| node.has_tag_name("body")).unwrap();
        text_of(body)
    };
    let shown = page_text(&Bench::with(|_| {}).sheet(None));
    let hyphened = shown.char_indices().filter(|(at, c)| {
        *c == '-'
            && shown[at + 1..].starts_with(|next: char| next.is_ascii_digit())
            && !shown[..*at].ends_with(|before: char| before.is_ascii_alphanumeric())
    });
    assert_eq!(hyphened.count(), 0, "{shown}");
    assert!(shown.contains("−1.25 −0.75 × 15"));
}
