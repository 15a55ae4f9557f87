//! Records of the console's own whose JSON reads, and that no console would write.

use crate::chance::Chance;
use bevelbook::desk::{Adoption, Desk, Naming, Placement};
use bevelbook::store::NewEntry;
use bevelbook_core::record::{FIRST_DESK_KIND, JobId, JournalId, StationId};
use serde_json::{Value, json};

const AMENDMENT: u8 = FIRST_DESK_KIND + 1;

fn entry(kind: u8, job: Option<JobId>, fields: &Value) -> NewEntry {
    let payload = serde_json::to_vec(fields).unwrap();
    NewEntry { kind, job: job.map(|job| job.0), payload, utc_ms: None }
}

/// Whether a console would read it.
fn reads(kind: u8, fields: &Value) -> bool {
    Desk::decode(kind, &serde_json::to_vec(fields).unwrap()).is_ok()
}

/// A text that nobody types.
fn text(chance: &mut Chance) -> Value {
    json!(match chance.below(40) {
        0..=4 => String::new(),
        5 => "long ".repeat(14_000),
        6..=9 => "\u{1b}[2J\u{202e}\r\n\0".into(),
        10..=14 => "é😀".repeat(300),
        15..=20 => "cr39".into(),
        21..=25 => "<b>&\"'".into(),
        _ => "some words".into(),
    })
}

/// Something in the place of `leaf` that is of its kind, and extreme.
fn instead(chance: &mut Chance, leaf: &Value) -> Value {
    match leaf {
        Value::Number(_) => {
            let limit = chance.one(&[1_000_000, 100_000, 180_000, 255, 20_000]);
            json!(chance.within(limit))
        }
        Value::String(_) => match chance.below(3) {
            0 => text(chance),
            1 => json!(chance.one(&["rimless", "grooved", "progressive", "multifocal", "worn", "cr39"])),
            _ => json!(chance.one(&["-9999-01-01", "9999-12-31", "2026-03-02"])),
        },
        Value::Null => {
            let length = chance.within(1_000_000);
            let power = json!({ "sphere": chance.within(100_000), "cylinder": chance.within(100_000), "axis": 90_000 });
            let trace = json!({ "lines": ["TRCFMT=1;4;E;R;F", "R=2500;99999;1;2500"], "left_out": 4_294_967_295_u32 });
            let one = json!({ "eye": chance.one(&["right", "left"]), "distance": length });
            let near = chance.one(&[&json!({ "binocular": length }), &json!({ "one-eye": one })]).clone();
            let choices = [
                json!([length, length]),
                power,
                trace,
                near,
                json!(length),
                json!("9999-12-31"),
                text(chance),
            ];
            choices[chance.below(choices.len())].clone()
        }
        other => other.clone(),
    }
}

/// Changes leaves of `value` by chance, one in `times` of them.
fn shake(chance: &mut Chance, value: &mut Value, times: usize) {
    match value {
        Value::Object(members) => members.values_mut().for_each(|member| shake(chance, member, times)),
        Value::Array(items) => items.iter_mut().for_each(|item| shake(chance, item, times)),
        leaf if chance.once_in(times) => *leaf = instead(chance, leaf),
        _ => {}
    }
}

/// `fields`, changed so that they still read.
fn shaken(chance: &mut Chance, kind: u8, fields: &Value) -> Value {
    let mut found = fields.clone();
    for _ in 0..40 {
        let mut tried = found.clone();
        shake(chance, &mut tried, 12);
        if reads(kind, &tried) {
            found = tried;
        }
    }
    found
}

/// What is to be made for an eye.
fn wanted(chance: &mut Chance) -> Value {
    let known = chance.once_in(2);
    let made = ["balance", "nothing"].map(|what| json!({ what: { "known": known } }));
    chance.one(&[&json!("lens"), &made[0], &made[1]]).clone()
}

/// An order of job `job` that reads, most of its figures extreme.
pub(crate) fn order(chance: &mut Chance, usual: &Value, number: u32, job: JobId) -> NewEntry {
    let mut order = if chance.once_in(4) { usual.clone() } else { shaken(chance, FIRST_DESK_KIND, usual) };
    order["number"] = json!(number);
    for eye in ["right", "left"] {
        order[eye]["wanted"] = wanted(chance);
    }
    if chance.once_in(2) {
        order["lens"]["material"] = json!("cr39");
    }
    entry(FIRST_DESK_KIND, Some(job), &order)
}

/// Makes amendments that set anything; of a sort that gives an order that reads.
pub(crate) fn amendment(
    chance: &mut Chance,
    usual: &Value,
) -> impl Fn(&mut Chance, JobId) -> NewEntry + use<> {
    let mut usual = shaken(chance, FIRST_DESK_KIND, usual);
    usual["left"]["wanted"] = wanted(chance);
    move |chance, job| {
        let members = usual.as_object().unwrap();
        let mut changes = json!({});
        for (name, value) in members.iter().filter(|(name, _)| *name != "number") {
            if chance.once_in(6) && !value.is_null() {
                changes[name] = value.clone();
            }
        }
        entry(AMENDMENT, Some(job), &json!({ "changes": changes, "why": text(chance) }))
    }
}

/// Any other record of a job.
pub(crate) fn anything(chance: &mut Chance, job: JobId, jobs: u32) -> NewEntry {
    let lens = chance.one(&[0_u8, 1, 1, 2, 255]);
    let eye = chance.one(&["right", "left"]);
    let length = chance.within(1_000_000);
    let from = chance.below(jobs as usize + 2);
    let verdict = chance.one(&["within", "out", "not-judged"]);
    let table = json!({ "shop_table": text(chance) });
    let standard = if chance.once_in(2) { json!("ansi-z80.1-2015") } else { table };
    let (kind, fields) = match chance.below(8) {
        0 => (2, json!({ "eye": eye, "lens": lens, "what": text(chance) })),
        1 => (3, json!({ "text": text(chance) })),
        2 => {
            let story = text(chance);
            (4, json!({ "eye": eye, "lens": lens, "cause": "slipped", "bearer": "shop", "story": story }))
        }
        3 => {
            let signed = json!({ "by": text(chance), "standard": standard, "table_version": 65_535, "verdict": verdict,
                "lenses": [lens, lens], "despite": text(chance) });
            (5, signed)
        }
        4 => (6, json!({ "how": text(chance) })),
        5 => (7, json!({ "from": from })),
        6 => {
            let tilt = chance.within(720_000);
            (9, json!({ "eye": eye, "lens": lens, "segment_tilt": tilt, "thickness": length }))
        }
        _ => (10, json!({ "lenses": [lens, lens], "distance": length })),
    };
    assert!(reads(FIRST_DESK_KIND + kind, &fields), "{fields}");
    entry(FIRST_DESK_KIND + kind, Some(job), &fields)
}

/// What belongs to no job.
pub(crate) fn of_no_job(chance: &mut Chance) -> NewEntry {
    let name = text(chance).as_str().unwrap().to_owned();
    let (journal, station) = (JournalId(0xaa), StationId(chance.one(&[0, 1, u64::MAX])));
    let number = |chance: &mut Chance| chance.one(&[0, 1, 3, 40, u32::MAX]);
    let desk = match chance.below(4) {
        0 => Desk::Naming(Naming { station, name: name.clone() }),
        1 => {
            let upto = (chance.below(2) == 0).then(|| number(chance));
            Desk::Placement(Placement { journal, from: number(chance), upto, station })
        }
        _ => Desk::Adoption(Adoption { journal, name: name.clone() }),
    };
    let payload = desk.encode_by((chance.below(2) == 0).then_some(name.as_str())).unwrap();
    NewEntry { kind: desk.kind(), job: None, payload, utc_ms: None }
}
