//! How a pulley was measured.

use laneside_core::drive::Measure;

/// The short name of a way of measuring.
pub fn label(measure: Measure) -> &'static str {
    say!(match measure {
        Measure::Called => "Only what it is called",
        Measure::Caliper => "Caliper over the ribs",
        Measure::Tape => "Tape around it",
        Measure::Effective => "Maker's drawing",
        Measure::Pitch => "Pitch diameter",
    })
}
