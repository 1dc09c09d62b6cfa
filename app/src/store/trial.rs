//! A way out that is being tried: it changes the car as if it were so, until it is taken back or kept.

use super::Store;
use laneside_core::car::Car;
use leptos::prelude::*;

/// What is being tried.
#[derive(Clone, Debug)]
pub(super) struct Trial {
    /// In words ("Idle at 1,230 rpm").
    pub(super) what: String,
    /// The car before.
    pub(super) before: Car,
    /// The car as it was changed.
    pub(super) tried: Car,
}

impl Trial {
    /// The car without what is tried. What was entered since then stays.
    pub(super) fn without(&self, now: &Car) -> Car {
        let (before, tried) = (&self.before, &self.tried);
        let mut car = now.clone();
        let engine = &mut car.engine;
        for (speed, was, as_tried) in [
            (
                &mut engine.limiter,
                before.engine.limiter,
                tried.engine.limiter,
            ),
            (&mut engine.idle, before.engine.idle, tried.engine.idle),
            (
                &mut engine.idle_in_gear,
                before.engine.idle_in_gear,
                tried.engine.idle_in_gear,
            ),
            (
                &mut engine.launch,
                before.engine.launch,
                tried.engine.launch,
            ),
            (&mut engine.shift, before.engine.shift, tried.engine.shift),
        ] {
            back(speed, &was, &as_tried);
        }
        back(&mut car.shed, &before.shed, &tried.shed);
        let (was, as_tried) = (&before.alternator, &tried.alternator);
        back(&mut car.alternator.rated, &was.rated, &as_tried.rated);
        back(&mut car.alternator.low, &was.low, &as_tried.low);
        back(&mut car.alternator.points, &was.points, &as_tried.points);
        back(&mut car.alternator.limits, &was.limits, &as_tried.limits);
        let (was, as_tried) = (&before.drive, &tried.drive);
        back(&mut car.drive.tried, &was.tried, &as_tried.tried);
        back(
            &mut car.drive.tried_crank,
            &was.tried_crank,
            &as_tried.tried_crank,
        );
        // What was entered since may not fit to what was before.
        if car.check().is_ok() {
            car
        } else {
            before.clone()
        }
    }
}

fn back<T: Clone + PartialEq>(now: &mut T, before: &T, tried: &T) {
    if now == tried {
        now.clone_from(before);
    }
}

impl Store {
    /// Tries a change of the open car; with another one, if one is being tried already. `None` from the
    /// change leaves all as it is.
    pub fn try_out(self, what: String, change: impl FnOnce(&Car) -> Option<Car>) {
        if self.refuses() {
            return;
        }
        let Some(answer) = self.answer.get_untracked() else {
            return;
        };
        let Some(tried) = change(&answer.car) else {
            return;
        };
        let trial = match self.trial.get_untracked() {
            Some(trial) => Trial {
                what: format!("{}; {what}", trial.what),
                before: trial.without(&answer.car),
                tried: tried.clone(),
            },
            None => Trial {
                what,
                before: answer.car.clone(),
                tried: tried.clone(),
            },
        };
        self.trial.set(Some(trial));
        self.change(&[], |car| *car = tried);
    }

    /// What is being tried, in words; tracked.
    pub fn trying(self) -> Option<String> {
        self.trial
            .with(|trial| trial.as_ref().map(|trial| trial.what.clone()))
    }

    /// Takes back what is being tried.
    pub fn take_back(self) {
        if let Some(trial) = self.trial.get_untracked() {
            self.trial.set(None);
            self.change(&[], |car| *car = trial.without(car));
        }
    }

    /// Makes what is being tried a part of the car.
    pub fn keep(self) {
        self.trial.set(None);
        self.save();
    }

    /// The open car without what is only being tried, tracked.
    pub fn own_car(self) -> Option<Car> {
        self.with_car(|car| {
            self.trial.with(|trial| match trial {
                Some(trial) => trial.without(car),
                None => car.clone(),
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::alternator::SpeedLimits;
    use laneside_core::car::demo;
    use laneside_core::choose::{WayKind, ways_out, with_way};
    use laneside_core::quantity::{amps, rpm};

    fn tried(kind: WayKind, to: f64) -> (Car, Trial) {
        let before = demo::nettle();
        let tried = with_way(&before, kind, to).unwrap();
        let trial = Trial {
            what: String::new(),
            before,
            tried: tried.clone(),
        };
        (tried, trial)
    }

    #[test]
    fn every_way_is_taken_back_to_the_last_bit() {
        let nettle = demo::nettle();
        for (kind, to) in [
            (WayKind::Idle, 1_230.0),
            (WayKind::Shed, 7.5),
            (WayKind::Output, 180.0),
            (WayKind::SpeedLimit, 17_400.0),
            (WayKind::Limiter, 6_000.0),
            (WayKind::Crank, 130.0),
        ] {
            let (now, trial) = tried(kind, to);
            assert_ne!(now, nettle, "{kind:?}");
            assert_eq!(trial.without(&now), nettle, "{kind:?}");
        }
    }

    #[test]
    fn what_was_entered_since_stays() {
        let (mut now, trial) = tried(WayKind::SpeedLimit, 17_400.0);
        now.engine.idle = Some(rpm(1_000.0));
        now.alternator.set_point = Some(laneside_core::quantity::volts(14.2));
        let back = trial.without(&now);
        assert_eq!(back.alternator.limits, None);
        assert_eq!(back.engine.idle, now.engine.idle);
        assert_eq!(back.alternator.set_point, now.alternator.set_point);
        // So does a limit that its maker gave meanwhile.
        now.alternator.limits = Some(SpeedLimits {
            continuous: rpm(15_000.0),
            short: None,
        });
        assert_eq!(trial.without(&now).alternator.limits, now.alternator.limits);
    }

    #[test]
    fn what_does_not_fit_any_more_gives_way_to_the_car_before() {
        let (mut now, trial) = tried(WayKind::Limiter, 6_000.0);
        // Above it the limiter of before would stand, below it a shift that was entered since may not.
        now.engine.limiter = trial.before.engine.limiter;
        now.engine.idle = Some(rpm(1_000.0));
        assert!(trial.without(&now).check().is_ok());
        let (mut now, trial) = tried(WayKind::Idle, 1_230.0);
        now.engine.limiter = Some(rpm(1_100.0));
        assert!(trial.without(&now).check().is_ok());
    }

    #[test]
    fn the_offered_ways_apply_to_a_car_changed_meanwhile() {
        let mut car = demo::nettle();
        car.alternator.rated = Some(amps(60.0));
        let ways = ways_out(&car);
        assert!(!ways.is_empty());
        for way in ways {
            let mut meanwhile = car.clone();
            meanwhile.name = "Renamed".to_owned();
            let changed = with_way(&meanwhile, way.kind, way.to).unwrap();
            assert_eq!(changed.name, "Renamed");
        }
    }
}
