//! Cards of the demo cars: verification.
#![allow(clippy::unwrap_used)]

use super::{Changed, Due, Part, PointsTo, Reading, Standing, due, fittings};
use crate::car::entry::{Field, set, shown};
use crate::car::file::LONGEST;
use crate::car::history::{Event, MOST_ENTRIES};
use crate::car::swap::{JobCard, LONGEST_NOTES, Task};
use crate::car::{Car, EngineState, Lead, RatioBy, demo};
use crate::drive::Pulley;
use crate::quantity::{inch, rpm, volts};
use crate::study::Study;

const TODAY: &str = "2026-05-02 09:30";

fn card(car: &Car) -> JobCard {
    JobCard::new(car, &Study::new(car).unwrap(), TODAY).unwrap()
}

/// As saved and read back: to the last digit that a file keeps.
fn with_card(car: &Car) -> Car {
    let mut car = Car::from_file(&car.to_file().unwrap()).unwrap();
    car.swap = Some(card(&car));
    car
}

fn read(car: &Car, field: Field, text: &str) -> Car {
    set(car, field, text).unwrap()
}

#[test]
fn a_regulated_car_is_expected_at_its_set_point_less_what_the_path_drops() {
    let mut car = demo::nettle();
    car.alternator.set_point = Some(volts(14.2));
    car.wiring.sense = Some(crate::bus::Sense::Alternator);
    // 2 mOhm each way, as measured: 0.1 V at 50 A.
    let side = Lead {
        drop_v: Some(0.1),
        drop_at_a: Some(50.0),
        ..Lead::default()
    };
    car.wiring.lead = side.clone();
    car.wiring.ground = side;
    let expected = card(&car).after.expected;
    let path_ohm = (expected.lead_mohm.value + expected.ground_mohm.value) / 1e3;
    let under = expected.at_a.value * path_ohm;
    assert!((expected.all_on_v.value - (14.2 - under)).abs() < 2e-3);
    assert!(expected.lead_mohm.low < expected.lead_mohm.value);
    // A meter alone is 0.1 V off.
    for band in [expected.idle_v, expected.fast_idle_v, expected.all_on_v] {
        assert!(band.low <= band.value - 0.1 && band.high >= band.value + 0.1);
    }
}

#[test]
fn a_pulley_too_large_for_the_idle_is_expected_low_there_and_nowhere_else() {
    let mut car = demo::nettle();
    car.engine.idle = Some(rpm(700.0));
    car.drive.tried = Some(Pulley::called(inch(5.0)));
    let card = card(&car);
    let (before, after) = (card.before.expected, card.after.expected);
    assert!(after.idle_v.low < before.idle_v.low - 0.3, "{after:?}");
    assert!(after.turn_on_rpm > 1.8 * before.turn_on_rpm);
    assert!((after.fast_idle_v.value - before.fast_idle_v.value).abs() < 0.3);
}

#[test]
fn everything_on_is_neither_transbrake_nor_bottle() {
    let at_a = |car: &Car| card(car).after.expected.at_a.value;
    let car = demo::nettle();
    let mut without = car.clone();
    let loads = without.loads.as_mut().unwrap();
    let count = loads.len();
    loads.retain(|load| load.name != "transbrake");
    assert_eq!(loads.len() + 1, count);
    assert!((at_a(&car) - at_a(&without)).abs() < 1e-6);
    let mut louder = car.clone();
    louder.loads.as_mut().unwrap()[0].current = crate::quantity::amps(30.0);
    assert!(at_a(&louder) > at_a(&car) + 10.0);
}

#[test]
fn a_clamp_total_goes_before_the_list() {
    let mut car = demo::nettle();
    let place = car.phases.iter().position(|one| one.id == "lanes").unwrap();
    car = set(&car, Field::PhaseClamp(place), "70").unwrap();
    let card = card(&car);
    assert_eq!(card.all_on_as.as_deref(), Some("lanes"));
    assert!(card.after.expected.at_a.value > 65.0);
    // Without any phase in which the engine runs there is still a card.
    for phase in &mut car.phases {
        phase.engine = EngineState::Off;
    }
    assert_eq!(self::card(&car).idle_as, None);
}

#[test]
fn the_battery_comes_off_first_and_on_last() {
    let card = card(&demo::nettle());
    let off = card.tasks(Part::Off);
    let place = |task| off.iter().position(|other| *other == task).unwrap();
    assert!(place(Task::EngineOff) < place(Task::NegativeOff));
    for task in &off {
        let is_between =
            (place(Task::NegativeOff)..=place(Task::NegativeOn)).contains(&place(*task));
        assert!(is_between || *task == Task::EngineOff);
    }
    assert_eq!(off.last(), Some(&Task::NegativeOn));
    assert!(place(Task::TurnByHand) < place(Task::ClearTools));
    assert_eq!(card.tasks(Part::Again).first(), Some(&Task::FirstStart));
    // A crank pulley is asked for only where one is swapped.
    assert!(!off.contains(&Task::CrankPulleyOn));
    let mut car = demo::nettle();
    car.drive.tried_crank = Some(Pulley::called(inch(5.0)));
    assert!(
        self::card(&car)
            .tasks(Part::Off)
            .contains(&Task::CrankPulleyOn)
    );
}

#[test]
fn a_reading_says_where_it_lies_and_what_it_points_to() {
    let mut car = demo::nettle();
    car.alternator.set_point = Some(volts(14.2));
    car.wiring.sense = Some(crate::bus::Sense::Battery);
    let car = with_card(&car);
    let told = |car: &Car, reading| car.swap.as_ref().unwrap().told(0, reading, 1.0);
    assert_eq!(told(&car, Reading::Idle), None);
    for (field, text, reading, standing, points) in [
        (
            Field::CardVolts(0),
            "14.1",
            Reading::Idle,
            Standing::Within,
            vec![],
        ),
        (
            Field::CardVolts(0),
            "12.4",
            Reading::Idle,
            Standing::Under,
            vec![PointsTo::NotCharging],
        ),
        (
            Field::CardVolts(0),
            "13.1",
            Reading::Idle,
            Standing::Under,
            vec![PointsTo::SlowAtIdle, PointsTo::MoreLoad],
        ),
        (
            Field::CardVolts(1),
            "13.1",
            Reading::FastIdle,
            Standing::Under,
            vec![PointsTo::LowSetPoint, PointsTo::MoreLoad],
        ),
        (
            Field::CardVolts(2),
            "13.1",
            Reading::AllOn,
            Standing::Under,
            vec![PointsTo::MoreLoad],
        ),
        (
            Field::CardVolts(1),
            "14.6",
            Reading::FastIdle,
            Standing::Over,
            vec![PointsTo::HighSetPoint],
        ),
        (
            Field::CardVolts(1),
            "15.4",
            Reading::FastIdle,
            Standing::Over,
            vec![PointsTo::Overcharge],
        ),
    ] {
        let found = told(&read(&car, field, text), reading).unwrap();
        assert_eq!(
            (found.standing, &found.points_to),
            (standing, &points),
            "{text} V"
        );
    }
    // Idle and fast idle both short: not the idle alone.
    let both = read(
        &read(&car, Field::CardVolts(0), "13.1"),
        Field::CardVolts(1),
        "13.1",
    );
    let points = told(&both, Reading::Idle).unwrap().points_to;
    assert_eq!(points[0], PointsTo::LowSetPoint);
}

#[test]
fn a_drop_is_held_against_the_current_it_was_read_at() {
    let car = with_card(&demo::nettle());
    let at = |amps: &str, volts: &str| {
        let car = read(&car, Field::CardAmps(1), amps);
        let car = read(&car, Field::CardDrop(2), volts);
        let told = car.swap.unwrap().told(1, Reading::LeadDrop, 1.0);
        told.unwrap()
    };
    // 5.3 mOhm expected: 0.21 V at 40 A.
    assert_eq!(at("40", "0.21").standing, Standing::Within);
    let poor = at("20", "0.21");
    assert!((poor.mohm.unwrap() - 10.5).abs() < 1e-9);
    assert_eq!(poor.points_to, [PointsTo::PoorLead, PointsTo::OverPractice]);
    assert_eq!(at("80", "0.1").points_to, [PointsTo::LessCurrent]);
}

#[test]
fn typed_readings_stay_in_their_fields_and_bad_ones_are_refused() {
    let car = with_card(&demo::nettle());
    for (field, text, says) in [
        (Field::CardVolts(0), "13.9", "13.9 V"),
        (Field::CardVolts(5), "14.02", "14.02 V"),
        (Field::CardDrop(0), "120 mV", "0.12 V"),
        (Field::CardDrop(3), "0.05", "0.05 V"),
        (Field::CardAmps(1), "55", "55 A"),
        (Field::CardNotes, "washer 2 mm", "washer 2 mm"),
    ] {
        let changed = read(&car, field, text);
        assert_eq!(shown(&changed, field).replace('\u{a0}', " "), says);
        assert_eq!(Field::from_key(&field.key()), Some(field));
        assert_eq!(read(&changed, field, ""), car);
    }
    for (field, text) in [
        (Field::CardVolts(0), "lots"),
        (Field::CardVolts(0), "140"),
        (Field::CardDrop(1), "-1"),
        (Field::CardAmps(0), "0"),
    ] {
        assert!(set(&car, field, text).is_err(), "{text}");
    }
    let long = "x".repeat(LONGEST_NOTES + 1);
    assert!(set(&car, Field::CardNotes, &long).is_err());
    // Past the card, and without one, nothing is kept.
    let none = demo::nettle();
    assert_eq!(read(&none, Field::CardVolts(0), "13.9"), none);
    assert_eq!(read(&car, Field::CardVolts(6), "13.9"), car);
}

#[test]
fn a_car_that_changed_is_told_and_what_still_holds_stays() {
    let car = with_card(&demo::nettle());
    let card = car.swap.clone().unwrap();
    assert_eq!(card.outdated(&self::card(&car)), None);
    let mut ticked = card.clone();
    ticked.toggle(Task::BringPulley);
    ticked.notes = "mine".to_owned();
    ticked.before.readings.idle_v = Some(13.9);

    let mut other = car.clone();
    other.wiring.lead.length_m = Some(9.0);
    let now = self::card(&other);
    let changed = card.outdated(&now).unwrap();
    assert_eq!(
        changed,
        Changed {
            expected: true,
            ..Changed::default()
        }
    );
    let remade = ticked.remade(now.clone());
    assert_eq!(remade.before.expected, now.before.expected);
    assert_eq!(remade.ticked, ticked.ticked);
    assert_eq!(remade.before.readings, ticked.before.readings);

    other.drive.tried = Some(Pulley::called(inch(2.75)));
    let now = self::card(&other);
    assert!(card.outdated(&now).unwrap().pulleys);
    let remade = ticked.remade(now);
    assert!(remade.ticked.is_empty());
    assert_eq!(remade.notes, "mine");
    assert_eq!(remade.before.readings.idle_v, Some(13.9));

    let mut older = card.clone();
    older.version = "0.0.1".to_owned();
    assert!(older.outdated(&card).unwrap().version);
}

#[test]
fn done_moves_the_pulley_writes_history_and_can_be_taken_back() {
    let mut car = demo::nettle();
    car.drive.tried = Some(Pulley::called(inch(3.5)));
    let car = read(&with_card(&car), Field::CardVolts(0), "13.9");
    let done = car.swapped("2026-05-03 18:00").unwrap();
    assert_eq!(done.drive.fitted, car.drive.tried);
    assert_eq!(done.drive.tried, None);
    assert!(done.drive.on_hand.contains(&car.drive.fitted.unwrap()));
    let entry = &done.history[0];
    assert_eq!(entry.event, Event::Swapped);
    assert_eq!(entry.removed, car.drive.fitted);
    assert_eq!(entry.before.idle_v, Some(13.9));
    assert_eq!(done.swap.as_ref().unwrap().outdated(&card(&done)), None);
    // Once more changes nothing.
    assert_eq!(done.swapped("later").unwrap(), done);
    // What is read and noted later is in the history too.
    let later = read(
        &read(&done, Field::CardVolts(3), "14.1"),
        Field::CardNotes,
        "tight",
    );
    assert_eq!(later.history[0].after.idle_v, Some(14.1));
    assert_eq!(later.history[0].notes, "tight");
    assert_eq!(done.unswapped(), car);
    // Read back from its file it is the same, and can still be taken back.
    let file = Car::from_file(&later.to_file().unwrap()).unwrap();
    assert_eq!(file, later);
    assert_eq!(file.unswapped().drive, car.drive);
    // What was entered since stays.
    let mut since = done.clone();
    since.drive.accessories.clear();
    let back = since.unswapped();
    assert_eq!(back.drive.fitted, car.drive.fitted);
    assert_eq!(back.drive.tried, car.drive.tried);
    assert!(back.drive.accessories.is_empty() && back.history.is_empty());
}

#[test]
fn a_counted_ratio_goes_with_its_pulley() {
    let mut car = demo::nettle();
    car.drive.ratio_by = RatioBy::Turns;
    car.drive.crank_turns = Some(4.0);
    car.drive.alternator_turns = Some(11.5);
    let done = with_card(&car).swapped(TODAY).unwrap();
    assert_eq!(done.drive.ratio_by, RatioBy::Sizes);
    assert_eq!(
        (done.drive.crank_turns, done.drive.alternator_turns),
        (None, None)
    );
    assert!(Study::new(&done).is_ok());
}

#[test]
fn a_full_history_refuses_and_the_largest_car_still_fits_its_file() {
    let mut car = demo::tansy();
    for _ in 0..MOST_ENTRIES {
        car = car.noted(Event::Noted, TODAY).unwrap();
    }
    assert!(car.noted(Event::Checked, TODAY).is_err());
    let car = with_card(&car);
    assert!(car.swapped(TODAY).is_err());
    let mut full = car.clone();
    let readings = full.swap.as_ref().unwrap().before.readings;
    for entry in &mut full.history {
        entry.notes = "\u{1f527}".repeat(LONGEST_NOTES);
        entry.removed = entry.pulley;
        entry.belt = "6PK1500".to_owned();
        entry.before = readings;
    }
    let text = full.to_file().unwrap();
    assert!(text.len() < LONGEST, "{}", text.len());
    assert_eq!(Car::from_file(&text).unwrap(), full);
    full.history.push(full.history[0].clone());
    assert!(full.check().is_err());
}

#[test]
fn the_history_tells_what_was_on_and_what_is_due() {
    let car = demo::nettle();
    assert!(due(&car, &[]).is_empty());
    let mut first = car.noted(Event::Noted, "2026-04-01 10:00").unwrap();
    first.drive.tried = Some(Pulley::called(inch(3.5)));
    let done = with_card(&first).swapped("2026-05-02 18:00").unwrap();
    let all = fittings(&done, &[]);
    assert_eq!(all.len(), 2);
    assert!(all[0].is_on_car && all[0].pulley == done.drive.fitted);
    assert_eq!(all[0].since.as_deref(), Some("2026-05-02 18:00"));
    assert_eq!(all[1].since.as_deref(), Some("2026-04-01 10:00"));
    assert_eq!(all[1].passes, 0);
    let since = "2026-05-02 18:00".to_owned();
    assert_eq!(due(&done, &[]), [Due::AfterFirstHeat { since }, Due::Log]);
    let checked = done.noted(Event::Checked, "2026-05-09 08:00").unwrap();
    let last = "2026-05-09 08:00".to_owned();
    assert_eq!(due(&checked, &[])[0], Due::EachDay { last });
    // Looked at, the same set is on the car.
    assert_eq!(fittings(&checked, &[]).len(), 2);
}

#[test]
fn a_tick_leaves_every_answer_as_it_was() {
    let car = with_card(&demo::nettle());
    let study = Study::new(&car).unwrap();
    let mut ticked = car.clone();
    ticked.swap.as_mut().unwrap().toggle(Task::EngineOff);
    ticked.history = ticked.noted(Event::Noted, TODAY).unwrap().history;
    let again = study.with_other_tried(&car, &ticked).unwrap();
    assert_eq!(again.on_car, study.on_car);
    assert_eq!(again.tried, study.tried);
    let card = ticked.swap.unwrap();
    assert_eq!(card.progress().0, 1);
}
