//! Changes to an order.
//!
//! An amendment holds only what it changes, as a JSON merge patch (RFC 7396) of the order: two consoles that amend
//! different things at once both keep their change. What is one thing, such as the prescription of an eye, is
//! changed as a whole.

use super::Order;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// A change to an order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Amendment {
    /// What changes: a merge patch of the order.
    pub changes: Value,
    /// Why, in the shop's words.
    pub why: String,
}

/// The amended order is the order itself.
#[derive(Debug, thiserror::Error)]
#[error("nothing would change; name what is to be different, for example --tray 5")]
pub struct NothingChanged;

impl Amendment {
    /// The amendment that turns `before` into `after`.
    ///
    /// # Errors
    /// They are the same.
    pub fn between(before: &Order, after: &Order, why: &str) -> Result<Self, NothingChanged> {
        let json = |order| serde_json::to_value(order).unwrap_or_default();
        match difference(&json(before), &json(after)) {
            Some(changes) => Ok(Self { changes, why: why.to_owned() }),
            None => Err(NothingChanged),
        }
    }

    /// The order as amended.
    ///
    /// # Errors
    /// The changes do not fit an order of this version.
    pub fn amend(&self, order: &Order) -> Result<Order, serde_json::Error> {
        let mut value = serde_json::to_value(order)?;
        apply_patch(&mut value, &self.changes);
        serde_json::from_value(value)
    }

    /// The names of what it changes, with dots between the levels.
    pub fn fields(&self) -> Vec<String> {
        let mut fields = Vec::new();
        collect_fields(&self.changes, "", &mut fields);
        fields
    }
}

fn collect_fields(changes: &Value, prefix: &str, fields: &mut Vec<String>) {
    match changes {
        // Of a trace nobody wants to know which of its lines.
        Value::Object(members) if prefix != "trace" => {
            for (name, change) in members {
                let path = if prefix.is_empty() { name.clone() } else { format!("{prefix}.{name}") };
                collect_fields(change, &path, fields);
            }
        }
        _ => fields.push(prefix.to_owned()),
    }
}

/// Applies a merge patch as RFC 7396 section 2 defines it: members replace, objects merge, null removes.
fn apply_patch(target: &mut Value, patch: &Value) {
    let Value::Object(changes) = patch else {
        *target = patch.clone();
        return;
    };
    if !target.is_object() {
        *target = Value::Object(Map::new());
    }
    if let Value::Object(members) = target {
        for (name, change) in changes {
            if change.is_null() {
                members.remove(name);
            } else {
                apply_patch(members.entry(name.clone()).or_insert(Value::Null), change);
            }
        }
    }
}

/// Fields whose parts change one by one. Any other is one thing said at once: when any part of it changes, the
/// amendment states it whole, so that two amendments never mix into a prescription nobody wrote.
const IN_PARTS: [&str; 2] = ["frame", "lens"];

/// The merge patch from `before` to `after`, or `None` when they are the same.
fn difference(before: &Value, after: &Value) -> Option<Value> {
    let (Value::Object(old), Value::Object(new)) = (before, after) else {
        return (before != after).then(|| after.clone());
    };
    let mut changes = Map::new();
    for (name, value) in new {
        let earlier = old.get(name).unwrap_or(&Value::Null);
        let change = match IN_PARTS.contains(&name.as_str()) {
            true => difference(earlier, value),
            false => (earlier != value).then(|| restated(earlier, value)),
        };
        changes.extend(change.map(|change| (name.clone(), change)));
    }
    for name in old.keys().filter(|name| !new.contains_key(*name)) {
        changes.insert(name.clone(), Value::Null);
    }
    (!changes.is_empty()).then_some(Value::Object(changes))
}

/// A patch that says all of `after` and removes what only `before` had.
fn restated(before: &Value, after: &Value) -> Value {
    let (Value::Object(old), Value::Object(new)) = (before, after) else { return after.clone() };
    let gone = old.keys().filter(|name| !new.contains_key(*name)).map(|name| (name.clone(), Value::Null));
    let said = new
        .iter()
        .map(|(name, value)| (name.clone(), restated(old.get(name).unwrap_or(&Value::Null), value)));
    Value::Object(said.chain(gone).collect())
}

#[cfg(test)]
mod tests {
    use super::super::order::sample;
    use super::*;
    use crate::desk::LabPower;
    use bevelbook_core::frame::PupillaryDistance;
    use bevelbook_core::prescription::EyeOrder;
    use serde_json::json;

    #[test]
    fn the_examples_of_rfc_7396_appendix_a() {
        for (mut target, patch, result) in [
            (json!({"a": "b"}), json!({"a": "c"}), json!({"a": "c"})),
            (json!({"a": "b"}), json!({"b": "c"}), json!({"a": "b", "b": "c"})),
            (json!({"a": "b"}), json!({"a": null}), json!({})),
            (json!({"a": "b", "b": "c"}), json!({"a": null}), json!({"b": "c"})),
            (json!({"a": ["b"]}), json!({"a": "c"}), json!({"a": "c"})),
            (json!({"a": "c"}), json!({"a": ["b"]}), json!({"a": ["b"]})),
            (json!({"a": {"b": "c"}}), json!({"a": {"b": "d", "c": null}}), json!({"a": {"b": "d"}})),
            (json!({"a": [{"b": "c"}]}), json!({"a": [1]}), json!({"a": [1]})),
            (json!(["a", "b"]), json!(["c", "d"]), json!(["c", "d"])),
            (json!({"a": "b"}), json!(["c"]), json!(["c"])),
            (json!({"a": "foo"}), json!(null), json!(null)),
            (json!({"a": "foo"}), json!("bar"), json!("bar")),
            (json!({"e": null}), json!({"a": 1}), json!({"e": null, "a": 1})),
            (json!([1, 2]), json!({"a": "b", "c": null}), json!({"a": "b"})),
            (json!({}), json!({"a": {"bb": {"ccc": null}}}), json!({"a": {"bb": {}}})),
        ] {
            apply_patch(&mut target, &patch);
            assert_eq!(target, result, "{patch}");
        }
    }

    #[test]
    fn two_amendments_of_different_things_both_hold() {
        let order = sample();
        let mut tray = order.clone();
        tray.tray = None;
        let mut frame = order.clone();
        frame.frame.model = "Lindgren 9".into();
        let one = Amendment::between(&order, &tray, "moved").unwrap();
        let other = Amendment::between(&order, &frame, "other model").unwrap();
        let both = other.amend(&one.amend(&order).unwrap()).unwrap();
        assert_eq!((both.tray, both.frame.model.as_str()), (None, "Lindgren 9"));
        assert_eq!(other.fields(), ["frame.model"]);
    }

    #[test]
    fn a_prescription_is_never_mixed_from_two_amendments() {
        let order = sample();
        let with = |text| {
            let mut amended = order.clone();
            amended.right = EyeOrder::parse(text).unwrap();
            Amendment::between(&order, &amended, "").unwrap()
        };
        let (axis, cylinder) = (with("-1.25 -0.75 x 25"), with("-1.25 -1.00 x 15 add +2.00"));
        let both = cylinder.amend(&axis.amend(&order).unwrap()).unwrap();
        assert_eq!(both.right, EyeOrder::parse("-1.25 -1.00 x 15 add +2.00").unwrap());
        let both = axis.amend(&cylinder.amend(&order).unwrap()).unwrap();
        assert_eq!(both.right, EyeOrder::parse("-1.25 -0.75 x 25").unwrap());
        // Nor is a power to verify.
        let verify = |text| {
            let mut amended = order.clone();
            let power = EyeOrder::parse(text).unwrap().power;
            amended.left_verify = Some(LabPower { power, prism: None, add: None });
            amended
        };
        let (one, other) = (verify("-1.50 -0.50 x 10"), verify("-1.50 -0.75 x 20"));
        let between = |before, after| Amendment::between(before, after, "").unwrap();
        let both = between(&order, &one).amend(&between(&order, &other).amend(&order).unwrap()).unwrap();
        assert_eq!(both, one);
        assert_eq!(between(&one, &order).amend(&one).unwrap(), order);
    }

    #[test]
    fn a_pd_changes_between_its_two_forms() {
        let order = sample();
        let mut amended = order.clone();
        amended.far_pd = PupillaryDistance::parse("63").unwrap();
        amended.near_pd = Some(PupillaryDistance::parse("60").unwrap());
        let there = Amendment::between(&order, &amended, "").unwrap();
        assert_eq!(there.amend(&order).unwrap(), amended);
        let back = Amendment::between(&amended, &order, "").unwrap();
        assert_eq!(back.amend(&amended).unwrap(), order);
    }

    #[test]
    fn an_amendment_that_changes_nothing_is_refused() {
        assert!(Amendment::between(&sample(), &sample(), "no reason").is_err());
    }
}
