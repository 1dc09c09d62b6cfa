//! Output over speed: the two-point form, published tables, set-point and turn-on.

use crate::support::{car, near, within};
use laneside_core::alternator::{Curve, Excitation, SquareRoot};
use laneside_core::balance::turn_on_rpm;
use laneside_core::car::{CurvePoint, RatingBy};
use laneside_core::data::{iso_8854, memory, sarafianos_2015, set_point_band, tm_9_2320};
use laneside_core::finding::Finding;
use laneside_core::quantity::{amps, rpm, volts};
use laneside_core::resolve::{InputId, Pulleys, Resolved};
use laneside_core::study::{Study, findings};
use laneside_core::tolerance::Tolerances;

/// Validation. Source: derived from the power equation of Perreault and Caliskan, IEEE Trans. Power Electronics 19(3), 2004:
/// 50 A at 1,500 and 120 A at 6,000 rpm give 123.26 A and 1371 rpm. Tolerance: half of the last digit given.
#[test]
fn two_point_form() {
    let form = SquareRoot::through((1_500.0, 50.0), (6_000.0, 120.0)).unwrap();
    near(form.limit_a(), 123.26, 0.005);
    near(form.cut_in_rpm(), 1_371.0, 0.5);
    // By hand: I^2 = a - b/n^2, two linear equations in a and b.
    let b = (120.0_f64.powi(2) - 50.0_f64.powi(2)) / (1.0 / 1.5_f64.powi(2) - 1.0 / 36.0);
    let a = 120.0_f64.powi(2) + b / 36.0;
    within(form.limit_a(), a.sqrt(), 1e-12);
    within(form.cut_in_rpm(), 1_000.0 * (b / a).sqrt(), 1e-12);
    for speed in [1_400.0, 2_000.0, 3_500.0, 5_900.0] {
        let n = speed / 1_000.0;
        within(form.at(speed), (a - b / (n * n)).sqrt(), 1e-12);
    }
}

/// Validation. Source: ISO 8854:2012 and SAE J56: I_L at 1,500 rpm, 13.5 V, 23 degC; 6,000 rpm for I_R and the
/// handbook's 1,800 rpm from memory. Tolerance: exact.
#[test]
fn rating_standard() {
    assert_eq!(iso_8854::LOW_SPEED_RPM, 1_500.0);
    assert_eq!(iso_8854::TEST_VOLTAGE_V, 13.5);
    assert_eq!(iso_8854::TEST_TEMPERATURE_C, 23.0);
    assert_eq!(iso_8854::RATED_SPEED_RPM, 6_000.0);
    assert_eq!(iso_8854::HANDBOOK_LOW_SPEED_RPM, 1_800.0);
}

/// Validation. Source: from memory: a single number is I_R, and I_L = 0.5 I_R (0.35 to 0.69). Tolerance: exact.
#[test]
fn one_number_is_the_rated_output() {
    let mut one = car(60.0);
    one.alternator.rating_by = RatingBy::OneNumber;
    let resolved = Resolved::new(&one).unwrap();
    let curve = resolved.machine(&resolved.params).curve;
    near(curve.at(6_000.0), 120.0, 1e-9);
    near(curve.at(1_500.0), 60.0, 1e-9);
    let low = resolved
        .inputs
        .iter()
        .find(|input| input.id == InputId::LowFraction)
        .unwrap();
    assert_eq!((low.lowest, low.highest), (0.35, 0.69));
    // Below I_L's speed the form is good to a fifth both ways.
    let form = resolved
        .inputs
        .iter()
        .find(|input| input.id == InputId::LowForm)
        .unwrap();
    assert_eq!((form.lowest, form.highest), (0.8, 1.2));
}

/// Validation. Source: Sarafianos et al. 2015, 180 A class at 13.5 V and 25 degC: 2,000 rpm 120 A, 4,000 170, 6,000 180.
/// Tolerance: the curve passes through the table within 1e-9; the two-point form through the table's ends over-reads the
/// point between by 1.2 % (derived), within 0.1 %.
#[test]
fn sarafianos_180_a_machine() {
    let table = [(2_000.0, 120.0), (4_000.0, 170.0), (6_000.0, 180.0)];
    assert_eq!(sarafianos_2015::OUTPUT_RPM_A, table);
    let curve = Curve::points(&table).unwrap();
    for (speed, amps) in table {
        near(curve.at(speed), amps, 1e-9);
    }
    let ends = SquareRoot::through(table[0], table[2]).unwrap();
    near(100.0 * (ends.at(4_000.0) / 170.0 - 1.0), 1.2, 0.1);
    // Never above its points, and held beyond the last.
    assert_eq!(curve.at(12_000.0), 180.0);
    assert!((0..=240).all(|step| curve.at(50.0 * f64::from(step)) <= 180.0));
}

/// Verification: above the last point output is held and said to be beyond the measurement; a droop of up to a tenth is
/// accepted with a note.
#[test]
fn what_is_beyond_the_measurement_is_marked() {
    let mut car = car(60.0);
    car.alternator.rating_by = RatingBy::Points;
    car.alternator.set_point = Some(volts(13.5));
    let with = |points: &[(f64, f64)]| {
        let mut car = car.clone();
        car.alternator.points = points
            .iter()
            .map(|&(speed, current)| CurvePoint {
                speed: rpm(speed),
                current: amps(current),
            })
            .collect();
        findings(&car, &Study::new(&car).unwrap())
    };
    let all = with(&[(2_000.0, 120.0), (4_000.0, 170.0), (6_000.0, 180.0)]);
    let known = all
        .iter()
        .find(|finding| finding.code == "output_known_up_to_engine_speed")
        .unwrap();
    within(known.value.unwrap(), 6_000.0 / (154.0 / 64.0 * 0.99), 1e-9);
    assert_eq!(known.reason, Some("output_held_beyond"));
    let droop = |all: &[Finding]| {
        all.iter()
            .find(|finding| finding.reason == Some("curve_droops"))
            .and_then(|finding| finding.value)
    };
    assert_eq!(droop(&all), None);
    let droops = with(&[(2_000.0, 120.0), (6_000.0, 180.0), (18_000.0, 171.0)]);
    within(droop(&droops).unwrap(), 0.95, 1e-12);
}

/// Validation. Source: US Army TM 9-2320-280-34 table 6-A.5 (read by OCR), 28 V: 1,200 rpm 48 A, 1,500 69, 2,000 85, 4,000 to
/// 8,000 100. Tolerance: the curve passes through the table within 1e-9. The two-point form through the standard's speeds
/// (1,500, and 6,000 with the table's 100 A) under-reads 1,200 rpm by 16 %, 4,000 rpm by 2.2 % and 2,000 rpm by 0.1 %
/// (derived), each within 0.5 %; so a fifth both ways below I_L's speed covers it.
#[test]
fn army_28_v_machine() {
    let table = [
        (1_200.0, 48.0),
        (1_500.0, 69.0),
        (2_000.0, 85.0),
        (4_000.0, 100.0),
        (8_000.0, 100.0),
    ];
    assert_eq!(tm_9_2320::OUTPUT_RPM_A, table);
    let curve = Curve::points(&table).unwrap();
    for (speed, amps) in table {
        near(curve.at(speed), amps, 1e-9);
    }
    near(curve.at(6_000.0), 100.0, 1e-9);

    let pair = Curve::pair((1_500.0, 69.0), (6_000.0, 100.0)).unwrap();
    let off = |speed: f64, amps: f64| 100.0 * (pair.at(speed) / amps - 1.0);
    near(off(1_200.0, 48.0), -16.2, 0.5);
    near(off(2_000.0, 85.0), -0.1, 0.5);
    near(off(4_000.0, 100.0), -2.2, 0.5);
    near(off(8_000.0, 100.0), 0.0, 1e-9);
    let low = memory::LOW_SPEED_FORM;
    assert!(pair.at(1_200.0) * low.highest >= 48.0 && pair.at(1_200.0) * low.lowest <= 48.0);
}

/// Validation. Source: TM 5-3895-383-24: a self-exciting machine may need 2,000 rpm to excite and makes 12 A at 1,500, so that
/// its turn-on speed is over 2,000/1,500 = 1.33 times its cut-in speed; the factor 1.4 (1.0 to 1.7) is from memory.
/// Tolerance: the published ratio lies inside the assumed range and under the assumed value by a twentieth at most.
#[test]
fn self_exciting_machines_turn_on_above_their_cut_in() {
    let published: f64 = 2_000.0 / 1_500.0;
    let assumed = memory::SELF_EXCITE_FACTOR;
    assert_eq!(
        (assumed.value, assumed.lowest, assumed.highest),
        (1.4, 1.0, 1.7)
    );
    assert!(published >= assumed.lowest && published <= assumed.highest);
    within(published, assumed.value, 0.05);

    let turn_on = |excitation| {
        let mut car = car(60.0);
        car.alternator.excitation = Some(excitation);
        let tolerances = Tolerances::new(Resolved::new(&car).unwrap());
        turn_on_rpm(tolerances.nominal(), Pulleys::ON_CAR)
    };
    let wired = turn_on(Excitation::ExciteWire);
    within(turn_on(Excitation::SelfExciting), 1.4 * wired, 1e-9);
    // An excite wire turns it on at cut-in: n0 for the set-point, over ratio and slip.
    let tolerances = Tolerances::new(Resolved::new(&car(60.0)).unwrap());
    let state = tolerances.nominal();
    let v = state.params.set_point_v;
    let q = ((v - 1.0) / 12.5_f64).powf(0.4);
    within(
        wired,
        1_371.0 * (v + 2.0) / 15.5 / q / (154.0 / 64.0 * 0.99),
        1e-3,
    );
}

/// Validation. Source: one carmaker's workshop manual: -20 degC 14.0 to 15.1 V, 20 13.7 to 14.6, 60 13.2 to 14.3, 80 12.9 to
/// 14.1; about -10 mV/K. Tolerance: the table exactly, the slope of its middle within a tenth.
#[test]
fn set_point_band() {
    for (celsius, low, high) in [
        (-20.0, 14.0, 15.1),
        (20.0, 13.7, 14.6),
        (60.0, 13.2, 14.3),
        (80.0, 12.9, 14.1),
    ] {
        let (found_low, found_high) = set_point_band::band_v(celsius);
        near(found_low, low, 1e-9);
        near(found_high, high, 1e-9);
    }
    let middle = |celsius| {
        let (low, high) = set_point_band::band_v(celsius);
        (low + high) / 2.0
    };
    within(1_000.0 * (middle(80.0) - middle(-20.0)) / 100.0, -10.0, 0.1);
    // Straight between the rows, held outside them.
    near(middle(40.0), (14.15 + 13.75) / 2.0, 1e-9);
    assert_eq!(set_point_band::band_v(-40.0), set_point_band::band_v(-20.0));
    assert_eq!(set_point_band::band_v(140.0), set_point_band::band_v(80.0));
}
