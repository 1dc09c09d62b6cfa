use super::*;
use crate::belt::layout::Hold;
use crate::belt::{FanTurns, MomentKind, PathError, Role};
use crate::car::demo;
use crate::drive::{Belt, Measure, Pulley};
use crate::finding::Spread;
use crate::quantity::{inch, mm};

fn studied(car: &Car) -> BeltStudy {
    BeltStudy::new(car, Study::new(car).ok().as_ref()).unwrap()
}

/// Common practice, no source: the larger pulley wants a longer belt, moves the span outward and
/// can meet a bolt that the small one cleared.
#[test]
fn the_larger_pulley_wants_a_longer_belt_and_meets_the_bolt() {
    let belt = studied(&demo::nettle());
    let change = belt.comparison.change_mm().unwrap();
    assert!(change.spread.least(change.value) > 10.0, "{}", change.value);
    let Serves::Another(offer) = &belt.serves else {
        panic!("{:?}", belt.serves)
    };
    assert!(offer.belt.length_mm > 1_185.0);
    assert_eq!(offer.status, Status::Holds);
    let bolt = &belt.belt_passing[0];
    assert_eq!(
        (bolt.on_car.status, bolt.tried.status),
        (Status::Holds, Status::Fails)
    );
    assert!(bolt.nearer_mm > 5.0);
    assert_eq!(belt.clearance_status(false), Some(Status::Holds));
    assert_eq!(belt.clearance_status(true), Some(Status::Fails));
}

#[test]
fn crank_and_alternator_are_those_of_the_drive() {
    let mut car = demo::nettle();
    let layout = car_layout(&car, None).unwrap();
    // A caliper over 6 1/2 in of rib tips, and a called 2 1/4.
    assert!((layout.pulleys[0].diameter_mm - 165.55).abs() < 1e-9);
    assert!((layout.pulleys[1].diameter_mm - 57.15).abs() < 1e-9);
    car.drive.tried_crank = Some(Pulley::new(inch(6.0), Measure::Effective));
    car.drive.tried = Some(Pulley::new(mm(80.0), Measure::Effective));
    let tried = tried_pulleys(&car, None, &layout);
    let sizes: Vec<(usize, f64)> = tried
        .iter()
        .map(|one| (one.pulley, one.diameter_mm))
        .collect();
    assert_eq!(sizes.len(), 2);
    for (found, wanted) in sizes.iter().zip([(1, 80.0), (0, 152.4)]) {
        assert_eq!(found.0, wanted.0);
        assert!((found.1 - wanted.1).abs() < 1e-9);
    }
}

#[test]
fn a_size_that_was_counted_serves_too() {
    let mut car = demo::nettle();
    car.drive.fitted = None;
    assert_eq!(car_layout(&car, None), Err(NoBelt::NoDiameter(1)));
    car.drive.ratio_by = crate::car::RatioBy::Turns;
    car.drive.crank_turns = Some(10.0);
    car.drive.alternator_turns = Some(27.75);
    let study = Study::new(&car).ok();
    let layout = car_layout(&car, study.as_ref()).unwrap();
    // 169.55 mm of pitch diameter over 2.775, less 4 mm.
    let wanted = 169.55 / 2.775 - 4.0;
    assert!((layout.pulleys[1].diameter_mm - wanted).abs() < 1e-6);
    assert!(layout.pulleys[1].half_width_mm > 0.1);
}

#[test]
fn what_is_missing_is_named() {
    let mut car = demo::nettle();
    car.drive.belt = Belt::Other;
    assert_eq!(car_layout(&car, None), Err(NoBelt::OtherBelt));
    let mut car = demo::nettle();
    car.belt_drive.pulleys[2].diameter_mm = None;
    assert_eq!(car_layout(&car, None), Err(NoBelt::NoDiameter(2)));
    car.belt_drive.remove_pulley(1);
    assert_eq!(
        car_layout(&car, None),
        Err(NoBelt::NoRole(Role::Alternator))
    );
    car.belt_drive.pulleys.clear();
    assert_eq!(car_layout(&car, None), Err(NoBelt::Empty));
}

#[test]
fn a_pulley_that_does_not_go_in_leaves_the_cars_own_answer() {
    let mut car = demo::nettle();
    car.drive.tried = Some(Pulley::new(mm(249.0), Measure::Effective));
    car.belt_drive.pulleys[2].diameter_mm = Some(240.0);
    let belt = studied(&car);
    assert!(matches!(
        belt.not_tried,
        Some(LayError::Path(PathError::Overlap { .. }))
    ));
    assert_eq!(belt.comparison.change_mm().unwrap().value, 0.0);
}

#[test]
fn the_slower_alternator_asks_for_less_tension() {
    let belt = studied(&demo::nettle());
    let at = |gripping: &Gripping, kind| {
        let mut all = gripping.moments.iter();
        all.find(|worst| worst.kind == kind).unwrap().needed_n.value
    };
    for kind in [MomentKind::PeakOutput, MomentKind::Upshift] {
        assert!(at(&belt.tried, kind) < at(&belt.on_car, kind), "{kind:?}");
    }
    assert_eq!(belt.on_car.status(), Some(Status::Holds));
    // Nothing is judged while nobody knows the tension.
    let mut car = demo::nettle();
    car.belt_drive.tension_n = None;
    let belt = studied(&car);
    assert_eq!(belt.tried.status(), None);
    assert!(belt.tried.wanted_n().is_some());
}

#[test]
fn without_the_engine_there_is_a_length_but_no_grip() {
    let mut car = demo::tansy();
    car.engine.limiter = None;
    let belt = BeltStudy::new(&car, None).unwrap();
    assert!(belt.on_car.moments.is_empty() && belt.tried.status().is_none());
    assert!(belt.to_pluck(false).wanted_n.is_none());
    assert!(belt.comparison.length_now_mm().is_some());
}

#[test]
fn spans_to_pluck_are_those_of_the_belt_that_is_on() {
    let car = demo::nettle();
    let belt = studied(&car);
    let now = belt.to_pluck(false);
    assert_eq!(now.spans.len(), 3);
    assert!((now.kg_per_m - 0.117).abs() < 1e-12);
    for pair in now.spans.windows(2) {
        assert!(pair[0].length_mm >= pair[1].length_mm);
    }
    for one in &now.spans {
        let span = belt.comparison.on_car.nominal.path.spans[one.span];
        assert_eq!(one.length_mm, span.length_mm);
        assert!((1.0..4.0).contains(&one.half_width_mm), "{one:?}");
    }
    assert_ne!(belt.to_pluck(true).spans, now.spans);
}

#[test]
fn a_jackshaft_steps_the_belts_speed() {
    let mut car = demo::nettle();
    let straight = studied(&car);
    car.drive.second_stage = Some(crate::car::SecondStage {
        driven: Some(Pulley::new(inch(6.5), Measure::Caliper)),
        driving: Some(Pulley::new(inch(6.5), Measure::Caliper)),
    });
    let even = studied(&car);
    let speed = |belt: &BeltStudy| belt.on_car.worst().unwrap().grip.belt_mps;
    assert!((speed(&even) - speed(&straight)).abs() < 1e-6);
    if let Some(stage) = &mut car.drive.second_stage {
        stage.driven = Some(Pulley::new(inch(13.0), Measure::Caliper));
    }
    let slow = studied(&car);
    assert!((slow.stage - 169.55 / 334.65).abs() < 1e-6);
    assert!(slow.on_car.moments[2].grip.belt_mps < 0.6 * even.on_car.moments[2].grip.belt_mps);
}

#[test]
fn a_pulley_is_not_bought_while_a_question_is_open() {
    use crate::belt::{Answered, BuyVerdict, Topic};
    let mut car = demo::nettle();
    let asked = seller_card(&car, None);
    assert_eq!(asked.verdict, BuyVerdict::DoNotBuyYet);
    car.belt_drive.offered.bore_mm = Some(15.0);
    let found = seller_card(&car, Some(&studied(&car)));
    assert_eq!(found.verdict, BuyVerdict::DoNotBuy);
    let bore = found.questions.iter().find(|one| one.topic == Topic::Bore);
    assert_eq!(bore.unwrap().answered, Answered::DoesNotFit);
    assert_eq!(alternator_turns(&car.belt_drive), FanTurns::Clockwise);
    car.belt_drive.pulleys[1].side = crate::belt::Side::Back;
    assert_eq!(
        alternator_turns(&car.belt_drive),
        FanTurns::CounterClockwise
    );
}

#[test]
fn nothing_that_moves_wants_one_length() {
    let mut car = demo::nettle();
    car.belt_drive.mover.pulley = None;
    let belt = studied(&car);
    assert_eq!(belt.serves, Serves::NothingMoves);
    assert!(belt.comparison.length_wanted_mm().unwrap().value > 1_185.0);
    let mut car = demo::tansy();
    assert_eq!(
        studied(&car)
            .comparison
            .tried
            .nominal
            .layout
            .mover
            .unwrap()
            .hold,
        Hold::Spring
    );
    car.belt_drive.mover.pivot_x_mm = None;
    assert_eq!(studied(&car).serves, Serves::NothingMoves);
}

/// Both ends of the travel are looked at with the spread, which is not alike on both sides.
#[test]
fn a_mover_has_to_end_within_its_travel() {
    let comparison = studied(&demo::nettle()).comparison;
    let travel = comparison.tried.nominal.layout.mover.unwrap().travel;
    let at = |value: f64| {
        ending_status(
            &comparison,
            &Ending {
                settled: Settled::At(value),
                travel: Some(Measured {
                    value,
                    spread: Spread { down: 1.0, up: 2.0 },
                    shares: Vec::new(),
                }),
                of_travel: None,
            },
        )
    };
    assert_eq!(travel, (-14.0, 6.0));
    for (value, status) in [
        (-17.0, Status::Fails),
        (-14.5, Status::TooClose),
        (-13.5, Status::TooClose),
        (-12.5, Status::Holds),
        (-5.0, Status::Holds),
        (3.5, Status::Holds),
        (4.5, Status::TooClose),
        (6.5, Status::TooClose),
        (7.5, Status::Fails),
    ] {
        assert_eq!(at(value), status, "{value}");
    }
    let nowhere = Ending {
        settled: Settled::Never,
        travel: None,
        of_travel: None,
    };
    assert_eq!(ending_status(&comparison, &nowhere), Status::Fails);
}

/// Each moment tells the tension it needs, in its own words and with its own number.
#[test]
fn grip_is_told_moment_by_moment() {
    let study = studied(&demo::nettle());
    let moments = &study.on_car.moments;
    let found = crate::belt::grip_findings("alternator", moments);
    let needed: Vec<_> = found
        .iter()
        .filter(|one| one.code == "static_tension_needed")
        .collect();
    assert_eq!(needed.len(), moments.len());
    for (one, worst) in needed.iter().zip(moments) {
        assert_eq!(one.value, Some(worst.needed_n.value));
    }
}
