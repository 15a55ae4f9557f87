//! A job: its order as it was understood, and what stands.

use super::{Figure, Listing, Prescription, RecordRow};
use crate::desk::{Condition, Frame, FrameTrace, LensChoice, Order, SegmentShape, Viewing};
use crate::settings::Tolerances;
use crate::work::Job;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::lens::CurveBasis;
use bevelbook_core::link::plain;
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Rim;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Power};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

view! {
    /// A job.
    pub(crate) JobView of (job: &Job, by: &Tolerances) with {
        let order = &job.order;
        let status = job.status(by);
    } {
        pub(super) job: u32 = order.number,
        id: String = job.id.to_string(),
        pub(super) reference: String = order.customer.clone(),
        pub(super) tray: Option<String> = order.tray.clone(),
        pub(super) due: Option<Date> = order.due,
        prescribed: Option<Date> = order.prescribed,
        right: Prescription = Prescription::ordered(&order.right),
        left: Prescription = Prescription::ordered(&order.left),
        right_verify: Option<Prescription> = order.right_verify.map(Prescription::to_verify),
        left_verify: Option<Prescription> = order.left_verify.map(Prescription::to_verify),
        pd: Pd = pd(order.far_pd),
        near_pd: Option<Pd> = order.near_pd.map(pd),
        heights_mm: Option<[Figure; 2]> = order.heights.map(|both| both.map(Figure::from)),
        centre_thickness_mm: Option<[Figure; 2]> = order.centre_thickness.map(|both| both.map(Figure::from)),
        front_curve_d: Option<[Figure; 2]> = order.front_curve.map(|both| both.map(Figure::from)),
        frame: FrameView = FrameView::of(&order.frame),
        trace: Option<TraceView> = order.trace.as_ref().map(TraceView::of),
        lens: LensView = LensView::of(&order.lens),
        /// None where no lens is made.
        lens_numbers: [Option<u8>; 2] = Eye::BOTH.map(|eye| Some(job.made(eye).ok()?.number)),
        /// In words.
        pub(super) status: String = status.to_string(),
        pub(super) state: &'static str = status.key(),
        /// What comes next at the bench.
        next: Option<String> = status.next().map(|next| next.to_string()),
        /// Whether anything of it is out.
        pub(super) out: bool = status.is_out(),
        closed: bool = status.is_closed(),
        #[serde(skip)]
        order: Order = order.clone(),
    }
}

view! {
    /// A frame.
    FrameView of (frame: &Frame) {
        model: String = frame.model.clone(),
        a_mm: Figure = frame.size.a.into(),
        b_mm: Figure = frame.size.b.into(),
        dbl_mm: Figure = frame.size.dbl.into(),
        ed_mm: Option<Figure> = frame.size.ed.map(Figure::from),
        rim: Rim = frame.rim,
        material: String = frame.material.clone(),
        condition: Condition = frame.condition,
        tilt_deg: Option<Figure> = frame.tilt.map(Figure::from),
        wrap_deg: Option<Figure> = frame.wrap.map(Figure::from),
        /// In 1.530.
        curve_d: Option<Figure> = frame.curve.map(Figure::from),
    }
}

view! {
    /// The lenses that are ordered.
    LensView of (lens: &LensChoice) {
        material: String = lens.material.clone(),
        design: Design = lens.design,
        treatments: Vec<String> = lens.treatments.clone(),
        viewing: Viewing = lens.viewing,
        segment: Option<SegmentShape> = lens.segment.map(|segment| segment.shape),
        segment_width_mm: Option<Figure> = lens.segment.and_then(|segment| segment.width).map(Figure::from),
        reference_below_mm: Option<Figure> = lens.reference_below.map(Figure::from),
        thinning_pd: Option<Figure> = lens.thinning.map(Figure::from),
        /// In what index `front_curve_d` is said.
        curve_basis: CurveBasis = lens.curve_basis,
        safety: Option<String> = lens.safety.clone(),
    }
}

view! {
    /// What an order keeps of a trace.
    TraceView of (trace: &FrameTrace) {
        lines: Vec<String> = trace.lines().to_vec(),
        labels_left_out: u32 = trace.left_out(),
    }
}

/// A pupillary distance: of each eye where it was measured so, and the whole.
type Pd = BTreeMap<&'static str, Figure>;

fn pd(pd: PupillaryDistance) -> Pd {
    let said = [("total_mm", pd.whole()), ("right_mm", pd.half(Eye::Right)), ("left_mm", pd.half(Eye::Left))];
    said.into_iter().filter_map(|(name, length)| Some((name, length?.into()))).collect()
}

impl JobView {
    /// The frame in a few words.
    pub(crate) fn frame_words(&self) -> String {
        format!("{} {}", self.order.frame.model, self.order.frame.label())
    }

    /// Where it stands among others: the soonest due first, behind them what is due at no time.
    pub(super) const fn urgency(&self) -> (bool, Option<Date>, u32) {
        (self.due.is_none(), self.due, self.job)
    }

    /// The job in one line.
    pub(crate) fn line(&self) -> String {
        plain(&format!("job {}: {}", self.job, self.status)).collect()
    }
}

/// The order, a few lines.
impl fmt::Display for JobView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "job {}{}", self.job, OrderLines(&self.order))
    }
}

/// What an order says, a line each, with a line end before it.
pub(crate) struct OrderLines<'o>(pub(crate) &'o Order);

impl fmt::Display for OrderLines<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(order) = self;
        let Order { frame, lens, .. } = order;
        let eye = |eye| {
            let verify = order.verify(eye).map(Prescription::to_verify);
            let verify = verify.map(|lab| format!("; lab power {lab}"));
            format!("{}{}", order.eye(eye), verify.unwrap_or_default())
        };
        let material = Some(&frame.material).filter(|material| !material.is_empty());
        let rim = format!("{}{}", frame.rim.named(), after(" of ", material));
        let condition = match frame.condition {
            Condition::New => "",
            Condition::Own => ", the customer's own",
            Condition::Worn => ", worn: at the owner's risk",
        };
        let (size, label) = (&frame.size, frame.label());
        let ed = size.ed.map_or(String::new(), |ed| format!("  ED {ed}"));
        let treatments: String = lens.treatments.iter().map(|name| format!(", {name}")).collect();
        let near = if lens.viewing == Viewing::Near { ", for near" } else { "" };
        let segment = after(", segment ", lens.segment);
        let sides = |[right, left]: [Length; 2]| format!("{right}/{left} mm");
        let rows = [
            ("customer ref", Some(format!("{}{}", order.customer, after(", tray ", order.tray.as_ref())))),
            ("right", Some(eye(Eye::Right))),
            ("left", Some(eye(Eye::Left))),
            ("PD", Some(format!("{}{} mm", order.far_pd, after(", near ", order.near_pd)))),
            ("heights", order.heights.map(sides)),
            ("thickness", order.centre_thickness.map(|both| sides(both) + " at the centre")),
            ("base curve", order.front_curve.map(|both| curves(both, lens.curve_basis))),
            ("frame", Some(format!("{} {label}, {rim}{condition}", frame.model))),
            ("boxed sizes", Some(format!("A {}  B {}  DBL {}{ed} mm", size.a, size.b, size.dbl))),
            ("as worn", worn(frame)),
            ("trace", order.trace.as_ref().map(shapes)),
            ("lenses", Some(format!("{}, {}{near}{segment}{treatments}", lens.material, lens.design))),
            ("reference", lens.reference_below.map(|below| format!("{below} mm below the fitting cross"))),
            ("thinning", lens.thinning.map(|thinning| format!("{thinning} Δ base down in both"))),
            ("safety", lens.safety.clone()),
            ("prescribed", order.prescribed.map(|date| date.to_string())),
            ("due", order.due.map(|date| date.to_string())),
        ];
        rows.iter()
            .filter_map(|(name, value)| Some((name, value.as_ref()?)))
            .try_for_each(|(name, value)| write!(f, "\n  {name:<13}{}", plain(value).collect::<String>()))
    }
}

fn curves([right, left]: [Power; 2], basis: CurveBasis) -> String {
    let basis = match basis {
        CurveBasis::Material => "in the material",
        CurveBasis::Nominal => "nominal (1.530)",
    };
    format!("{right}/{left} D {basis}")
}

/// How a frame sits and bends, where any of it was measured.
fn worn(frame: &Frame) -> Option<String> {
    let said = [
        frame.tilt.map(|tilt| format!("tilt {tilt}°")),
        frame.wrap.map(|wrap| format!("wrap {wrap}°")),
        frame.curve.map(|curve| format!("rim curve {curve} D (1.530)")),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    (!said.is_empty()).then(|| said.join(", "))
}

/// What follows where there is something.
fn after(words: &str, value: Option<impl fmt::Display>) -> String {
    value.map_or(String::new(), |value| format!("{words}{value}"))
}

/// What an order has of a trace.
fn shapes(trace: &FrameTrace) -> String {
    let read = match trace.read() {
        Ok(read) => read,
        Err(error) => return error.to_string(),
    };
    let shape = |eye: Eye| match read.shape(eye) {
        shape if shape.mirrored => format!("{eye} the mirror of {}", eye.other()),
        shape => format!("{eye} {} points", shape.points.len()),
    };
    Eye::BOTH.map(shape).join(", ")
}

/// A job with all its records.
#[derive(Serialize)]
pub(crate) struct WholeJob {
    #[serde(flatten)]
    pub(crate) job: JobView,
    pub(crate) customer_name: Option<String>,
    pub(crate) records: Listing<RecordRow>,
}

impl fmt::Display for WholeJob {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { job, customer_name, records } = self;
        let [name, status] = [customer_name.as_ref(), Some(&job.status)]
            .map(|text| text.map(|text| plain(text).collect::<String>()));
        let (name, status) = (after("\n  customer     ", name), status.unwrap_or_default());
        write!(f, "{job}{name}\n  status       {status}\n\n{records}")
    }
}
