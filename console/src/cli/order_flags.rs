//! The fields of an order as flags: all of them for `job new`, those that change for `job amend`.

use super::Failure;
use super::arguments::{self, Curves, Heights};
use super::traced::Traced;
use crate::desk::{Condition, Frame, LensChoice, Order};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{EyeOrder, OrderText, SphereCylinder};
use bevelbook_core::sizing::Rim;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

/// What an order says.
#[derive(Args, Clone)]
pub(crate) struct OrderFlags {
    /// The customer, by the shop's own reference.
    #[arg(long, value_name = "REF", value_parser = arguments::filled)]
    customer: Option<String>,
    /// The customer's name; it is kept apart from the records.
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// The tray that the job lies in.
    #[arg(long, value_parser = arguments::filled)]
    tray: Option<String>,
    /// When it is promised, for example 2026-03-14.
    #[arg(long, value_name = "DATE")]
    due: Option<Date>,
    /// When the prescription was written.
    #[arg(long, value_name = "DATE")]
    prescribed: Option<Date>,
    /// Right eye, in quotes: "-1.25 -0.75 x 15 prism 2 in add +2.00".
    #[arg(long, value_name = "RX", value_parser = arguments::eye_order)]
    right: Option<OrderText>,
    /// Left eye, in quotes.
    #[arg(long, value_name = "RX", value_parser = arguments::eye_order)]
    left: Option<OrderText>,
    /// The power that the supplier says the right lens is to read as, in quotes; decimals are taken as they are. It is
    /// judged by instead of the ordered power.
    #[arg(long, value_name = "RX", value_parser = arguments::lens)]
    verify_right: Option<SphereCylinder>,
    /// The same for the left lens.
    #[arg(long, value_name = "RX", value_parser = arguments::lens)]
    verify_left: Option<SphereCylinder>,
    /// Distance PD in mm: right/left as 31.5/30, or both as 61.
    #[arg(long, value_parser = arguments::pupillary_distance)]
    pd: Option<PupillaryDistance>,
    /// Near PD, written alike.
    #[arg(long, value_name = "PD", value_parser = arguments::pupillary_distance)]
    near_pd: Option<PupillaryDistance>,
    /// Segment or fitting heights above the lower side of the box: 18/18.5, or 18 for both.
    #[arg(long, value_name = "MM", value_parser = arguments::heights)]
    heights: Option<Heights>,
    /// Centre thickness in mm, where it is specified: right/left as 2.0/2.2, or one figure for both.
    #[arg(long, value_name = "MM", value_parser = arguments::heights)]
    centre_thickness: Option<Heights>,
    /// Power of the front surface in the lens's material, where it is specified: right/left as 6.00/5.50, or one figure
    /// for both.
    #[arg(long, value_name = "D", value_parser = arguments::curves)]
    front_curve: Option<Curves>,
    /// A file with the frame's trace: a frame record, DCS/ISO 16284 style. A, B and ED come from its points, DBL too
    /// where it states one, unless they are given. Only what says what the frame is goes into the book.
    #[arg(long, value_name = "FILE")]
    trace: Option<PathBuf>,
    /// The frame's model.
    #[arg(long, value_name = "MODEL", value_parser = arguments::filled)]
    frame: Option<String>,
    /// Boxed width A in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    a: Option<Length>,
    /// Boxed height B in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    b: Option<Length>,
    /// Distance between the lenses DBL in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    dbl: Option<Length>,
    /// Effective diameter ED in mm.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    ed: Option<Length>,
    /// What holds the lens.
    #[arg(long, value_parser = rim_parser())]
    rim: Option<Rim>,
    /// What the rim is made of.
    #[arg(long, value_name = "TEXT")]
    rim_material: Option<String>,
    /// In what state the frame came in.
    #[arg(long, value_name = "STATE")]
    condition: Option<Condition>,
    /// Lens material, by its key in the settings: cr39, polycarbonate, i160 …
    #[arg(long, value_name = "KEY")]
    material: Option<String>,
    /// What kind of lens.
    #[arg(long, value_parser = design_parser())]
    design: Option<Design>,
    /// A treatment; may be given more than once or with commas.
    #[arg(long = "treatment", value_name = "NAME", value_delimiter = ',')]
    treatments: Option<Vec<String>>,
}

/// A parser for a value that is known by its shown name, with spaces as hyphens.
fn by_name<T: Copy + std::fmt::Display + Send + Sync + 'static>(
    all: &'static [T],
) -> impl TypedValueParser<Value = T> {
    let name = |value: &T| value.to_string().replace(' ', "-");
    PossibleValuesParser::new(all.iter().map(name).collect::<Vec<_>>())
        .try_map(move |typed| all.iter().copied().find(|value| name(value) == typed).ok_or("not in the list"))
}

fn rim_parser() -> impl TypedValueParser<Value = Rim> {
    by_name(&Rim::ALL)
}

fn design_parser() -> impl TypedValueParser<Value = Design> {
    by_name(&[Design::SingleVision, Design::Multifocal, Design::Progressive])
}

/// A field that an amendment can empty.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Emptied {
    Tray,
    Due,
    Prescribed,
    VerifyRight,
    VerifyLeft,
    NearPd,
    Heights,
    CentreThickness,
    FrontCurve,
    Trace,
    Ed,
    Treatments,
}

impl Emptied {
    pub(crate) fn empty(self, order: &mut Order) {
        match self {
            Self::Tray => order.tray = None,
            Self::Due => order.due = None,
            Self::Prescribed => order.prescribed = None,
            Self::VerifyRight => order.right_verify = None,
            Self::VerifyLeft => order.left_verify = None,
            Self::NearPd => order.near_pd = None,
            Self::Heights => order.heights = None,
            Self::CentreThickness => order.centre_thickness = None,
            Self::FrontCurve => order.front_curve = None,
            Self::Trace => order.trace = None,
            Self::Ed => order.frame.size.ed = None,
            Self::Treatments => order.lens.treatments.clear(),
        }
    }
}

impl OrderFlags {
    /// The trace in the file that is named.
    pub(crate) fn traced(&self) -> Result<Option<Traced>, Failure> {
        self.trace.as_deref().map(Traced::read).transpose()
    }

    /// Whether a trace that the order had before is that of another frame: another than
    /// `model` is named, and no trace.
    pub(crate) fn leaves_trace_behind(&self, model: &str) -> bool {
        self.trace.is_none() && self.frame.as_ref().is_some_and(|named| named != model)
    }

    /// A new order from the flags alone.
    pub(crate) fn order(&self, traced: Option<&Traced>) -> Result<Order, Failure> {
        let mut missing = Vec::new();
        let mut need = |given: bool, flag: &'static str| {
            if !given {
                missing.push(flag);
            }
        };
        need(self.customer.is_some(), "--customer K-17");
        need(self.right.is_some(), "--right \"-1.25 -0.75 x 15\"");
        need(self.left.is_some(), "--left \"-1.50 -0.50 x 170\"");
        need(self.pd.is_some(), "--pd 31.5/30");
        need(self.frame.is_some(), "--frame MODEL");
        need(self.a.is_some() || traced.is_some(), "--a 50");
        need(self.b.is_some() || traced.is_some(), "--b 38");
        need(self.dbl.is_some() || traced.is_some_and(|traced| traced.dbl().is_some()), "--dbl 18");
        need(self.rim.is_some(), "--rim metal");
        need(self.material.is_some(), "--material cr39");
        let plano = EyeOrder::single_vision(SphereCylinder::PLANO);
        let (Some(pd), Some(rim), []) = (self.pd, self.rim, missing.as_slice()) else {
            let list = missing.join("\n  ");
            return Err(Failure::Use(format!("the order lacks what every job needs:\n  {list}")));
        };
        let mut order = Order {
            number: 0,
            customer: String::new(),
            tray: None,
            due: None,
            prescribed: None,
            right: plano,
            left: plano,
            right_verify: None,
            left_verify: None,
            far_pd: pd,
            near_pd: None,
            heights: None,
            centre_thickness: None,
            front_curve: None,
            frame: Frame {
                model: String::new(),
                size: FrameSize { a: Length::ZERO, b: Length::ZERO, dbl: Length::ZERO, ed: None },
                rim,
                material: String::new(),
                condition: Condition::New,
            },
            trace: None,
            lens: LensChoice {
                material: String::new(),
                design: Design::SingleVision,
                treatments: Vec::new(),
            },
        };
        self.apply(&mut order, traced);
        Ok(order)
    }

    /// Lays what is given over `order`; the sizes of a trace come before those that are given beside it.
    pub(crate) fn apply(&self, order: &mut Order, traced: Option<&Traced>) {
        fn set<T: Clone>(field: &mut T, given: Option<&T>) {
            if let Some(given) = given {
                field.clone_from(given);
            }
        }
        fn fill<T: Clone>(field: &mut Option<T>, given: Option<&T>) {
            if given.is_some() {
                *field = given.cloned();
            }
        }
        set(&mut order.customer, self.customer.as_ref());
        fill(&mut order.tray, self.tray.as_ref());
        fill(&mut order.due, self.due.as_ref());
        fill(&mut order.prescribed, self.prescribed.as_ref());
        set(&mut order.right, self.right.map(|read| read.eye).as_ref());
        set(&mut order.left, self.left.map(|read| read.eye).as_ref());
        fill(&mut order.right_verify, self.verify_right.as_ref());
        fill(&mut order.left_verify, self.verify_left.as_ref());
        set(&mut order.far_pd, self.pd.as_ref());
        fill(&mut order.near_pd, self.near_pd.as_ref());
        fill(&mut order.heights, self.heights.map(|heights| heights.0).as_ref());
        fill(&mut order.centre_thickness, self.centre_thickness.map(|both| both.0).as_ref());
        fill(&mut order.front_curve, self.front_curve.map(|both| both.0).as_ref());
        if let Some(traced) = traced {
            traced.apply(order);
        }
        let frame = &mut order.frame;
        set(&mut frame.model, self.frame.as_ref());
        set(&mut frame.size.a, self.a.as_ref());
        set(&mut frame.size.b, self.b.as_ref());
        set(&mut frame.size.dbl, self.dbl.as_ref());
        fill(&mut frame.size.ed, self.ed.as_ref());
        set(&mut frame.rim, self.rim.as_ref());
        set(&mut frame.material, self.rim_material.as_ref());
        set(&mut frame.condition, self.condition.as_ref());
        let lens = &mut order.lens;
        set(&mut lens.material, self.material.as_ref());
        set(&mut lens.design, self.design.as_ref());
        if let Some(treatments) = &self.treatments {
            let named = treatments.iter().map(|name| name.trim().to_owned());
            lens.treatments = named.filter(|name| !name.is_empty()).collect();
        }
    }

    /// What had to be interpreted in the prescription, for the person to see.
    pub(crate) fn interpreted(&self) -> Vec<String> {
        let mut hints = Vec::new();
        for (eye, read) in [("right", self.right), ("left", self.left)] {
            let Some(read) = read else { continue };
            if read.eighths {
                let power = read.eye.power;
                hints.push(format!("{eye} eye: .12 .37 .62 .87 mean eighths of a dioptre; read as {power}"));
            }
            if read.lone_axis {
                let power = read.eye.power;
                hints.push(format!(
                    "unusual: {eye} eye: an axis without a cylinder; read as {power}. Is the cylinder missing? \
                     For example -1.25 -0.75 x 15"
                ));
            }
        }
        hints
    }
}
