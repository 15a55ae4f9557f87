//! The benchmark's table, as text and as JSON.

use crate::tally::{Mean, Tally};
use serde_json::{Value, json};
use std::fmt::Write;

/// The way that the others are compared with.
pub(crate) const BEST: &str = "oracle";

/// How much more than the best a way needs at a pair.
fn ratio(tallies: &[Tally], tally: &Tally, pair: usize) -> Option<f64> {
    let best = tallies.iter().find(|tally| tally.way == BEST)?;
    let at = |tally: &Tally| tally.passes.get(pair - 1).filter(|mean| mean.count > 0).map(|mean| mean.mean);
    Some(at(tally)? / at(best)?)
}

fn figure(figure: Option<f64>, decimals: usize) -> String {
    figure.map_or("-".into(), |figure| format!("{figure:.decimals$}"))
}

fn per_cent(Mean { mean, error, .. }: &Mean, decimals: usize) -> String {
    format!("{:.decimals$} ± {:.decimals$}", 100.0 * mean, 100.0 * error)
}

/// One shop: a row for each way.
pub(crate) fn text(shop: &str, tallies: &[Tally]) -> String {
    let pairs = tallies.first().map_or(0, |tally| tally.passes.len());
    let numbers: String = (1..=pairs).map(|pair| format!("{pair:>6}")).collect();
    let [second, loose, promised, ratios, central] =
        ["2nd eye", "undersize %", "promised", "to oracle, 3 10", "in 90 %"];
    let mut text =
        format!("{shop:<16}{numbers}{second:>9}{loose:>16}{promised:>10}{ratios:>17}{central:>13}\n");
    for tally in tallies {
        let passes: String = tally.passes.iter().map(|mean| format!("{:6.2}", mean.mean)).collect();
        let second = tally.second.mean;
        let loose = per_cent(&tally.loose, 3);
        let promised = figure(tally.promised.map(|promised| 100.0 * promised), 3);
        let ratios = [3, 10].map(|pair| figure(ratio(tallies, tally, pair), 3)).join(" ");
        let central = tally.central.as_ref().map(|central| per_cent(central, 1)).unwrap_or_default();
        let row = format!("{second:>9.2}{loose:>16}{promised:>10}{ratios:>17}{central:>13}");
        let _ = writeln!(text, "  {:<14}{passes}{}", tally.way, row.trim_end());
    }
    text
}

/// What was promised beside what happened, by tenths of the lenses.
pub(crate) fn promises(tallies: &[Tally]) -> String {
    let mut text = String::new();
    for tally in tallies.iter().filter(|tally| tally.promised.is_some()) {
        let row =
            |figures: Vec<f64>| -> String { figures.iter().map(|f| format!("{:7.3}", 100.0 * f)).collect() };
        let promised = row(tally.tenths.iter().map(|(promised, _)| *promised).collect());
        let happened = row(tally.tenths.iter().map(|(_, mean)| mean.mean).collect());
        let error = row(tally.tenths.iter().map(|(_, mean)| mean.error).collect());
        let _ = write!(
            text,
            "  {:<14}promised{promised}\n{:16}happened{happened}\n{:16}     +- {error}\n",
            tally.way, "", ""
        );
    }
    text
}

/// One shop as a program reads it; shares, not per cents.
pub(crate) fn json(shop: &str, tallies: &[Tally]) -> Value {
    let mean = |mean: &Mean| json!({ "mean": mean.mean, "standard_error": mean.error, "lenses": mean.count });
    let ways: Vec<Value> = tallies
        .iter()
        .map(|tally| {
            json!({
                "way": tally.way,
                "passes_by_pair": tally.passes.iter().map(mean).collect::<Vec<_>>(),
                "passes_of_second_eye_of_first_pair": mean(&tally.second),
                "undersize": mean(&tally.loose),
                "undersize_promised": tally.promised,
                "within_central_90": tally.central.as_ref().map(mean),
                "times_oracle_at_pair_3": ratio(tallies, tally, 3),
                "times_oracle_at_pair_10": ratio(tallies, tally, 10),
                "promised_by_tenths": tally.tenths.iter().map(|(promised, happened)| {
                    json!({ "promised": promised, "happened": mean(happened) })
                }).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({ "shop": shop, "ways": ways })
}
