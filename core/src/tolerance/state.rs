//! One complete set of numbers, with what follows from them alone worked out once.

use crate::alternator::{AtBus, Field, Machine};
use crate::drive::driven_speed;
use crate::quantity::{InRotationalSpeed, rpm};
use crate::resolve::{Draw, Params, PhaseModel, Resolved};

/// One complete set of numbers with the machine and the loads that they make.
#[derive(Clone, Debug)]
pub struct State {
    /// The numbers. To change one, make a new state: machine and loads follow from them.
    pub params: Params,
    /// The machine they make.
    pub machine: Machine,
    /// How the pulley to judge differs from its nominal size, mm: its own tolerance is
    /// no number of the car.
    pub own_mm: f64,
    /// What creep and slip leave of the speed.
    grip: f64,
    at_set_point: AtBus,
    draws: Vec<Draw>,
}

impl State {
    /// The state of a car with these numbers.
    pub fn new(resolved: &Resolved, params: Params) -> Self {
        let machine = resolved.machine(&params);
        let field = Field {
            scale: params.output_scale,
            low_form: params.low_form,
            exponent: params.field_exponent,
        };
        Self {
            grip: driven_speed(rpm(1.0), 1.0, params.slip, resolved.stages).rpm(),
            at_set_point: machine.at_bus(params.set_point_v, &field),
            draws: resolved
                .phases
                .iter()
                .map(|phase| phase.draw(&params, params.set_point_v, resolved.fading_v()))
                .collect(),
            machine,
            params,
            own_mm: 0.0,
        }
    }

    /// The same numbers with the pulley to judge this much off its nominal size, mm.
    pub fn with_own(&self, own_mm: f64) -> Self {
        Self {
            own_mm,
            ..self.clone()
        }
    }

    /// What scales the machine's curve in this state.
    pub fn field(&self) -> Field {
        Field {
            scale: self.params.output_scale,
            low_form: self.params.low_form,
            exponent: self.params.field_exponent,
        }
    }

    /// What creep and slip leave of the alternator's speed, as a fraction.
    pub fn grip(&self) -> f64 {
        self.grip
    }

    /// Output at the set-point and an alternator speed (rpm), settled in hot air, A.
    pub fn hot_a(&self, alternator_rpm: f64) -> f64 {
        let air_c = self.params.under_hood_c;
        self.at_set_point
            .hot_output_a(&self.machine.curve, alternator_rpm, air_c)
    }

    /// Output at the set-point and an alternator speed (rpm), as cold as the test room, A.
    pub fn cold_a(&self, alternator_rpm: f64) -> f64 {
        self.at_set_point
            .cold_output_a(&self.machine.curve, alternator_rpm)
    }

    /// Alternator speed at which output begins at the set-point, rpm.
    pub fn cut_in_rpm(&self) -> f64 {
        self.at_set_point.cut_in_rpm()
    }

    /// Alternator speed at the set-point up to which output is known; beyond it is held, rpm.
    pub fn known_up_to_rpm(&self) -> f64 {
        let test_rpm = self.machine.curve.highest_known_rpm();
        self.at_set_point.speed_rpm(test_rpm)
    }

    /// Load of a phase at the set-point and an engine speed (rpm), A.
    pub fn load_a(&self, phase: &PhaseModel, engine_rpm: f64) -> f64 {
        self.draws
            .get(phase.place)
            .map_or(0.0, |draw| draw.at(engine_rpm / self.params.limiter_rpm))
    }

    /// Whether nothing is on in a phase: then there is nothing to fall short of.
    pub fn draws_nothing(&self, phase: &PhaseModel) -> bool {
        self.draws
            .get(phase.place)
            .is_none_or(|draw| draw.steady_a == 0.0 && draw.at_limiter_a == 0.0)
    }
}
