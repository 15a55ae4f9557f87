//! A fact as fields with their units in their names, for programs; `work` has its words.

use crate::view::{Figure, Lens};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, CentreDistance, Check, Girth, Mark, Pass, Read, Reading, RecordId, StationEvent,
};
use bevelbook_core::sizing::{Counting, Dial};
use bevelbook_core::units::{Length, PrismPair};
use serde_json::{Value, json};

/// A record's identity for programs.
pub(crate) fn identity(id: RecordId) -> Value {
    json!({ "journal": id.journal.to_string(), "seq": id.seq })
}

/// The fields of a bench record.
pub(super) fn bench_fields(fact: &Bench) -> Value {
    let mut value = match fact {
        Bench::Mark(Mark { axis, prism, .. }) => {
            let mut value = prism_fields(*prism);
            value["axis_deg"] = json!(Figure::from(axis.angle()));
            value["kind"] = json!("mark");
            value
        }
        Bench::Pass(pass) => pass_fields(pass),
        Bench::Reading(reading) => reading_fields(reading),
        Bench::CentreDistance(CentreDistance { centres, heights, .. }) => {
            let of_eye = |eye: Eye| match centres {
                PupillaryDistance::Monocular { .. } => Some(Figure::from(centres.of(eye))),
                PupillaryDistance::Binocular(_) => None,
            };
            let height = |eye: Eye| heights.map(|heights: [Length; 2]| Figure::from(heights[eye.index()]));
            json!({
                "kind": "pd",
                "pd_mm": Figure::from(centres.total()),
                "right_pd_mm": of_eye(Eye::Right),
                "left_pd_mm": of_eye(Eye::Left),
                "right_height_mm": height(Eye::Right),
                "left_height_mm": height(Eye::Left),
            })
        }
        Bench::Girth(Girth { of, girth, .. }) => {
            json!({ "kind": "girth", "of": of, "girth_mm": Figure::from(*girth) })
        }
        Bench::Check(Check { item, good, .. }) => json!({ "kind": "check", "item": item, "good": good }),
        Bench::NewLens(_) => json!({ "kind": "new-lens" }),
        Bench::Opened(opened) => json!({ "kind": "opened", "rim": opened.rim }),
        Bench::Void(void) => json!({ "kind": "void", "target": identity(void.target) }),
        Bench::Station(event) => match event {
            StationEvent::Dial(dial) => {
                json!({ "kind": "station", "event": "dial", "dial": dial_fields(dial) })
            }
            StationEvent::NewWheel | StationEvent::Recalibrated => {
                json!({ "kind": "station", "event": event })
            }
        },
    };
    if let Some(lens) = fact.lens() {
        value["eye"] = json!(lens.eye);
        value["lens"] = json!(lens.number);
    }
    value
}

fn pass_fields(pass: &Pass) -> Value {
    json!({
        "kind": "pass",
        "basis": pass.dialled.basis,
        "counting": counting_name(pass.dialled.counting),
        "take_off_from_mm": take_off_from(pass.dialled.counting),
        "dialled_mm": Figure::from(pass.dialled.amount),
        "outcome": pass.outcome,
        "past": pass.past,
    })
}

fn reading_fields(reading: &Reading) -> Value {
    let lines = match reading.read {
        Read::Direct(_) => Value::Null,
        Read::Lines { first, second, wheel } => json!({
            "first_d": Figure::from(first),
            "second_d": Figure::from(second),
            "wheel_deg": Figure::from(wheel.angle()),
        }),
    };
    let mut value = json!(Lens::from(reading.read.power()));
    value["kind"] = json!("reading");
    value["stage"] = json!(reading.stage);
    value["lines"] = lines;
    value["prism"] = json!(reading.prism.map(prism_fields));
    value["add_d"] = json!(reading.add.map(Figure::from));
    value
}

fn prism_fields(prism: PrismPair) -> Value {
    json!({ "base_in_pd": Figure::from(prism.base_in), "base_up_pd": Figure::from(prism.base_up) })
}

/// A dial's fields.
fn dial_fields(dial: &Dial) -> Value {
    json!({
        "basis": dial.basis,
        "counting": counting_name(dial.counting),
        "take_off_from_mm": take_off_from(dial.counting),
        "step_mm": Figure::from(dial.step),
    })
}

const fn counting_name(counting: Counting) -> &'static str {
    match counting {
        Counting::Absolute => "absolute",
        Counting::TakeOff { .. } => "take-off",
    }
}

fn take_off_from(counting: Counting) -> Option<Figure> {
    match counting {
        Counting::Absolute => None,
        Counting::TakeOff { from } => Some(Figure::from(from)),
    }
}
