use super::*;
use crate::car::{Car, CurvePoint, EngineState, RatingBy, demo};
use crate::quantity::{amps, rpm};
use crate::resolve::Resolved;

fn window(side: Side, sure: (f64, f64), possible: (f64, f64)) -> Window {
    let edge = |mm| Edge {
        mm,
        limit: EdgeLimit::Range,
    };
    Window {
        side,
        sure_low: edge(sure.0),
        sure_high: edge(sure.1),
        possible_low: edge(possible.0),
        possible_high: edge(possible.1),
    }
}

#[test]
fn the_middle_is_that_of_the_best_sizes_there_are() {
    let both = window(Side::Alternator, (60.0, 70.0), (50.0, 90.0));
    assert_eq!(both.middle_mm(), 65.0);
    let possible = window(Side::Alternator, (72.0, 70.0), (50.0, 90.0));
    assert_eq!(possible.middle_mm(), 70.0);
    // Where none may work: what saves the alternator, within the sizes looked at.
    let none = window(Side::Alternator, (72.0, 60.0), (66.0, 64.0));
    assert_eq!(none.middle_mm(), 72.0);
    let nowhere = window(Side::Alternator, (f64::INFINITY, 60.0), (66.0, 64.0));
    assert_eq!(nowhere.middle_mm(), LARGEST_ALTERNATOR_MM);
    let crank = window(Side::Crank, (172.0, 150.0), (166.0, 164.0));
    assert_eq!(crank.middle_mm(), 150.0);
    let nowhere = window(Side::Crank, (172.0, 0.0), (166.0, 164.0));
    assert_eq!(nowhere.middle_mm(), CRANK_MM.0);
}

fn prepared(car: &Car) -> Tolerances {
    Tolerances::new(Resolved::new(car).unwrap())
}

/// Steps of the walk are equal ratios: the twelfth of 24 from 40 to 250 mm is at 100 mm, and the one there alone falls
/// into a run of sizes that is two millimeters wide.
#[test]
fn the_walk_finds_the_first_crossing_on_its_way() {
    let tolerances = prepared(&demo::nettle());
    let finder = Finder::new(&tolerances, Side::Alternator, CrankPulley::OnCar);
    let near = |found: Option<f64>, mm: f64| {
        assert!(
            found.is_some_and(|found| (found - mm).abs() <= EDGE_MM),
            "{found:?}"
        );
    };
    let fails = |mm: f64| (mm - 100.0).abs() - 1.0;
    near(finder.walked(&fails, 40.0, 250.0), 99.0);
    near(finder.walked(&fails, 250.0, 40.0), 101.0);
    let holds = |mm: f64| 1.0 - (mm - 100.0).abs();
    near(finder.walked(&holds, 40.0, 250.0), 99.0);
    near(finder.walked(&holds, 250.0, 40.0), 101.0);
    assert_eq!(finder.walked(&|_| 1.0, 40.0, 250.0), None);
    assert_eq!(finder.walked(&|_| -1.0, 40.0, 250.0), None);
}

/// A machine that gives less and less from 9,000 rpm up, at one engine speed.
fn drooping(extra_a: f64) -> Tolerances {
    let mut car = demo::nettle();
    car.alternator.rating_by = RatingBy::Points;
    let curve = [
        (2_000.0, 60.0),
        (5_000.0, 95.0),
        (9_000.0, 110.0),
        (18_000.0, 99.5),
    ];
    car.alternator.points = curve
        .map(|(speed, current)| CurvePoint {
            speed: rpm(speed),
            current: amps(current),
        })
        .to_vec();
    for phase in &mut car.phases {
        if phase.id == "warm_up" {
            phase.engine = EngineState::At {
                speed: rpm(6_000.0),
            };
        }
    }
    let mut extra = car.loads.as_ref().unwrap()[0].clone();
    (extra.current, extra.tolerance) = (amps(extra_a), Some(amps(0.0)));
    extra.duty.clear();
    car.loads.as_mut().unwrap().push(extra);
    prepared(&car)
}

fn warm_up<'a>(finder: &Finder<'a>) -> Gate<'a> {
    let phases = &finder.tolerances.resolved().phases;
    let found = phases.iter().find(|phase| phase.place == 1).unwrap();
    Gate::Phase(found)
}

#[test]
fn a_phase_that_falls_short_at_both_ends_has_two_edges() {
    let side = Side::Alternator;
    let straight =
        |finder: &Finder, mm| finder.margin(warm_up(finder), Count::Possible, Look::Straight, mm);
    // The least load with which the smallest size falls short.
    let tolerances = (50..120)
        .map(|amps| drooping(f64::from(amps)))
        .find(|tolerances| {
            let finder = Finder::new(tolerances, side, CrankPulley::OnCar);
            straight(&finder, finder.smallest.mm) < 0.0
        })
        .unwrap();
    let finder = Finder::new(&tolerances, side, CrankPulley::OnCar);
    let gate = warm_up(&finder);
    let high_mm = root(|mm| straight(&finder, mm), 100.0, 250.0, EDGE_MM).unwrap();
    let low_mm = root(
        |mm| straight(&finder, mm),
        finder.smallest.mm,
        100.0,
        EDGE_MM,
    )
    .unwrap();
    // As far out as an edge may be found: its margin is less than nothing there.
    let edge = |mm| Edge {
        mm,
        limit: gate.limit(),
    };
    let from = edge(high_mm + DRAWN_EDGE_MM / 2.0);
    assert!(straight(&finder, from.mm) < 0.0);
    let found = finder.far_end(gate, Count::Possible, from);
    assert_eq!(found.limit, gate.limit());
    assert!((found.mm - low_mm).abs() < 0.5, "{found:?} {low_mm}");
    // Nothing to walk through where it does not hold, and nowhere to end where it holds throughout.
    let nowhere = finder.far_end(gate, Count::Possible, edge(high_mm + 5.0));
    assert_eq!(nowhere, finder.smallest);
    let light = drooping(5.0);
    let finder = Finder::new(&light, side, CrankPulley::OnCar);
    let whole = finder.far_end(warm_up(&finder), Count::Possible, finder.largest);
    assert_eq!(whole, finder.smallest);
}
