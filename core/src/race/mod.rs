//! The pass and the day of a car: planned from what the person entered, run with both
//! pulleys.

mod plan;

pub use plan::{Plan, plan, template};
