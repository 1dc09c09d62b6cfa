//! A car with one pair of pulleys as the simulator takes it.

use super::plan::{Plan, Stretch};
use crate::balance::{alternator_rpm, reader, slipping_rpm};
use crate::battery::{self, Battery};
use crate::bus::Loads;
use crate::car::DayStep;
use crate::day::{Charger, Driven, Loss, Segment, Start, Starter, Supplied};
use crate::pass::Pass;
use crate::resolve::{PhaseSpeed, Pulleys, Resolved};
use crate::tolerance::State;
use crate::trace::Trace;
use crate::wiring::Reader;

/// A 12 V battery's voltage with the engine just started, V: what the field starts from.
const FIELD_STARTS_V: f64 = 12.6;

/// A car with these numbers and these pulleys.
#[derive(Clone, Debug)]
pub struct Scene<'a> {
    resolved: &'a Resolved,
    state: &'a State,
    pulleys: Pulleys,
    battery: Option<Battery>,
}

/// What is asked besides the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Twist {
    /// Output goes over the limit.
    pub loses: bool,
    /// The alternator is dead.
    pub dead: bool,
    /// Nobody revs the engine past the turn-on speed.
    pub not_revved: bool,
}

impl Twist {
    /// The alternator gives what it can at any speed.
    pub const HOLDS: Self = Self {
        loses: false,
        dead: false,
        not_revved: false,
    };
    /// Output goes over the limit.
    pub const LOSES: Self = Self {
        loses: true,
        ..Self::HOLDS
    };
    /// The alternator is dead.
    pub const DEAD: Self = Self {
        dead: true,
        ..Self::HOLDS
    };
    /// Nobody revs the engine past the turn-on speed.
    pub const NOT_REVVED: Self = Self {
        not_revved: true,
        ..Self::HOLDS
    };
}

/// A step of the day: its round (from 1) and its place in the round.
pub type Step = (u32, usize);

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

    /// The place where voltage is read.
    pub fn reader(&self) -> Reader {
        reader(self.resolved, self.state)
    }

    /// Alternator turns for one engine turn without slip, as the limit is judged.
    pub fn ratio(&self) -> f64 {
        alternator_rpm(self.state, self.pulleys, 1.0)
    }

    /// Whether an engine speed (rpm) is over the limit: over the low end of an assumed one.
    pub fn is_over(&self, engine_rpm: f64) -> bool {
        engine_rpm * self.ratio() > self.resolved.limits.continuous.0
    }

    /// Highest engine speed of a step, rpm; zero with the engine off.
    pub fn highest_rpm(&self, (place, step): &(usize, DayStep), pass: &Pass) -> f64 {
        let phase = self.resolved.phases.get(*place).filter(|_| !step.off);
        phase.map_or(0.0, |phase| match phase.speed {
            PhaseSpeed::Off => 0.0,
            PhaseSpeed::Pass => pass.trace.highest_rpm(),
            speed => speed
                .range(&self.state.params)
                .map_or(0.0, |(_, high)| high),
        })
    }

    /// Where output goes over the limit and comes back: at the low end of an assumed limit,
    /// without slip, so in speeds that slip less where the belt does.
    fn loss(&self) -> Loss {
        let lose_rpm = self.resolved.limits.continuous.0 * self.state.grip();
        Loss {
            lose_rpm,
            recover_rpm: self.state.params.supply.recovers_at * lose_rpm,
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
            ratio: slipping_rpm(self.state, self.pulleys, 1.0),
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
            reader: self.reader(),
            warms_s: params.supply.warms_s,
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

    /// A stretch of a step of the day as a segment.
    fn segment(
        &self,
        (place, step): &(usize, DayStep),
        (round, at): Step,
        stretch: Stretch,
        pass: &Pass,
        twist: Twist,
    ) -> Segment {
        let params = &self.state.params;
        let supply = &params.supply;
        let seconds = stretch.seconds * supply.step_scale;
        let fading_v = self.resolved.fading_v();
        let charger = stretch.charger.then_some(Charger {
            limit_a: supply.charger_a,
            volts: supply.charger_v,
        });
        let nothing = Segment {
            place: *place,
            round,
            step: at,
            charger,
            ..Segment::off(seconds, Loads::new(fading_v))
        };
        let Some(phase) = self.resolved.phases.get(*place).filter(|_| !step.off) else {
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
        let starter = (stretch.is_first && step.starts > 0).then_some(Starter {
            amps: supply.starter_a,
            seconds: supply.starter_s,
            times: step.starts,
        });
        Segment {
            seconds: engine.as_ref().map_or(seconds, Trace::seconds),
            engine,
            steady,
            at_limiter,
            limiter_rpm: params.limiter_rpm,
            starter,
            revved: !twist.not_revved,
            ..nothing
        }
    }

    /// All segments of a step of the day. A pass begins at its launch: what starts the engine
    /// before it is a segment of its own.
    pub fn segments(
        &self,
        plan: &Plan,
        (round, place): Step,
        pass: &Pass,
        twist: Twist,
    ) -> impl Iterator<Item = Segment> {
        let step = plan.steps.get(place);
        let is_pass = step.is_some_and(|step| self.is_pass(step));
        let each = plan.stretches(round, place).filter_map(move |stretch| {
            Some(self.segment(step?, (round, place), stretch, pass, twist))
        });
        each.flat_map(move |mut segment| {
            let starter = segment.starter.take_if(|_| is_pass);
            let start = starter.map(|starter| Segment {
                seconds: 0.0,
                engine: None,
                starter: Some(starter),
                ..segment.clone()
            });
            start.into_iter().chain([segment])
        })
    }

    /// Whether the pass is driven in a step of a round.
    pub fn is_pass(&self, (place, step): &(usize, DayStep)) -> bool {
        let phase = self.resolved.phases.get(*place);
        !step.off && phase.is_some_and(|phase| phase.speed == PhaseSpeed::Pass)
    }

    /// Whether the engine runs in a phase of the car.
    pub fn is_running(&self, place: usize) -> bool {
        let phase = self.resolved.phases.get(place);
        phase.is_some_and(|phase| phase.speed != PhaseSpeed::Off)
    }
}
