//! `settings`: the tables in force.

use super::{Failure, Report, shop::Shop};
use crate::settings::Origin;
use clap::Subcommand;
use serde_json::{Value, json};

#[derive(Subcommand)]
pub(crate) enum SettingsCommand {
    /// Show every setting in force and where it came from.
    Show,
    /// Show the table that the program starts out with, as a file to edit.
    Defaults,
    /// Show an example of a tolerance table of the shop's own, as a file to edit.
    Tolerances,
}

pub(crate) fn run(shop: &Shop, command: &SettingsCommand) -> Result<Report, Failure> {
    let (_, shown) = shop.settings()?;
    let path = shown.path.display();
    if matches!(command, SettingsCommand::Defaults) {
        let text = crate::settings::Settings::starting_file();
        let report = Report::new(text.trim_end(), json!({ "toml": text, "path": path.to_string() }));
        return Ok(report.hint(format!("put what differs in your shop into {path}")));
    }
    if matches!(command, SettingsCommand::Tolerances) {
        let text = crate::settings::SHOP_TABLE_EXAMPLE;
        let report = Report::new(text.trim_end(), json!({ "toml": text }));
        return Ok(
            report.hint(format!("name your copy in {path}: tolerance.shop_table = \"tolerances.toml\""))
        );
    }
    let width = shown.values.iter().map(|(name, ..)| name.len()).max().unwrap_or(0);
    let word = |origin: &Origin| match origin {
        Origin::Facts => "facts",
        Origin::Default => "default",
        Origin::File => "file",
    };
    let line = |(name, value, origin): &(String, String, Origin)| {
        format!("{:<8} {name:<width$}  {value}", word(origin))
    };
    let text = shown.values.iter().map(line).collect::<Vec<_>>().join("\n");
    let values: Vec<Value> = shown
        .values
        .iter()
        .map(|(name, value, origin)| json!({ "name": name, "value": value, "origin": word(origin) }))
        .collect();
    let there = if shown.path.exists() { "file" } else { "no file yet" };
    let report = Report::new(text, json!({ "path": path.to_string(), "values": values }));
    Ok(report.hint(format!(
        "{there}: {path}. `facts` are the program's table of materials, each with its source; the rest is common \
         practice, no source, unless `settings defaults` names one: correct it to your shop"
    )))
}
