//! Jobs in a book of their own.

use bevelbook::desk::{Frame, LabPower, LensChoice, Order};
use bevelbook::settings::Settings;
use bevelbook::work::{PassEntry, Work};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder, OrderText, SphereCylinder};
use bevelbook_core::record::{
    Bench, CentreDistance, Check, CheckItem, Entered, Read, Reading, Stage, StationEvent, Subject,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome, Rim};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Notation, Power, Prism, PrismPair};
use bevelbook_tests::{Output, Shop};
use serde_json::Value;

/// A job to be built: ordered and read. Arrays are right, left; `None` is not read.
#[derive(Clone)]
pub(crate) struct Made {
    pub(crate) design: Design,
    pub(crate) ordered: [&'static str; 2],
    pub(crate) verify: [Option<&'static str>; 2],
    pub(crate) pd: &'static str,
    pub(crate) heights: Option<[i32; 2]>,
    pub(crate) thinning: Option<i32>,
    pub(crate) uncut: [Option<&'static str>; 2],
    pub(crate) uncut_prism: [Option<&'static str>; 2],
    pub(crate) mounted: [Option<&'static str>; 2],
    pub(crate) prism: [Option<&'static str>; 2],
    pub(crate) add: [Option<i32>; 2],
    pub(crate) measured_pd: Option<&'static str>,
    pub(crate) measured_heights: Option<[i32; 2]>,
    pub(crate) fits: bool,
    pub(crate) checked: bool,
}

/// Strong enough that the standard judges the PD itself.
pub(crate) const STRONG: [&str; 2] = ["-4.00 -1.00 x 10", "-4.25 -1.25 x 175"];

/// A single-vision pair, read as ordered and checked throughout.
pub(crate) fn as_ordered(ordered: [&'static str; 2]) -> Made {
    Made {
        design: Design::SingleVision,
        ordered,
        verify: [None; 2],
        pd: "31/31",
        heights: None,
        thinning: None,
        uncut: ordered.map(Some),
        uncut_prism: [Some("0"); 2],
        mounted: ordered.map(Some),
        prism: [Some("0"); 2],
        add: [None; 2],
        measured_pd: Some("31/31"),
        measured_heights: None,
        fits: true,
        checked: true,
    }
}

/// The same with additions and heights.
pub(crate) fn near(design: Design, ordered: [&'static str; 2]) -> Made {
    let heights = Some([18_000, 18_000]);
    Made { design, heights, measured_heights: heights, add: [Some(2000); 2], ..as_ordered(ordered) }
}

impl Made {
    fn order(&self) -> Order {
        let mm = Length::from_milli;
        let add = |eye: EyeOrder| EyeOrder {
            add: (self.design != Design::SingleVision).then_some(Power::from_milli(2000)),
            ..eye
        };
        let [right, left] = self.ordered.map(|text| add(EyeOrder::parse(text).unwrap()));
        let lab = |text: Option<&str>| {
            let OrderText { eye, says_prism, .. } = OrderText::read(text?, Notation::Reading, None).unwrap();
            let EyeOrder { power, prism, add, .. } = eye;
            Some(LabPower { power, prism: says_prism.then_some(prism), add })
        };
        let size = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) };
        let frame = Frame { material: "steel".into(), ..Frame::new("Lindgren 7", size, Rim::Metal) };
        let thinning = self.thinning.map(Prism::from_milli);
        let material = "cr39".into();
        let lens = LensChoice { material, design: self.design, thinning, ..LensChoice::default() };
        let pd = PupillaryDistance::parse(self.pd).unwrap();
        Order {
            right_verify: lab(self.verify[0]),
            left_verify: lab(self.verify[1]),
            heights: self.heights.map(|heights| heights.map(mm)),
            ..Order::new("K-17".into(), [right, left], pd, frame, lens)
        }
    }

    /// Puts it into the book of a shop as job 1.
    pub(crate) fn build(&self) -> Shop {
        let shop = Shop::new();
        let work = &mut Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
        work.log_station(StationEvent::Dial(dial)).unwrap();
        let id = work.open_job(self.order(), None).unwrap().0.id;
        let order = self.order();
        for eye in Eye::BOTH {
            let mut read = |stage, text: Option<&str>, prism: Option<&str>, add: Option<i32>| {
                let Some(text) = text else { return };
                let read = Read::Direct(SphereCylinder::parse(text, Notation::Reading).unwrap());
                let prism = prism.map(|text| PrismPair::parse(text).unwrap());
                let add = add.map(Power::from_milli);
                work.log_lens(id, eye, |lens| {
                    Bench::Reading(Reading { entered: Entered::READ, lens, stage, read, prism, add })
                })
                .unwrap();
            };
            let at = eye.index();
            read(Stage::Uncut, self.uncut[at], self.uncut_prism[at], self.add[at]);
            read(Stage::Mounted, self.mounted[at], self.prism[at], self.add[at]);
            if !order.eye(eye).wanted.is_made() {
                continue;
            }
            let amount = Length::from_milli(200);
            let outcome = if self.fits { Outcome::Fits } else { Outcome::JustTooBig };
            work.log_pass(id, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
            for item in CheckItem::FINISH.into_iter().chain([CheckItem::ImpactSample]) {
                let check = |lens| {
                    Bench::Check(Check { entered: Entered::READ, of: Subject::Lens(lens), item, good: true })
                };
                if self.checked {
                    work.log_lens(id, eye, check).unwrap();
                }
            }
        }
        if let Some(pd) = self.measured_pd {
            let centres = PupillaryDistance::parse(pd).unwrap();
            let heights = self.measured_heights.map(|heights| heights.map(Length::from_milli));
            let fact = |pair| {
                Bench::CentreDistance(CentreDistance { entered: Entered::READ, pair, centres, heights })
            };
            work.log_pair(id, fact).unwrap();
        }
        if self.checked {
            let item = CheckItem::Alignment;
            work.log_pair(id, |pair| {
                Bench::Check(Check { entered: Entered::READ, of: Subject::Pair(pair), item, good: true })
            })
            .unwrap();
        }
        shop
    }

    /// Reads nothing of one eye.
    pub(crate) fn without(mut self, eye: Eye) -> Self {
        let at = eye.index();
        (self.uncut[at], self.mounted[at], self.prism[at], self.add[at]) = (None, None, None, None);
        self
    }

    /// By another standard than that of the settings.
    pub(crate) fn inspect_by(&self, standard: &str) -> (Option<i32>, Value) {
        let output = self.build().run(["inspect", "1", "--json", "--standard", standard]);
        (output.status, output.json())
    }

    pub(crate) fn inspect(&self) -> (Option<i32>, Value) {
        let output = self.build().run(["inspect", "1", "--json"]);
        (output.status, output.json())
    }

    pub(crate) fn text(&self) -> Output {
        self.shown(&["inspect", "1"])
    }

    /// With every figure and its source.
    pub(crate) fn sources(&self) -> Output {
        self.shown(&["inspect", "1", "--sources"])
    }

    fn shown(&self, command: &[&str]) -> Output {
        let output = self.build().run(command);
        for line in output.stdout.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
        output
    }
}

/// Text with its line breaks and indents taken out.
pub(crate) fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
