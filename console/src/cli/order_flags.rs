//! The fields of an order as flags: all of them for `job new`, those that change for `job amend`.

use super::Failure;
use super::arguments::{self, Sides};
use super::dates::{self, ReadDate};
use super::order_arguments;
use super::trace_file::TraceFile;
use crate::desk::{Condition, Frame, LabPower, LensChoice, Order, Segment, Viewing};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::lens::CurveBasis;
use bevelbook_core::prescription::{Eye, EyeOrder, ObliquePrism, OrderText, SphereCylinder};
use bevelbook_core::sizing::Rim;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Angle, Length, Power, Prism};
use clap::Args;
use std::path::PathBuf;

/// What an order says.
#[derive(Args, Clone, Default, PartialEq)]
pub(crate) struct OrderFlags {
    /// The customer, by the shop's own reference.
    #[arg(long, value_name = "REF", value_parser = arguments::filled)]
    customer: Option<String>,
    /// The customer's name; it is kept apart from the records.
    #[arg(long, value_name = "NAME", value_parser = arguments::words)]
    pub(crate) name: Option<String>,
    /// The tray that the job lies in.
    #[arg(long, value_parser = order_arguments::tray)]
    tray: Option<String>,
    /// When it is promised: 2026-11-28, 28.11.2026, 28/11, fri, tomorrow.
    #[arg(long, value_name = "DATE", value_parser = dates::due)]
    due: Option<ReadDate>,
    /// When the prescription was written: a date as of --due.
    #[arg(long, value_name = "DATE", value_parser = dates::past)]
    prescribed: Option<ReadDate>,
    /// Right eye: "-1.25 -0.75 x 15 prism 2 in add +2.00", bal, or none.
    #[arg(long, value_name = "RX", value_parser = |text: &str| arguments::eye_order(text, Eye::Right))]
    pub(super) right: Option<OrderText>,
    /// Left eye, in the same way.
    #[arg(long, value_name = "RX", value_parser = |text: &str| arguments::eye_order(text, Eye::Left))]
    pub(super) left: Option<OrderText>,
    /// What the supplier says that the right lens is to read as, in quotes, its prism (all of it, thinning included) and add
    /// where they are said; decimals are taken as they are. The lens is marked, read and judged by it instead of the
    /// ordered power.
    #[arg(long, value_name = "RX", value_parser = |text: &str| order_arguments::lab_power(text, Eye::Right))]
    lab_power_right: Option<LabPower>,
    /// The same for the left lens.
    #[arg(long, value_name = "RX", value_parser = |text: &str| order_arguments::lab_power(text, Eye::Left))]
    lab_power_left: Option<LabPower>,
    /// Distance PD in mm: right/left as 31.5/30, or both as 61.
    #[arg(long, value_parser = arguments::pupillary_distance)]
    pd: Option<PupillaryDistance>,
    /// Near PD: 30/28.5, or both as 58.5.
    #[arg(long, value_name = "PD", value_parser = arguments::pupillary_distance)]
    near_pd: Option<PupillaryDistance>,
    /// Segment or fitting heights above the bottom of the box: 18/18.5, or 18 for both.
    #[arg(long, value_name = "MM", value_parser = arguments::heights)]
    heights: Option<Sides<Length>>,
    /// Centre thickness in mm, where it is specified: right/left as 2.0/2.2, or one figure for both.
    #[arg(long, value_name = "MM", value_parser = arguments::heights)]
    centre_thickness: Option<Sides<Length>>,
    /// Base curve, where it is specified: right/left as 6.00/5.50, or one figure for both; in the lens's material, or, with
    /// `nominal` behind it, in 1.530.
    #[arg(long, value_name = "D", value_parser = order_arguments::base_curve)]
    base_curve: Option<(Sides<Power>, CurveBasis)>,
    /// A file with the frame's trace: a frame record, DCS/ISO 16284 style. A, B and ED come from its points, DBL too
    /// where it states one, unless they are given. Only what says what the frame is goes into the book.
    #[arg(long, value_name = "FILE")]
    pub(super) trace: Option<PathBuf>,
    /// The frame's model.
    #[arg(long, value_name = "MODEL", value_parser = order_arguments::model)]
    pub(super) frame: Option<String>,
    /// Boxed width A in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    pub(super) a: Option<Length>,
    /// Boxed height B in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    pub(super) b: Option<Length>,
    /// Distance between the lenses DBL in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    pub(super) dbl: Option<Length>,
    /// Effective diameter ED in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    pub(super) ed: Option<Length>,
    /// What holds the lens: metal, plastic, grooved (semi-rimless) or rimless (drilled).
    #[arg(long, value_parser = order_arguments::rim)]
    pub(super) rim: Option<Rim>,
    /// What the rim is made of.
    #[arg(long, value_name = "TEXT", value_parser = arguments::words)]
    pub(super) rim_material: Option<String>,
    /// Pantoscopic tilt of the frame as worn, in degrees.
    #[arg(long, value_name = "DEG", value_parser = order_arguments::slant)]
    tilt: Option<Angle>,
    /// Wrap of the frame's front, in degrees.
    #[arg(long, value_name = "DEG", value_parser = order_arguments::slant)]
    wrap: Option<Angle>,
    /// Curve of the frame's rim, as the power of a curve in 1.530.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    pub(super) frame_curve: Option<Power>,
    /// In what state the frame came in.
    #[arg(long, value_name = "STATE")]
    condition: Option<Condition>,
    /// Lens material, by its key in the settings: cr39, polycarbonate, i160 …
    #[arg(long, value_name = "KEY")]
    material: Option<String>,
    /// What kind of lens: single-vision, multifocal (bifocal, trifocal) or progressive.
    #[arg(long, value_parser = order_arguments::design)]
    pub(super) design: Option<Design>,
    /// For what distance the pair is made: near is a pair for reading alone, centred at the near PD.
    #[arg(long = "for", value_name = "DISTANCE", value_parser = arguments::named(&Viewing::ALL))]
    viewing: Option<Viewing>,
    /// The segment of a multifocal: its shape and its width in mm, as "flat top 28", "round 22" or "full width".
    #[arg(long, value_parser = order_arguments::segment)]
    segment: Option<Segment>,
    /// How far the prism reference point of a progressive lies below its fitting cross, in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    reference_below: Option<Length>,
    /// Base down in both lenses to thin a progressive, in prism dioptres; 0 for none.
    #[arg(long, value_name = "Δ", value_parser = order_arguments::prism_amount)]
    thinning: Option<Prism>,
    /// A rule of the settings for how thick the lenses have to be.
    #[arg(long, value_name = "NAME", value_parser = arguments::filled)]
    safety: Option<String>,
    /// A treatment; may be given more than once or with commas.
    #[arg(long = "treatment", value_name = "NAME", value_delimiter = ',', value_parser = arguments::filled)]
    treatments: Option<Vec<String>>,
}

/// What every job needs, each with an example.
pub(crate) const NEEDED: [(&str, &str); 10] = [
    ("customer", "K-17"),
    ("right", "-1.25 -0.75 x 15"),
    ("left", "-1.50 -0.50 x 170"),
    ("pd", "31.5/30"),
    ("frame", "Lindgren 7"),
    ("a", "50"),
    ("b", "38"),
    ("dbl", "18"),
    ("rim", "metal"),
    ("material", "cr39"),
];

/// How an order is given otherwise.
const ELSE: &str = "\nor in a file: --from FILE; in a terminal, `job new` alone asks for it step by step";

/// How a field is emptied.
pub(crate) type Emptying = fn(&mut Order);

/// The fields that an amendment can empty.
pub(crate) const FIELDS_TO_EMPTY: [(&str, Emptying); 19] = [
    ("tray", |order| order.tray = None),
    ("due", |order| order.due = None),
    ("prescribed", |order| order.prescribed = None),
    ("lab-power-right", |order| order.right_verify = None),
    ("lab-power-left", |order| order.left_verify = None),
    ("near-pd", |order| order.near_pd = None),
    ("heights", |order| order.heights = None),
    ("centre-thickness", |order| order.centre_thickness = None),
    ("base-curve", |order| {
        order.front_curve = None;
        order.lens.curve_basis = CurveBasis::default();
    }),
    ("trace", |order| order.trace = None),
    ("ed", |order| order.frame.size.ed = None),
    ("tilt", |order| order.frame.tilt = None),
    ("wrap", |order| order.frame.wrap = None),
    ("frame-curve", |order| order.frame.curve = None),
    ("segment", |order| order.lens.segment = None),
    ("reference-below", |order| order.lens.reference_below = None),
    ("thinning", |order| order.lens.thinning = None),
    ("safety", |order| order.lens.safety = None),
    ("treatments", |order| order.lens.treatments.clear()),
];

impl OrderFlags {
    /// The trace in the file that is named.
    pub(crate) fn traced(&self) -> Result<Option<TraceFile>, Failure> {
        self.trace.as_deref().map(TraceFile::read).transpose()
    }

    /// A new order from the flags, a trace, and what is known of the frame.
    pub(crate) fn order(&self, traced: Option<&TraceFile>, known: Option<&Frame>) -> Result<Order, Failure> {
        let sized = known.is_some() || traced.is_some();
        let bridge = known.is_some() || traced.is_some_and(|traced| traced.dbl().is_some());
        let given = [
            self.customer.is_some(),
            self.right.is_some(),
            self.left.is_some(),
            self.pd.is_some(),
            self.frame.is_some(),
            self.a.is_some() || sized,
            self.b.is_some() || sized,
            self.dbl.is_some() || bridge,
            self.rim.is_some() || known.is_some(),
            self.material.is_some(),
        ];
        let missing: Vec<String> = given
            .iter()
            .zip(NEEDED)
            .filter(|(given, _)| !**given)
            .map(|(_, (field, example))| {
                let quotes = if example.contains(' ') { "\"" } else { "" };
                format!("--{field} {quotes}{example}{quotes}")
            })
            .collect();
        let (Some(far_pd), []) = (self.pd, missing.as_slice()) else {
            let list = missing.join("\n  ");
            let hint = if missing.len() < NEEDED.len() { "" } else { ELSE };
            return Err(Failure::Use(format!("the order lacks what every job needs:\n  {list}{hint}")));
        };
        let size = FrameSize { a: Length::ZERO, b: Length::ZERO, dbl: Length::ZERO, ed: None };
        let frame = known.cloned().unwrap_or_else(|| Frame::new("", size, self.rim.unwrap_or(Rim::Metal)));
        let plano = EyeOrder::single_vision(SphereCylinder::PLANO);
        let mut order = Order::new(String::new(), [plano; 2], far_pd, frame, LensChoice::default());
        self.apply(&mut order, traced);
        Ok(order)
    }

    /// Lays what is given over `order`; the sizes of a trace come before those that are given beside it. A trace that
    /// the order had before is left out where another model is named without a trace, and `true` says so.
    pub(crate) fn apply(&self, order: &mut Order, traced: Option<&TraceFile>) -> bool {
        macro_rules! lay {
            ($($field:expr => $given:expr,)+) => {
                $(if let Some(given) = &$given {
                    $field = given.clone().into();
                })+
            };
        }
        let other_model = self.frame.as_ref().is_some_and(|named| *named != order.frame.model);
        let left_behind = self.trace.is_none() && other_model && order.trace.take().is_some();
        lay! {
            order.customer => self.customer,
            order.tray => self.tray,
            order.due => self.due.as_ref().map(|read| read.date),
            order.prescribed => self.prescribed.as_ref().map(|read| read.date),
            order.right => self.right.map(|read| read.eye),
            order.left => self.left.map(|read| read.eye),
            order.right_verify => self.lab_power_right,
            order.left_verify => self.lab_power_left,
            order.far_pd => self.pd,
            order.near_pd => self.near_pd,
            order.heights => self.heights.map(|both| both.0),
            order.centre_thickness => self.centre_thickness.map(|both| both.0),
            order.front_curve => self.base_curve.map(|(both, _)| both.0),
            order.lens.curve_basis => self.base_curve.map(|(_, basis)| basis),
        }
        if let Some(traced) = traced {
            traced.apply(order);
        }
        lay! {
            order.frame.model => self.frame,
            order.frame.size.a => self.a,
            order.frame.size.b => self.b,
            order.frame.size.dbl => self.dbl,
            order.frame.size.ed => self.ed,
            order.frame.rim => self.rim,
            order.frame.material => self.rim_material,
            order.frame.tilt => self.tilt,
            order.frame.wrap => self.wrap,
            order.frame.curve => self.frame_curve,
            order.frame.condition => self.condition,
            order.lens.material => self.material,
            order.lens.design => self.design,
            order.lens.viewing => self.viewing,
            order.lens.segment => self.segment,
            order.lens.reference_below => self.reference_below,
            order.lens.thinning => self.thinning,
            order.lens.safety => self.safety,
            order.lens.treatments => self.treatments,
        }
        left_behind
    }

    /// What had to be interpreted in prescription and dates, for the person to see.
    pub(crate) fn interpreted(&self) -> Vec<String> {
        let mut hints = Vec::new();
        for (field, read) in [("due", &self.due), ("prescribed", &self.prescribed)] {
            let told = read.as_ref().and_then(|read| read.told.as_ref());
            hints.extend(told.map(|told| format!("{field}: {told}")));
        }
        for (eye, read) in [("right", self.right), ("left", self.left)] {
            let Some(OrderText { eye: understood, eighths, oblique, .. }) = read else { continue };
            if eighths {
                hints.push(format!(
                    "{eye} eye: .12 .37 .62 .87 mean eighths of a dioptre; read as {understood}"
                ));
            }
            if let Some(ObliquePrism { total, base: Some(base) }) = oblique {
                let prism = understood.prism;
                hints.push(format!(
                    "{eye} eye: prism {total} with its base at {base}° is {prism}: angles as one faces the wearer, 0 to \
                     the right, anticlockwise (ISO 8429)"
                ));
            }
        }
        hints
    }
}
