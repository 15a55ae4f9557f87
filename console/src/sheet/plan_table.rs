//! The plan as a table: the right eye on the left, as one faces the wearer, and what is meant between the two.

use super::words::{joined, typeset};
use crate::view::plan::{PlanView, Sheet};
use maud::{Markup, html};

/// The table, and below it what has no two sides.
pub(super) fn plan_table(plan: &PlanView) -> Markup {
    html! {
        section {
            table.plan {
                thead {
                    tr { th.r scope="col" { "right eye" } th.what scope="col" { "plan" } th.l scope="col" { "left eye" } }
                }
                tbody {
                    @for row in plan.rows.iter().filter(|row| row.sheet != Sheet::Left) {
                        tr.strong[row.sheet == Sheet::Bold] {
                            td.r { (typeset(&row.eyes[0])) }
                            th.what scope="row" { (row.name) }
                            td.l { (typeset(&row.eyes[1])) }
                        }
                    }
                }
            }
            p.facts { @for (name, words) in &plan.account { b { (name) } " " bdi { (typeset(words)) } ". " } }
            p.facts { (joined(plan.cautions().map(|caution| html! { bdi { (typeset(&caution)) } }))) }
        }
    }
}
