//! Several values where a statement has a list of them.

use super::value::Value;

/// `?first` and so on for values, and the values: as many as a power of two, of which the last is said again, so that there are
/// few statements to prepare.
pub(super) fn listed<'v, T: Copy + Into<Value<'v>>>(first: usize, of: &[T]) -> (String, Vec<Value<'v>>) {
    let many = of.len().next_power_of_two();
    let numbers: Vec<String> = (first..first + many).map(|number| format!("?{number}")).collect();
    let again = of.last().into_iter().cycle();
    (numbers.join(", "), of.iter().chain(again).take(many).map(|value| (*value).into()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_value_is_said_again_up_to_a_power_of_two() {
        let (numbers, values) = listed(3, &[7_i64, 8, 9]);
        assert_eq!(numbers, "?3, ?4, ?5, ?6");
        let numbers = |value: &Value<'_>| if let Value::Number(number) = value { *number } else { None };
        assert_eq!(values.iter().map(numbers).collect::<Vec<_>>(), [Some(7), Some(8), Some(9), Some(9)]);
        assert_eq!(listed(1, &[7_i64]).0, "?1");
    }
}
