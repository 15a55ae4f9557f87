//! At which station a console's work is typed, and who signs what is said at a desk.

use super::letters::name;
use serde::Deserialize;

/// Whom a record of the desk is to name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SignedBy {
    /// Nobody but whoever says so.
    Nobody,
    /// The station at which it was said.
    Station,
    /// Whoever said it, by initials.
    Initials,
}

/// What is said at a desk: where and by whom. What is typed for one command goes before the environment, and both before the
/// file.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DeskSettings {
    /// What each record of the desk has to name.
    pub signed_by: SignedBy,
    /// The station for which speaks what is typed, by its name; else that at which the console stands.
    #[serde(default, deserialize_with = "name")]
    pub station: Option<String>,
    /// The initials of whoever types.
    #[serde(default, deserialize_with = "name")]
    pub initials: Option<String>,
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;
    use super::*;

    #[test]
    fn a_shop_says_whom_its_records_name() {
        let desk = |text| load(text).map(|(settings, _)| settings.desk).map_err(|error| error.to_string());
        let nobody = DeskSettings { signed_by: SignedBy::Nobody, station: None, initials: None };
        assert_eq!(desk(""), Ok(nobody));
        let own = desk("[desk]\nsigned_by = \"initials\"\nstation = \"Edge 1\"\ninitials = \"EM\"").unwrap();
        assert_eq!((own.signed_by, own.station.as_deref()), (SignedBy::Initials, Some("Edge 1")));
        assert!(desk("desk.signed_by = \"all\"").unwrap_err().contains("nobody"));
    }
}
