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

fn typed(car: Car, entries: &[(Field, &str)]) -> Car {
    entries.iter().fold(car, |car, (field, text)| {
        set(&car, *field, text).unwrap_or_else(|error| panic!("{field:?} {text}: {error}"))
    })
}

#[test]
fn a_racer_types_in_his_own_units() {
    let inch = typed(
        Car::new("Try", System::Inch),
        &[
            (Field::Elapsed, "6.60"),
            (Field::Trap, "103"),
            (Field::Tire, "28"),
            (Field::LeadLength, "16 ft"),
            (Field::ConverterSlip, "5"),
            (Field::CoilResistance, "0.6"),
            (Field::LatePits, "12 min"),
            (Field::BatteryMilliohms, "4.5 mΩ"),
        ],
    );
    let course = &inch.course;
    assert_eq!(course.elapsed_s, Some(6.6));
    assert_eq!(course.trap_mps, Some(46.045_12));
    assert_eq!(course.tire_mm, Some(711.2));
    assert_eq!(inch.wiring.lead.length_m, Some(4.8768));
    assert_eq!(course.slip, Some(0.05));
    assert_eq!(course.costs.coil_ohm, Some(0.6));
    assert_eq!(inch.day.late_pits_s, Some(720.0));
    assert_eq!(inch.battery.measured_mohm, Some(4.5));
    for (field, text) in [
        (Field::Elapsed, "6.60 s"),
        (Field::Trap, "103 mph"),
        (Field::Tire, "28 in"),
        (Field::LeadLength, "16 ft"),
        (Field::ConverterSlip, "5 %"),
        (Field::LatePits, "12 min"),
        (Field::BatteryMilliohms, "4.5 mΩ"),
    ] {
        assert_eq!(shown(&inch, field), text);
    }
    let metric = typed(
        metric(),
        &[
            (Field::Trap, "180"),
            (Field::Tire, "620"),
            (Field::LeadLength, "5"),
        ],
    );
    assert_eq!(metric.course.trap_mps, Some(50.0));
    assert_eq!(metric.course.tire_mm, Some(620.0));
    assert_eq!(metric.wiring.lead.length_m, Some(5.0));
}

#[test]
fn times_are_read_as_people_write_them() {
    for (text, seconds) in [
        ("90 s", 90.0),
        ("12", 720.0),
        ("1:30", 90.0),
        ("1.5 h", 5_400.0),
    ] {
        let car = set(&metric(), Field::LatePits, text).unwrap();
        assert_eq!(car.day.late_pits_s, Some(seconds), "{text}");
    }
    for (text, hours) in [("12", 12.0), ("1:30", 1.5), ("30 min", 0.5)] {
        let car = set(&metric(), Field::RestedHours, text).unwrap();
        assert_eq!(car.battery.rested_h, Some(hours), "{text}");
    }
    let car = set(&metric(), Field::LatePits, "1:40").unwrap();
    assert_eq!(shown(&car, Field::LatePits), "1:40");
}

#[test]
fn a_list_grows_at_its_end() {
    let car = typed(
        metric(),
        &[
            (Field::Gear(0), "2.48"),
            (Field::Gear(1), "1.48"),
            (Field::Gear(2), "1.00 : 1"),
        ],
    );
    assert_eq!(car.course.gears, [2.48, 1.48, 1.0]);
    assert!(set(&car, Field::Gear(0), "").is_err());
    let car = set(&car, Field::Gear(2), "").unwrap();
    assert_eq!(car.course.gears, [2.48, 1.48]);
    let error = set(&car, Field::Gear(2), "1.9").unwrap_err();
    assert!(
        matches!(error, EntryError::Fault(Fault::Order { .. })),
        "{error}"
    );

    let car = typed(
        metric(),
        &[
            (Field::Shift, "7000"),
            (Field::PointTime(0), "0"),
            (Field::PointSpeed(0), "4200"),
            (Field::PointSpeed(1), "7100"),
        ],
    );
    assert_eq!(car.course.points[1].seconds, 1.0);
    assert_eq!(shown(&car, Field::PointSpeed(0)), "4,200 rpm");
    assert!(set(&car, Field::PointTime(1), "0").is_err(), "not in order");

    let car = typed(
        car,
        &[
            (Field::SegmentName(0), "Climb"),
            (Field::SegmentTo(0), "7500"),
        ],
    );
    assert_eq!(car.course.segments[0].from_rpm, 7_000.0);
    assert_eq!(shown(&car, Field::SegmentName(0)), "Climb");
    assert!(set(&car, Field::SegmentName(0), "").is_err());
}

#[test]
fn what_does_not_fit_together_is_refused() {
    let car = demo::nettle();
    for (field, text) in [
        (Field::SixtyFoot, "5.1"),
        (Field::LateFrom, "7"),
        (Field::Rounds, "31"),
        (Field::Rounds, "2.5"),
        (Field::Elapsed, "1.9"),
        (Field::Trap, "9 m/s"),
        (Field::LeadDropAt, "0"),
        (Field::ConverterSlip, "31"),
        (Field::BatteryCapacity, "48 V"),
    ] {
        let error = set(&car, field, text);
        assert!(error.is_err(), "{field:?} takes {text}");
    }
    let late = typed(car, &[(Field::LateFrom, "5")]);
    let error = set(&late, Field::Rounds, "4").unwrap_err();
    assert!(
        matches!(error, EntryError::Fault(Fault::Range { .. })),
        "{error}"
    );
}

#[test]
fn a_reading_needs_its_voltage() {
    let car = metric();
    for field in [Field::ReadingRound, Field::ReadingHours] {
        assert_eq!(set(&car, field, "2").unwrap_err(), EntryError::VoltageFirst);
    }
    let car = typed(
        car,
        &[
            (Field::ReadingVolts, "12.6"),
            (Field::ReadingRound, "3"),
            (Field::ReadingHours, "1"),
        ],
    );
    assert_eq!(car.day.reading.unwrap().before_round, 3);
    assert_eq!(
        set(&car, Field::ReadingVolts, "").unwrap_err(),
        EntryError::VoltageFirst
    );
    let car = typed(car, &[(Field::ReadingHours, ""), (Field::ReadingVolts, "")]);
    assert_eq!(car.day.reading, None);
}

#[test]
fn every_key_leads_back_to_its_field() {
    let listed = [
        Field::Gear(1),
        Field::PointTime(2),
        Field::PointSpeed(0),
        Field::SegmentName(3),
        Field::SegmentTime(1),
        Field::SegmentFrom(1),
        Field::SegmentTo(1),
        Field::StepTime(7),
        Field::StepStarts(7),
        Field::BeltDiameter(2),
        Field::BeltX(0),
        Field::BeltY(0),
        Field::BeltPower(3),
        Field::TapeDistance(1),
        Field::ObstacleName(0),
        Field::ObstacleX(0),
        Field::ObstacleY(0),
        Field::ObstacleAcross(0),
    ];
    let all: Vec<Field> = Field::singles().chain(listed).collect();
    for field in &all {
        assert_eq!(Field::from_key(&field.key()), Some(*field), "{field:?}");
    }
    let keys: std::collections::HashSet<String> = all.iter().map(|field| field.key()).collect();
    assert_eq!(keys.len(), all.len(), "two fields with one key");
    assert_eq!(
        Field::of_file("wiring.lead.length_m"),
        Some(Field::LeadLength)
    );
    assert_eq!(Field::of_file("course.gears"), Some(Field::Gear(0)));
}

#[test]
fn a_designation_tells_ribs_and_length() {
    let car = demo::nettle();
    let changed = set(&car, Field::BeltDesignation, "5pk 1200").unwrap();
    let drive = &changed.belt_drive;
    assert_eq!((drive.ribs, drive.belt_mm), (Some(5), Some(1_200.0)));
    assert_eq!(shown(&changed, Field::BeltDesignation), "5PK1200");
    assert!(set(&changed, Field::BeltRibs, "").is_err());
    let none = set(&changed, Field::BeltDesignation, "").unwrap();
    assert_eq!(none.belt_drive.belt_mm, None);
    assert!(matches!(
        set(&car, Field::BeltDesignation, "5PJ1200"),
        Err(EntryError::Designation(_))
    ));
}

#[test]
fn a_distance_typed_over_is_as_good_as_a_tape() {
    let mut car = demo::tansy();
    car.belt_drive.begin_tapes();
    let before = car.belt_drive.tapes[0].half_width_mm;
    let changed = set(&car, Field::TapeDistance(0), "262").unwrap();
    assert!(changed.belt_drive.tapes[0].half_width_mm < before);
    assert_eq!(
        changed.belt_drive.tapes[1].half_width_mm,
        car.belt_drive.tapes[1].half_width_mm
    );
}
