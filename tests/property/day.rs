//! Days made at random: the books add up, finer steps show nothing else, and what a person would expect happens.

use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::battery::{Battery, Chemistry, Spec, State};
use laneside_core::bus::Sense;
use laneside_core::day::{
    Accuracy, Charger, Driven, Loss, Sample, Segment, Start, Starter, Supplied, simulate,
};
use laneside_core::trace::Trace;
use laneside_tests::days::{Electrics, eight_rounds, loads};
use proptest::prelude::*;

#[derive(Clone, Debug)]
struct Car {
    battery: Option<Battery>,
    machine: Option<Machine>,
    ratio: f64,
    set_point_v: f64,
    sense: Sense,
    path_ohm: f64,
    turn_on_rpm: f64,
    loss: Option<Loss>,
    under_hood_c: f64,
    ambient_c: f64,
}

impl Car {
    fn supplied(&self) -> Supplied<'_> {
        Supplied {
            battery: self.battery.as_ref(),
            alternator: self.machine.as_ref().map(|machine| Driven {
                machine,
                field: Field {
                    scale: 1.0,
                    low_form: 1.0,
                    exponent: 0.4,
                },
                ratio: self.ratio,
                turn_on_rpm: self.turn_on_rpm,
                hold_rpm: 1_300.0,
                loss: self.loss,
                field_a: 4.0,
                set_point_v: self.set_point_v,
                sense: self.sense,
            }),
            path_ohm: self.path_ohm,
            under_hood_c: self.under_hood_c,
            ambient_c: self.ambient_c,
            ..Supplied::NOTHING
        }
    }
}

fn any_battery() -> impl Strategy<Value = Battery> {
    (
        0..Chemistry::ALL.len(),
        any::<prop::sample::Index>(),
        5.0..90.0f64,
        0.2..1.0f64,
    )
        .prop_map(|(chemistry, cells, capacity_ah, health)| {
            let chemistry = Chemistry::ALL[chemistry];
            Battery::new(&Spec {
                cells: *cells.get(chemistry.cells()),
                capacity_ah,
                health,
                ..Spec::of(chemistry)
            })
            .unwrap()
        })
}

fn any_machine() -> impl Strategy<Value = Machine> {
    (20.0..90.0f64, 1.2..3.0f64, any::<bool>()).prop_map(|(low_a, more, cold)| Machine {
        curve: Curve::pair((1_500.0, low_a), (6_000.0, low_a * more)).unwrap(),
        test_v: 13.5,
        warmth: if cold {
            Warmth::Cold
        } else {
            Warmth::Stabilized
        },
    })
}

fn any_car() -> impl Strategy<Value = Car> {
    (
        prop::option::weighted(0.85, any_battery()),
        prop::option::weighted(0.85, any_machine()),
        (1.0..3.5f64, 12.8..15.2f64, any::<bool>(), 0.0..0.03f64),
        1_300.0..2_600.0f64,
        prop::option::of((9_000.0..16_000.0f64, 0.7..1.0f64)),
        (20.0..90.0f64, -10.0..40.0f64),
    )
        .prop_map(
            |(
                battery,
                machine,
                (ratio, set_point_v, at_battery, path_ohm),
                turn_on_rpm,
                loss,
                (under_hood_c, ambient_c),
            )| {
                Car {
                    battery,
                    machine,
                    ratio,
                    set_point_v,
                    sense: if at_battery {
                        Sense::Battery
                    } else {
                        Sense::Alternator
                    },
                    path_ohm,
                    turn_on_rpm,
                    loss: loss.map(|(lose_rpm, part)| Loss {
                        lose_rpm,
                        recover_rpm: part * lose_rpm,
                    }),
                    under_hood_c,
                    ambient_c,
                }
            },
        )
}

/// Engine speeds with slopes, holds and steps.
fn any_trace() -> impl Strategy<Value = Trace> {
    prop::collection::vec(
        (prop_oneof![Just(0.0), 0.2..60.0f64], 500.0..7_500.0f64),
        1..8,
    )
    .prop_map(|points| {
        let mut at_s = 0.0;
        let points = points
            .into_iter()
            .map(|(seconds, rpm)| {
                at_s += seconds;
                (at_s, rpm)
            })
            .collect();
        Trace::new(points).unwrap()
    })
}

fn any_segment() -> impl Strategy<Value = Segment> {
    let draw = || (0.0..25.0f64, 0.0..25.0f64, 0.0..25.0f64, 0.0..25.0f64);
    (
        prop_oneof![5.0..60.0f64, 60.0..3_000.0f64],
        prop::option::of(any_trace()),
        draw(),
        prop::option::of(draw()),
        prop::option::weighted(0.3, (100.0..350.0f64, 0.3..2.0f64, 1..4u32)),
        prop::option::weighted(0.3, (2.0..40.0f64, 13.0..16.5f64)),
    )
        .prop_map(|(seconds, engine, steady, more, starter, charger)| {
            let sum =
                |(electronics, pump, fan, resistive)| loads(electronics, pump, fan, resistive);
            Segment {
                engine,
                at_limiter: more.map_or_else(Default::default, sum),
                limiter_rpm: 7_000.0,
                starter: starter.map(|(amps, seconds, times)| Starter {
                    amps,
                    seconds,
                    times,
                }),
                charger: charger.map(|(limit_a, volts)| Charger { limit_a, volts }),
                ..Segment::off(seconds, sum(steady))
            }
        })
}

fn start(soc: f64, ambient_c: f64) -> Start {
    Start {
        battery: State::rested(soc, ambient_c),
        alternator_c: ambient_c,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// Verification: what came in is what went out, was lost, or is stored, to a millionth of what moved, for any day.
    #[test]
    fn energy_is_kept(car in any_car(), soc in 0.0..=1.0f64, day in prop::collection::vec(any_segment(), 1..10)) {
        for accuracy in [Accuracy::FINE, Accuracy::COARSE] {
            let run = simulate(&car.supplied(), start(soc, car.ambient_c), &day, accuracy);
            prop_assert_eq!(run.segments.len(), day.len());
            let books = run.books();
            let allowed = if accuracy == Accuracy::FINE { 1e-6 } else { 1e-3 };
            let part = books.missing_j().abs() / (books.throughput_j() + 1.0);
            prop_assert!(part < allowed, "{:e} of {:?}", part, books);
            for loss_j in [books.path_j, books.ohmic_j, books.pair_j, books.unstored_j, books.loads_j] {
                prop_assert!(loss_j >= -allowed * (1.0 + books.throughput_j()));
            }
            prop_assert!((0.0..=1.0).contains(&run.end.battery.soc));
            if car.battery.is_none() {
                prop_assert_eq!(run.end.battery.soc, soc);
            }
        }
    }

    /// Verification: half the step moves nothing that is shown by more than a millivolt or 0.01 % of charge. Lowest and
    /// highest voltages under 9 V, where nothing in the car works any more, are left out: the last voltage before it falls off
    /// an edge moves by a millivolt with a millionth of the load.
    #[test]
    fn half_the_step_shows_nothing_else(car in any_car(), soc in 0.2..=1.0f64,
        day in prop::collection::vec(any_segment(), 1..8)) {
        // Without a battery two voltages can stand for the same loads, and which one is kept hangs on the very moment of a
        // switch.
        prop_assume!(car.battery.is_some());
        // Of fifth order: half the step is a thirty-second of the error.
        let finer = Accuracy { allowed: Accuracy::FINE.allowed / 32.0, ..Accuracy::FINE };
        let from = start(soc, car.ambient_c);
        let run = simulate(&car.supplied(), from, &day, Accuracy::FINE);
        let twice = simulate(&car.supplied(), from, &day, finer);
        for (place, (one, other)) in run.segments.iter().zip(&twice.segments).enumerate() {
            if one.collapsed_s > 0.0 || other.collapsed_s > 0.0 {
                // From here on everything hangs on when it fell off its edge.
                break;
            }
            prop_assert!((one.end_soc - other.end_soc).abs() < 1e-4, "{} {} {}", place, one.end_soc, other.end_soc);
            prop_assert!((one.rest_v - other.rest_v).abs() < 1e-3);
            if one.lowest.1 >= 9.0 {
                prop_assert!((one.lowest.1 - other.lowest.1).abs() < 1e-3, "{} {:?} {:?}", place, one.lowest, other.lowest);
            }
            if one.highest.1 >= 9.0 {
                prop_assert!((one.highest.1 - other.highest.1).abs() < 1e-3, "{} {:?} {:?}", place, one.highest, other.highest);
            }
            let ends = [one, other].map(|passed| passed.samples.last().map_or(0.0, |last| last.settled.node_v));
            prop_assert!((ends[0] - ends[1]).abs() < 1e-3, "{} {:?}", place, ends);
            if let (Some(one), Some(other)) = (one.crank_v, other.crank_v) {
                prop_assert!((one - other).abs() < 1e-3);
            }
        }
    }

    /// Samples are in order, few, and hold the lowest and the highest voltage.
    #[test]
    fn samples_draw_the_day(car in any_car(), soc in 0.0..=1.0f64, day in prop::collection::vec(any_segment(), 1..6)) {
        let run = simulate(&car.supplied(), start(soc, car.ambient_c), &day, Accuracy::FINE);
        let mut at_s = 0.0;
        for (passed, segment) in run.segments.iter().zip(&day) {
            prop_assert!((passed.from_s - at_s).abs() < 1e-9);
            for sample in &passed.samples {
                prop_assert!(sample.at_s >= at_s - 1e-9 && sample.at_s <= passed.until_s + 1e-9);
                at_s = sample.at_s;
            }
            let bends = segment.engine.as_ref().map_or(0, |trace| trace.points().len());
            prop_assert!(passed.samples.len() <= 400 + 12 * bends, "{}", passed.samples.len());
            // Between two starts the engine stands.
            let counted = |sample: &&Sample| !passed.engine_ran || sample.engine_rpm > 0.0;
            let counted = || passed.samples.iter().filter(counted);
            let volts = || counted().map(|sample| sample.settled.node_v);
            prop_assert_eq!(volts().fold(f64::INFINITY, f64::min), passed.lowest.1);
            prop_assert_eq!(volts().fold(f64::NEG_INFINITY, f64::max), passed.highest.1);
            at_s = passed.until_s;
        }
    }

    /// A constant current out of a battery takes its ampere hours, however the day is cut.
    #[test]
    fn ampere_hours_are_counted(battery in any_battery(), parts in prop::collection::vec(10.0..600.0f64, 1..6)) {
        let amps = 0.1 * battery.capacity_ah;
        let hours: f64 = parts.iter().sum::<f64>() / 3_600.0;
        let day: Vec<Segment> = parts.iter().map(|s| Segment::off(*s, loads(0.0, amps, 0.0, 0.0))).collect();
        let run = simulate(&Supplied::by(&battery), start(0.9, 25.0), &day, Accuracy::FINE);
        prop_assert!((run.end.battery.soc - (0.9 - 0.1 * hours)).abs() < 1e-9);
    }
}

/// A smaller pulley ends the day with more charge, until its output goes in the pass.
#[test]
fn a_faster_alternator_ends_the_day_fuller() {
    let day: Vec<Segment> = eight_rounds()
        .unwrap()
        .into_iter()
        .map(|segment| Segment {
            charger: None,
            ..segment
        })
        .collect();
    let end = |ratio| {
        let car = Electrics::with_ratio(ratio).unwrap();
        simulate(&car.supplied(), start(0.9, 25.0), &day, Accuracy::FINE)
    };
    let (slow, fast) = (end(1.5), end(2.2));
    assert!(fast.end.battery.soc > slow.end.battery.soc + 0.02);
    // Few enough to draw.
    let most = fast
        .segments
        .iter()
        .map(|passed| passed.samples.len())
        .max();
    assert!(most.is_some_and(|most| most <= 60), "{most:?}");
    let lost = end(2.6);
    assert!(lost.segments.iter().any(|passed| passed.lost_s > 0.0));
    assert!(fast.segments.iter().all(|passed| passed.lost_s == 0.0));
}

/// What ranks and spreads a day lies close to what is shown of it.
#[test]
fn the_coarse_day_is_close_to_the_fine_one() {
    let day = eight_rounds().unwrap();
    for ratio in [1.5, 1.95, 2.5] {
        let car = Electrics::with_ratio(ratio).unwrap();
        let [fine, coarse] = [Accuracy::FINE, Accuracy::COARSE]
            .map(|accuracy| simulate(&car.supplied(), start(0.9, 25.0), &day, accuracy));
        let (mut charge, mut volts) = (0.0f64, 0.0f64);
        for (one, other) in fine.segments.iter().zip(&coarse.segments) {
            charge = charge.max((one.end_soc - other.end_soc).abs());
            volts = volts.max((one.lowest.1 - other.lowest.1).abs());
        }
        println!("{ratio}: {charge:.1e} of charge, {:.2} mV", 1e3 * volts);
        assert!(charge < 1e-4 && volts < 5e-3, "{ratio}: {charge} {volts}");
    }
}
