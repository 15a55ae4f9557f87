//! Lenses of each design as they are planned, from the order to the sheet.
//!
//! - `blank`: what progressives are cut from, against a general geometry library.
//! - `compensated`: what a supplier says that a lens is to read as.
//! - `progressive`: laid out by engravings and fitting cross.
//! - `jobs`: whole jobs, from the order over the bench to the sheet.
//! - `near`: pairs for reading alone.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod blank;
mod compensated;
mod jobs;
mod near;
mod progressive;

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;

fn done(output: Output) -> Output {
    assert_eq!(output.status, Some(0), "{output:?}");
    output
}

fn plan_of(shop: &Shop) -> Value {
    done(shop.run(["plan", "1", "--json"])).json()
}

/// A job as each face shows it.
struct Shown {
    json: Value,
    text: String,
    cautions: String,
    sheet: String,
}

/// The usual order with `changes`, planned in a shop with these settings.
fn shown(settings: &str, changes: &[[&str; 2]]) -> Shown {
    let shop = Shop::new();
    std::fs::write(shop.settings(), settings).unwrap();
    done(shop.run(usual_order(changes)));
    let plan = done(shop.run(["plan", "1", "--full"]));
    Shown {
        json: plan_of(&shop),
        cautions: plan.words().split_off(plan.words().find('!').unwrap_or(0)),
        text: plan.stdout,
        sheet: done(shop.run(["sheet", "1", "--out", "-"])).stdout,
    }
}

impl Shown {
    /// What a row of the text says, its columns a blank apart; none where there is no such row.
    fn row(&self, name: &str) -> Option<String> {
        let row = self.text.lines().find_map(|line| line.strip_prefix(&format!("{name:<17}")))?;
        Some(row.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    /// What the sheet says under that name, right and left.
    fn printed(&self, name: &str) -> Option<[&str; 2]> {
        let what = format!("</td><th class=\"what\" scope=\"row\">{name}</th><td class=\"l\">");
        let (before, after) = self.sheet.split_once(&what)?;
        Some([before.rsplit_once('>')?.1, after.split_once('<')?.0])
    }
}

#[track_caller]
fn assert_near(found: &Value, expected: f64) {
    assert!((found.as_f64().unwrap() - expected).abs() < 0.0015, "{found} for {expected}");
}
