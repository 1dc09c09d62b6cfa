//! Fields that are plain numbers of a list, counts, and the reading during the day.

use super::card;
use super::plain::{About, DROP_AT_A, DROP_V, RESTED_H, RESTING_V, STEP_S};
use super::{EntryError, Field};
use crate::car::{Car, DayReading, LapSegment, TimePoint, check};
use crate::quantity::parse::{Kind, ParseError};
use crate::quantity::{InRotationalSpeed, RotationalSpeed};

/// Those that a car has once.
pub(super) const SINGLE: [Field; 6] = [
    Field::Laps,
    Field::Rounds,
    Field::LateFrom,
    Field::ReadingRound,
    Field::ReadingVolts,
    Field::ReadingHours,
];

/// Those that are listed, by place.
pub(super) const LISTED: [fn(usize) -> Field; 12] = [
    Field::Gear,
    Field::PointTime,
    Field::PointSpeed,
    Field::SegmentTime,
    Field::SegmentFrom,
    Field::SegmentTo,
    Field::SegmentName,
    Field::StepTime,
    Field::StepStarts,
    Field::CardVolts,
    Field::CardDrop,
    Field::CardAmps,
];

/// How long between two points of a row that is added, and a segment that is, s.
const NEXT_POINT_S: f64 = 1.0;
const NEXT_SEGMENT_S: f64 = 10.0;
/// Engine speed of a first row that is added while neither shift nor limiter is known, rpm.
const FIRST_RPM: f64 = 6_000.0;

pub(super) fn about(field: Field) -> Option<About> {
    let (key, kind, limits, name) = match field {
        Field::Laps => ("laps", Kind::Count, check::LAPS, "course.laps"),
        Field::Rounds => ("rounds", Kind::Count, check::ROUNDS, "day.rounds"),
        Field::LateFrom => ("late-from", Kind::Count, check::ROUNDS, "day.late_from"),
        Field::ReadingRound => (
            "reading-round",
            Kind::Count,
            check::ROUNDS,
            "day.reading.before_round",
        ),
        Field::ReadingVolts => (
            "reading-volts",
            Kind::Voltage,
            RESTING_V,
            "day.reading.volts",
        ),
        Field::ReadingHours => (
            "reading-hours",
            Kind::Hours,
            RESTED_H,
            "day.reading.rested_h",
        ),
        Field::Gear(_) => ("gear", Kind::Ratio, check::GEAR, "course.gears"),
        Field::PointTime(_) => (
            "point-time",
            Kind::Time,
            check::POINT_S,
            "course.points.seconds",
        ),
        Field::PointSpeed(_) => (
            "point-speed",
            Kind::Speed,
            check::PASS_RPM,
            "course.points.speed_rpm",
        ),
        Field::SegmentTime(_) => (
            "segment-time",
            Kind::Time,
            check::SEGMENT_S,
            "course.segments.seconds",
        ),
        Field::SegmentFrom(_) => (
            "segment-from",
            Kind::Speed,
            check::PASS_RPM,
            "course.segments.from_rpm",
        ),
        Field::SegmentTo(_) => (
            "segment-to",
            Kind::Speed,
            check::PASS_RPM,
            "course.segments.to_rpm",
        ),
        Field::StepTime(_) => ("step-time", Kind::Minutes, STEP_S, "day.steps.seconds"),
        Field::StepStarts(_) => (
            "step-starts",
            Kind::Count,
            check::STARTS,
            "day.steps.starts",
        ),
        Field::CardVolts(_) => ("card-volts", Kind::Voltage, RESTING_V, "swap.readings"),
        Field::CardDrop(_) => ("card-drop", Kind::Drop, DROP_V, "swap.drops"),
        Field::CardAmps(_) => ("card-amps", Kind::Current, DROP_AT_A, "swap.at_a"),
        _ => return None,
    };
    Some(About {
        key,
        kind,
        limits,
        name,
    })
}

pub(super) fn get(car: &Car, field: Field) -> Option<f64> {
    let (course, day) = (&car.course, &car.day);
    match field {
        Field::Laps => course.laps.map(f64::from),
        Field::Rounds => day.rounds.map(f64::from),
        Field::LateFrom => day.late_from.map(f64::from),
        Field::ReadingRound => day.reading.map(|reading| f64::from(reading.before_round)),
        Field::ReadingVolts => day.reading.map(|reading| reading.volts),
        Field::ReadingHours => day.reading.and_then(|reading| reading.rested_h),
        Field::Gear(place) => course.gears.get(place).copied(),
        Field::PointTime(place) => course.points.get(place).map(|point| point.seconds),
        Field::PointSpeed(place) => course.points.get(place).map(|point| point.speed_rpm),
        Field::SegmentTime(place) => course.segments.get(place).map(|one| one.seconds),
        Field::SegmentFrom(place) => course.segments.get(place).map(|one| one.from_rpm),
        Field::SegmentTo(place) => course.segments.get(place).map(|one| one.to_rpm),
        Field::StepTime(place) => day.steps.get(place).map(|step| step.seconds),
        Field::StepStarts(place) => day.steps.get(place).map(|step| f64::from(step.starts)),
        _ => card::get(car, field),
    }
}

/// Puts a number that is in its limits, or takes it out.
pub(super) fn put(car: &mut Car, field: Field, value: Option<f64>) -> Result<(), EntryError> {
    let count = value.map(|value| value as u32);
    match field {
        Field::Laps => car.course.laps = count,
        Field::Rounds => car.day.rounds = count,
        Field::LateFrom => car.day.late_from = count,
        Field::ReadingRound | Field::ReadingVolts | Field::ReadingHours => {
            return put_reading(&mut car.day.reading, field, value);
        }
        Field::CardVolts(_) | Field::CardDrop(_) | Field::CardAmps(_) => {
            card::put(car, field, value);
        }
        Field::Gear(place) => return put_gear(&mut car.course.gears, place, value),
        Field::StepStarts(place) => {
            if let Some(step) = car.day.steps.get_mut(place) {
                step.starts = count.unwrap_or_default();
            }
        }
        _ => return put_in_row(car, field, value),
    }
    Ok(())
}

/// The voltage makes the reading, before the first round until another is named.
fn put_reading(
    reading: &mut Option<DayReading>,
    field: Field,
    value: Option<f64>,
) -> Result<(), EntryError> {
    match (field, reading, value) {
        (Field::ReadingVolts, Some(reading), Some(volts)) => reading.volts = volts,
        (Field::ReadingVolts, reading @ None, Some(volts)) => {
            *reading = Some(DayReading {
                before_round: 1,
                volts,
                rested_h: None,
            });
        }
        (Field::ReadingVolts, reading, None) => {
            if reading.is_some_and(|reading| reading.rested_h.is_some()) {
                return Err(EntryError::VoltageFirst);
            }
            *reading = None;
        }
        (Field::ReadingHours, Some(reading), hours) => reading.rested_h = hours,
        (_, Some(reading), round) => {
            reading.before_round = round.ok_or(ParseError::Empty)? as u32;
        }
        (_, None, Some(_)) => return Err(EntryError::VoltageFirst),
        (_, None, None) => {}
    }
    Ok(())
}

/// The last gear goes when it is emptied; another stays, so that none moves up while it is
/// retyped.
fn put_gear(gears: &mut Vec<f64>, place: usize, value: Option<f64>) -> Result<(), EntryError> {
    let count = gears.len();
    match (value, gears.get_mut(place)) {
        (Some(ratio), Some(gear)) => *gear = ratio,
        (Some(ratio), None) if place == count => gears.push(ratio),
        (None, Some(_)) if place + 1 == count => {
            gears.pop();
        }
        (None, Some(_)) => return Err(ParseError::Empty.into()),
        _ => {}
    }
    Ok(())
}

/// One number of a row that needs all of its numbers: the row is taken out by its own button.
fn put_in_row(car: &mut Car, field: Field, value: Option<f64>) -> Result<(), EntryError> {
    let Some(value) = value else {
        let is_there = get(car, field).is_some();
        return if is_there {
            Err(ParseError::Empty.into())
        } else {
            Ok(())
        };
    };
    add_row(car, field);
    let (points, segments) = (&mut car.course.points, &mut car.course.segments);
    let slot = match field {
        Field::PointTime(place) => points.get_mut(place).map(|point| &mut point.seconds),
        Field::PointSpeed(place) => points.get_mut(place).map(|point| &mut point.speed_rpm),
        Field::SegmentTime(place) => segments.get_mut(place).map(|one| &mut one.seconds),
        Field::SegmentFrom(place) => segments.get_mut(place).map(|one| &mut one.from_rpm),
        Field::SegmentTo(place) => segments.get_mut(place).map(|one| &mut one.to_rpm),
        Field::StepTime(place) => car.day.steps.get_mut(place).map(|step| &mut step.seconds),
        _ => None,
    };
    if let Some(slot) = slot {
        *slot = value;
    }
    Ok(())
}

/// Adds the row behind the last one where a field of it is typed, going on from the last.
fn add_row(car: &mut Car, field: Field) {
    let engine = &car.engine;
    let first_rpm = engine.shift.or(engine.limiter);
    let first_rpm = first_rpm.map_or(FIRST_RPM, RotationalSpeed::rpm);
    let (points, segments) = (&mut car.course.points, &mut car.course.segments);
    match field {
        Field::PointTime(place) | Field::PointSpeed(place) if place == points.len() => {
            let next = points.last().map_or((0.0, first_rpm), |last| {
                (last.seconds + NEXT_POINT_S, last.speed_rpm)
            });
            points.push(TimePoint {
                seconds: next.0,
                speed_rpm: next.1,
            });
        }
        Field::SegmentName(place)
        | Field::SegmentTime(place)
        | Field::SegmentFrom(place)
        | Field::SegmentTo(place)
            if place == segments.len() =>
        {
            let next = segments.last().map_or((NEXT_SEGMENT_S, first_rpm), |last| {
                (last.seconds, last.to_rpm)
            });
            segments.push(LapSegment {
                name: (place + 1).to_string(),
                seconds: next.0,
                from_rpm: next.1,
                to_rpm: next.1,
            });
        }
        _ => {}
    }
}

/// Names a segment, one behind the last included.
pub(super) fn name_segment(car: &mut Car, place: usize, text: &str) {
    if !text.is_empty() {
        add_row(car, Field::SegmentName(place));
    }
    if let Some(segment) = car.course.segments.get_mut(place) {
        text.clone_into(&mut segment.name);
    }
}
