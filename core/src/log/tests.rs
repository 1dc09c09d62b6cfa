//! What a log says, on small logs made by hand.

use super::analysis::{Analysis, analyze};
use super::compare::{Cure, Measure, compare};
use super::diagnose::{Cause, Outcome, Standing};
use super::fit::{self, Fixed};
use super::kept::{KeptPass, worn};
use super::passes::{Aside, Moved, PassKind, Rules};
use super::{Known, Missing, Recording, Seen, Signal};
use crate::car::{Car, demo};
use crate::drive::Pulley;
use crate::quantity::{inch, rpm};

/// Engine speed of a pass: (s, rpm).
const PASS: [(f64, f64); 17] = [
    (0.0, 950.0),
    (30.0, 950.0),
    (30.5, 6_000.0),
    (34.0, 6_200.0),
    (35.5, 1_000.0),
    (60.0, 1_000.0),
    (60.4, 4_200.0),
    (62.0, 4_200.0),
    (63.6, 7_000.0),
    (63.75, 4_180.0),
    (65.9, 7_000.0),
    (66.05, 4_730.0),
    (68.9, 7_050.0),
    (71.5, 2_500.0),
    (76.0, 1_000.0),
    (110.0, 950.0),
    (110.1, 950.0),
];

fn rpm_at(at: f64) -> f64 {
    let after = PASS
        .partition_point(|point| point.0 <= at)
        .clamp(1, PASS.len() - 1);
    let (from, to) = (PASS[after - 1], PASS[after]);
    from.1 + (to.1 - from.1) * (at - from.0) / (to.0 - from.0)
}

/// A log at 50 Hz with a small reproducible noise.
fn log(volts: impl Fn(f64, f64) -> f64) -> Recording {
    let time: Vec<f64> = (0..5_500).map(|at| f64::from(at) * 0.02).collect();
    let noise = |at: f64| (at * 12_345.678).sin() * 0.02;
    Recording {
        rpm: signal(&time, rpm_at),
        volts: signal(&time, |at| volts(at, rpm_at(at)) + noise(at)),
        ..Recording::default()
    }
}

fn signal(time: &[f64], value: impl Fn(f64) -> f64) -> Signal {
    let values = time.iter().map(|at| value(*at) as f32).collect();
    Signal::new(time.to_vec(), values).unwrap()
}

fn said(recording: &Recording) -> Analysis {
    analyze(recording, &Known::nothing(), &Rules::default())
}

fn standing(analysis: &Analysis, cause: Cause) -> Standing {
    let mut causes = analysis.diagnosis.causes.iter();
    causes
        .find(|judged| judged.cause == cause)
        .unwrap()
        .standing
}

/// Output is gone over 15,000 rpm of an alternator that turns 2.77 times as fast, and ragged.
fn floats(at: f64, rpm: f64) -> f64 {
    let over = ((rpm - 5_400.0) / 400.0).clamp(0.0, 1.0);
    let chatter = 0.5 * (at * 61.0).sin() * (at * 23.0).cos();
    14.2 - over * (1.2 + chatter)
}

#[test]
fn a_pass_is_found_with_its_moments() {
    let analysis = said(&log(|_, _| 14.1));
    let [found] = &analysis.passes[..] else {
        panic!("{:?}", analysis.found);
    };
    let pass = &found.pass;
    assert_eq!(pass.kind, PassKind::Drag);
    assert!((pass.span.from_s - 62.0).abs() < 0.15 && (pass.span.to_s - 68.9).abs() < 0.15);
    let shifts = pass.shifts.found().unwrap();
    assert_eq!(shifts.len(), 2);
    assert_eq!(found.figures.gears.len(), 3);
    assert!(matches!(analysis.found.aside[..], [(_, Aside::Burnout)]));
    let figures = &found.figures;
    assert!((figures.idle.found().unwrap().volts.value - 14.1).abs() < 0.02);
    assert!(figures.after.found().is_some());
    assert!(figures.gears[0].recovery.found().is_some());
    assert_eq!(figures.fitted, Seen::Missing(Missing::Entry));
    assert_eq!(figures.fade, Seen::Missing(Missing::Short));
    assert_eq!(
        analysis.diagnosis.outcome,
        Outcome::PointsTo(vec![Cause::Healthy])
    );
}

#[test]
fn causes_with_a_face_of_their_own_are_named() {
    let outcome = |volts: fn(f64, f64) -> f64| said(&log(volts)).diagnosis.outcome;
    let points = |cause| Outcome::PointsTo(vec![cause]);
    assert_eq!(outcome(floats), points(Cause::BrushFloat));
    assert_eq!(
        outcome(|at, _| 12.4 - 0.002 * at),
        points(Cause::BatteryAlone)
    );
    assert_eq!(outcome(|_, _| 15.3), points(Cause::Overcharge));
    assert_eq!(
        outcome(|_, rpm| if rpm < 1_100.0 { 12.7 } else { 14.1 }),
        points(Cause::ShortAtIdle)
    );
}

#[test]
fn what_looks_alike_is_not_told_apart() {
    // Smooth and with engine speed: belt, load or brushes.
    let smooth = said(&log(|_, rpm| {
        14.2 - 1.2 * ((rpm - 4_500.0) / 2_500.0).clamp(0.0, 1.0)
    }));
    let Outcome::OneOf(causes) = &smooth.diagnosis.outcome else {
        panic!("{:?}", smooth.diagnosis);
    };
    assert!(causes.contains(&Cause::BeltSlip) && causes.contains(&Cause::RpmLoad));
    assert_eq!(standing(&smooth, Cause::BatteryAlone), Standing::RuledOut);
    // Too few samples say nothing.
    let few = Recording {
        rpm: signal(&[0.0, 1.0, 2.0], |_| 3_000.0),
        volts: signal(&[0.0, 1.0, 2.0], |_| 14.0),
        ..Recording::default()
    };
    assert_eq!(said(&few).diagnosis.outcome, Outcome::CannotTell);
    assert_eq!(
        said(&Recording::default()).diagnosis.outcome,
        Outcome::CannotTell
    );
}

#[test]
fn a_measured_alternator_speed_tells_slip() {
    let mut recording = log(|_, rpm| 14.2 - 1.2 * ((rpm - 4_500.0) / 2_500.0).clamp(0.0, 1.0));
    let time = recording.rpm.time().to_vec();
    let slipping = |at: f64| {
        let rpm = rpm_at(at);
        2.8 * rpm * (1.0 - 0.3 * ((rpm - 4_500.0) / 2_500.0).clamp(0.0, 1.0))
    };
    recording.alternator_rpm = Some(signal(&time, slipping));
    let outcome = said(&recording).diagnosis.outcome;
    assert_eq!(outcome, Outcome::PointsTo(vec![Cause::BeltSlip]));
    recording.alternator_rpm = Some(signal(&time, |at| 2.8 * rpm_at(at)));
    let follows = said(&recording);
    assert_eq!(standing(&follows, Cause::BeltSlip), Standing::RuledOut);
}

fn kept(car: &Car, recording: &Recording, name: &str) -> KeptPass {
    let analysis = analyze(recording, &Known::of(car), &Rules::default());
    KeptPass::new(
        name,
        "",
        car,
        recording,
        &analysis.passes[0],
        analysis.bands,
    )
}

#[test]
fn before_and_after() {
    let car = demo::nettle();
    let mut cured = car.clone();
    cured.drive.fitted = Some(Pulley::called(inch(3.0)));
    let (bad, good) = (log(floats), log(|_, _| 14.1));
    let (before, after) = (kept(&car, &bad, "before"), kept(&cured, &good, "after"));
    let comparison = compare(&before, &after);
    assert_eq!(
        (comparison.cure, comparison.by),
        (Cure::Cured, Some(Measure::Lowest))
    );
    assert!(comparison.alike);
    assert_eq!(compare(&after, &before).cure, Cure::Worse);
    assert_eq!(compare(&before, &before).cure, Cure::Same);
    assert_eq!(compare(&after, &after).cure, Cure::NothingToCure);
    // The same car let off early proves nothing.
    let mut slow = after.clone();
    slow.pass.highest_rpm = 5_000.0;
    assert_eq!(compare(&before, &slow).cure, Cure::CannotTell);
}

#[test]
fn kept_passes_add_up_and_read_back() {
    let car = demo::nettle();
    let one = kept(&car, &log(floats), "one");
    let text = serde_json::to_string(&one).unwrap();
    assert!(text.len() < 40_000, "{}", text.len());
    let back: KeptPass = serde_json::from_str(&text).unwrap();
    // The reader of numbers may be off in the sixteenth digit.
    assert_eq!(format!("{back:.9?}"), format!("{one:.9?}"));
    let mut other = car.clone();
    other.drive.fitted = Some(Pulley::called(inch(3.0)));
    let all = [
        one.clone(),
        kept(&other, &log(|_, _| 14.1), "other"),
        one.clone(),
    ];
    let worn = worn(&all);
    assert_eq!((worn.len(), worn[0].passes, worn[1].passes), (2, 2, 1));
    // Fan inside: 15,000 at the low end, over 5,410 engine rpm with 2.77.
    let single = one.figures.fitted.found().unwrap();
    assert!((worn[0].continuous_s.1 - 2.0 * single.continuous.0.seconds).abs() < 0.01);
    assert!(
        single.continuous.0.seconds > 2.0
            && single.continuous.1.seconds < single.continuous.0.seconds
    );
    assert!(worn[0].highest_rpm > 19_000.0 && worn[1].continuous_s.1 < worn[0].continuous_s.1);
}

#[test]
fn the_model_is_held_against_the_log() {
    let mut car = demo::nettle();
    let recording = log(floats);
    let analysis = analyze(&recording, &Known::of(&car), &Rules::default());
    let against = fit::against(&recording, &analysis, &analysis.passes[0], &car).unwrap();
    assert!((0.0..=1.0).contains(&against.inside) && against.band.len() > 100);
    assert!(
        against
            .band
            .iter()
            .all(|moment| moment.low_v < moment.high_v)
    );
    let lose = against
        .offers
        .iter()
        .find(|offer| offer.fixed == Fixed::Lose)
        .unwrap();
    // Half of the loss at 5,600 engine rpm.
    assert!(
        (lose.value.value - 5_600.0 * 2.77).abs() < lose.value.half_width,
        "{lose:?}"
    );
    let changed = fit::accept(&car, lose).unwrap();
    let limit = changed.alternator.limits.unwrap().continuous;
    assert!((limit - rpm(lose.value.value)).abs() < rpm(1.0));
    // The set-point was not entered: it is offered, the reading's offset is not.
    let fixed =
        |against: &fit::Against, fixed| against.offers.iter().any(|offer| offer.fixed == fixed);
    assert!(fixed(&against, Fixed::SetPoint) && !fixed(&against, Fixed::Offset));
    assert!(!fixed(&against, Fixed::Load) && !fixed(&against, Fixed::PathOhm));
    car.alternator.set_point = Some(crate::quantity::volts(14.4));
    let against = fit::against(&recording, &analysis, &analysis.passes[0], &car).unwrap();
    let offset = against
        .offers
        .iter()
        .find(|offer| offer.fixed == Fixed::Offset)
        .unwrap();
    let changed = fit::accept(&car, offset).unwrap();
    let shown = changed.wiring.shown_v.unwrap() - changed.wiring.meter_v.unwrap();
    assert!((shown - offset.value.value).abs() < 0.01);
    car.engine.idle = None;
    assert!(fit::against(&recording, &analysis, &analysis.passes[0], &car).is_err());
}

#[test]
fn a_pass_begins_and_ends_where_the_person_says() {
    let recording = log(|_, rpm| 14.1 - 0.0001 * rpm);
    let moved = |from_s, to_s| {
        let rules = Rules {
            moved: vec![Moved {
                place: 0,
                from_s,
                to_s,
            }],
            ..Rules::default()
        };
        analyze(&recording, &Known::nothing(), &rules).passes
    };
    let found = &said(&recording).passes[0];
    let [later] = &moved(Some(63.8), None)[..] else {
        panic!("another pass");
    };
    assert_eq!(later.pass.span.from_s, 63.8);
    assert_eq!(later.pass.span.to_s, found.pass.span.to_s);
    // The first gear and its shift are no part of it any more.
    assert_eq!(later.pass.shifts.found().map(Vec::len), Some(1));
    assert!(later.dwell.total_s() < found.dwell.total_s() - 1.5);
    let shorter = moved(None, Some(65.0));
    assert_eq!(shorter[0].pass.span.to_s, 65.0);
    assert_eq!(shorter[0].pass.highest_rpm.round(), 7_000.0);
    // Turned round or beyond the log, nothing changes.
    assert_eq!(moved(Some(70.0), Some(60.0))[0].pass, found.pass);
    assert_eq!(moved(Some(500.0), Some(600.0))[0].pass, found.pass);
}

/// The set-point is offered from a voltage that was held, within what path and reading leave open,
/// and not from one that falls all along.
#[test]
fn a_set_point_takes_a_voltage_that_was_held() {
    let car = demo::nettle();
    let offered = |volts: fn(f64, f64) -> f64| {
        let recording = log(volts);
        let analysis = analyze(&recording, &Known::of(&car), &Rules::default());
        let against = fit::against(&recording, &analysis, &analysis.passes[0], &car).unwrap();
        let mut offers = against.offers.into_iter();
        offers.find(|offer| offer.fixed == Fixed::SetPoint)
    };
    let held = offered(|_, _| 14.0).unwrap().value;
    // The regulator holds what is read and what is lost before it, which nobody measured.
    assert!((14.1..14.8).contains(&held.value), "{held:?}");
    assert!(held.half_width > 0.15 && held.half_width < 0.5, "{held:?}");
    assert!(offered(|_, rpm| 14.4 - 0.0005 * (rpm - 3_000.0).max(0.0)).is_none());
}

#[test]
fn one_fault_for_another_is_no_cure() {
    let car = demo::nettle();
    let good = kept(&car, &log(|_, _| 14.1), "good");
    let bad = kept(&car, &log(floats), "bad");
    // Both are over an assumed limit for seconds; only the voltage differs.
    let worse = compare(&good, &bad);
    assert_eq!((worse.cure, worse.by), (Cure::Worse, Some(Measure::Lowest)));
    let better = compare(&bad, &good);
    assert_eq!(
        (better.cure, better.by, better.left),
        (
            Cure::Better,
            Some(Measure::Lowest),
            Some(Measure::OverContinuous)
        )
    );
}
