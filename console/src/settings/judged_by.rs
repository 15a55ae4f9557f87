//! What a verdict was given by, as it is recorded with a sign-off.

use bevelbook_core::tolerance::Standard;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A published standard, or a table of the shop's own by its name. A standard is recorded by its key alone, as it
/// was before there were shop tables.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum JudgedBy {
    /// A published standard.
    Published(Standard),
    /// A table of the shop's own.
    Shop {
        /// What the table was called.
        shop_table: String,
    },
}

impl fmt::Display for JudgedBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Published(standard) => standard.fmt(f),
            Self::Shop { shop_table } => write!(f, "{shop_table} (shop table)"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_standard_is_recorded_as_it_always_was() {
        let standard = JudgedBy::Published(Standard::AnsiZ801_2015);
        assert_eq!(serde_json::to_value(&standard).unwrap(), json!("ansi-z80.1-2015"));
        assert_eq!(serde_json::from_value::<JudgedBy>(json!("ansi-z80.1-2015")).unwrap(), standard);
        let shop = JudgedBy::Shop { shop_table: "ours".into() };
        assert_eq!(serde_json::from_value::<JudgedBy>(serde_json::to_value(&shop).unwrap()).unwrap(), shop);
        assert_eq!(shop.to_string(), "ours (shop table)");
    }
}
