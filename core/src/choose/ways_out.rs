//! What to change when no pulley size does both.
//!
//! Each way is one change, as small as cures by itself: found by bisecting on whether the
//! changed car, studied anew, has a size that surely works. A way that does not cure within
//! reason, or that no car can have, is left out.

use crate::alternator::SpeedLimits;
use crate::car::{Car, check};
use crate::choose::window::any_size_is_sure;
use crate::choose::{Side, Window, crank_to_judge, window};
use crate::drive::{Measure, Pulley};
use crate::quantity::{ElectricCurrent, InElectricCurrent, amps, mm, rpm};
use crate::resolve::{PhaseSpeed, Resolved};
use crate::tolerance::Tolerances;

/// Bisection stops when the change is known this well, as a fraction of its range.
const FINENESS: f64 = 1.0 / 128.0;

/// What is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WayKind {
    /// A higher idle.
    Idle,
    /// Loads switched off while idling and cruising.
    Shed,
    /// A stronger alternator.
    Output,
    /// An alternator that stands a higher speed.
    SpeedLimit,
    /// A lower limiter.
    Limiter,
    /// Another crank pulley.
    Crank,
}

impl WayKind {
    /// All of them, the cheapest for the person first.
    pub const ALL: [Self; 6] = [
        Self::Idle,
        Self::Shed,
        Self::Crank,
        Self::Output,
        Self::SpeedLimit,
        Self::Limiter,
    ];
}

/// One way out, applied and studied again.
#[derive(Clone, Debug, PartialEq)]
pub struct WayOut {
    /// What is changed.
    pub kind: WayKind,
    /// What it is changed from: rpm, A or mm.
    pub from: f64,
    /// What it has to become.
    pub to: f64,
    /// Output that is needed at `alternator_rpm` in the phase that binds, A (only for
    /// [`WayKind::Output`]).
    pub needed_output: Option<(f64, f64)>,
    /// The changed car.
    pub car: Car,
    /// The window of the changed car: it has a sure part.
    pub window: Window,
}

/// The car with one way applied: nothing else of it changes. `to` is an rpm, A or mm as in
/// [`WayOut::to`].
///
/// `None` where the car cannot be studied, or holds no longer with the change.
pub fn with_way(car: &Car, kind: WayKind, to: f64) -> Option<Car> {
    let changed = changed(car, &Resolved::new(car).ok()?, kind, to)?;
    changed.check().ok()?;
    Some(changed)
}

/// All ways that cure by themselves.
pub fn ways_out(car: &Car) -> Vec<WayOut> {
    let Ok(resolved) = Resolved::new(car) else {
        return Vec::new();
    };
    WayKind::ALL
        .into_iter()
        .filter_map(|kind| way_out(car, &resolved, kind))
        .collect()
}

/// A changed car made ready, where that is a car.
fn prepared(changed: &Car) -> Option<Tolerances> {
    changed.check().ok()?;
    Some(Tolerances::new(Resolved::new(changed).ok()?))
}

fn cures(changed: Option<Car>) -> bool {
    changed.is_some_and(|car| {
        prepared(&car).is_some_and(|tolerances| {
            any_size_is_sure(&tolerances, Side::Alternator, crank_to_judge(&car))
        })
    })
}

/// A changed car with its window, which has a sure part.
fn cured(changed: Car) -> Option<(Car, Window)> {
    let tolerances = prepared(&changed)?;
    let window = window(&tolerances, Side::Alternator, crank_to_judge(&changed));
    window.sure().map(|_| (changed, window))
}

fn way_out(car: &Car, resolved: &Resolved, kind: WayKind) -> Option<WayOut> {
    let params = &resolved.params;
    let (from, farthest) = match kind {
        WayKind::Idle => (
            params.idle_rpm,
            (0.6 * params.limiter_rpm)
                .min(2.0 * params.idle_rpm)
                .min(check::IDLE_RPM.1),
        ),
        WayKind::Shed => {
            let shed = car.shed.map_or(0.0, |shed| shed.amps());
            let most = shed + largest_idle_load_a(resolved);
            (shed, most.min(check::LOAD_A.1))
        }
        WayKind::Output => {
            let peak = resolved.machine(params).curve.peak_a();
            (peak, (3.0 * peak).min(check::OUTPUT_A.1))
        }
        WayKind::SpeedLimit => (
            resolved.limits.continuous.0,
            (2.5 * resolved.limits.continuous.0).min(check::ALTERNATOR_RPM.1),
        ),
        WayKind::Limiter => (
            params.limiter_rpm,
            (0.5 * params.limiter_rpm)
                .max(params.idle_rpm * 1.5)
                .max(check::ENGINE_RPM.0),
        ),
        WayKind::Crank => return crank_way_out(car, resolved),
    };
    let change = |to: f64| changed(car, resolved, kind, to);
    let to = smallest_change(from, farthest, |to| cures(change(to)))?;
    let to = tidy(kind, from, to);
    let (changed, window) = cured(change(to)?)?;
    let needed_output = (kind == WayKind::Output)
        .then(|| needed_output(&changed, &window))
        .flatten();
    Some(WayOut {
        kind,
        from,
        to,
        needed_output,
        car: changed,
        window,
    })
}

/// The smallest change that cures, by bisection; `None` where even the farthest does not.
fn smallest_change(from: f64, farthest: f64, cures: impl Fn(f64) -> bool) -> Option<f64> {
    if (farthest - from).abs() <= f64::EPSILON || !cures(farthest) {
        return None;
    }
    let (mut fails, mut works) = (from, farthest);
    while (works - fails).abs() > FINENESS * (farthest - from).abs() {
        let middle = (fails + works) / 2.0;
        if cures(middle) {
            works = middle;
        } else {
            fails = middle;
        }
    }
    Some(works)
}

/// Rounds to what a person would set, away from where it stands: never less than cures.
fn tidy(kind: WayKind, from: f64, to: f64) -> f64 {
    let step = match kind {
        WayKind::Idle => 10.0,
        WayKind::Shed => 0.5,
        WayKind::Output => 1.0,
        WayKind::SpeedLimit => 100.0,
        WayKind::Limiter => 50.0,
        WayKind::Crank => 0.1,
    };
    if to >= from {
        (to / step).ceil() * step
    } else {
        (to / step).floor() * step
    }
}

fn largest_idle_load_a(resolved: &Resolved) -> f64 {
    let params = &resolved.params;
    resolved
        .phases
        .iter()
        .filter(|phase| phase.speed != PhaseSpeed::Off)
        .map(|phase| {
            phase.load_a(
                params,
                params.idle_rpm,
                params.set_point_v,
                resolved.fading_v(),
            )
        })
        .fold(0.0, f64::max)
}

/// The car with one thing changed to a value.
fn changed(car: &Car, resolved: &Resolved, kind: WayKind, to: f64) -> Option<Car> {
    let mut changed = car.clone();
    match kind {
        WayKind::Idle => {
            let rise = rpm(to - resolved.params.idle_rpm);
            changed.engine.idle = Some(rpm(to));
            changed.engine.idle_in_gear = car.engine.idle_in_gear.map(|speed| speed + rise);
            // Nobody launches or shifts below idle.
            for speed in [&mut changed.engine.launch, &mut changed.engine.shift] {
                *speed = speed.map(|speed| if speed < rpm(to) { rpm(to) } else { speed });
            }
        }
        WayKind::Shed => changed.shed = Some(amps(to)),
        WayKind::Output => {
            let factor = to / resolved.machine(&resolved.params).curve.peak_a();
            let scale = |current: ElectricCurrent| current * factor;
            let alternator = &mut changed.alternator;
            alternator.rated = alternator.rated.map(scale);
            alternator.low = alternator.low.map(scale);
            for point in &mut alternator.points {
                point.current = scale(point.current);
            }
        }
        WayKind::SpeedLimit => {
            changed.alternator.limits = Some(SpeedLimits {
                continuous: rpm(to),
                short: None,
            });
        }
        WayKind::Limiter => {
            changed.engine.limiter = Some(rpm(to));
            let capped = |speed: Option<_>| {
                speed.map(
                    |speed: crate::quantity::RotationalSpeed| {
                        if speed > rpm(to) { rpm(to) } else { speed }
                    },
                )
            };
            changed.engine.shift = capped(car.engine.shift);
            changed.engine.launch = capped(car.engine.launch);
        }
        // One to try: the pulley on the car stays what it is.
        WayKind::Crank => {
            let drive = &car.drive;
            let measured = drive.tried_crank.or(drive.crank);
            let like = measured.unwrap_or(Pulley::new(mm(to), Measure::Effective));
            changed.drive.tried_crank = Some(like.with_effective(mm(to), drive.belt));
        }
    }
    Some(changed)
}

/// A crank pulley cures only where the alternator's window is cut off by the sizes that
/// exist: what both gates ask for is a ratio.
fn crank_way_out(car: &Car, resolved: &Resolved) -> Option<WayOut> {
    let from = resolved.params.tried_crank_mm - resolved.pitch_over_effective_mm;
    let change = |to: f64| changed(car, resolved, WayKind::Crank, to);
    let farthest = [
        (0.6 * from).max(check::CRANK_MM.0),
        (1.6 * from).min(check::CRANK_MM.1),
    ];
    farthest.into_iter().find_map(|farthest| {
        let to = smallest_change(from, farthest, |to| cures(change(to)))?;
        let to = tidy(WayKind::Crank, from, to);
        let (car, window) = cured(change(to)?)?;
        Some(WayOut {
            kind: WayKind::Crank,
            from,
            to,
            needed_output: None,
            car,
            window,
        })
    })
}

/// What the stronger alternator gives at the speed of the phase that binds: (A, rpm).
fn needed_output(changed: &Car, window: &Window) -> Option<(f64, f64)> {
    let resolved = Resolved::new(changed).ok()?;
    let tolerances = Tolerances::new(resolved);
    let resolved = tolerances.resolved();
    let state = tolerances.nominal();
    let pitch = window.middle_mm() + resolved.pitch_over_effective_mm;
    let mut pulleys = crate::resolve::Pulleys::with_alternator(pitch);
    pulleys.crank = crank_to_judge(changed);
    resolved
        .phases
        .iter()
        .filter_map(|phase| crate::balance::worst_net(state, pulleys, phase))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, engine_rpm)| {
            let speed = crate::balance::slipping_rpm(state, pulleys, engine_rpm);
            (
                state
                    .machine
                    .output_a(speed, resolved.test_v(), &state.field()),
                speed,
            )
        })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;

    #[test]
    fn the_smallest_change_is_just_enough() {
        for (from, farthest, needed) in [
            (0.0, 8.0, 3.1),
            (900.0, 2_000.0, 1_999.0),
            (8_000.0, 6_000.0, 7_100.0),
        ] {
            let cures = |to: f64| (to - from).abs() >= (needed - from).abs();
            let found = smallest_change(from, farthest, cures).unwrap();
            assert!(cures(found));
            assert!(
                (found - needed).abs() <= (farthest - from).abs() / 128.0,
                "{found}"
            );
        }
        assert_eq!(smallest_change(0.0, 8.0, |_| false), None);
        assert_eq!(smallest_change(8.0, 8.0, |_| true), None);
    }

    #[test]
    fn nobody_shifts_over_a_lower_limiter() {
        let car = demo::nettle();
        let resolved = Resolved::new(&car).unwrap();
        let lower = changed(&car, &resolved, WayKind::Limiter, 6_000.0).unwrap();
        assert_eq!(lower.engine.limiter, Some(rpm(6_000.0)));
        assert_eq!(lower.engine.shift, Some(rpm(6_000.0)));
        assert_eq!(lower.engine.launch, car.engine.launch);
        let lowest = changed(&car, &resolved, WayKind::Limiter, 4_000.0).unwrap();
        assert_eq!(lowest.engine.launch, Some(rpm(4_000.0)));
    }
}
