//! What makes the pass and the day valid, beside the ranges of their plain numbers.

use super::{Fault, above, at_most, name, range};
use crate::car::entry::Field;
use crate::car::{Course, Day, Phase};

/// Gears.
pub const MOST_GEARS: usize = 8;
/// Most points of a pass, and most segments of a lap.
pub const MOST_POINTS: usize = 60;
/// Most segments that a session drives.
pub const MOST_SEGMENTS: usize = 2_000;
/// Longest session, s.
pub const SESSION_S: f64 = 14_400.0;
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
pub(in crate::car) fn within(field: Field, found: f64) -> Result<(), Fault> {
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
    let laps = course.laps.unwrap_or(1);
    at_most(
        "segments in all laps",
        laps as usize * course.segments.len(),
        MOST_SEGMENTS,
    )?;
    let lap_s: f64 = course.segments.iter().map(|segment| segment.seconds).sum();
    range(
        "course.laps x their time",
        Some(f64::from(laps) * lap_s),
        (0.0, SESSION_S),
    )?;
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;
    use crate::car::{Car, DayReading, LapSegment, TimePoint, demo};
    use crate::wiring::WireSize;

    /// What a demo car with this change is refused for.
    fn fault(change: impl FnOnce(&mut Car)) -> Fault {
        let mut car = demo::nettle();
        change(&mut car);
        car.check().unwrap_err()
    }

    #[test]
    fn demo_cars_are_valid() {
        for car in demo::cars() {
            assert_eq!(car.check(), Ok(()), "{}", car.name);
        }
    }

    #[test]
    fn a_battery_has_the_cells_of_its_chemistry() {
        let found = fault(|car| car.battery.chemistry = Some(Chemistry::LithiumIronPhosphate));
        assert_eq!(
            found,
            Fault::Cells {
                found: 6,
                allowed: &[4]
            }
        );
    }

    #[test]
    fn a_wire_is_one_that_is_made() {
        let found = fault(|car| car.wiring.ground.size = Some(WireSize::Awg(21)));
        let what = "wiring.ground.size";
        assert!(
            matches!(found, Fault::Wire { what: at, .. } if at == what),
            "{found}"
        );
    }

    #[test]
    fn steps_are_in_phases_of_the_car() {
        let found = fault(|car| {
            car.day.steps = crate::race::template(&car.day, &car.phases);
            car.phases.retain(|phase| phase.id != "burnout");
        });
        let id = "burnout".to_owned();
        assert_eq!(found, Fault::NoPhase { id });
    }

    #[test]
    fn rounds_are_those_of_the_day() {
        let found = fault(|car| {
            car.day.reading = Some(DayReading {
                before_round: 7,
                volts: 12.6,
                rested_h: None,
            });
        });
        assert_eq!(
            found.to_string(),
            "day.reading.before_round is 7, needs 1 to 6"
        );
    }

    #[test]
    fn faults_say_what_was_found_and_what_is_needed() {
        for (found, said) in [
            (
                fault(|car| car.course.gears = vec![1.5, 1.5]),
                "course.gears is 1.5, needs to be above the gear after it (1.5)",
            ),
            (
                fault(|car| car.course.gears = vec![1.0; 9]),
                "9 gears, at most 8",
            ),
            (
                fault(|car| {
                    let segment = LapSegment {
                        name: "straight".to_owned(),
                        seconds: 2.0,
                        from_rpm: 5_000.0,
                        to_rpm: 6_000.0,
                    };
                    car.course.segments = vec![segment; 60];
                    car.course.laps = Some(200);
                }),
                "12000 segments in all laps, at most 2000",
            ),
            (
                fault(|car| car.course.sixty_ft_s = Some(5.5)),
                "course.sixty_ft_s is 5.5, needs 0.7 to 5",
            ),
            (
                fault(|car| car.course.elapsed_s = Some(f64::NAN)),
                "course.elapsed_s is NaN, needs 2 to 40",
            ),
            (
                fault(|car| {
                    let point = TimePoint {
                        seconds: 2.0,
                        speed_rpm: 5_000.0,
                    };
                    car.course.points = vec![point, point];
                }),
                "course.points.seconds is 2, needs to be above the point before it (2)",
            ),
            (
                fault(|car| {
                    car.course.segments = vec![LapSegment {
                        name: " ".to_owned(),
                        seconds: 2.0,
                        from_rpm: 5_000.0,
                        to_rpm: 5_000.0,
                    }];
                }),
                "a segment name is empty or longer than 60 characters",
            ),
            (
                fault(|car| {
                    car.course.costs.dead_12_ms = Some(0.8);
                    car.course.costs.dead_14_ms = Some(0.9);
                }),
                "course.costs.dead_12_ms is 0.8, needs to be above course.costs.dead_14_ms (0.9)",
            ),
        ] {
            assert_eq!(found.to_string(), said);
        }
    }
}
