//! What makes the pass and the day valid, beside the ranges of their plain numbers.

use super::{Fault, above, at_most, name, range};
use crate::car::entry::Field;
use crate::car::{Course, Day, Phase};

/// Gears.
pub const MOST_GEARS: usize = 8;
/// Most points of a pass, and most segments of a lap.
pub const MOST_POINTS: usize = 60;
/// Most steps of a round.
pub const MOST_STEPS: usize = 24;

/// Ratio of a gear.
pub const GEAR: (f64, f64) = (0.3, 6.0);
/// Engine speeds typed over time, rpm.
pub const PASS_RPM: (f64, f64) = (0.0, 23_000.0);
/// Times of typed points, s.
pub const POINT_S: (f64, f64) = (0.0, 600.0);
/// How long one segment of a lap takes, s.
pub const SEGMENT_S: (f64, f64) = (0.1, 600.0);
/// Laps of a session.
pub const LAPS: (f64, f64) = (1.0, 200.0);
/// Rounds of a day.
pub const ROUNDS: (f64, f64) = (1.0, 30.0);
/// Starts of the engine at the beginning of one step.
pub const STARTS: (f64, f64) = (0.0, 20.0);

/// A number in the limits of its field.
fn within(field: Field, found: f64) -> Result<(), Fault> {
    field
        .about()
        .map_or(Ok(()), |about| range(about.name, Some(found), about.limits))
}

fn counted(field: Field, found: Option<u32>) -> Result<(), Fault> {
    found.map_or(Ok(()), |found| within(field, f64::from(found)))
}

pub(super) fn check_course(course: &Course) -> Result<(), Fault> {
    above(
        "course.elapsed_s",
        course.elapsed_s,
        "course.sixty_ft_s",
        course.sixty_ft_s,
    )?;
    at_most("gears", course.gears.len(), MOST_GEARS)?;
    for ratio in &course.gears {
        within(Field::Gear(0), *ratio)?;
    }
    for pair in course.gears.windows(2) {
        above(
            "course.gears",
            Some(pair[0]),
            "the gear after it",
            Some(pair[1]),
        )?;
    }
    at_most("points", course.points.len(), MOST_POINTS)?;
    for point in &course.points {
        within(Field::PointTime(0), point.seconds)?;
        within(Field::PointSpeed(0), point.speed_rpm)?;
    }
    for pair in course.points.windows(2) {
        above(
            "course.points.seconds",
            Some(pair[1].seconds),
            "the point before it",
            Some(pair[0].seconds),
        )?;
    }
    at_most("segments", course.segments.len(), MOST_POINTS)?;
    for segment in &course.segments {
        name("segment", &segment.name)?;
        within(Field::SegmentTime(0), segment.seconds)?;
        within(Field::SegmentFrom(0), segment.from_rpm)?;
        within(Field::SegmentTo(0), segment.to_rpm)?;
    }
    counted(Field::Laps, course.laps)?;
    // More voltage never moves less fuel, nor opens an injector later.
    let costs = &course.costs;
    above(
        "course.costs.flow_13_5_lph",
        costs.flow_13_5_lph,
        "course.costs.flow_12_lph",
        costs.flow_12_lph,
    )?;
    above(
        "course.costs.dead_12_ms",
        costs.dead_12_ms,
        "course.costs.dead_14_ms",
        costs.dead_14_ms,
    )
}

pub(super) fn check_day(day: &Day, phases: &[Phase]) -> Result<(), Fault> {
    counted(Field::Rounds, day.rounds)?;
    at_most("steps", day.steps.len(), MOST_STEPS)?;
    for step in &day.steps {
        if !phases.iter().any(|phase| phase.id == step.phase) {
            return Err(Fault::NoPhase {
                id: step.phase.clone(),
            });
        }
        within(Field::StepTime(0), step.seconds)?;
        counted(Field::StepStarts(0), Some(step.starts))?;
    }
    let rounds = (ROUNDS.0, day.rounds.map_or(ROUNDS.1, f64::from));
    range("day.late_from", day.late_from.map(f64::from), rounds)?;
    let Some(reading) = day.reading else {
        return Ok(());
    };
    range(
        "day.reading.before_round",
        Some(f64::from(reading.before_round)),
        rounds,
    )?;
    within(Field::ReadingVolts, reading.volts)?;
    reading
        .rested_h
        .map_or(Ok(()), |hours| within(Field::ReadingHours, hours))
}
