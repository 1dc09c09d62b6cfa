//! A car with one pair of pulleys as the simulator takes it.

use super::plan::Plan;
use crate::balance::slipping_rpm;
use crate::battery::{self, Battery};
use crate::bus::Loads;
use crate::car::DayStep;
use crate::day::{Charger, Driven, Loss, Segment, Start, Starter, Supplied};
use crate::pass::Pass;
use crate::resolve::{PhaseSpeed, Pulleys, Resolved};
use crate::tolerance::State;
use crate::trace::Trace;

/// A 12 V battery's voltage with the engine just started, V: what the field starts from.
const FIELD_STARTS_V: f64 = 12.6;
/// Output that was lost over the limit comes back under this part of it: from memory, 0.8 to
/// 1.
const RECOVERS_AT: f64 = 0.9;

/// A car with these numbers and these pulleys.
#[derive(Clone, Debug)]
pub struct Scene<'a> {
    resolved: &'a Resolved,
    state: &'a State,
    pulleys: Pulleys,
    battery: Option<Battery>,
}

/// What is asked besides the plan.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Twist {
    /// Output goes over the limit.
    pub loses: bool,
    /// The alternator is dead.
    pub dead: bool,
    /// Nobody revs the engine past the turn-on speed.
    pub not_revved: bool,
}

impl<'a> Scene<'a> {
    /// Prepares it.
    pub fn new(resolved: &'a Resolved, state: &'a State, pulleys: Pulleys) -> Self {
        let supply = &state.params.supply;
        Self {
            battery: resolved.supply.as_ref().map(|known| known.battery(supply)),
            resolved,
            state,
            pulleys,
        }
    }

    /// Alternator turns for one engine turn, slip counted.
    pub fn ratio(&self) -> f64 {
        slipping_rpm(self.state, self.pulleys, 1.0)
    }

    /// Where output goes over the limit and comes back: at the low end of an assumed limit.
    pub fn loss(&self) -> Loss {
        let lose_rpm = self.resolved.limits.continuous.0;
        Loss {
            lose_rpm,
            recover_rpm: RECOVERS_AT * lose_rpm,
        }
    }

    /// What carries the loads.
    pub fn supplied(&self, twist: Twist) -> Supplied<'_> {
        let params = &self.state.params;
        let field = self.state.field();
        let machine = &self.state.machine;
        let driven = Driven {
            machine,
            field,
            ratio: self.ratio(),
            turn_on_rpm: self.state.cut_in_rpm() * params.excite_factor,
            hold_rpm: machine.cut_in_rpm(FIELD_STARTS_V * self.resolved.nominal_scale, &field),
            loss: twist.loses.then(|| self.loss()),
            field_a: params.supply.field_a,
            set_point_v: params.set_point_v,
            sense: self
                .resolved
                .supply
                .as_ref()
                .map_or_else(Default::default, |known| known.sense),
        };
        Supplied {
            battery: self.battery.as_ref(),
            alternator: (!twist.dead).then_some(driven),
            path_ohm: params.supply.path_ohm(),
            under_hood_c: params.under_hood_c,
            ambient_c: params.supply.ambient_c,
        }
    }

    /// The morning: battery rested, alternator cold.
    pub fn morning(&self) -> Start {
        let supply = &self.state.params.supply;
        Start {
            battery: battery::State::rested(supply.start_soc, supply.ambient_c),
            alternator_c: supply.ambient_c,
        }
    }

    /// A step of a round as a segment.
    pub fn segment(
        &self,
        plan: &Plan,
        pass: &Pass,
        round: u32,
        (place, step): (usize, &DayStep),
        twist: Twist,
    ) -> Segment {
        let params = &self.state.params;
        let seconds = plan.seconds(round, step);
        let fading_v = self.resolved.fading_v();
        let nothing = Segment {
            place,
            round,
            ..Segment::off(seconds, Loads::new(fading_v))
        };
        let Some(phase) = self.resolved.phases.get(place).filter(|_| !step.off) else {
            return nothing;
        };
        let (steady, at_limiter) = phase.loads(params, fading_v);
        let engine = match phase.speed {
            PhaseSpeed::Off => None,
            PhaseSpeed::Pass => Some(pass.trace.clone()),
            speed => speed
                .range(params)
                .map(|(rpm, _)| Trace::constant(rpm, seconds)),
        };
        let starter = (step.starts > 0).then_some(Starter {
            amps: params.supply.starter_a,
            seconds: params.supply.starter_s,
            times: step.starts,
        });
        let charger = self
            .resolved
            .supply
            .as_ref()
            .filter(|_| step.charger)
            .map(|known| Charger {
                limit_a: known.charger_a,
                volts: known.charger_v,
            });
        Segment {
            seconds: engine.as_ref().map_or(seconds, Trace::seconds),
            engine,
            steady,
            at_limiter,
            limiter_rpm: params.limiter_rpm,
            starter,
            charger,
            revved: !twist.not_revved,
            ..nothing
        }
    }

    /// All segments of these rounds.
    pub fn segments(
        &self,
        plan: &Plan,
        pass: &Pass,
        rounds: impl Iterator<Item = u32>,
        twist: Twist,
    ) -> Vec<Segment> {
        rounds
            .flat_map(|round| {
                plan.steps.iter().map(move |(place, step)| {
                    self.segment(plan, pass, round, (*place, step), twist)
                })
            })
            .collect()
    }
}
