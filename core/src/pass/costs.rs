//! What low voltage costs.

use crate::car::Costs;
use crate::data::low_voltage::{COIL_A, COIL_MH, COIL_OHM, DEAD_TIME_V_MS, PUMP_V_LPH};

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

/// Voltage that low voltage is held against, V: the upper one of the published pump.
pub const FULL_V: f64 = 13.5;

/// What one voltage costs against another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Costing {
    /// Change of the pump's flow, as a part of it.
    pub flow_part: Cost,
    /// Change of the injector's dead time, ms.
    pub dead_ms: Cost,
    /// Change of the coil's dwell, s; `None` where it never reaches its current.
    pub dwell_s: Option<f64>,
}

/// What a voltage (V) costs against a better one (V), of the person's own devices where they
/// are entered.
pub fn costing(own: &Costs, low_v: f64, full_v: f64) -> Costing {
    let own_flow = own.flow_12_lph.zip(own.flow_13_5_lph);
    let own_dead = own.dead_12_ms.zip(own.dead_14_ms);
    let (now, full) = (flow(own_flow, low_v), flow(own_flow, full_v));
    let flow_part = Cost {
        value: now.value / full.value - 1.0,
        ..now
    };
    let (now, full) = (dead_time(own_dead, low_v), dead_time(own_dead, full_v));
    let dead_ms = Cost {
        value: now.value - full.value,
        ..now
    };
    let dwells_s = |volts| {
        let henry = own.coil_mh.unwrap_or(COIL_MH) / 1e3;
        let ohm = own.coil_ohm.unwrap_or(COIL_OHM);
        dwell(henry, ohm, own.coil_a.unwrap_or(COIL_A), volts)
    };
    Costing {
        flow_part,
        dead_ms,
        dwell_s: dwells_s(low_v)
            .zip(dwells_s(full_v))
            .map(|(now, full)| now - full),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Verification: a coil's current is `V/R (1 - exp(-t R/L))`, and without resistance `V t/L`.
    #[test]
    fn a_coil_is_charged_when_its_current_is_reached() {
        for (henry, ohm, amps, volts) in [(0.003, 0.6, 8.0, 12.0), (0.005, 0.4, 6.0, 9.0)] {
            let seconds = dwell(henry, ohm, amps, volts).unwrap();
            let reached = volts / ohm * (1.0 - (-seconds * ohm / henry).exp());
            assert!((reached - amps).abs() < 1e-9, "{reached}");
        }
        assert_eq!(dwell(0.003, 0.0, 8.0, 12.0), Some(0.002));
        assert_eq!(dwell(0.003, 0.6, 8.0, 0.0), None);
    }

    #[test]
    fn tables_are_met_and_held_outside() {
        assert_eq!(dead_time(None, 11.0).value, 1.194);
        assert!(!dead_time(None, 14.0).held);
        let low = dead_time(None, 9.0);
        assert_eq!((low.value, low.held), (1.383, true));
        let between = flow(Some((400.0, 460.0)), 12.75);
        assert_eq!((between.value, between.held), (430.0, false));
    }

    /// The published pump gives 700 at 12 V and 800 at 13.5 V, the injector 1.040 ms at 12 V
    /// and 0.914 ms at 13 V.
    #[test]
    fn what_12_volts_cost_against_13_and_a_half() {
        let found = costing(&Costs::default(), 12.0, 13.5);
        assert!((found.flow_part.value + 0.125).abs() < 1e-12);
        let at_13_5 = 0.5 * (0.914 + 0.797);
        assert!((found.dead_ms.value - (1.040 - at_13_5)).abs() < 1e-12);
        assert!(found.dwell_s.unwrap() > 0.0);
        let same = costing(&Costs::default(), 13.5, 13.5);
        assert_eq!((same.flow_part.value, same.dwell_s), (0.0, Some(0.0)));
    }
}
