//! Speed and output.

use crate::cars::car;
use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::balance::{alternator_rpm, slipping_rpm};
use laneside_core::resolve::{Pulleys, Resolved};
use laneside_core::tolerance::Tolerances;
use proptest::prelude::*;

/// Points that make a curve: rising, with droops of up to a tenth.
fn points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let steps = prop::collection::vec((50.0..4_000.0_f64, -0.02..0.8_f64), 1..12);
    (500.0..3_000.0_f64, 0.0..100.0_f64, 1.0..80.0_f64, steps).prop_map(
        |(speed, amps, rise, steps)| {
            let mut points = vec![(speed, amps), (speed + 300.0, amps + rise)];
            let (mut speed, mut last) = points[1];
            let mut peak: f64 = last;
            for (step, part) in steps {
                speed += step;
                last = (last * (1.0 + part * 0.3)).max(0.91 * peak).min(900.0);
                peak = peak.max(last);
                if speed < 30_000.0 {
                    points.push((speed, last));
                }
            }
            points
        },
    )
}

proptest! {
    /// Alternator speed rises with engine speed, and falls with the alternator pulley and with slip.
    #[test]
    fn speed_rises_with_the_engine_and_falls_with_the_pulley(
        car in car(), engine in 300.0..20_000.0, faster in 1.0001..3.0, size in 30.0..200.0, larger in 1.0001..3.0,
    ) {
        let tolerances = Tolerances::new(Resolved::new(&car).unwrap());
        let state = tolerances.nominal();
        let speed = |pulleys, engine| alternator_rpm(state, pulleys, engine);
        prop_assert!(speed(Pulleys::ON_CAR, engine * faster) > speed(Pulleys::ON_CAR, engine));
        let with = Pulleys::with_alternator;
        prop_assert!(speed(with(size * larger), engine) < speed(with(size), engine));
        let slipping = slipping_rpm(state, with(size), engine);
        prop_assert!(slipping < speed(with(size), engine));
    }

    /// At test voltage, as warm as at its test, output never rises above its points, never falls below zero, and between
    /// two points stays between their currents. The pair's form is held to its upper point the same way.
    #[test]
    fn output_never_rises_above_its_points(
        points in points(), exponent in 0.0..1.0, test_v in 12.0..28.0, speeds in prop::collection::vec(0.0..40_000.0, 40),
    ) {
        let field = Field { scale: 1.0, low_form: 1.0, exponent };
        let peak = points.iter().map(|point| point.1).fold(0.0, f64::max);
        for (curve, peak) in [
            (Curve::points(&points).unwrap(), peak),
            (Curve::pair(points[0], points[1]).unwrap(), points[1].1),
        ] {
            let machine = Machine { curve, test_v, warmth: Warmth::Stabilized };
            for &speed in &speeds {
                let amps = machine.output_a(speed, test_v, &field);
                prop_assert!((0.0..=peak * (1.0 + 1e-12)).contains(&amps), "{amps} A at {speed} rpm, peak {peak}");
            }
            // Settled in the test room it gives no more than its peak either: the rating was taken so.
            let fastest = machine.hot_output_a(40_000.0, test_v, 23.0, &field);
            prop_assert!(fastest <= peak * (1.0 + 1e-12));
        }
        let curve = Curve::points(&points).unwrap();
        for pair in points.windows(2) {
            let ((from, a), (to, b)) = (pair[0], pair[1]);
            for step in 0..=8 {
                let amps = curve.at(from + (to - from) * f64::from(step) / 8.0);
                prop_assert!(amps >= a.min(b) - 1e-9 && amps <= a.max(b) + 1e-9);
            }
        }
    }

    /// Output never falls with speed where the points do not, and never rises with the heat around it.
    #[test]
    fn output_rises_with_speed_and_falls_with_heat(
        low in 5.0..100.0, more in 1.0..200.0, bus_v in 9.0..19.0, exponent in 0.0..1.0, speed in 0.0..30_000.0,
        faster in 0.0..10_000.0, air in -20.0..120.0, hotter in 0.0..40.0, cold in any::<bool>(),
    ) {
        let warmth = if cold { Warmth::Cold } else { Warmth::Stabilized };
        let machine = Machine {
            curve: Curve::pair((1_500.0, low), (6_000.0, low + more)).unwrap(),
            test_v: 13.5,
            warmth,
        };
        let field = Field { scale: 1.0, low_form: 1.0, exponent };
        let slack = 1e-9 * (low + more);
        let hot = |speed, air| machine.hot_output_a(speed, bus_v, air, &field);
        prop_assert!(hot(speed + faster, air) >= hot(speed, air) - slack);
        prop_assert!(hot(speed, air + hotter) <= hot(speed, air) + slack);
        prop_assert!(hot(speed, air) <= machine.cold_output_a(speed, bus_v, &field) + slack || air < 23.0);
        // Output begins where cut-in speed says.
        let cut_in = machine.cut_in_rpm(bus_v, &field);
        prop_assert_eq!(machine.output_a(cut_in * 0.999, bus_v, &field), 0.0);
        prop_assert!(machine.output_a(cut_in * 1.001, bus_v, &field) > 0.0);
    }
}
