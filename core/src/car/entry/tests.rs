use super::*;
use crate::alternator::CurveError;
use crate::car::check::Fault;
use crate::car::{RatingBy, RatioBy, demo};
use crate::quantity::{InLength, System};
use crate::resolve::Blank;

fn metric() -> Car {
    Car::new("Try", System::Metric)
}

#[test]
fn the_five_entries_are_read_in_both_units() {
    let mut car = Car::new("Try", System::Inch);
    for (field, text) in [
        (Field::Crank, "6 1/2"),
        (Field::Fitted, "57,2 mm"),
        (Field::Limiter, "7.2k"),
        (Field::Idle, "950"),
        (Field::Rated, "120A"),
    ] {
        car = set(&car, field, text).unwrap();
    }
    assert!((car.drive.fitted.unwrap().size.mm() - 57.2).abs() < 1e-9);
    assert_eq!(shown(&car, Field::Limiter), "7,200 rpm");
    assert!(crate::resolve::blanks(&car).is_empty());
}

#[test]
fn absurd_sizes_are_refused_with_their_range() {
    for text in ["2000 mm", "0", "-5", "1e9 mm"] {
        let error = set(&metric(), Field::Crank, text).unwrap_err();
        assert!(
            matches!(error, EntryError::Length { .. } | EntryError::Parse(_)),
            "{text}: {error:?}"
        );
    }
    let inch = Car::new("Try", System::Inch);
    let error = set(&inch, Field::Fitted, "57").unwrap_err();
    assert!(
        matches!(error, EntryError::Length { other: Some(_), .. }),
        "{error:?}"
    );
}

#[test]
fn absurd_speeds_are_refused_with_their_range() {
    for text in ["90,000", "90000 rpm", "0", "-800"] {
        let error = set(&metric(), Field::Limiter, text).unwrap_err();
        assert!(
            matches!(
                error,
                EntryError::Range {
                    quantity: Quantity::Speed,
                    ..
                }
            ),
            "{text}: {error:?}"
        );
    }
}

#[test]
fn a_limiter_below_idle_is_refused_from_either_side() {
    let car = set(&metric(), Field::Idle, "2500").unwrap();
    let error = set(&car, Field::Limiter, "2000").unwrap_err();
    assert!(
        matches!(error, EntryError::Fault(Fault::Order { .. })),
        "{error:?}"
    );
    let car = set(&metric(), Field::Limiter, "2000").unwrap();
    assert!(set(&car, Field::Idle, "2500").is_err());
}

#[test]
fn a_tape_reading_is_a_circumference() {
    let car = set_measured(&metric(), Field::Crank, "520", Measure::Tape).unwrap();
    assert!(
        (car.drive
            .crank
            .unwrap()
            .effective(car.drive.belt)
            .value
            .mm()
            - 165.97)
            .abs()
            < 0.01
    );
    assert!(set_measured(&metric(), Field::Crank, "520", Measure::Called).is_err());
}

#[test]
fn curve_faults_name_their_line_or_point() {
    let mut car = metric();
    car.alternator.rating_by = RatingBy::Points;
    let read = set(&car, Field::Points, "1500 50\n2,000 rpm; 70 A\n\n6000 120").unwrap();
    assert_eq!(
        shown(&read, Field::Points),
        "1500 50.0\n2000 70.0\n6000 120.0"
    );
    let error = set(&car, Field::Points, "1500 50\nfast 70").unwrap_err();
    assert!(
        matches!(error, EntryError::CurveLine { line: 2, .. }),
        "{error:?}"
    );
    let error = set(&car, Field::Points, "1500 50\n6000 120\n4000 130").unwrap_err();
    assert_eq!(error, EntryError::Curve(CurveError::NotRising { point: 3 }));
    let error = set(&car, Field::Points, "1500 50\n4000 120\n6000 100").unwrap_err();
    assert_eq!(error, EntryError::Curve(CurveError::Falls { point: 3 }));
}

#[test]
fn empty_text_takes_the_value_out_again() {
    let car = set(&demo::nettle(), Field::Shift, "").unwrap();
    assert_eq!(car.engine.shift, None);
    assert!(set(&demo::nettle(), Field::LoadCurrent(0), "").is_err());
    assert!(set(&demo::nettle(), Field::Name, " ").is_err());
}

#[test]
fn the_short_limit_waits_for_the_continuous_one() {
    assert_eq!(
        set(&metric(), Field::Short, "20000").unwrap_err(),
        EntryError::ContinuousFirst
    );
    let car = set(&metric(), Field::Continuous, "18000").unwrap();
    let car = set(&car, Field::Short, "20000").unwrap();
    assert_eq!(shown(&car, Field::Short), "20,000 rpm");
    assert!(set(&car, Field::Short, "17000").is_err());
}

#[test]
fn what_is_shown_reads_back() {
    for car in demo::cars() {
        for field in [
            Field::Crank,
            Field::Fitted,
            Field::Limiter,
            Field::Idle,
            Field::Rated,
            Field::SetPoint,
        ] {
            let text = shown(&car, field);
            let again = set(&car, field, &text).unwrap();
            assert_eq!(shown(&again, field), text, "{field:?}");
        }
    }
}

#[test]
fn a_load_is_off_in_a_phase_and_on_again() {
    let car = set(&demo::nettle(), Field::LoadDuty(0, 2), "0").unwrap();
    assert_eq!(shown(&car, Field::LoadDuty(0, 2)), "0 %");
    let car = set(&car, Field::LoadDuty(0, 2), "100").unwrap();
    assert_eq!(shown(&car, Field::LoadDuty(0, 2)), "100 %");
}

#[test]
fn retyping_one_entry_takes_no_other_with_it() {
    let car = set(&metric(), Field::OnHand(0), "60").unwrap();
    let car = set(&car, Field::OnHand(1), "70").unwrap();
    assert!(set(&car, Field::OnHand(0), "").is_err());
    assert_eq!(set(&car, Field::OnHand(2), "").unwrap(), car);

    let car = set(&car, Field::StageDriven, "120").unwrap();
    let car = set(&car, Field::StageDriving, "150").unwrap();
    let emptied = set(&car, Field::StageDriven, "").unwrap();
    assert_eq!(shown(&emptied, Field::StageDriving), "150.0 mm");
    assert!(crate::resolve::blanks(&emptied).contains(&Blank::Stage));

    let car = set(&car, Field::Fitted, "60").unwrap();
    let car = set(&car, Field::FittedRating, "18000").unwrap();
    assert_eq!(
        set(&car, Field::Fitted, "").unwrap_err(),
        EntryError::SizeFirst
    );

    let car = set(&car, Field::Continuous, "18000").unwrap();
    let car = set(&car, Field::Short, "20000").unwrap();
    assert_eq!(
        set(&car, Field::Continuous, "").unwrap_err(),
        EntryError::ContinuousFirst
    );

    assert_eq!(
        set(&car, Field::PhaseClampVoltage(0), "12.6").unwrap_err(),
        EntryError::CurrentFirst
    );
    let car = set(&car, Field::PhaseClamp(0), "22").unwrap();
    let car = set(&car, Field::PhaseClampVoltage(0), "12.6").unwrap();
    assert_eq!(
        set(&car, Field::PhaseClamp(0), "").unwrap_err(),
        EntryError::CurrentFirst
    );
}

/// A jackshaft typed digit by digit never counts with a size that nobody entered.
#[test]
fn half_a_jackshaft_is_a_blank() {
    let mut car = Car::new("Try", System::Inch);
    for text in ["4", "4.2", "4.25"] {
        car = set(&car, Field::StageDriven, text).unwrap();
        assert_eq!(shown(&car, Field::StageDriving), "");
        assert!(crate::resolve::blanks(&car).contains(&Blank::Stage));
    }
    car = set(&car, Field::StageDriving, "5").unwrap();
    assert!(!crate::resolve::blanks(&car).contains(&Blank::Stage));
    let text = car.to_file().unwrap();
    assert_eq!(Car::from_file(&text).unwrap().to_file().unwrap(), text);
}

/// Turns counted with one pulley say nothing of another that was put on since.
#[test]
fn a_count_that_does_not_fit_the_sizes_is_asked_for_again() {
    let mut car = demo::nettle();
    car.drive.ratio_by = RatioBy::Turns;
    for (field, text) in [
        (Field::CrankTurns, "10"),
        (Field::AlternatorTurns, "27 3/4"),
    ] {
        car = set(&car, field, text).unwrap();
    }
    assert!(crate::resolve::blanks(&car).is_empty());
    let other = set(&car, Field::Fitted, "3 in").unwrap();
    assert_eq!(crate::resolve::blanks(&other), [Blank::RatioAgain]);
}
