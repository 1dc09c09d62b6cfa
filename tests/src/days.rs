//! A race day of invented electrics, for checks and measurements.

use anyhow::Result;
use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::battery::{Battery, Chemistry, Resistance, Spec};
use laneside_core::bus::{Loads, Sense};
use laneside_core::day::{Charger, Driven, Loss, Segment, Starter, Supplied};
use laneside_core::loads::LoadKind;
use laneside_core::trace::Trace;

/// What the models of a day borrow.
pub struct Electrics {
    /// The battery.
    pub battery: Battery,
    /// The alternator.
    pub machine: Machine,
    /// Alternator turns for one of the engine.
    pub ratio: f64,
}

impl Electrics {
    /// A 50 Ah AGM battery of 6 mOhm and a 50/120 A alternator with these pulleys.
    ///
    /// # Errors
    /// If the figures here were none; they are.
    pub fn with_ratio(ratio: f64) -> Result<Self> {
        Ok(Self {
            battery: Battery::new(&Spec {
                capacity_ah: 50.0,
                health: 1.0,
                resistance: Resistance::Measured {
                    ohm: 0.006,
                    celsius: 25.0,
                },
                ..Spec::of(Chemistry::Agm)
            })?,
            machine: Machine {
                curve: Curve::pair((1_500.0, 50.0), (6_000.0, 120.0))?,
                test_v: 13.5,
                warmth: Warmth::Stabilized,
            },
            ratio,
        })
    }

    /// The model: output is lost over 15,500 rpm of the alternator and back under 14,000.
    pub fn supplied(&self) -> Supplied<'_> {
        Supplied {
            battery: Some(&self.battery),
            alternator: Some(Driven {
                machine: &self.machine,
                field: Field {
                    scale: 1.0,
                    low_form: 1.0,
                    exponent: 0.4,
                },
                ratio: self.ratio,
                turn_on_rpm: 1_900.0,
                hold_rpm: 1_371.0,
                loss: Some(Loss {
                    lose_rpm: 15_500.0,
                    recover_rpm: 14_000.0,
                }),
                field_a: 4.0,
                set_point_v: 14.2,
                sense: Sense::Alternator,
            }),
            path_ohm: 0.006,
            under_hood_c: 60.0,
            ..Supplied::NOTHING
        }
    }
}

/// Loads of a car: electronics, pump, fan and resistors (A at 13.5 V).
pub fn loads(electronics_a: f64, pump_a: f64, fan_a: f64, resistive_a: f64) -> Loads {
    let mut loads = Loads::new(9.0);
    loads.add(electronics_a, 13.5, LoadKind::Electronics);
    loads.add(pump_a, 13.5, LoadKind::Pump);
    loads.add(fan_a, 13.5, LoadKind::Fan);
    loads.add(resistive_a, 13.5, LoadKind::Resistive);
    loads
}

/// A segment of a running engine.
pub fn running(trace: Trace, steady: Loads) -> Segment {
    Segment {
        seconds: trace.seconds(),
        engine: Some(trace),
        limiter_rpm: 7_200.0,
        ..Segment::off(0.0, steady)
    }
}

/// Points of a pass: launch, three shifts, the stripe, the coast down.
pub const PASS: [(f64, f64); 10] = [
    (0.0, 4_200.0),
    (1.9, 6_900.0),
    (2.1, 4_400.0),
    (4.6, 6_900.0),
    (4.8, 5_000.0),
    (8.3, 6_900.0),
    (8.5, 5_600.0),
    (11.2, 6_700.0),
    (11.2, 5_500.0),
    (20.0, 1_500.0),
];

/// Eight rounds of eight phases in six hours.
///
/// # Errors
/// If the figures here were none; they are.
pub fn eight_rounds() -> Result<Vec<Segment>> {
    let start = Some(Starter {
        amps: 200.0,
        seconds: 1.0,
        times: 1,
    });
    let mut day = Vec::new();
    for round in 1..=8 {
        let pits = Segment {
            charger: Some(Charger {
                limit_a: 10.0,
                volts: 14.4,
            }),
            ..Segment::off(1_000.0, loads(1.0, 0.0, 0.0, 0.0))
        };
        let warm_up = Segment {
            starter: start,
            ..running(
                Trace::new(vec![
                    (0.0, 900.0),
                    (20.0, 900.0),
                    (21.0, 2_500.0),
                    (23.0, 900.0),
                    (180.0, 900.0),
                ])?,
                loads(12.0, 8.0, 10.0, 3.0),
            )
        };
        let lanes = Segment::off(600.0, loads(2.0, 0.0, 10.0, 0.0));
        let burnout = Segment {
            starter: start,
            ..running(
                Trace::new(vec![
                    (0.0, 900.0),
                    (60.0, 900.0),
                    (62.0, 6_000.0),
                    (70.0, 6_000.0),
                ])?,
                loads(18.0, 8.0, 10.0, 3.0),
            )
        };
        let stage = running(
            Trace::new(vec![
                (0.0, 1_000.0),
                (12.0, 1_000.0),
                (14.0, 4_200.0),
                (16.0, 4_200.0),
            ])?,
            loads(18.0, 8.0, 0.0, 8.0),
        );
        let mut pass = running(Trace::new(PASS.to_vec())?, loads(18.0, 8.0, 0.0, 5.0));
        pass.at_limiter = loads(8.0, 0.0, 0.0, 0.0);
        let back = running(Trace::constant(1_600.0, 184.0), loads(12.0, 8.0, 22.0, 3.0));
        let cool_down = Segment::off(626.0, loads(2.0, 6.0, 12.0, 0.0));
        for (place, segment) in [pits, warm_up, lanes, burnout, stage, pass, back, cool_down]
            .into_iter()
            .enumerate()
        {
            day.push(Segment {
                place,
                round,
                ..segment
            });
        }
    }
    Ok(day)
}
