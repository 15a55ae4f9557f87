//! What is ordered, as it heads a plan.

use crate::desk::Order;

/// Where the customer stands in it.
pub(super) const CUSTOMER: &str = "customer";

/// The job's number, then what is ordered, each thing under its name; of what needs none the name is empty. The reference
/// stands in the customer's place.
pub(super) fn head(order: &Order, material: &str) -> Vec<(&'static str, String)> {
    let (frame, lens) = (&order.frame, &order.lens);
    let segment = lens.segment.map_or_else(String::new, |segment| format!(" {segment}"));
    let treatments: String = lens.treatments.iter().map(|treatment| format!(", {treatment}")).collect();
    let near = order.near_pd.map_or_else(String::new, |near| format!(", near {near}"));
    let heights =
        order.heights.map_or_else(|| "not ordered".into(), |[right, left]| format!("{right}/{left}"));
    let head = [
        ("job", Some(order.number.to_string())),
        ("tray", order.tray.clone()),
        (CUSTOMER, Some(order.customer.clone())),
        order.due.map_or(("", Some("no due date".into())), |due| ("due", Some(due.to_string()))),
        ("frame", Some(format!("{} {}, {}", frame.model, frame.label(), frame.rim.named()))),
        ("lenses", Some(format!("{material} {}{segment}{treatments}", lens.design))),
        ("PD", Some(format!("{}{near}", order.far_pd))),
        ("heights", Some(heights)),
    ];
    head.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
}
