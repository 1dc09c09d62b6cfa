//! The equations at one moment.

use super::{Charger, Driven, Supplied};
use crate::battery;
use crate::bus::{Alternator, Bus, Loads, Sense, Settled};
use crate::data::race_memory;
use crate::integrate::Slope;
use crate::trace::Trace;

/// Unknowns: charge, pair voltage, temperatures of alternator and battery, and seven energies
/// in the order of [`super::Books`].
pub(super) const UNKNOWNS: usize = 11;
/// Where the energies begin.
pub(super) const ENERGIES: usize = 4;

pub(super) type Unknowns = [f64; UNKNOWNS];

/// What does not change within a piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece<'a> {
    pub supplied: &'a Supplied<'a>,
    pub steady: Loads,
    pub at_limiter: Loads,
    /// Engine speed; `None` with the engine off.
    pub engine: Option<Stretch<'a>>,
    pub limiter_rpm: f64,
    pub charger: Option<Charger>,
    /// Whether the alternator gives what it can, only draws its field, or nothing at all.
    pub role: Role,
    /// Nothing has held the voltage, and nothing has switched since.
    pub is_dead: bool,
}

/// A stretch of a trace without a step in it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch<'a> {
    pub trace: &'a Trace,
    pub from_s: f64,
    pub until_s: f64,
}

/// What the alternator does in a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// Nothing: the engine is off, or it is dead, or its output is lost.
    Idle,
    /// It turns and has not turned on.
    Waiting,
    /// It charges.
    Charging,
}

impl Piece<'_> {
    /// Engine speed, `at_s` seconds into the piece, rpm.
    pub fn engine_rpm(&self, at_s: f64) -> f64 {
        self.engine.map_or(0.0, |stretch| {
            let at_s = stretch.from_s + at_s;
            if at_s < stretch.until_s {
                stretch.trace.at(at_s)
            } else {
                stretch.trace.just_before(stretch.until_s)
            }
        })
    }

    /// Where everything agrees, `at_s` seconds into the piece.
    pub fn settle(&self, at_s: f64, y: &Unknowns, before: Option<&Settled>) -> Settled {
        if self.is_dead {
            return Settled::COLLAPSED;
        }
        let engine_rpm = self.engine_rpm(at_s);
        let mut loads = self.steady;
        loads.add_part(
            &self.at_limiter,
            (engine_rpm / self.limiter_rpm).clamp(0.0, 1.0),
        );
        let battery = self
            .supplied
            .battery
            .map(|battery| battery.terminal(&state(y)));
        let bus = |alternator, charge_path_ohm| Bus {
            alternator,
            charge_path_ohm,
            loads,
            battery,
        };
        if let (Some(charger), None) = (self.charger, self.engine) {
            let limit_a = |_: f64| charger.limit_a;
            let alternator = Alternator::Excited {
                limit_a: &limit_a,
                set_point_v: charger.volts,
                sense: Sense::Battery,
            };
            return bus(alternator, 0.0).settle(before);
        }
        let path_ohm = self.supplied.path_ohm;
        match (self.role, &self.supplied.alternator) {
            (Role::Charging, Some(driven)) => {
                let rpm = engine_rpm * driven.ratio;
                let warmth = driven.machine.heat_factor(y[2]);
                let limit_a =
                    |volts: f64| warmth * driven.machine.output_a(rpm, volts, &driven.field);
                let alternator = Alternator::Excited {
                    limit_a: &limit_a,
                    set_point_v: driven.set_point_v,
                    sense: driven.sense,
                };
                bus(alternator, path_ohm).settle(before)
            }
            (Role::Waiting, Some(driven)) => {
                let alternator = Alternator::Unexcited {
                    field_a: driven.field_a,
                };
                bus(alternator, path_ohm).settle(before)
            }
            _ => bus(Alternator::Off, path_ohm).settle(before),
        }
    }

    /// The slope of every unknown, `at_s` seconds into the piece.
    pub fn slope(
        &self,
        at_s: f64,
        y: &Unknowns,
        before: Option<&Settled>,
    ) -> Slope<UNKNOWNS, Settled> {
        let settled = self.settle(at_s, y, before);
        let (battery_a, node_v) = (settled.battery_a, settled.node_v);
        let mut by = [0.0; UNKNOWNS];
        if let Some(battery) = self.supplied.battery {
            let here = state(y);
            let flow = battery.flow(&here, node_v, battery_a);
            let heat_capacity =
                race_memory::battery_j_per_k_ah(battery.chemistry()) * battery.capacity_ah;
            let warming = flow.heat_w() / heat_capacity
                - (here.celsius - self.supplied.ambient_c) / race_memory::BATTERY_COOLING_S;
            by[0] = flow.soc_per_s;
            by[1] = flow.pair_v_per_s;
            by[3] = warming;
            by[ENERGIES + 3] = flow.ohmic_w;
            by[ENERGIES + 4] = flow.pair_w;
            by[ENERGIES + 5] = flow.unstored_w;
            by[ENERGIES + 6] = battery.warming_j_per_k(&here) * warming;
        }
        by[2] = self.alternator_warming(y[2], &settled);
        by[ENERGIES] = settled.alternator_v * settled.alternator_a;
        by[ENERGIES + 1] = node_v * settled.load_a;
        by[ENERGIES + 2] = settled.path_loss_w();
        Slope { by, extra: settled }
    }

    fn alternator_warming(&self, now_c: f64, settled: &Settled) -> f64 {
        let is_running = self.engine.is_some();
        let air_c = if is_running {
            self.supplied.under_hood_c
        } else {
            self.supplied.ambient_c
        };
        let driven: Option<&Driven> = self.supplied.alternator.as_ref().filter(|_| is_running);
        let toward_c = driven.map_or(air_c, |driven| {
            driven
                .machine
                .settled_c(settled.alternator_a, settled.alternator_v, air_c)
        });
        (toward_c - now_c) / self.supplied.warms_s
    }
}

/// The battery's part of the unknowns.
pub(super) fn state(y: &Unknowns) -> battery::State {
    battery::State {
        soc: y[0].clamp(0.0, 1.0),
        pair_v: y[1],
        celsius: y[3],
    }
}
