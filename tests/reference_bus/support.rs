//! What several checks need.

use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::battery::{Battery, Chemistry, Resistance, Spec, State};
use laneside_core::bus::Loads;
use laneside_core::integrate::{self, Slope};
use laneside_core::loads::LoadKind;

/// Fails unless `found` lies within `tolerance` (absolute) of `wanted`.
#[track_caller]
pub fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

/// The machine of the examples: 50 A at 1,500 rpm, 120 A at 6,000 rpm, 13.5 V.
pub fn machine_50_120() -> Machine {
    Machine {
        curve: Curve::pair((1_500.0, 50.0), (6_000.0, 120.0)).unwrap(),
        test_v: 13.5,
        warmth: Warmth::Stabilized,
    }
}

/// The machine as rated, with this exponent of its field current over the bus voltage.
pub fn field(exponent: f64) -> Field {
    Field {
        scale: 1.0,
        low_form: 1.0,
        exponent,
    }
}

/// Loads of constant power (W) that fade under a voltage (V).
pub fn constant_power(watts: f64, fading_v: f64) -> Loads {
    let mut loads = Loads::new(fading_v);
    loads.add(watts / 10.0, 10.0, LoadKind::Electronics);
    loads
}

/// A new battery of the chemistry's usual cell count, 50 Ah, 5 mOhm.
pub fn new_battery(chemistry: Chemistry) -> Battery {
    Battery::new(&Spec {
        capacity_ah: 50.0,
        health: 1.0,
        resistance: Resistance::Measured {
            ohm: 0.005,
            celsius: 25.0,
        },
        ..Spec::of(chemistry)
    })
    .unwrap()
}

/// The battery after a constant current (A, positive into it) for so many seconds, and the energy that went into its
/// terminals, J.
pub fn carry(battery: &Battery, from: &State, amps: f64, seconds: f64) -> (State, f64) {
    const WIDEST_S: f64 = 2.0;
    let state = |y: &[f64; 3]| State {
        soc: y[0],
        pair_v: y[1],
        celsius: from.celsius,
    };
    let mut slope = |_: f64, y: &[f64; 3]| {
        let here = state(y);
        let volts = battery.rest_v(here.soc, here.celsius)
            + here.pair_v
            + amps * battery.ohmic_ohm(here.celsius);
        let flow = battery.flow(&here, volts, amps);
        Slope {
            by: [flow.soc_per_s, flow.pair_v_per_s, volts * amps],
            extra: (),
        }
    };
    let steps = (seconds / WIDEST_S).ceil().max(1.0);
    let mut now = [from.soc, from.pair_v, 0.0];
    let mut first = slope(0.0, &now);
    let mut at = 0.0;
    while at < steps {
        let trial = integrate::step(&mut slope, 0.0, &now, &first, seconds / steps);
        (now, first) = (trial.after, trial.slope);
        at += 1.0;
    }
    (state(&now), now[2])
}
