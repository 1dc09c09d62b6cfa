//! Pulleys, ratios and speeds: check values of the speed ratio, what a reading means, and the limits.

use crate::support::{car, near, within};
use laneside_core::balance::{alternator_rpm, slipping_rpm};
use laneside_core::car::{Car, RatioBy, SecondStage};
use laneside_core::data::{common_practice, iso_9981, memory};
use laneside_core::drive::{Belt, Measure, Pulley, driven_speed, stress_ratio};
use laneside_core::gates::GateId;
use laneside_core::quantity::{InLength, InRotationalSpeed, System, inch, mm, rpm};
use laneside_core::resolve::{InputId, Pulleys, Resolved};
use laneside_core::study::Study;
use laneside_core::tolerance::{State, Tolerances};

fn ratio(car: &Car) -> f64 {
    let tolerances = Tolerances::new(Resolved::new(car).unwrap());
    alternator_rpm(tolerances.nominal(), Pulleys::ON_CAR, 1.0)
}

/// Validation. Source: ISO 9981:2020 5.4 as summarized, `d_p = d_e + 2 b_e`, b_e 2 mm; the ratios are derived from it.
/// Tolerance: half of the last digit given.
#[test]
fn pk_ratio_is_that_of_the_pitch_diameters() {
    let pitch = |effective: f64| {
        Pulley::new(mm(effective), Measure::Effective)
            .pitch(Belt::VRibbed)
            .value
            .mm()
    };
    for (alternator, by_effective, by_pitch) in [(60.0, 2.500, 2.406), (75.0, 2.000, 1.949)] {
        near(150.0 / alternator, by_effective, 0.0005);
        near(pitch(150.0) / pitch(alternator), by_pitch, 0.0005);
        near(ratio(&car(alternator)), by_pitch, 0.0005);
    }
}

/// Validation. Source: common practice, no source: a factory pulley called two and a quarter inches against one of
/// three and a half. Tolerance: half of the last digit given.
#[test]
fn a_called_pulley_turns_at_the_pitch_ratio_not_the_called_one() {
    let (small, large) = (Pulley::called(inch(2.25)), Pulley::called(inch(3.5)));
    let part = |of: fn(&Pulley) -> f64| 100.0 * of(&small) / of(&large);
    near(
        part(|pulley| pulley.effective(Belt::VRibbed).value.mm()),
        64.3,
        0.05,
    );
    near(
        part(|pulley| pulley.pitch(Belt::VRibbed).value.mm()),
        65.8,
        0.05,
    );

    // The same through a whole study of one car with either pulley.
    let with = |pulley: Pulley| {
        let mut car = car(60.0);
        car.drive.fitted = Some(pulley);
        Study::new(&car).unwrap().on_car.speeds[0].speed_rpm
    };
    near(100.0 * with(large) / with(small), 65.8, 0.05);
}

/// Validation. Source: Theory of Machines textbook, chapter 11, compound drive: 150 rpm, 750/450 then 900/150 mm, 2 % slip
/// at each belt; 1440 rpm printed, 1440.6 exact. Tolerance: 0.05 % of the printed, 1e-9 of the exact value.
#[test]
fn compound_drive_with_slip() {
    let exact: f64 = 150.0 * (750.0 / 450.0) * (900.0 / 150.0) * 0.98 * 0.98;
    near(exact, 1440.6, 1e-9);
    let speed = driven_speed(rpm(150.0), 750.0 / 450.0 * (900.0 / 150.0), 0.02, 2).rpm();
    within(speed, 1440.0, 0.0005);
    within(speed, exact, 1e-9);

    // The same drive at a fifth of its size, as the two stages of a car.
    let pulley = |size: f64| Pulley::new(mm(size), Measure::Pitch);
    let mut car = car(60.0);
    car.drive.belt = Belt::Other;
    car.drive.crank = Some(pulley(150.0));
    car.drive.second_stage = Some(SecondStage {
        driven: Some(pulley(90.0)),
        driving: Some(pulley(180.0)),
    });
    car.drive.fitted = Some(pulley(30.0));
    let resolved = Resolved::new(&car).unwrap();
    assert_eq!(resolved.stages, 2);
    let tolerances = Tolerances::new(resolved);
    let mut params = tolerances.nominal().params.clone();
    params.slip = 0.02;
    let state = State::new(tolerances.resolved(), params);
    let speed = slipping_rpm(&state, Pulleys::ON_CAR, 150.0);
    within(speed, exact, 1e-9);
    // Overspeed is asked without slip: the safe side.
    within(alternator_rpm(&state, Pulleys::ON_CAR, 150.0), 1500.0, 1e-9);
}

/// Validation. Source: SAE J1459 as summarized: OD = d_e - 0.885 mm at a tip radius of 0.48 mm, OD = d_e at 0.25 mm.
/// Tolerance: both ends lie within the stated half-width.
#[test]
fn a_caliper_over_the_rib_tips_covers_both_tip_radii() {
    let read = Pulley::new(mm(60.0), Measure::Caliper).effective(Belt::VRibbed);
    near(read.value.mm(), 60.45, 1e-9);
    for effective in [60.0, 60.885] {
        assert!(
            (effective - read.value.mm()).abs() <= read.half_width.mm(),
            "{effective}"
        );
    }
    // The tip and the caliper together, by root sum of squares: 0.45 and 0.5 mm (the caliper is common practice).
    near(read.half_width.mm(), 0.45_f64.hypot(0.5), 1e-9);
    // A smooth pulley has no rib tips.
    near(
        Pulley::new(mm(60.0), Measure::Caliper)
            .effective(Belt::Other)
            .value
            .mm(),
        60.0,
        1e-9,
    );
}

/// Validation. Source: ISO 9981:2020 5.2 to 5.4 as summarized: pitch less effective diameter 4 mm at every size, smallest
/// recommended effective diameter 45 mm, diameter over balls within 0.6 mm. Tolerance: exact.
#[test]
fn figures_of_the_pulley_standard() {
    for effective in [45.0, 60.0, 150.0, 200.0] {
        let pulley = Pulley::new(mm(effective), Measure::Effective);
        near(
            (pulley.pitch(Belt::VRibbed).value - pulley.effective(Belt::VRibbed).value).mm(),
            4.0,
            1e-9,
        );
        near(
            (pulley.pitch(Belt::Other).value - pulley.effective(Belt::Other).value).mm(),
            0.0,
            1e-9,
        );
        near(pulley.effective(Belt::VRibbed).half_width.mm(), 0.6, 1e-9);
    }
    assert_eq!(iso_9981::SMALLEST_EFFECTIVE_DIAMETER_MM, 45.0);
    assert_eq!(iso_9981::DIAMETER_OVER_BALLS_MM, 0.6);
}

/// Validation. Source: common practice, no source: caliper 0.5 mm, tape 1 mm on the circumference, called 1/8 in, counted
/// 1/8 turn. Tolerance: exact.
#[test]
fn how_it_was_measured_sets_the_tolerance() {
    let half = |measure| {
        Pulley::new(mm(180.0), measure)
            .effective(Belt::VRibbed)
            .half_width
            .mm()
    };
    let tip = 0.45_f64;
    near(half(Measure::Caliper), tip.hypot(0.5), 1e-9);
    near(
        half(Measure::Tape),
        tip.hypot(1.0 / std::f64::consts::PI),
        1e-9,
    );
    near(half(Measure::Called), 25.4 / 8.0, 1e-9);
    // On other belts only a pitch diameter is known that well: where the cords run is not seen from outside (8 mm, from
    // memory, no source).
    let other = |measure| Pulley::new(mm(180.0), measure).effective(Belt::Other);
    near(other(Measure::Pitch).half_width.mm(), 0.5, 1e-9);
    near(
        other(Measure::Caliper).half_width.mm(),
        8.0_f64.hypot(0.5),
        1e-9,
    );

    // Four turns of the crank gave nine and a half of the alternator.
    let mut counted = car(60.0);
    counted.drive.ratio_by = RatioBy::Turns;
    counted.drive.crank_turns = Some(4.0);
    counted.drive.alternator_turns = Some(9.5);
    let resolved = Resolved::new(&counted).unwrap();
    let input = resolved
        .inputs
        .iter()
        .find(|input| input.id == InputId::Ratio)
        .unwrap();
    near(input.value, 2.375, 1e-12);
    near(input.highest - input.value, 0.125 / 4.0, 1e-12);
    near(ratio(&counted), 2.375, 1e-12);
}

/// Validation. Source: derived (a circumference is pi diameters; speeds read together give their quotient, less the slip
/// that the belt had meanwhile, 1 % from memory). Tolerance: 1e-9.
#[test]
fn other_ways_in_give_the_same_ratio() {
    let by_size = ratio(&car(60.0));
    let mut taped = car(60.0);
    let tips = |effective: f64| (effective - 0.45) * std::f64::consts::PI;
    taped.drive.crank = Some(Pulley::new(mm(tips(150.0)), Measure::Tape));
    taped.drive.fitted = Some(Pulley::new(mm(tips(60.0)), Measure::Tape));
    within(ratio(&taped), by_size, 1e-9);

    let mut pitch = car(60.0);
    pitch.drive.crank = Some(Pulley::new(mm(154.0), Measure::Pitch));
    pitch.drive.fitted = Some(Pulley::new(mm(64.0), Measure::Pitch));
    within(ratio(&pitch), by_size, 1e-9);

    let mut read = car(60.0);
    read.drive.ratio_by = RatioBy::Speeds;
    read.drive.read_engine = Some(rpm(3_200.0));
    read.drive.read_alternator = Some(rpm(7_700.0));
    within(ratio(&read), 7_700.0 / 3_200.0 / 0.99, 1e-9);
}

/// Validation. Source: derived: turns counted on the car say how large the pulley is whose size is not known. An alternator
/// pulley driven by a crank pulley of known size turns at the ratio of the two sizes, whatever was counted before: the
/// count's doubt is not in it. Tolerance: 1e-9 of the ratio, 1 % of its spread.
#[test]
fn a_counted_ratio_tells_the_size_that_is_not_known() {
    let mut counted = car(60.0);
    counted.drive.ratio_by = RatioBy::Turns;
    counted.drive.crank_turns = Some(4.0);
    counted.drive.alternator_turns = Some(9.5);
    let part = |car: &Car, pulleys: Pulleys| {
        let tolerances = Tolerances::new(Resolved::new(car).unwrap());
        let found = tolerances.of(None, |state| alternator_rpm(state, pulleys, 1.0));
        (found.value, found.spread.widest() / found.value)
    };
    let count = 0.125 / 9.5;
    let size = |mm: f64| 0.6 / mm;

    let mut without_fitted = counted.clone();
    without_fitted.drive.fitted = None;
    let (on_car, doubt) = part(&without_fitted, Pulleys::ON_CAR);
    within(on_car, 2.375, 1e-9);
    within(doubt, count, 0.01);
    let (other, doubt) = part(&without_fitted, Pulleys::with_alternator(79.0));
    within(other, 154.0 / 79.0, 1e-9);
    within(doubt, size(154.0), 0.01);
    let (larger_crank, doubt) = part(&without_fitted, Pulleys::with_crank(177.0));
    within(larger_crank, 2.375 * 177.0 / 154.0, 1e-9);
    within(doubt, count.hypot(size(154.0)), 0.01);

    let mut without_crank = counted.clone();
    without_crank.drive.crank = None;
    let (on_car, doubt) = part(&without_crank, Pulleys::ON_CAR);
    within(on_car, 2.375, 1e-9);
    within(doubt, count, 0.01);
    let (other, doubt) = part(&without_crank, Pulleys::with_alternator(79.0));
    within(other, 2.375 * 64.0 / 79.0, 1e-9);
    within(doubt, count.hypot(size(64.0)), 0.01);
    let (larger_crank, doubt) = part(&without_crank, Pulleys::with_crank(177.0));
    within(larger_crank, 177.0 / 64.0, 1e-9);
    within(doubt, size(64.0), 0.01);
}

/// Validation. Source: stress from rotation goes with speed squared (mechanics of a rotating ring): 15,000 to 18,000 rpm is
/// +44 %. Tolerance: exact.
#[test]
fn stress_goes_with_speed_squared() {
    near(stress_ratio(rpm(15_000.0), rpm(18_000.0)), 1.44, 1e-12);
}

/// Validation. Source: from memory: slip 1 % (0 to 2) for output, none for overspeed; overshoot 300 rpm (0 to 800).
/// Tolerance: exact.
#[test]
fn slip_and_overshoot_that_are_assumed() {
    let resolved = Resolved::new(&car(60.0)).unwrap();
    let range = |id| {
        let input = resolved.inputs.iter().find(|input| input.id == id).unwrap();
        (input.value, input.lowest, input.highest)
    };
    assert_eq!(range(InputId::Slip), (0.01, 0.0, 0.02));
    assert_eq!(range(InputId::Overshoot), (300.0, 0.0, 800.0));

    let study = Study::new(&car(60.0)).unwrap();
    let speed = |wanted: GateId| {
        let gates = &study.on_car.speeds;
        gates
            .iter()
            .find(|gate| gate.id == wanted)
            .unwrap()
            .speed_rpm
    };
    within(speed(GateId::Continuous), 7_000.0 * 154.0 / 64.0, 1e-9);
    within(speed(GateId::Short), 7_300.0 * 154.0 / 64.0, 1e-9);
}

/// Validation. Source: from memory: limits of a machine without a maker's figure, continuous and short-time, low and high
/// end. An assumed limit is judged at both ends. Tolerance: exact.
#[test]
fn limits_that_are_assumed() {
    let ends = |range: memory::LimitRange| (range.continuous, range.short);
    assert_eq!(
        ends(memory::FAN_OUTSIDE),
        ((12_000.0, 15_000.0), (12_000.0, 15_000.0))
    );
    assert_eq!(
        ends(memory::FAN_INSIDE),
        ((15_000.0, 18_000.0), (18_000.0, 20_000.0))
    );
    assert_eq!(
        ends(memory::HEAVY_DUTY),
        ((8_000.0, 10_000.0), (8_000.0, 10_000.0))
    );
    // Where nobody looked for the fan: from the low end of one kind to the high end of the other.
    let study = Study::new(&car(60.0)).unwrap();
    let continuous = &study.on_car.speeds[0];
    assert_eq!(
        (continuous.limit_rpm, continuous.generous_rpm),
        (12_000.0, 18_000.0)
    );
    assert!(study.tolerances.resolved().limits.assumed);
}

/// Validation. Source: common practice, no source: street cars turn the alternator at 2 to 3 times the engine, drag cars at
/// 1.75 and up. The demo cars are invented within that. Tolerance: as stated.
#[test]
fn demo_cars_turn_their_alternators_as_is_usual() {
    for car in laneside_core::car::demo::cars() {
        let ratio = ratio(&car);
        assert!((1.75..=3.0).contains(&ratio), "{}: {ratio}", car.name);
    }
    assert_eq!(common_practice::IN_GEAR_DROP_RPM, 100.0);
    assert_eq!(Car::new("Any", System::Inch).drive.belt, Belt::VRibbed);
}
