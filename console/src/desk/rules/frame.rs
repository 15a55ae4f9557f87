//! What a frame's sizes and trace cannot be, and what is unusual in them.

use super::remark::Remarks;
use crate::desk::{Order, sizes_of};
use bevelbook_core::units::Length;

/// Boxed sizes, and what they leave the PD.
pub(super) fn review(remarks: &mut Remarks, order: &Order) {
    let size = &order.frame.size;
    for (name, length, least, most, example) in
        [("A", size.a, 25, 75, "50"), ("B", size.b, 15, 65, "38"), ("DBL", size.dbl, 5, 35, "18")]
    {
        let text = format!("{length} mm is not from {least} to {most} mm; for example {example}");
        remarks.refuse_if(!(least * 1000..=most * 1000).contains(&length.milli()), name, text);
    }
    remarks.warn_if(size.b > size.a, "B", "the box is higher than it is wide; are A and B swapped?");
    let (a, b) = (i64::from(size.a.milli()), i64::from(size.b.milli()));
    if let Some(ed) = size.ed {
        // The longest radius reaches at least a side of the box and at most its corner.
        let corner = Length::from_milli((a * a + b * b).isqrt() as i32 + 1);
        let side = size.a.max(size.b);
        let text = format!("{ed} mm is not from {side} (the longer side) to {corner:.1} mm (the diagonal)");
        // Beside a trace a typed side may contradict it; the plan goes by the trace.
        remarks.refuse_if(order.trace.is_none() && (ed < side || ed > corner), "ED", text);
    } else {
        remarks.warn_if(
            order.trace.is_none(),
            "no ED",
            "using the box diagonal, which asks for a larger blank",
        );
    }
    let frame_pd = size.frame_pd();
    let inward = (frame_pd - order.far_pd.total()).milli() / 2;
    let text = format!("frame PD {frame_pd} against PD {}: check the frame sizes and the PD", order.far_pd);
    remarks.warn_if(!(-2000..=8000).contains(&inward), "decentration", text);
}

/// How the frame sits before the face, and how its rim is curved. Common practice, no source: everyday frames tilt by 5 to
/// 15 degrees, wrapped ones reach 20, and rims have curves up to that of a steep base.
pub(super) fn review_worn(remarks: &mut Remarks, order: &Order) {
    let frame = &order.frame;
    for (name, angle, most) in [("tilt", frame.tilt, 20), ("wrap", frame.wrap, 25)] {
        let Some(angle) = angle else { continue };
        let text = format!("{angle}° is more than the {most}° of nearly all frames; measure again");
        remarks.warn_if(angle.milli() > most * 1000, name, text);
    }
    let Some(curve) = frame.curve else { return };
    let text = format!("{curve} D is beyond 15 D; is a decimal point missing? For example 6.00");
    let beyond = !(0..=15_000).contains(&curve.milli());
    remarks.refuse_if(beyond, "frame curve", text);
    let text = format!("{curve} D is outside 0.50 to 10.00 D");
    remarks.warn_if(!beyond && !(500..=10_000).contains(&curve.milli()), "frame curve", text);
}

/// How far a typed size may differ from the trace: 0.5 mm. Common practice, no source: sizes are printed in whole
/// millimetres.
const OFF_TRACE: Length = Length::from_milli(500);

/// A size that was typed against that of the trace's own points, by which the plan goes; the bridge against the record's.
pub(super) fn review_trace(remarks: &mut Remarks, order: &Order) {
    let Some(trace) = &order.trace else { return };
    let trace = match trace.read() {
        Ok(trace) => trace,
        Err(error) => return remarks.refuse_if(true, "trace", error.to_string()),
    };
    let size = &order.frame.size;
    let Some(traced) = sizes_of(&trace, trace.dbl().unwrap_or(size.dbl)) else { return };
    let ed = size.ed.zip(traced.ed).map(|(ed, own)| ("ED", ed, own));
    for (name, typed, own) in
        [("A", size.a, traced.a), ("B", size.b, traced.b), ("DBL", size.dbl, traced.dbl)]
            .into_iter()
            .chain(ed)
    {
        let goes_by = if name == "DBL" { "the order" } else { "the trace" };
        let text =
            format!("{typed:.1} mm in the order, {own:.1} mm in the trace: the plan goes by {goes_by}");
        remarks.warn_if((typed - own).abs() > OFF_TRACE, name, text);
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Severity, review};
    use crate::desk::{Order, RECORD, kept, sample};
    use crate::settings::Settings;
    use bevelbook_core::units::Length;

    /// The places remarked on in an order whose frame is that of the record, traced.
    fn places(change: impl FnOnce(&mut Order)) -> Vec<(Severity, String)> {
        let mut order = sample();
        order.trace = Some(kept(RECORD));
        order.frame.size.a = Length::from_milli(50_400);
        order.frame.size.b = Length::from_milli(38_092);
        order.frame.size.ed = None;
        change(&mut order);
        let today = jiff::civil::date(2026, 3, 2);
        review(&order, &Settings::defaults().unwrap(), today, None)
            .into_iter()
            .map(|remark| (remark.severity, remark.place))
            .collect()
    }

    #[test]
    fn a_traced_frame_needs_no_ed() {
        assert_eq!(places(|_| ()), []);
    }

    #[test]
    fn typed_sizes_half_a_millimetre_off_the_trace_are_said_and_accepted() {
        use Severity::Unusual;
        let a = |milli| move |order: &mut Order| order.frame.size.a = Length::from_milli(milli);
        assert_eq!(places(a(50_900)), []);
        assert_eq!(places(a(50_901)), [(Unusual, "A".into())]);
        assert_eq!(
            places(|order| order.frame.size.dbl = Length::from_milli(19_000)),
            [(Unusual, "DBL".into())]
        );
        assert_eq!(
            places(|order| order.frame.size.ed = Some(Length::from_milli(56_000))),
            [(Unusual, "ED".into())]
        );
    }
}
