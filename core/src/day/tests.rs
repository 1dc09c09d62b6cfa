#![allow(clippy::unwrap_used)]

use super::*;
use crate::alternator::{Curve, Warmth};
use crate::battery::{Chemistry, Spec};
use crate::bus::Regime;

use crate::loads::LoadKind;

fn machine() -> Machine {
    Machine {
        curve: Curve::pair((1_500.0, 50.0), (6_000.0, 120.0)).unwrap(),
        test_v: 13.5,
        warmth: Warmth::Stabilized,
    }
}

fn driven(machine: &Machine) -> Driven<'_> {
    Driven {
        machine,
        field: Field {
            scale: 1.0,
            low_form: 1.0,
            exponent: 0.4,
        },
        ratio: 2.0,
        turn_on_rpm: 2_400.0,
        hold_rpm: 1_300.0,
        loss: None,
        field_a: 4.0,
        set_point_v: 14.2,
        sense: Sense::Alternator,
    }
}

fn loads(amps: f64) -> Loads {
    let mut loads = Loads::new(9.0);
    loads.add(amps, 13.5, LoadKind::Resistive);
    loads
}

fn running(trace: Trace, amps: f64) -> Segment {
    Segment {
        seconds: trace.seconds(),
        engine: Some(trace),
        limiter_rpm: 7_000.0,
        ..Segment::off(0.0, loads(amps))
    }
}

fn start(soc: f64) -> Start {
    Start {
        battery: State::rested(soc, 25.0),
        alternator_c: 25.0,
    }
}

#[test]
fn it_turns_on_where_the_engine_is_revved_and_forgets_it_when_it_stops() {
    let (machine, battery) = (machine(), Battery::new(&Spec::of(Chemistry::Agm)).unwrap());
    let supplied = Supplied {
        alternator: Some(driven(&machine)),
        path_ohm: 0.005,
        under_hood_c: 60.0,
        ..Supplied::by(&battery)
    };
    // Idle at 800 (alternator 1,600), a blip to 2,000, idle again, off, idle.
    let blip = Trace::new(vec![
        (0.0, 800.0),
        (10.0, 800.0),
        (11.0, 2_000.0),
        (12.0, 800.0),
        (30.0, 800.0),
    ])
    .unwrap();
    let day = [
        running(blip, 20.0),
        Segment::off(10.0, loads(0.0)),
        running(Trace::constant(800.0, 10.0), 20.0),
    ];
    let run = simulate(&supplied, start(0.8), &day, Accuracy::FINE);
    // Alternator 2,400 is engine 1,200: a third up the rise.
    assert!((run.segments[0].waiting_s - (10.0 + 1.0 / 3.0)).abs() < 1e-6);
    assert!((run.segments[2].waiting_s - 10.0).abs() < 1e-9);
    let last = run.segments[0].samples.last().unwrap();
    assert!(last.settled.alternator_a > 20.0 && last.settled.node_v > 13.5);
    let waits = run.segments[2].samples.last().unwrap();
    assert_eq!(waits.settled.regime, Regime::Unexcited);
    assert!(waits.settled.load_a > 4.0 + 18.0);
}

#[test]
fn output_goes_over_the_limit_and_comes_back_lower() {
    let (machine, battery) = (machine(), Battery::new(&Spec::of(Chemistry::Agm)).unwrap());
    let loss = Loss {
        lose_rpm: 12_000.0,
        recover_rpm: 10_000.0,
    };
    let supplied = Supplied {
        alternator: Some(Driven {
            loss: Some(loss),
            ..driven(&machine)
        }),
        path_ohm: 0.005,
        ..Supplied::by(&battery)
    };
    let rise = Trace::new(vec![(0.0, 4_000.0), (3.0, 7_000.0), (6.0, 4_000.0)]).unwrap();
    let run = simulate(
        &supplied,
        start(0.8),
        &[running(rise, 40.0)],
        Accuracy::FINE,
    );
    // Lost from 6,000 rpm of the engine at 2 s until 5,000 at 5 s.
    assert!((run.segments[0].lost_s - 3.0).abs() < 1e-6);
    assert!(run.segments[0].lowest.1 < 12.7);
}

#[test]
fn starts_dip_and_the_charger_fills() {
    let battery = Battery::new(&Spec::of(Chemistry::Agm)).unwrap();
    let mut first = Segment::off(60.0, loads(2.0));
    first.starter = Some(Starter {
        amps: 200.0,
        seconds: 1.0,
        times: 2,
    });
    let mut charge = Segment::off(7_200.0, loads(0.0));
    charge.charger = Some(Charger {
        limit_a: 10.0,
        volts: 14.4,
    });
    let run = simulate(
        &Supplied::by(&battery),
        start(0.2),
        &[first, charge],
        Accuracy::FINE,
    );
    assert!((run.segments[0].until_s - 67.0).abs() < 1e-9);
    let dip = run.segments[0].crank_v.unwrap();
    assert!(dip < run.segments[0].lowest.1 - 0.5, "{dip}");
    let gained = run.segments[1].end_soc - run.segments[0].end_soc;
    // 10 A for two hours at 98 %.
    assert!(
        (gained - 0.98 * 20.0 / battery.capacity_ah).abs() < 0.01,
        "{gained}"
    );
}

#[test]
fn without_a_battery_what_the_machine_cannot_carry_collapses() {
    let machine = machine();
    let supplied = Supplied {
        alternator: Some(driven(&machine)),
        path_ohm: 0.005,
        under_hood_c: 60.0,
        ..Supplied::NOTHING
    };
    let mut power = Loads::new(0.0);
    power.add(300.0, 13.5, LoadKind::Electronics);
    let mut segment = running(Trace::constant(3_000.0, 10.0), 0.0);
    segment.steady = power;
    let run = simulate(&supplied, start(0.5), &[segment], Accuracy::FINE);
    assert!((run.segments[0].collapsed_s - 10.0).abs() < 1e-9);
}

/// Verification: a day of everything adds up, and half the allowance moves nothing shown.
#[test]
fn the_books_of_a_day_balance() {
    let machine = machine();
    for chemistry in Chemistry::ALL {
        let battery = Battery::new(&Spec::of(chemistry)).unwrap();
        let supplied = Supplied {
            alternator: Some(driven(&machine)),
            path_ohm: 0.008,
            under_hood_c: 60.0,
            ..Supplied::by(&battery)
        };
        let pass = Trace::new(vec![
            (0.0, 4_000.0),
            (2.0, 7_000.0),
            (2.2, 4_200.0),
            (5.0, 6_900.0),
        ])
        .unwrap();
        let mut warm = running(Trace::constant(1_000.0, 180.0), 35.0);
        warm.starter = Some(Starter {
            amps: 200.0,
            seconds: 1.0,
            times: 1,
        });
        let round = [
            Segment::off(1_800.0, loads(3.0)),
            warm,
            running(pass, 45.0),
            running(Trace::constant(2_000.0, 180.0), 40.0),
            Segment::off(900.0, loads(22.0)),
        ];
        let day: Vec<Segment> = (0..4).flat_map(|_| round.clone()).collect();
        let run = simulate(&supplied, start(0.85), &day, Accuracy::FINE);
        let books = run.books();
        let part = books.missing_j().abs() / books.throughput_j();
        assert!(part < 1e-6, "{chemistry:?} {part:e}");
        let finer = Accuracy {
            allowed: 0.03,
            ..Accuracy::FINE
        };
        let twice = simulate(&supplied, start(0.85), &day, finer);
        assert!(twice.steps > run.steps);
        for (one, other) in run.segments.iter().zip(&twice.segments) {
            assert!((one.end_soc - other.end_soc).abs() < 1e-4);
            assert!((one.lowest.1 - other.lowest.1).abs() < 1e-3);
            assert!((one.rest_v - other.rest_v).abs() < 1e-3);
        }
    }
}
