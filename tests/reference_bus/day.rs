//! The day against SciPy: `tests/fixtures/day.json` names the versions, `make_day.py` makes it again.

use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::battery::{Battery, Chemistry, Resistance, Spec, State};
use laneside_core::bus::Sense;
use laneside_core::day::{
    Accuracy, Charger, Driven, Loss, Segment, Start, Starter, Supplied, simulate,
};
use laneside_core::trace::Trace;
use laneside_tests::days::loads;
use serde::Deserialize;

use crate::support::near;

#[derive(Deserialize)]
struct Fixture {
    days: Vec<Day>,
}

#[derive(Deserialize)]
struct Day {
    car: Car,
    parts: Vec<f64>,
    segments: Vec<Wanted>,
}

#[derive(Deserialize)]
struct Car {
    name: String,
    chemistry: Chemistry,
    cells: u8,
    capacity_ah: f64,
    ohm: f64,
    soc: f64,
    low: (f64, f64),
    high: (f64, f64),
    test_v: f64,
    exponent: f64,
    ratio: f64,
    turn_on_rpm: f64,
    hold_rpm: f64,
    loss: (f64, f64),
    field_a: f64,
    set_point_v: f64,
    sense: Sense,
    path_ohm: f64,
    limiter_rpm: f64,
    under_hood_c: f64,
    ambient_c: f64,
}

#[derive(Deserialize)]
struct Wanted {
    seconds: f64,
    steady: [f64; 4],
    at_limiter: [f64; 4],
    engine: Option<Vec<(f64, f64)>>,
    starter: Option<(f64, f64, u32)>,
    charger: Option<(f64, f64)>,
    /// Volts at the posts, charge, volts over the pair, temperatures of alternator and battery, at each of the parts.
    at: Vec<[f64; 5]>,
    /// Generated, loads, path, ohmic, pair, unstored.
    energies_j: [f64; 6],
}

struct Parts {
    battery: Battery,
    machine: Machine,
}

impl Parts {
    fn of(car: &Car) -> Self {
        Self {
            battery: Battery::new(&Spec {
                chemistry: car.chemistry,
                cells: car.cells,
                capacity_ah: car.capacity_ah,
                health: 1.0,
                resistance: Resistance::Measured {
                    ohm: car.ohm,
                    celsius: 25.0,
                },
                charge_limit_a: None,
            })
            .unwrap(),
            machine: Machine {
                curve: Curve::pair(car.low, car.high).unwrap(),
                test_v: car.test_v,
                warmth: Warmth::Stabilized,
            },
        }
    }

    fn supplied(&self, car: &Car) -> Supplied<'_> {
        Supplied {
            battery: Some(&self.battery),
            alternator: Some(Driven {
                machine: &self.machine,
                field: Field {
                    scale: 1.0,
                    low_form: 1.0,
                    exponent: car.exponent,
                },
                ratio: car.ratio,
                turn_on_rpm: car.turn_on_rpm,
                hold_rpm: car.hold_rpm,
                loss: Some(Loss {
                    lose_rpm: car.loss.0,
                    recover_rpm: car.loss.1,
                }),
                field_a: car.field_a,
                set_point_v: car.set_point_v,
                sense: car.sense,
            }),
            path_ohm: car.path_ohm,
            under_hood_c: car.under_hood_c,
            ambient_c: car.ambient_c,
            ..Supplied::NOTHING
        }
    }
}

fn segment(wanted: &Wanted, car: &Car) -> Segment {
    let sum =
        |[electronics, pump, fan, resistive]: [f64; 4]| loads(electronics, pump, fan, resistive);
    Segment {
        engine: wanted
            .engine
            .clone()
            .map(|points| Trace::new(points).unwrap()),
        at_limiter: sum(wanted.at_limiter),
        limiter_rpm: car.limiter_rpm,
        starter: wanted.starter.map(|(amps, seconds, times)| Starter {
            amps,
            seconds,
            times,
        }),
        charger: wanted
            .charger
            .map(|(limit_a, volts)| Charger { limit_a, volts }),
        ..Segment::off(wanted.seconds, sum(wanted.steady))
    }
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("../fixtures/day.json")).unwrap()
}

/// Validation. Source: SciPy's solve_ivp on the same equations, written again from their description. Tolerance: 1 mV, 0.01 %
/// of charge, 0.05 K, and 1e-4 of what moves.
#[test]
fn the_day_is_that_of_scipy() {
    for day in fixture().days {
        let (car, parts) = (&day.car, Parts::of(&day.car));
        let supplied = parts.supplied(car);
        let start = Start {
            battery: State::rested(car.soc, car.ambient_c),
            alternator_c: car.ambient_c,
        };
        let segments: Vec<Segment> = day.segments.iter().map(|w| segment(w, car)).collect();
        let mut widest = [0.0f64; 3];
        for (place, wanted) in day.segments.iter().enumerate() {
            assert_eq!(wanted.at.len(), day.parts.len());
            for (part, row) in day.parts.iter().zip(&wanted.at) {
                // The day up to this moment, so that it ends there.
                let mut until = segments[..=place].to_vec();
                until[place].seconds *= part;
                let run = simulate(&supplied, start, &until, Accuracy::FINE);
                let last = run.segments[place].samples.last().unwrap();
                let found = [
                    last.settled.node_v,
                    run.end.battery.soc,
                    run.end.battery.pair_v,
                    run.end.alternator_c,
                    run.end.battery.celsius,
                ];
                let off: Vec<f64> = found.iter().zip(row).map(|(a, b)| a - b).collect();
                let told = format!("{} segment {place} at {part}: {off:?}", car.name);
                assert!(off[0].abs() < 1e-3 && off[2].abs() < 1e-3, "{told}");
                assert!(off[1].abs() < 1e-4, "{told}");
                assert!(off[3].abs() < 0.05 && off[4].abs() < 0.05, "{told}");
                for (most, off) in widest.iter_mut().zip([off[0], off[1], off[3]]) {
                    *most = most.max(off.abs());
                }
                if *part == 1.0 {
                    let books = run.segments[place].books;
                    let energies = [
                        books.generated_j,
                        books.loads_j,
                        books.path_j,
                        books.ohmic_j,
                        books.pair_j,
                        books.unstored_j,
                    ];
                    let moved = 1.0 + books.throughput_j();
                    for (found, wanted) in energies.iter().zip(wanted.energies_j) {
                        near(*found, wanted, 1e-4 * moved);
                    }
                }
            }
        }
        println!(
            "{}: widest {:.1} uV, {:.1e} of charge, {:.1e} K",
            car.name,
            1e6 * widest[0],
            widest[1],
            widest[2]
        );
    }
}
