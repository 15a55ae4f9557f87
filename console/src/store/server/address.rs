//! stand-in
use std::fmt;
#[derive(Clone, PartialEq, Eq)]
pub struct Address(pub String);
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no address")]
pub struct NotAnAddress;
impl Address {
    pub fn meant(text: &str) -> Option<Result<Self, NotAnAddress>> {
        text.starts_with("postgres://").then(|| Ok(Self(text.into())))
    }
}
impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
impl fmt::Debug for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
pub(in crate::store) fn connect(address: &Address) -> Result<postgres::Client, crate::store::Trouble> {
    let mut client =
        postgres::Client::connect(&address.0, postgres::NoTls).map_err(|e| trouble(&e, "cannot connect"))?;
    client.batch_execute("SET search_path TO bevelbook").map_err(|e| trouble(&e, "cannot connect"))?;
    Ok(client)
}
pub(in crate::store) fn trouble(error: &postgres::Error, doing: &'static str) -> crate::store::Trouble {
    let _ = doing;
    crate::store::Trouble::Away { why: format!("{error:?}") }
}
