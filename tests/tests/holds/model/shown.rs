//! What rims were shown, by the naive model: the passes of each lens one by one, down from the first.
//!
//! - What was felt counts at the size that the pass left, on the diameter, where that is known exactly: a radius counts
//!   twice, a girth by its circle.
//! - Once strain was seen, whatever fitted was a touch too big. A loose lens tells nothing more.
//! - A lens was as long round as its rim where it would have been ground down by what it was longer, by the newest lens that
//!   the rim was measured for.

use super::naive::{Naive, size};
use bevelbook::belief::{End, Rims, TooBig, Tried};
use bevelbook_core::record::{Bench, Check, CheckItem, GirthOf, RecordId};
use bevelbook_core::sizing::{Basis, Outcome, Sizing};
use std::collections::BTreeMap;
use std::f64::consts::PI;

#[derive(Default)]
struct Lens {
    sizing: Sizing,
    felt: Vec<(f64, Outcome)>,
    girth: Option<(f64, f64)>,
    rim: Option<f64>,
}

impl Lens {
    fn take(&mut self, fact: &Bench) {
        let was_loose = self.sizing.loose.is_some();
        size(&mut self.sizing, fact);
        let known = self.sizing.size.and_then(|(basis, span)| {
            let across = match basis {
                Basis::Radius => 2.0,
                Basis::Diameter => 1.0,
                Basis::Girth => 1.0 / PI,
            };
            (span.high == Some(span.low)).then(|| rounded(f64::from(span.low.milli()) / 1000.0 * across))
        });
        match (fact, known) {
            (Bench::Pass(pass), Some(at)) if !was_loose => self.felt.push((at, pass.outcome)),
            (Bench::Girth(girth), _) if girth.of == GirthOf::Rim => self.rim = Some(mm(girth.girth.milli())),
            (Bench::Girth(girth), Some(at)) => self.girth = Some((at, mm(girth.girth.milli()))),
            (Bench::Check(Check { item: CheckItem::Strain, good: false, .. }), _) => {
                for (_, felt) in self.felt.iter_mut().filter(|(_, felt)| *felt == Outcome::Fits) {
                    *felt = Outcome::JustTooBig;
                }
            }
            _ => {}
        }
    }

    fn tried(&self, rim: Option<f64>) -> Tried {
        let felt = self.felt.iter().filter(|(_, felt)| *felt != Outcome::Abandoned);
        let end = match felt.clone().next_back() {
            Some((at, Outcome::Fits)) => Some(End::Fits(*at)),
            Some((at, Outcome::Loose)) => Some(End::Loose(*at)),
            _ => None,
        };
        let too_big = felt.filter_map(|(at, felt)| match felt {
            Outcome::FarTooBig => Some(TooBig { at: *at, much: true }),
            Outcome::JustTooBig => Some(TooBig { at: *at, much: false }),
            _ => None,
        });
        let girth = self.girth.zip(rim);
        let by_girth = girth.map(|((at, girth), rim)| rounded(at - rounded((girth - rim) / PI)));
        Tried { too_big: too_big.collect(), end, by_girth, station: 0 }
    }
}

fn mm(micrometres: i32) -> f64 {
    f64::from(micrometres) / 1000.0
}

/// To the micrometre.
fn rounded(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

impl Naive<'_> {
    /// What was shown by each order of which anything was, that of the newest pass first.
    pub(super) fn shown(&self) -> Vec<Rims> {
        let mut shown: Vec<(usize, Rims)> = Vec::new();
        for job in self.orders() {
            let (facts, numbers) = self.sized(job);
            let mut lenses: BTreeMap<(usize, u8), Lens> = BTreeMap::new();
            for (_, lens, fact) in &facts {
                lenses.entry((lens.eye.index(), lens.number)).or_default().take(fact);
            }
            let rims = [0, 1].map(|eye| {
                let of_eye = lenses.range((eye, 0)..=(eye, u8::MAX));
                let rim = of_eye.rev().find_map(|(_, lens)| lens.rim);
                let tried =
                    |number| lenses.get(&(eye, number)).map_or_else(Tried::default, |lens| lens.tried(rim));
                (1..=numbers[eye]).map(tried).collect::<Vec<_>>()
            });
            let last = facts.iter().rfind(|(_, _, fact)| matches!(fact, Bench::Pass(_)));
            if let Some((id, ..)) = last
                && rims.iter().flatten().any(|tried| *tried != Tried::default())
            {
                shown.push((self.place(*id), rims));
            }
        }
        shown.sort_by_key(|(place, _)| std::cmp::Reverse(*place));
        shown.into_iter().map(|(_, rims)| rims).collect()
    }

    fn place(&self, id: RecordId) -> usize {
        self.0.iter().position(|record| record.id == id).unwrap()
    }
}
