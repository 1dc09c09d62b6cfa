//! Cars prepared so that each of them gets one kind of verdict. All are invented.

use laneside_core::alternator::Fan;
use laneside_core::car::{Car, Day, DayStep, demo};
use laneside_core::drive::{Measure, Pulley};
use laneside_core::quantity::{System, amps, inch, rpm};

/// The five entries and nothing else.
fn entered(name: &str, [crank, fitted]: [f64; 2], [limiter, idle]: [f64; 2], rated: f64) -> Car {
    let mut car = Car::new(name, System::Inch);
    car.drive.crank = Some(Pulley::new(inch(crank), Measure::Caliper));
    car.drive.fitted = Some(Pulley::new(inch(fitted), Measure::Caliper));
    car.engine.limiter = Some(rpm(limiter));
    car.engine.idle = Some(rpm(idle));
    car.alternator.rated = Some(amps(rated));
    car
}

/// A car whose alternator is spun past what it stands.
#[must_use]
pub fn over() -> Car {
    demo::nettle()
}

/// A car whose pulley passes every gate.
#[must_use]
pub fn holds() -> Car {
    let mut car = entered("Holds", [6.0, 3.0], [6500.0, 1000.0], 160.0);
    car.alternator.fan = Some(Fan::Inside);
    car
}

/// A car whose alternator does not keep up at idle.
#[must_use]
pub fn short_at_idle() -> Car {
    let mut car = entered("Short", [5.5, 4.0], [6000.0, 800.0], 90.0);
    car.alternator.fan = Some(Fan::Inside);
    car
}

/// A car whose verdict hangs on where the alternator's fan is.
#[must_use]
pub fn too_close() -> Car {
    entered("Close", [6.0, 3.0], [6500.0, 1000.0], 160.0)
}

/// A car for which no pulley keeps up at idle without being overspun.
#[must_use]
pub fn no_size() -> Car {
    let mut car = demo::nettle();
    "None".clone_into(&mut car.name);
    car.invented = false;
    car.engine.limiter = Some(rpm(8500.0));
    car.engine.idle = Some(rpm(700.0));
    car.alternator.fan = Some(Fan::Outside);
    car
}

/// A day without a charger, on a small battery that stood half charged for days: with these
/// capacity (Ah), cold-crank rating (A) and minutes of cooling down after a pass.
fn without_charger(name: &str, capacity_ah: f64, crank_a: f64, cool_down_min: f64) -> Car {
    let mut car = demo::nettle();
    name.clone_into(&mut car.name);
    car.battery.capacity_ah = Some(capacity_ah);
    car.battery.crank_a = Some(crank_a);
    car.battery.rested_v = Some(12.4);
    car.battery.rested_h = Some(60.0);
    let step = |phase: &str, seconds, starts| DayStep {
        phase: phase.to_owned(),
        seconds,
        starts,
        charger: false,
        off: false,
    };
    car.day = Day {
        rounds: Some(4),
        steps: vec![
            step("pits", 2_700.0, 0),
            step("warm_up", 120.0, 1),
            step("lanes", 60.0, 1),
            step("pass", 0.0, 0),
            step("return_road", 120.0, 0),
            step("cool_down", 60.0 * cool_down_min, 0),
        ],
        ..Day::default()
    };
    car
}

/// A car whose day ends before its last round, whatever is assumed, and that nothing by itself
/// saves.
#[must_use]
pub fn runs_out() -> Car {
    without_charger("Runs out", 14.0, 600.0, 40.0)
}

/// A car whose day may end before its last round, and lasts with a charger.
#[must_use]
pub fn may_run_out() -> Car {
    without_charger("May run out", 18.0, 250.0, 20.0)
}

#[cfg(test)]
mod tests {
    use super::{Car, Fan, holds, no_size, over, short_at_idle, too_close};
    use laneside_core::choose::ways_out;
    use laneside_core::gates::{Settle, Verdict};
    use laneside_core::study::Study;

    fn verdict(car: &Car) -> Verdict {
        Study::new(car).unwrap().on_car.verdict
    }

    #[test]
    fn each_car_gets_the_verdict_it_is_named_for() {
        assert!(matches!(verdict(&over()), Verdict::Over { .. }));
        assert_eq!(verdict(&holds()), Verdict::Holds);
        assert!(matches!(verdict(&short_at_idle()), Verdict::Short { .. }));
        let mut open = too_close();
        let settle = Settle::Fan;
        assert!(
            matches!(verdict(&open), Verdict::TooClose { settle: found, .. } if found == settle)
        );
        open.alternator.fan = Some(Fan::Inside);
        assert_eq!(verdict(&open), Verdict::Holds);
        assert!(Study::new(&no_size()).unwrap().no_size_does_both());
        assert!(!ways_out(&no_size()).is_empty());
    }
}
