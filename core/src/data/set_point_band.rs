//! The voltage that a regulator holds.

use crate::finding::{Mark, Source};

/// One carmaker's band over temperature.
pub const SOURCE: Source = Source {
    citation: "one carmaker's workshop manual: regulated voltage over temperature",
    mark: Mark::Published,
};

/// (degrees Celsius, lowest V, highest V) of a 12 V system.
pub const BAND_C_V: [(f64, f64, f64); 4] = [
    (-20.0, 14.0, 15.1),
    (20.0, 13.7, 14.6),
    (60.0, 13.2, 14.3),
    (80.0, 12.9, 14.1),
];

/// The band at a regulator temperature: (lowest, highest) V of a 12 V system.
/// Straight lines between the table's rows, held outside them.
pub fn band_v(celsius: f64) -> (f64, f64) {
    let first = BAND_C_V[0];
    if celsius <= first.0 {
        return (first.1, first.2);
    }
    for pair in BAND_C_V.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if celsius <= b.0 {
            let t = (celsius - a.0) / (b.0 - a.0);
            return (a.1 + t * (b.1 - a.1), a.2 + t * (b.2 - a.2));
        }
    }
    let last = BAND_C_V[BAND_C_V.len() - 1];
    (last.1, last.2)
}
