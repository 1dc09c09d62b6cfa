//! A published output table of a 28 V machine.

use crate::finding::{Mark, Source};

/// US Army technical manual (the printed table was read from a scan).
pub const SOURCE: Source = Source {
    citation: "US Army TM 9-2320-280-34, table 6-A.5, 28 V alternator output (read by OCR)",
    mark: Mark::Published,
};

/// (alternator rpm, A).
pub const OUTPUT_RPM_A: [(f64, f64); 5] = [
    (1_200.0, 48.0),
    (1_500.0, 69.0),
    (2_000.0, 85.0),
    (4_000.0, 100.0),
    (8_000.0, 100.0),
];

/// A self-exciting machine that may need 2,000 rpm to excite and makes 12 A at 1,500.
pub const SELF_EXCITE_SOURCE: Source = Source {
    citation: "US Army TM 5-3895-383-24: may need 2,000 rpm to excite, makes 12 A at 1,500 rpm",
    mark: Mark::Published,
};
