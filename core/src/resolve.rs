//! From a car with blanks to numbers: what was not entered is resolved to a typical
//! value, and every number keeps its range and what it rests on.
//!
//! A range is a 95 % interval. An assumed speed limit is no tolerance: both of its ends
//! are kept and judged.

use crate::alternator::{Curve, CurveError, Excitation, Machine, SquareRoot, Warmth};
use crate::car::Car;
use crate::data::memory;
use crate::quantity::InRotationalSpeed;

mod alternator;
mod blanks;
mod course;
mod drive;
mod engine;
mod inputs;
mod phases;
mod supply;
mod typical;

pub use alternator::Limits;
pub use blanks::{Blank, blanks};
pub use inputs::{
    AlternatorPulley, CrankPulley, ENTERED, Input, InputId, Params, Pulleys, RatioFrom,
};
pub use phases::{Draw, LoadModel, PhaseModel, PhaseSpeed};
pub use supply::{Supply, SupplyParams};
pub use typical::typical_loads;

use alternator::Rated;

/// A car with every blank filled that can be.
#[derive(Clone, Debug)]
pub struct Resolved {
    /// The numbers studied at their nominal values.
    pub params: Params,
    /// Those that are uncertain, with their ranges.
    pub inputs: Vec<Input>,
    /// Those on which only the voltage rests, with their ranges.
    pub supply_inputs: Vec<Input>,
    /// Battery and wiring.
    pub supply: Option<Supply>,
    /// Speed limits of the alternator.
    pub limits: Limits,
    /// Speed limit marked on the fitted pulley, rpm.
    pub fitted_rated_rpm: Option<f64>,
    /// Phases of the day.
    pub phases: Vec<PhaseModel>,
    /// Nominal voltage over 12 V.
    pub nominal_scale: f64,
    /// Belts between crank and alternator.
    pub stages: i32,
    /// Whether it turns on by itself.
    pub excitation: Option<Excitation>,
    /// Whether pitch and effective diameter differ, and by how much, mm.
    pub pitch_over_effective_mm: f64,
    rated: Rated,
    warmth: Warmth,
}

/// Why a car cannot be studied yet.
#[derive(Clone, Debug, PartialEq)]
pub enum Unresolved {
    /// Entries are missing.
    Blanks(Vec<Blank>),
    /// The curve's points do not make a curve. A car read from a file cannot get here.
    Curve(CurveError),
}

impl Resolved {
    /// Fills the blanks of a car.
    ///
    /// # Errors
    /// [`Unresolved::Blanks`] lists the entries that no typical value can stand in for.
    pub fn new(car: &Car) -> Result<Self, Unresolved> {
        let missing = blanks(car);
        if !missing.is_empty() {
            return Err(Unresolved::Blanks(missing));
        }
        let mut inputs = inputs::Builder::default();
        drive::resolve(car, &mut inputs);
        engine::resolve(car, &mut inputs);
        let rated = alternator::output(car, &mut inputs).map_err(Unresolved::Curve)?;
        let nominal_scale = car.alternator.nominal.scale();
        alternator::test_voltage(car, nominal_scale, &mut inputs);
        let test_v = inputs.params.test_v;
        alternator::conditions(car, nominal_scale, &mut inputs);
        let set_point_v = inputs.params.set_point_v;
        let phases = phases::resolve(car, set_point_v, test_v, &mut inputs);
        let gated = std::mem::take(&mut inputs.inputs);
        let supply = supply::resolve(car, nominal_scale, &mut inputs);
        Ok(Self {
            supply,
            supply_inputs: inputs.inputs,
            limits: alternator::limits(car),
            fitted_rated_rpm: car
                .drive
                .fitted
                .and_then(|fitted| fitted.rated_speed)
                .map(|speed| speed.rpm()),
            phases,
            nominal_scale,
            stages: drive::stages(car),
            excitation: car.alternator.excitation,
            pitch_over_effective_mm: drive::pitch_over_effective_mm(car),
            rated,
            warmth: car.alternator.warmth.unwrap_or_default(),
            params: inputs.params,
            inputs: gated,
        })
    }

    /// The machine with these numbers.
    pub fn machine(&self, params: &Params) -> Machine {
        let curve = match &self.rated {
            Rated::Known(curve) => curve.clone(),
            Rated::OneNumber {
                rated_a,
                rated_rpm,
                low_rpm,
            } => {
                let low = (*low_rpm, params.low_fraction * rated_a);
                // Fractions below one and speeds in order: the pair always rises.
                Curve::pair(low, (*rated_rpm, *rated_a))
                    .unwrap_or_else(|_| self.flat(*rated_a, *rated_rpm))
            }
        };
        Machine {
            curve,
            test_v: params.test_v,
            warmth: self.warmth,
        }
    }

    fn flat(&self, rated_a: f64, rated_rpm: f64) -> Curve {
        Curve::Pair {
            form: SquareRoot::new(rated_a, 0.0),
            low: (rated_rpm, rated_a),
            high: (rated_rpm, rated_a),
        }
    }

    /// Voltage of the rating, V.
    pub fn test_v(&self) -> f64 {
        self.params.test_v
    }

    /// Under this voltage every load fades, V.
    pub fn fading_v(&self) -> f64 {
        memory::UNDER_VOLTAGE_V * self.nominal_scale
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::quantity::amps;

    #[test]
    fn a_load_ranges_alike_to_both_sides() {
        let mut car = demo::nettle();
        for tolerance in [None, Some(1.5)] {
            let load = &mut car.loads.as_mut().unwrap()[0];
            load.tolerance = tolerance.map(amps);
            let wanted = tolerance.unwrap_or(10.0 * crate::data::common_practice::LOAD);
            let resolved = Resolved::new(&car).unwrap();
            let mut inputs = resolved.inputs.iter();
            let input = inputs.find(|input| input.id == InputId::Load(0)).unwrap();
            assert_eq!(input.value, 10.0);
            assert!((10.0 - input.lowest - wanted).abs() < 1e-9);
            assert!((input.highest - 10.0 - wanted).abs() < 1e-9);
        }
    }

    #[test]
    fn a_jackshaft_is_a_second_belt() {
        let mut car = demo::nettle();
        assert_eq!(Resolved::new(&car).unwrap().stages, 1);
        let pulley = car.drive.crank;
        car.drive.second_stage = Some(crate::car::SecondStage {
            driven: pulley,
            driving: pulley,
        });
        assert_eq!(Resolved::new(&car).unwrap().stages, 2);
    }
}
