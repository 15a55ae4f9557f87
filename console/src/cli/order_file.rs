//! Orders in a file, TOML or JSON: what is given for each, and on which line.
//!
//! One order is a table of fields; several are `[[order]]` tables, or a JSON array. Which of the two formats it is shows in
//! its first letter. Numbers are taken as they are written.

use super::Failure;
use super::order_form::Filled;
use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::fmt;
use std::io::{ErrorKind, Read};
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// An order as it is written.
#[derive(Debug, PartialEq)]
pub(crate) struct Written {
    /// The line on which it begins.
    pub(crate) line: usize,
    /// Its fields, each with its line.
    pub(crate) fields: Vec<(usize, Filled)>,
}

/// The name of an order's table.
const ORDER: &str = "order";

const EXPECTED: &str = "expected one order as fields, or several as [[order]] tables or a JSON array";

/// The most bytes that are read of a file.
const LARGEST: u64 = 1 << 20;

/// The orders in a file; `-` is the standard input.
pub(crate) fn read(path: &Path) -> Result<Vec<Written>, Failure> {
    let shown = path.display();
    let source: Box<dyn Read> = match path.as_os_str() == "-" {
        true => Box::new(std::io::stdin()),
        false => Box::new(crate::file::open(path).map_err(|error| match error.kind() {
            ErrorKind::NotFound => Failure::NotFound(format!("there is no file {shown}")),
            _ => Failure::Fault(format!("{shown}: {error}")),
        })?),
    };
    let mut bytes = Vec::new();
    let read = source.take(LARGEST + 1).read_to_end(&mut bytes);
    read.map_err(|error| Failure::Fault(format!("{shown}: {error}")))?;
    let text = String::from_utf8(bytes).ok().filter(|text| text.len() as u64 <= LARGEST);
    let orders = match text {
        Some(text) => parse(&text),
        None => Err(format!("expected text (UTF-8) of at most {LARGEST} bytes")),
    };
    let orders = orders.map_err(|why| Failure::Use(format!("{shown}: {why}")))?;
    if orders.is_empty() {
        return Err(Failure::Use(format!("{shown}: there is no order in it; {EXPECTED}")));
    }
    Ok(orders)
}

fn parse(text: &str) -> Result<Vec<Written>, String> {
    let begins = text.trim_start();
    let json = begins.starts_with('{')
        || begins.strip_prefix('[').is_some_and(|rest| rest.trim_start().starts_with(['{', ']']));
    if json { from_json(text) } else { from_toml(text) }
}

/// The line of a place in the text, from 1.
fn line_of(text: &str, place: usize) -> usize {
    text.as_bytes().iter().take(place).filter(|byte| **byte == b'\n').count() + 1
}

fn underscores(name: &str) -> String {
    name.replace('_', "-")
}

fn not_one(line: usize, field: &str) -> String {
    format!(
        "line {line}, {field}: expected a text or a number, or a list of them: right before left, or treatments"
    )
}

fn from_toml(text: &str) -> Result<Vec<Written>, String> {
    let table = DeTable::parse(text).map_err(|error| {
        let line = error.span().map_or(1, |span| line_of(text, span.start));
        format!("line {line}: {}", error.message())
    })?;
    let table = table.into_inner();
    match table.get(ORDER).map(Spanned::get_ref) {
        Some(DeValue::Array(orders)) => {
            if let Some((name, _)) = table.iter().find(|(name, _)| name.get_ref() != ORDER) {
                let line = line_of(text, name.span().start);
                return Err(format!(
                    "line {line}, {}: it belongs to no order; put it below [[order]]",
                    name.get_ref()
                ));
            }
            orders.iter().map(|order| toml_order(text, order)).collect()
        }
        Some(DeValue::Table(order)) => Ok(vec![toml_fields(text, 1, order)?]),
        Some(_) => Err(EXPECTED.into()),
        None if table.is_empty() => Ok(Vec::new()),
        None => Ok(vec![toml_fields(text, 1, &table)?]),
    }
}

fn toml_order(text: &str, order: &Spanned<DeValue<'_>>) -> Result<Written, String> {
    let line = line_of(text, order.span().start);
    match order.get_ref() {
        DeValue::Table(fields) => toml_fields(text, line, fields),
        _ => Err(format!("line {line}: {EXPECTED}")),
    }
}

fn toml_fields(text: &str, line: usize, table: &DeTable<'_>) -> Result<Written, String> {
    let mut fields = Vec::new();
    for (name, value) in table {
        let line = line_of(text, name.span().start);
        let values = match value.get_ref() {
            DeValue::Array(many) => {
                many.iter().map(|one| toml_text(text, one.span(), one.get_ref())).collect()
            }
            one => toml_text(text, value.span(), one).map(|one| vec![one]),
        };
        let values = values.ok_or_else(|| not_one(line, name.get_ref()))?;
        fields.push((line, Filled { field: underscores(name.get_ref()), values }));
    }
    fields.sort_by_key(|(line, _)| *line);
    Ok(Written { line, fields })
}

fn toml_text(text: &str, place: Range<usize>, value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::String(said) => Some(said.clone().into_owned()),
        DeValue::Integer(_) | DeValue::Float(_) | DeValue::Datetime(_) => text.get(place).map(str::to_owned),
        DeValue::Boolean(_) | DeValue::Array(_) | DeValue::Table(_) => None,
    }
}

fn from_json(text: &str) -> Result<Vec<Written>, String> {
    // From the place, since the words of the error tell it a second time.
    let wrong = |error: serde_json::Error| {
        let said = error.to_string();
        let what = said.split(" at line ").next().unwrap_or_default();
        format!("line {}: {what}", error.line())
    };
    let line = |raw: &RawValue| line_of(text, raw.get().as_ptr() as usize - text.as_ptr() as usize);
    if text.trim_start().starts_with('[') {
        let orders: Vec<&RawValue> = serde_json::from_str(text).map_err(wrong)?;
        return orders.into_iter().map(|order| json_order(order, &line)).collect();
    }
    let whole: &RawValue = serde_json::from_str(text).map_err(wrong)?;
    let Members(members) = serde_json::from_str(text).map_err(wrong)?;
    match members.as_slice() {
        [(name, orders)] if name == ORDER && orders.get().starts_with('[') => {
            let orders: Vec<&RawValue> = serde_json::from_str(orders.get()).map_err(wrong)?;
            orders.into_iter().map(|order| json_order(order, &line)).collect()
        }
        _ => Ok(vec![json_order(whole, &line)?]),
    }
}

fn json_order(order: &RawValue, line: &impl Fn(&RawValue) -> usize) -> Result<Written, String> {
    let at = line(order);
    let Members(members) = serde_json::from_str(order.get()).map_err(|_| format!("line {at}: {EXPECTED}"))?;
    let mut fields = Vec::new();
    for (name, value) in members.into_iter().filter(|(_, value)| value.get() != "null") {
        let at = line(value);
        let many: Result<Vec<&RawValue>, _> = serde_json::from_str(value.get());
        let many = many.unwrap_or_else(|_| vec![value]);
        let values: Option<Vec<String>> = many.into_iter().map(json_text).collect();
        let values = values.ok_or_else(|| not_one(at, &name))?;
        fields.push((at, Filled { field: underscores(&name), values }));
    }
    Ok(Written { line: at, fields })
}

fn json_text(value: &RawValue) -> Option<String> {
    let raw = value.get();
    match raw.chars().next()? {
        '"' => serde_json::from_str(raw).ok(),
        '-' | '0'..='9' => Some(raw.to_owned()),
        _ => None,
    }
}

/// The members of a JSON object as they stand, each as often as it does.
struct Members<'t>(Vec<(String, &'t RawValue)>);

impl<'t> Deserialize<'t> for Members<'t> {
    fn deserialize<D: Deserializer<'t>>(deserializer: D) -> Result<Self, D::Error> {
        struct Each;
        impl<'t> Visitor<'t> for Each {
            type Value = Members<'t>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an order as an object of fields")
            }

            fn visit_map<M: MapAccess<'t>>(self, mut map: M) -> Result<Self::Value, M::Error> {
                let mut members = Vec::new();
                while let Some(member) = map.next_entry()? {
                    members.push(member);
                }
                Ok(Members(members))
            }
        }
        deserializer.deserialize_map(Each)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(field: &str, values: &[&str]) -> Filled {
        Filled { field: field.into(), values: values.iter().map(|value| (*value).to_owned()).collect() }
    }

    #[test]
    fn one_order_or_several_in_either_format_with_their_lines() {
        let two = "\n[[order]]\ncustomer = \"K-17\"\npd = [31.50, 31]\n# more\n[[order]]\nlab_power_right = -1.25\n";
        let wanted = vec![
            Written {
                line: 2,
                fields: vec![(3, given("customer", &["K-17"])), (4, given("pd", &["31.50", "31"]))],
            },
            Written { line: 6, fields: vec![(7, given("lab-power-right", &["-1.25"]))] },
        ];
        assert_eq!(parse(two), Ok(wanted));
        let json = "[\n {\"customer\": \"K-17\",\n  \"pd\": [31.50, 31], \"tray\": null},\n {\"lab_power_right\": -1.25}]";
        let orders = parse(json).unwrap();
        assert_eq!(orders.iter().map(|order| order.line).collect::<Vec<_>>(), [2, 4]);
        assert_eq!(orders[0].fields, [(2, given("customer", &["K-17"])), (3, given("pd", &["31.50", "31"]))]);
        assert_eq!(parse(&format!("{{\"order\": {json}}}")), Ok(orders));
        for one in ["due = 2026-12-04\n", "[order]\ndue = 2026-12-04\n", "{\"due\": \"2026-12-04\"}"] {
            assert_eq!(parse(one).unwrap()[0].fields[0].1, given("due", &["2026-12-04"]), "{one}");
        }
        assert_eq!([parse(""), parse("[]")], [Ok(Vec::new()), Ok(Vec::new())]);
    }

    #[test]
    fn what_is_no_order_is_refused_with_its_line() {
        for (text, said) in [
            ("a = 50\nb = true\n", "line 2, b: expected a text or a number"),
            ("[{\"a\": 50,\n \"b\": {\"mm\": 38}}]", "line 2, b: expected a text or a number"),
            ("a = \n", "line 1: "),
            ("{\"a\": 50,\n", "line 2: EOF"),
            ("[{},\n 5]", "line 2: expected one order"),
            ("rim = \"metal\"\n[[order]]\na = 50\n", "line 1, rim: it belongs to no order"),
            ("order = 5\n", "expected one order"),
        ] {
            let error = parse(text).unwrap_err();
            assert!(error.contains(said), "{text}: {error}");
        }
    }
}
