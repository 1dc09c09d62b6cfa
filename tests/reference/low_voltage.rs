//! What low voltage costs: the published devices, and a coil by another way.

use crate::support::{near, within};
use laneside_core::pass::{dead_time, dwell, flow};

/// Validation. Source: one published injector, 10 to 14 V, and one published pump, 700 lb/h at 12 V and 800 at 13.5
/// (0.74 kg/L of gasoline is common practice). Tolerance: the table's own digits.
#[test]
fn what_low_voltage_costs_is_that_of_the_tables() {
    for (volts, wanted) in [
        (10.0, 1.383),
        (11.0, 1.194),
        (12.0, 1.040),
        (13.0, 0.914),
        (14.0, 0.797),
    ] {
        let found = dead_time(None, volts);
        near(found.value, wanted, 1e-12);
        assert!(!found.held);
    }
    near(dead_time(None, 12.5).value, 0.977, 1e-12);
    for (volts, pounds_per_hour) in [(12.0, 700.0), (13.5, 800.0)] {
        let found = flow(None, volts);
        near(found.value, pounds_per_hour * 0.453_592_37 / 0.74, 0.05);
        assert!(!found.held);
    }
    // 13.5 to 12 V: an eighth of the flow, and 0.1 to 0.2 ms at each pulse.
    within(flow(None, 12.0).value / flow(None, 13.5).value, 0.875, 1e-3);
    for outside in [9.9, 14.1, f64::NAN] {
        assert!(dead_time(None, outside).held);
    }
    for outside in [11.9, 13.6] {
        assert!(flow(None, outside).held);
    }
    near(flow(None, 8.0).value, flow(None, 12.0).value, 0.0);
}

/// Verification: dwell against L di/dt = V - R i in small steps (Runge-Kutta). Tolerance: 1e-6 of the current.
#[test]
fn dwell_is_when_the_current_is_there() {
    for (henry, ohm, amps, volts) in [
        (0.003, 0.6, 8.0, 12.0),
        (0.003, 0.6, 8.0, 9.0),
        (0.008, 1.5, 6.0, 14.0),
        (0.003, 0.0, 8.0, 12.0),
        (0.003, 1e-9, 8.0, 12.0),
    ] {
        let dwell_s = dwell(henry, ohm, amps, volts).unwrap();
        let rise = |current: f64| (volts - ohm * current) / henry;
        let (mut current, steps) = (0.0, 10_000);
        let width = dwell_s / f64::from(steps);
        for _ in 0..steps {
            let a = rise(current);
            let b = rise(current + 0.5 * width * a);
            let c = rise(current + 0.5 * width * b);
            let d = rise(current + width * c);
            current += width / 6.0 * (a + 2.0 * b + 2.0 * c + d);
        }
        within(current, amps, 1e-6);
    }
    // 0.6 ohm x 8 A is 4.8 V: never reached at or under it.
    for volts in [4.8, 4.0, 0.0, -12.0, f64::NAN] {
        assert_eq!(dwell(0.003, 0.6, 8.0, volts), None);
    }
}
