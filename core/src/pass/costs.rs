//! What low voltage costs.

use crate::data::low_voltage::{DEAD_TIME_V_MS, PUMP_V_LPH};

/// A device's figure at a voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// The figure.
    pub value: f64,
    /// Whether the voltage lies outside the device's table: then its last figure is held.
    pub held: bool,
}

/// Straight lines through a table, held outside.
fn read(table: &[(f64, f64)], volts: f64) -> Cost {
    let after = table.partition_point(|row| row.0 <= volts);
    let before = after.checked_sub(1).and_then(|at| table.get(at));
    match (before, table.get(after)) {
        (Some(from), Some(to)) => Cost {
            value: from.1 + (to.1 - from.1) * (volts - from.0) / (to.0 - from.0),
            held: false,
        },
        (Some(end), None) | (None, Some(end)) => Cost {
            value: end.1,
            held: volts != end.0,
        },
        (None, None) => Cost {
            value: 0.0,
            held: true,
        },
    }
}

/// Flow of a fuel pump at a voltage (V), L/h: the person's own at 12 and 13.5 V (L/h), or that
/// of a published pump.
pub fn flow(own_lph: Option<(f64, f64)>, volts: f64) -> Cost {
    own_lph.map_or_else(
        || read(&PUMP_V_LPH, volts),
        |(at_12, at_13_5)| read(&[(12.0, at_12), (13.5, at_13_5)], volts),
    )
}

/// Dead time of an injector at a voltage (V), ms: the person's own at 12 and 14 V (ms), or
/// that of a published injector.
pub fn dead_time(own_ms: Option<(f64, f64)>, volts: f64) -> Cost {
    own_ms.map_or_else(
        || read(&DEAD_TIME_V_MS, volts),
        |(at_12, at_14)| read(&[(12.0, at_12), (14.0, at_14)], volts),
    )
}

/// Time until a coil (H, ohm) reaches its current (A) at a voltage (V), s: `t = -(L/R) ln(1 -
/// R I/V)`, `L I/V` without a resistance; `None` where it never does.
///
/// ```
/// use laneside_core::pass::dwell;
///
/// assert!(dwell(0.003, 0.6, 8.0, 12.0).is_some());
/// assert_eq!(dwell(0.003, 0.6, 8.0, 4.8), None);
/// ```
pub fn dwell(henry: f64, ohm: f64, amps: f64, volts: f64) -> Option<f64> {
    let part = ohm * amps / volts;
    let is_reached = volts > 0.0 && part < 1.0;
    is_reached.then(|| {
        // -ln(1 - x)/x is 1 at x = 0.
        let longer = if part == 0.0 {
            1.0
        } else {
            -(-part).ln_1p() / part
        };
        henry * amps / volts * longer
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_met_and_held_outside() {
        assert_eq!(dead_time(None, 11.0).value, 1.194);
        assert!(!dead_time(None, 14.0).held);
        let low = dead_time(None, 9.0);
        assert_eq!((low.value, low.held), (1.383, true));
        let between = flow(Some((400.0, 460.0)), 12.75);
        assert_eq!((between.value, between.held), (430.0, false));
    }
}
