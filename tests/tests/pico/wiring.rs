//! The wiring.
