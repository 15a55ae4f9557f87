//! Why there is no plan.

use crate::settings::SettingsError;
use crate::trace::TraceError;
use bevelbook_core::prescription::Eye;

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    /// The material is no longer in the settings.
    #[error(transparent)]
    Settings(#[from] SettingsError),
    /// The order's trace cannot be read.
    #[error(transparent)]
    Trace(#[from] TraceError),
    /// The sizes make no shape.
    #[error("the {eye} lens has no shape: {why}; amend the sizes of the frame")]
    Shape {
        /// Which eye.
        eye: Eye,
        /// What is wrong.
        why: String,
    },
}
