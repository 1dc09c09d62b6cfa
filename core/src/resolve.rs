//! From a car with blanks to numbers: what was not entered is resolved to a typical
//! value, and every number keeps its range and what it rests on.
//!
//! A range is a 95 % interval. An assumed speed limit is no tolerance: both of its ends
//! are kept and judged.

use crate::alternator::{Curve, CurveError, Excitation, Fan, Machine};
use crate::car::{Car, EngineState, Gearbox, RatingBy, RatioBy};
use crate::data::memory::LimitRange;
use crate::data::{common_practice, iso_8854, memory, set_point_band, tm_9_2320};
use crate::drive::Pulley;
use crate::finding::{Provenance, Source, Unit};
use crate::loads::{Load, LoadKind};
use crate::quantity::{
    InElectricCurrent, InElectricPotential, InLength, InRotationalSpeed, InThermodynamicTemperature,
};

mod inputs;
mod phases;

pub use inputs::{AlternatorPulley, CrankPulley, Input, InputId, Params, Pulleys};
pub use phases::{Draw, LoadModel, PhaseModel, PhaseSpeed};

/// An entry without which an answer cannot be given, in the order they are asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Blank {
    /// Size of the crank pulley.
    Crank,
    /// Size of the alternator pulley on the car.
    Fitted,
    /// The counted turns or the two speeds read.
    Ratio,
    /// Engine speed at the limiter.
    Limiter,
    /// Engine speed at idle.
    Idle,
    /// Rated output.
    Rating,
}

/// Speed limits with both ends where they are assumed, alternator rpm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Continuous: low and high end, equal where entered.
    pub continuous: (f64, f64),
    /// Short-time: low and high end, equal where entered.
    pub short: (f64, f64),
    /// Whether they stand in for a maker's figure.
    pub assumed: bool,
    /// Whether even the place of the fan is unknown.
    pub fan_unknown: bool,
}

/// The output curve, as far as it is fixed.
#[derive(Clone, Debug)]
enum Rated {
    /// Rated output alone: low output is a fraction of it.
    OneNumber {
        rated_a: f64,
        rated_rpm: f64,
        low_rpm: f64,
    },
    /// Known at two points or more.
    Known(Curve),
}

/// A car with every blank filled that can be.
#[derive(Clone, Debug)]
pub struct Resolved {
    /// The numbers studied at their nominal values.
    pub params: Params,
    /// Those that are uncertain, with their ranges.
    pub inputs: Vec<Input>,
    /// Speed limits of the alternator.
    pub limits: Limits,
    /// Speed limit marked on the fitted pulley, rpm.
    pub fitted_rated_rpm: Option<f64>,
    /// Phases of the day.
    pub phases: Vec<PhaseModel>,
    /// Nominal voltage over 12 V.
    pub nominal_scale: f64,
    /// Belts between crank and alternator.
    pub stages: u8,
    /// Whether it turns on by itself.
    pub excitation: Option<Excitation>,
    /// Whether pitch and effective diameter differ, and by how much, mm.
    pub pitch_over_effective_mm: f64,
    rated: Rated,
    warmth: crate::alternator::Warmth,
    test_v: f64,
}

/// Why a car cannot be studied yet.
#[derive(Clone, Debug, PartialEq)]
pub enum Unresolved {
    /// Entries are missing.
    Blanks(Vec<Blank>),
    /// The curve's points do not make a curve. A car read from a file cannot get here.
    Curve(CurveError),
}

/// Which of the five entries are still blank, in the order they are asked for.
pub fn blanks(car: &Car) -> Vec<Blank> {
    let mut found = drive_blanks(car);
    if car.engine.limiter.is_none() {
        found.push(Blank::Limiter);
    }
    if car.engine.idle.is_none() {
        found.push(Blank::Idle);
    }
    if !rating_is_known(car) {
        found.push(Blank::Rating);
    }
    found
}

fn drive_blanks(car: &Car) -> Vec<Blank> {
    let drive = &car.drive;
    let mut found = Vec::new();
    match drive.ratio_by {
        RatioBy::Sizes => {
            if drive.crank.is_none() {
                found.push(Blank::Crank);
            }
            if drive.fitted.is_none() {
                found.push(Blank::Fitted);
            }
        }
        RatioBy::Turns | RatioBy::Speeds => {
            if ratio_read(car).is_none() {
                found.push(Blank::Ratio);
            }
            // One size tells what the others have to be.
            if drive.crank.is_none() && drive.fitted.is_none() {
                found.push(Blank::Fitted);
            }
        }
    }
    found
}

fn rating_is_known(car: &Car) -> bool {
    let alternator = &car.alternator;
    match alternator.rating_by {
        RatingBy::OneNumber => alternator.rated.is_some(),
        RatingBy::Pair => alternator.rated.is_some() && alternator.low.is_some(),
        RatingBy::Points => alternator.points.len() >= 2,
    }
}

/// The ratio read at the car, with its half-width.
fn ratio_read(car: &Car) -> Option<(f64, f64)> {
    let drive = &car.drive;
    match drive.ratio_by {
        RatioBy::Sizes => None,
        RatioBy::Turns => {
            let (crank, alternator) = (drive.crank_turns?, drive.alternator_turns?);
            Some((alternator / crank, common_practice::COUNTED_TURNS / crank))
        }
        RatioBy::Speeds => {
            let ratio = drive.read_alternator?.rpm() / drive.read_engine?.rpm();
            // Two tachometers, each with its own error.
            Some((
                ratio,
                ratio * common_practice::TACHOMETER * std::f64::consts::SQRT_2,
            ))
        }
    }
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
        let pitch_over_effective_mm = 2.0 * half_pitch_excess(car);
        resolve_drive(car, &mut inputs);
        resolve_engine(car, &mut inputs);
        let rated = resolve_output(car, &mut inputs).map_err(Unresolved::Curve)?;
        let nominal_scale = car.alternator.nominal.scale();
        let test_v = car
            .alternator
            .test_voltage
            .map_or(iso_8854::TEST_VOLTAGE_V * nominal_scale, |volts| {
                volts.volts()
            });
        resolve_conditions(car, nominal_scale, &mut inputs);
        let set_point_v = inputs.params.set_point_v;
        let phases = phases::resolve(car, set_point_v, test_v, &mut inputs);
        Ok(Self {
            limits: limits(car),
            fitted_rated_rpm: car
                .drive
                .fitted
                .and_then(|fitted| fitted.rated_speed)
                .map(|speed| speed.rpm()),
            phases,
            nominal_scale,
            stages: if car.drive.second_stage.is_some() {
                2
            } else {
                1
            },
            excitation: car.alternator.excitation,
            pitch_over_effective_mm,
            rated,
            warmth: car.alternator.warmth.unwrap_or_default(),
            test_v,
            params: inputs.params,
            inputs: inputs.inputs,
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
            test_v: self.test_v,
            warmth: self.warmth,
        }
    }

    fn flat(&self, rated_a: f64, rated_rpm: f64) -> Curve {
        Curve::Pair {
            form: crate::alternator::SquareRoot::new(rated_a, 0.0),
            low: (rated_rpm, rated_a),
            high: (rated_rpm, rated_a),
        }
    }

    /// Voltage of the rating, V.
    pub fn test_v(&self) -> f64 {
        self.test_v
    }

    /// Under this voltage every load fades, V.
    pub fn fading_v(&self) -> f64 {
        memory::UNDER_VOLTAGE_V * self.nominal_scale
    }
}

/// Half of what the pitch diameter exceeds the effective one by, mm.
fn half_pitch_excess(car: &Car) -> f64 {
    let probe = crate::quantity::mm(0.0);
    crate::drive::pitch_from_effective(probe, car.drive.belt).mm() / 2.0
}

fn resolve_drive(car: &Car, to: &mut inputs::Builder) {
    let drive = &car.drive;
    let pitch = |pulley: &Pulley| {
        let pitch = pulley.pitch(drive.belt);
        (pitch.value.mm(), pitch.half_width.mm())
    };
    let entered = Provenance::Entered;
    let tolerance = common_practice::SOURCE;
    if let Some(stage) = &drive.second_stage {
        let (driven, driven_half) = pitch(&stage.driven);
        let (driving, driving_half) = pitch(&stage.driving);
        to.symmetric(
            InputId::StageDriven,
            driven,
            driven_half,
            Unit::Millimeter,
            entered,
            tolerance,
        );
        to.symmetric(
            InputId::StageDriving,
            driving,
            driving_half,
            Unit::Millimeter,
            entered,
            tolerance,
        );
    }
    if let Some(crank) = &drive.crank {
        let (value, half) = pitch(crank);
        to.symmetric(
            InputId::Crank,
            value,
            half,
            Unit::Millimeter,
            entered,
            tolerance,
        );
    }
    if let Some(fitted) = &drive.fitted {
        let (value, half) = pitch(fitted);
        to.symmetric(
            InputId::FittedPulley,
            value,
            half,
            Unit::Millimeter,
            entered,
            tolerance,
        );
    }
    if let Some((ratio, half)) = ratio_read(car) {
        to.symmetric(InputId::Ratio, ratio, half, Unit::Ratio, entered, tolerance);
        to.params.ratio_read = true;
        // Without one of the sizes it follows from the ratio: the one tells the other.
        let stage = to.params.stage();
        if drive.fitted.is_none() {
            to.params.fitted_mm = to.params.crank_mm * stage / ratio;
            to.rename(InputId::Crank, InputId::FittedPulley, stage / ratio);
        } else if drive.crank.is_none() {
            to.params.crank_mm = to.params.fitted_mm * ratio / stage;
        }
    }
    if let Some(crank) = &drive.tried_crank {
        let (value, half) = pitch(crank);
        to.symmetric(
            InputId::TriedCrank,
            value,
            half,
            Unit::Millimeter,
            entered,
            tolerance,
        );
    } else {
        to.params.tried_crank_mm = to.params.crank_mm;
    }
    let slip = memory::SLIP;
    to.ranged(
        InputId::Slip,
        slip,
        Unit::Ratio,
        Provenance::Assumed,
        memory::SOURCE,
    );
}

fn resolve_engine(car: &Car, to: &mut inputs::Builder) {
    let engine = &car.engine;
    // Both are there: `blanks` was asked first.
    let limiter = engine.limiter.map_or(0.0, |speed| speed.rpm());
    let idle = engine.idle.map_or(0.0, |speed| speed.rpm());
    to.params.limiter_rpm = limiter;
    to.symmetric(
        InputId::Idle,
        idle,
        IDLE_WANDER_RPM,
        Unit::Rpm,
        Provenance::Entered,
        common_practice::SOURCE,
    );
    match engine.overshoot {
        Some(overshoot) => to.params.overshoot_rpm = overshoot.rpm(),
        None => to.ranged(
            InputId::Overshoot,
            memory::OVERSHOOT_RPM,
            Unit::Rpm,
            Provenance::Assumed,
            memory::SOURCE,
        ),
    }
    let drop = common_practice::IN_GEAR_DROP_RPM;
    match (engine.idle_in_gear, engine.gearbox) {
        (Some(in_gear), _) => to.params.in_gear_drop_rpm = idle - in_gear.rpm(),
        (None, Some(Gearbox::Manual)) => to.params.in_gear_drop_rpm = 0.0,
        (None, _) => {
            let drop = drop.min(idle * 0.2);
            to.symmetric(
                InputId::InGearDrop,
                drop,
                drop,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
    let assumed = |value: f64, half: f64| memory::Default {
        value,
        lowest: (value - half).max(idle),
        highest: (value + half).min(limiter),
    };
    match engine.launch {
        Some(launch) => to.params.launch_rpm = launch.rpm(),
        None => {
            let launch = assumed((0.55 * limiter).max(idle), 0.2 * limiter);
            to.ranged(
                InputId::Launch,
                launch,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
    match engine.shift {
        Some(shift) => to.params.shift_rpm = shift.rpm(),
        None => {
            let shift = assumed((0.96 * limiter).max(idle), 0.04 * limiter);
            to.ranged(
                InputId::Shift,
                shift,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
}

/// How far an idle wanders around what was read, rpm (common practice).
const IDLE_WANDER_RPM: f64 = 50.0;

fn resolve_output(car: &Car, to: &mut inputs::Builder) -> Result<Rated, CurveError> {
    let alternator = &car.alternator;
    let rated_a = alternator.rated.map_or(0.0, |amps| amps.amps());
    let rated_rpm = alternator
        .rated_speed
        .map_or(iso_8854::RATED_SPEED_RPM, |speed| speed.rpm());
    let low_rpm = alternator
        .low_speed
        .map_or(iso_8854::LOW_SPEED_RPM, |speed| speed.rpm());
    let rated = match alternator.rating_by {
        RatingBy::OneNumber => {
            to.ranged(
                InputId::LowFraction,
                memory::LOW_OUTPUT_FRACTION,
                Unit::Ratio,
                Provenance::Assumed,
                memory::SOURCE,
            );
            Rated::OneNumber {
                rated_a,
                rated_rpm,
                low_rpm,
            }
        }
        RatingBy::Pair => {
            let low_a = alternator.low.map_or(0.0, |amps| amps.amps());
            Rated::Known(Curve::pair((low_rpm, low_a), (rated_rpm, rated_a))?)
        }
        RatingBy::Points => {
            let points: Vec<(f64, f64)> = alternator
                .points
                .iter()
                .map(|point| (point.speed.rpm(), point.current.amps()))
                .collect();
            Rated::Known(Curve::points(&points)?)
        }
    };
    let (provenance, source) = (Provenance::Assumed, memory::SOURCE);
    to.ranged(
        InputId::OutputScale,
        memory::RATED_OUTPUT_SCALE,
        Unit::Ratio,
        provenance,
        source,
    );
    to.ranged(
        InputId::LowForm,
        memory::LOW_SPEED_FORM,
        Unit::Ratio,
        provenance,
        source,
    );
    to.ranged(
        InputId::FieldExponent,
        memory::FIELD_EXPONENT,
        Unit::Ratio,
        provenance,
        source,
    );
    match alternator.excitation {
        Some(Excitation::ExciteWire) => to.params.excite_factor = 1.0,
        _ => to.ranged(
            InputId::ExciteFactor,
            memory::SELF_EXCITE_FACTOR,
            Unit::Ratio,
            provenance,
            tm_9_2320::SELF_EXCITE_SOURCE,
        ),
    }
    Ok(rated)
}

fn resolve_conditions(car: &Car, nominal_scale: f64, to: &mut inputs::Builder) {
    let alternator = &car.alternator;
    match alternator.set_point {
        Some(volts) => {
            // A meter in the person's hand.
            to.symmetric(
                InputId::SetPoint,
                volts.volts(),
                0.1,
                Unit::Volt,
                Provenance::Entered,
                common_practice::SOURCE,
            );
        }
        None => {
            let (lowest, highest) = set_point_band::band_v(SET_POINT_BAND_AT_C);
            let band = memory::Default {
                value: (lowest + highest) / 2.0 * nominal_scale,
                lowest: lowest * nominal_scale,
                highest: highest * nominal_scale,
            };
            to.ranged(
                InputId::SetPoint,
                band,
                Unit::Volt,
                Provenance::Assumed,
                set_point_band::SOURCE,
            );
        }
    }
    match alternator.under_hood {
        Some(air) => to.params.under_hood_c = air.celsius(),
        None => to.ranged(
            InputId::UnderHood,
            memory::UNDER_HOOD_C,
            Unit::Celsius,
            Provenance::Assumed,
            memory::SOURCE,
        ),
    }
}

/// Regulator temperature at which the assumed set-point is read off the band, degrees C.
const SET_POINT_BAND_AT_C: f64 = 20.0;

fn limits(car: &Car) -> Limits {
    let alternator = &car.alternator;
    if let Some(limits) = &alternator.limits {
        let continuous = limits.continuous.rpm();
        let short = limits.short.map_or(continuous, |speed| speed.rpm());
        return Limits {
            continuous: (continuous, continuous),
            short: (short, short),
            assumed: false,
            fan_unknown: false,
        };
    }
    let range = match alternator.fan {
        Some(Fan::Outside) => memory::FAN_OUTSIDE,
        Some(Fan::Inside) => memory::FAN_INSIDE,
        Some(Fan::HeavyDuty) => memory::HEAVY_DUTY,
        // Anything with a fan: from the low end of one kind to the high end of the other.
        None => LimitRange {
            continuous: (
                memory::FAN_OUTSIDE.continuous.0,
                memory::FAN_INSIDE.continuous.1,
            ),
            short: (memory::FAN_OUTSIDE.short.0, memory::FAN_INSIDE.short.1),
        },
    };
    Limits {
        continuous: range.continuous,
        short: range.short,
        assumed: true,
        fan_unknown: alternator.fan.is_none(),
    }
}

/// The loads that stand in while none are entered (common practice).
pub fn typical_loads() -> Vec<(Load, f64, f64)> {
    let pick = |code: &str, kind: LoadKind, follows_engine: bool, off_in: &[&str]| {
        common_practice::LOADS
            .iter()
            .find(|load| load.code == code)
            .map(|typical| {
                let load = Load {
                    name: code.to_owned(),
                    current: crate::quantity::amps(typical.typical_a),
                    tolerance: None,
                    rated_at: None,
                    kind,
                    follows_engine,
                    duty: off_in
                        .iter()
                        .map(|phase| crate::loads::Duty {
                            phase: (*phase).to_owned(),
                            fraction: 0.0,
                        })
                        .collect(),
                };
                (load, typical.lowest_a, typical.highest_a)
            })
    };
    const PARKED: [&str; 2] = ["pits", "cool_down"];
    [
        pick("fuel_pump", LoadKind::Pump, false, &PARKED),
        pick("fan", LoadKind::Fan, false, &["pits"]),
        pick("water_pump", LoadKind::Pump, false, &["pits"]),
        pick("ignition_inductive", LoadKind::Resistive, false, &PARKED),
        pick("engine_control", LoadKind::Electronics, false, &PARKED),
        pick("logger_dash", LoadKind::Electronics, false, &PARKED),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Where the engine speeds of a phase come from.
pub(crate) fn phase_speed(engine: EngineState) -> PhaseSpeed {
    match engine {
        EngineState::Off => PhaseSpeed::Off,
        EngineState::Idle => PhaseSpeed::Idle,
        EngineState::IdleInGear => PhaseSpeed::IdleInGear,
        EngineState::Launch => PhaseSpeed::Launch,
        EngineState::Pass => PhaseSpeed::Pass,
        EngineState::At { speed } => PhaseSpeed::At(speed.rpm()),
    }
}

/// A source for what was typed in.
pub(crate) const ENTERED: Source = Source {
    citation: "entered for this car",
    mark: crate::finding::Mark::Published,
};
