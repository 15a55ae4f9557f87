//! The plan as a table: the right eye on the left, as one faces the wearer, and what is meant between the two.

use super::words::{joined, typeset};
use crate::view::plan::{BenchCard, Row, Sheet};
use maud::{Markup, html};

/// Rows of the plan, and below them what has no two sides and what is warned of.
pub(super) fn plan_table<'v>(rows: impl Iterator<Item = &'v Row>, card: &BenchCard<'_>) -> Markup {
    html! {
        section {
            table.plan {
                thead {
                    tr { th.r scope="col" { "right eye" } th.what scope="col" { "plan" } th.l scope="col" { "left eye" } }
                }
                tbody {
                    @for row in rows {
                        tr.strong[row.sheet == Sheet::Bold] {
                            td.r { (typeset(&row.eyes[0])) }
                            th.what scope="row" { (row.name) }
                            td.l { (typeset(&row.eyes[1])) }
                        }
                    }
                }
            }
            p.facts { @for (name, words) in &card.account { span { b { (name) } " " bdi { (typeset(words)) } ". " } } }
            p.facts.warned { (joined(card.warnings.iter().map(|warning| html! { bdi { "! " (typeset(warning)) } }))) }
        }
    }
}
