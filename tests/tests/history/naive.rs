//! The same figures by going through what was done, group by group.

use crate::truth::{Truth, When};
use jiff::{ToSpan, civil::date};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum By {
    Day,
    Month,
    Frame,
    Material,
    Cause,
    Total,
}

const KEYS: [&str; 6] = ["day", "month", "frame", "material", "cause", "total"];
const BEARERS: [&str; 4] = ["shop", "supplier", "prescriber", "customer"];

fn written(day: i64) -> String {
    date(1970, 1, 1).checked_add(day.days()).unwrap().to_string()
}

/// In which group it is: of days that are written as ISO writes them, the order is that of letters.
fn group(when: &When, by: By) -> Option<String> {
    match by {
        By::Day => when.day.map(written),
        By::Month => when.day.map(|day| written(day)[..7].to_owned()),
        By::Frame => Some(when.frame.into()),
        By::Material => Some(when.material.into()),
        By::Cause | By::Total => None,
    }
}

fn within(when: &When, from: Option<&str>, to: Option<&str>) -> bool {
    let Some(day) = when.day.map(written) else { return from.is_none() && to.is_none() };
    from.is_none_or(|from| from <= &*day) && to.is_none_or(|to| &*day <= to)
}

pub(crate) fn rows(truth: &Truth, by: By, from: Option<&str>, to: Option<&str>) -> Vec<Value> {
    let pairs: Vec<_> = truth.pairs.iter().filter(|(when, _)| within(when, from, to)).collect();
    let fits: Vec<_> = truth.fits.iter().filter(|(when, _)| within(when, from, to)).collect();
    let lost: Vec<_> = truth.lost.iter().filter(|(when, _)| within(when, from, to)).collect();
    let mut groups: BTreeSet<Option<String>> = match by {
        By::Cause => lost.iter().map(|(_, (cause, _))| cause.map(str::to_owned)).collect(),
        _ => lost.iter().map(|(when, _)| group(when, by)).collect(),
    };
    if by != By::Cause {
        groups.extend(pairs.iter().map(|(when, _)| group(when, by)));
        groups.extend(fits.iter().map(|(when, _)| group(when, by)));
    }
    let row = |name: Option<String>| {
        let mut row = Map::new();
        if by != By::Total {
            row.insert(KEYS[by as usize].into(), json!(name));
        }
        if by != By::Cause {
            let in_group = |when: &When| group(when, by) == name;
            let seconds: Vec<_> =
                pairs.iter().filter(|(when, _)| in_group(when)).map(|(_, seconds)| *seconds).collect();
            let passes: Vec<_> =
                fits.iter().filter(|(when, _)| in_group(when)).map(|(_, passes)| *passes).collect();
            work(&mut row, &seconds, &passes);
        }
        let of_group = lost.iter().filter(|(when, (cause, _))| match by {
            By::Cause => cause.map(str::to_owned) == name,
            _ => group(when, by) == name,
        });
        spoiled(&mut row, &of_group.map(|(_, (_, bearer))| *bearer).collect::<Vec<_>>());
        Value::Object(row)
    };
    groups.into_iter().map(row).collect()
}

/// To the fifth decimal, as the console gives it.
fn rounded(value: f64) -> Value {
    json!((value * 1e5).round() / 1e5)
}

fn work(row: &mut Map<String, Value>, pairs: &[Option<i64>], passes: &[u64]) {
    let mut known: Vec<i64> = pairs.iter().flatten().copied().collect();
    known.sort_unstable();
    let n = known.len();
    let median = (n > 0).then(|| (known[(n - 1) / 2] + known[n / 2]) as f64 / 2.0);
    let (fitted, first) = (passes.len(), passes.iter().filter(|passes| **passes == 1).count());
    let sum: u64 = passes.iter().sum();
    let of_fitted = |many: f64| if fitted == 0 { Value::Null } else { rounded(many / fitted as f64) };
    let more = [
        ("finished_pairs", json!(pairs.len())),
        ("pair_time_median_min", median.map_or(Value::Null, |seconds| rounded(seconds / 60.0))),
        ("pairs_with_known_time", json!(n)),
        ("fitted_lenses", json!(fitted)),
        ("first_try_fits", json!(first)),
        ("first_try_percent", of_fitted(100.0 * first as f64)),
        ("passes", json!(sum)),
        ("passes_a_lens", of_fitted(sum as f64)),
    ];
    row.extend(more.map(|(name, value)| (name.to_owned(), value)));
}

fn spoiled(row: &mut Map<String, Value>, bearers: &[Option<&str>]) {
    row.insert("spoiled_lenses".into(), json!(bearers.len()));
    for name in BEARERS {
        let borne = bearers.iter().filter(|bearer| **bearer == Some(name)).count();
        row.insert(format!("spoiled_{name}"), json!(borne));
    }
    row.insert("spoiled_not_told".into(), json!(bearers.iter().filter(|bearer| bearer.is_none()).count()));
}
