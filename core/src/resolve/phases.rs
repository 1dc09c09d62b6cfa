//! Phases with their loads, ready to be evaluated.

use super::inputs::ENTERED;
use super::inputs::{Builder, Params};
use super::{InputId, typical_loads};
use crate::bus::Loads;
use crate::car::{Car, EngineState};
use crate::data::memory::Default as Ranged;
use crate::data::{common_practice, memory};
use crate::finding::{Provenance, Unit};
use crate::loads::{LoadKind, current_a};
use crate::quantity::{InElectricCurrent, InElectricPotential, InRotationalSpeed};

/// Engine speed of a phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PhaseSpeed {
    /// Stopped.
    Off,
    /// Idle in neutral.
    Idle,
    /// Idle in gear.
    IdleInGear,
    /// Launch.
    Launch,
    /// From launch to shift.
    Pass,
    /// Its own, rpm.
    At(f64),
}

impl PhaseSpeed {
    /// Lowest and highest engine speed, rpm; `None` while stopped.
    pub fn range(self, params: &Params) -> Option<(f64, f64)> {
        let one = |speed: f64| Some((speed, speed));
        match self {
            Self::Off => None,
            Self::Idle => one(params.idle_rpm),
            Self::IdleInGear => one((params.idle_rpm - params.in_gear_drop_rpm).max(0.0)),
            Self::Launch => one(params.launch_rpm),
            Self::Pass => {
                let (launch, shift) = (params.launch_rpm, params.shift_rpm);
                Some((launch.min(shift), launch.max(shift)))
            }
            Self::At(speed) => one(speed),
        }
    }
}

/// One load in one phase.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadModel {
    /// Its place in [`Params::loads_a`].
    pub index: usize,
    /// Fraction of the time it is on.
    pub duty: f64,
    /// Voltage its current was read at.
    pub rated_v: f64,
    /// How it follows voltage.
    pub kind: LoadKind,
    /// Whether it grows with engine speed.
    pub follows_engine: bool,
}

/// One phase, ready to be evaluated.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseModel {
    /// Its place in the car.
    pub place: usize,
    /// Its id in the car.
    pub id: String,
    /// Its own name, if the person gave one.
    pub name: Option<String>,
    /// Engine speed.
    pub speed: PhaseSpeed,
    /// Place of its clamp reading and the voltage it was read at, if it has one.
    pub clamp: Option<(usize, f64)>,
    /// Loads of the list that are on.
    pub loads: Vec<LoadModel>,
    /// What the person switches off in it, A.
    pub shed_a: f64,
}

/// What one phase draws at one voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draw {
    /// At any engine speed, A.
    pub steady_a: f64,
    /// At the limiter, on top, in proportion to engine speed, A.
    pub at_limiter_a: f64,
    /// Switched off, A.
    pub shed_a: f64,
}

impl Draw {
    /// Total at an engine speed, given as a part of the limiter's, A.
    pub fn at(&self, of_limiter: f64) -> f64 {
        let total = self.steady_a + self.at_limiter_a * of_limiter.clamp(0.0, 1.0);
        (total - self.shed_a).max(0.0)
    }
}

impl PhaseModel {
    /// Its own name, else its id.
    pub fn called(&self) -> String {
        self.name.as_ref().unwrap_or(&self.id).clone()
    }

    /// What it draws at a voltage.
    pub fn draw(&self, params: &Params, bus_v: f64, fading_v: f64) -> Draw {
        if let Some((index, read_v)) = self.clamp {
            // A mix of everything behaves about like a resistor.
            let steady_a = current_a(
                params.clamps_a[index],
                read_v,
                LoadKind::Resistive,
                bus_v,
                fading_v,
            );
            return Draw {
                steady_a,
                at_limiter_a: 0.0,
                shed_a: self.shed_a,
            };
        }
        let mut draw = Draw {
            shed_a: self.shed_a,
            ..Draw::default()
        };
        for load in &self.loads {
            let rated_a = params.loads_a[load.index];
            let amps = params.loads_scale
                * load.duty
                * current_a(rated_a, load.rated_v, load.kind, bus_v, fading_v);
            if load.follows_engine {
                draw.at_limiter_a += amps;
            } else {
                draw.steady_a += amps;
            }
        }
        draw
    }

    /// What it draws over voltage: at any engine speed, and on top at the limiter in
    /// proportion to engine speed. What is switched off takes its part of every load, as much
    /// as it is at `set_point_v` (V).
    pub fn loads(&self, params: &Params, fading_v: f64) -> (Loads, Loads) {
        let (mut steady, mut at_limiter) = (Loads::new(fading_v), Loads::new(fading_v));
        let whole = self.draw(params, params.set_point_v, fading_v);
        let left = if whole.steady_a > 0.0 {
            (1.0 - whole.shed_a / whole.steady_a).max(0.0)
        } else {
            1.0
        };
        if let Some((index, read_v)) = self.clamp {
            steady.add(left * params.clamps_a[index], read_v, LoadKind::Resistive);
            return (steady, at_limiter);
        }
        for load in &self.loads {
            let rated_a = params.loads_scale * load.duty * params.loads_a[load.index];
            if load.follows_engine {
                at_limiter.add(rated_a, load.rated_v, load.kind);
            } else {
                steady.add(left * rated_a, load.rated_v, load.kind);
            }
        }
        (steady, at_limiter)
    }

    /// Total load at an engine speed (rpm) and voltage, A.
    pub fn load_a(&self, params: &Params, engine_rpm: f64, bus_v: f64, fading_v: f64) -> f64 {
        self.draw(params, bus_v, fading_v)
            .at(engine_rpm / params.limiter_rpm)
    }
}

pub(super) fn resolve(
    car: &Car,
    set_point_v: f64,
    test_v: f64,
    to: &mut Builder,
) -> Vec<PhaseModel> {
    let loads = match &car.loads {
        Some(loads) => loads
            .iter()
            .map(|load| {
                let half = load
                    .tolerance
                    .map_or(load.current.amps() * common_practice::LOAD, |tolerance| {
                        tolerance.amps()
                    });
                let amps = load.current.amps();
                (
                    load.clone(),
                    (amps - half).max(0.0),
                    amps + half,
                    Provenance::Entered,
                )
            })
            .collect(),
        None => typical_loads()
            .into_iter()
            .map(|(load, lowest, highest)| (load, lowest, highest, Provenance::Assumed))
            .collect::<Vec<_>>(),
    };
    to.params.loads_a = vec![0.0; loads.len()];
    let list_used = car.phases.iter().any(|phase| phase.clamp.is_none());
    if list_used && !loads.is_empty() {
        to.ranged(
            InputId::LoadsScale,
            memory::LOADS_SCALE,
            Unit::Ratio,
            Provenance::Assumed,
            memory::SOURCE,
        );
    } else {
        to.params.loads_scale = 1.0;
    }
    for (index, (load, lowest, highest, provenance)) in loads.iter().enumerate() {
        let range = Ranged {
            value: load.current.amps(),
            lowest: *lowest,
            highest: *highest,
        };
        let source = match provenance {
            Provenance::Entered => ENTERED,
            _ => common_practice::SOURCE,
        };
        to.ranged(
            InputId::Load(index),
            range,
            Unit::Ampere,
            *provenance,
            source,
        );
    }
    to.params.clamps_a = vec![0.0; car.phases.len()];
    car.phases
        .iter()
        .enumerate()
        .map(|(place, phase)| {
            let clamp = phase.clamp.map(|reading| {
                let amps = reading.current.amps();
                let half = amps * common_practice::CLAMP;
                to.symmetric(
                    InputId::Clamp(place),
                    amps,
                    half,
                    Unit::Ampere,
                    Provenance::Entered,
                    common_practice::SOURCE,
                );
                (
                    place,
                    reading.read_at.map_or(set_point_v, |volts| volts.volts()),
                )
            });
            PhaseModel {
                place,
                id: phase.id.clone(),
                name: phase.name.clone(),
                shed_a: match phase.engine {
                    EngineState::Idle | EngineState::IdleInGear | EngineState::At { .. } => {
                        car.shed.map_or(0.0, |shed| shed.amps())
                    }
                    // Nobody switches anything on the line, and what is on with the engine off is the battery's.
                    EngineState::Off | EngineState::Launch | EngineState::Pass => 0.0,
                },
                speed: phase_speed(phase.engine),
                clamp,
                loads: loads
                    .iter()
                    .enumerate()
                    .map(|(index, (load, ..))| LoadModel {
                        index,
                        duty: load.duty_in(&phase.id),
                        rated_v: load.rated_at.map_or(test_v, |volts| volts.volts()),
                        kind: load.kind,
                        follows_engine: load.follows_engine,
                    })
                    .filter(|load| load.duty > 0.0)
                    .collect(),
            }
        })
        .collect()
}

/// Where the engine speeds of a phase come from.
fn phase_speed(engine: EngineState) -> PhaseSpeed {
    match engine {
        EngineState::Off => PhaseSpeed::Off,
        EngineState::Idle => PhaseSpeed::Idle,
        EngineState::IdleInGear => PhaseSpeed::IdleInGear,
        EngineState::Launch => PhaseSpeed::Launch,
        EngineState::Pass => PhaseSpeed::Pass,
        EngineState::At { speed } => PhaseSpeed::At(speed.rpm()),
    }
}
