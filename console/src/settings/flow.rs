//! How the shop goes along the line, as a settings file writes it.

use bevelbook_core::record::{CheckItem, Flow};
use serde::{Deserialize, Deserializer, de::Error};

/// [`Flow`] as the file writes it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FlowTable {
    left_first: bool,
    hundredths: bool,
    checks: Vec<CheckItem>,
}

pub(super) fn flow<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Flow, D::Error> {
    let FlowTable { left_first, hundredths, checks } = FlowTable::deserialize(deserializer)?;
    match checks.iter().find(|item| !Flow::CHECKS.contains(item)) {
        Some(item) => Err(D::Error::custom(format!(
            "checks of bench: \"{item}\" is not one that a shop may leave out; those are bevel, firm, strain, surfaces \
             and alignment"
        ))),
        None => Ok(Flow { left_first, hundredths, ..Flow::COMMON }.asking(&checks)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;
    use super::*;

    #[test]
    fn a_shop_says_which_eye_comes_first_and_what_it_looks_for() {
        let flow = |text| load(text).map(|(settings, _)| settings.bench).map_err(|error| error.to_string());
        assert_eq!(flow(""), Ok(Flow::COMMON));
        let own = flow("bench.left_first = true\nbench.checks = [\"bevel\", \"alignment\"]").unwrap();
        assert!(own.left_first && own.asks(CheckItem::Alignment) && !own.asks(CheckItem::Strain));
        assert!(flow("bench.checks = [\"slip\"]").unwrap_err().contains("bevel, firm, strain"));
        assert!(flow("bench.checks = [\"scratch\"]").unwrap_err().contains("scratch"));
    }
}
