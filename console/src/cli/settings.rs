//! `settings`: the tables in force.

use super::{Failure, Report, answer, page::Page, shop::Shop};
use crate::settings::{SHOP_TABLE_EXAMPLE, Setting, Settings, Shown};
use clap::Subcommand;

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
    let (_, Shown { path: file, values }) = shop.settings()?;
    let path = file.display().to_string();
    Ok(match command {
        SettingsCommand::Show => {
            let there = if file.exists() { "file" } else { "no file yet" };
            let hint = format!(
                "{there}: {path}. `facts` are the program's table of materials, each with its source; the rest is \
                 common practice, no source, unless `settings defaults` names one: correct it to your shop"
            );
            answer!("{}", table(&values); path = path, values = values).hint(hint)
        }
        SettingsCommand::Defaults => {
            let hint = format!("put what differs in your shop into {path}");
            answer!("{}", toml.trim_end(); toml = Settings::starting_file(), path = path).hint(hint)
        }
        SettingsCommand::Tolerances => {
            let hint = format!("name your copy in {path}: tolerance.shop_table = \"tolerances.toml\"");
            answer!("{}", toml.trim_end(); toml = SHOP_TABLE_EXAMPLE).hint(hint)
        }
    })
}

fn table(values: &[Setting]) -> String {
    let width = values.iter().map(|setting| setting.name.len()).max().unwrap_or(0);
    let mut page = Page::default();
    for Setting { name, value, origin } in values {
        page.line(format!("{origin:<8} {name:<width$}  {value}"));
    }
    page.text()
}
