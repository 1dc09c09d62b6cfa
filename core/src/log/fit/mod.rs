//! The log against the car's model: the simulated band under the measured voltage, and what
//! the log can fix of the car.
//!
//! A voltage alone fixes little: set-point and reading cannot be told apart unless one of
//! them was held against a meter, and a load not at all without a current. What cannot be
//! told is not offered.

mod offers;

use crate::car::entry::{EntryError, Field, set};
use crate::car::{Car, CourseKind, TimePoint};
use crate::finding::Unit;
use crate::gates::Judged;
use crate::quantity::parse::Kind;
use crate::race::{NoPass, PassStudy};
use crate::resolve::{InputId, Unresolved};
use crate::study::Study;
use crate::tolerance::Tolerances;

use super::analysis::{Analysis, PassFound};
use super::passes::Span;
use super::thin::thin;
use super::{Recording, Within};

/// Slices of the engine speed that the model drives by: each bend of it costs a step.
const SLICES: usize = 40;
/// Moments of the band.
const MOMENTS: usize = 240;

/// What a log can fix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fixed {
    /// Alternator speed over which output is lost, rpm.
    Lose,
    /// Alternator speed under which it comes back, rpm.
    Recover,
    /// Voltage that the regulator holds, V.
    SetPoint,
    /// What the logger shows over what is there, V.
    Offset,
    /// Load on the pass, A.
    Load,
    /// Resistance of the charge path, ohm.
    PathOhm,
}

impl Fixed {
    /// Its unit.
    pub fn unit(self) -> Unit {
        match self {
            Self::Lose | Self::Recover => Unit::Rpm,
            Self::SetPoint | Self::Offset => Unit::Volt,
            Self::Load => Unit::Ampere,
            Self::PathOhm => Unit::Ohm,
        }
    }
}

/// A value that the log offers for the car.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What.
    pub fixed: Fixed,
    /// Its value with its spread.
    pub value: Within,
    /// What the car says now, or what stands in for it.
    pub present: Option<f64>,
    /// What to type into the car when the person accepts, in the unit of `value` (the two
    /// readings of an offset in V); nothing where the car has no place for it.
    pub edits: Vec<(Field, f64)>,
}

/// One moment of the model's band under the measured voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Simulated {
    /// Time of the log, s.
    pub at_s: f64,
    /// Lowest, V.
    pub low_v: f64,
    /// Highest, V.
    pub high_v: f64,
    /// Measured: its median around that moment, V.
    pub measured_v: Option<f64>,
}

/// A pass of a log against the car's model.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// The simulated band.
    pub band: Vec<Simulated>,
    /// How much of the time the measured voltage lies in it, 0 to 1.
    pub inside: f64,
    /// Measured less the middle of the band: its median, V.
    pub off_v: f64,
    /// What the log can fix.
    pub offers: Vec<Offer>,
}

/// Why a log cannot be held against the model.
#[derive(Clone, Debug, PartialEq)]
pub enum NoFit {
    /// The car is not complete.
    Unresolved(Unresolved),
    /// The pass cannot be simulated.
    Pass(NoPass),
}

/// The car with the log's own engine speed as its course.
fn driven(car: &Car, recording: &Recording, span: Span) -> Car {
    let mut driven = car.clone();
    driven.course.kind = CourseKind::Points;
    let line = thin(&recording.rpm, span, SLICES);
    driven.course.points = line
        .points
        .iter()
        .filter(|(at, _)| span.holds(*at))
        .map(|(at, rpm)| TimePoint {
            seconds: at - span.from_s,
            speed_rpm: f64::from(*rpm).max(0.0),
        })
        .collect();
    driven
}

/// Holds a pass of a log against the car's model with the pulleys on the car: the worst pass of
/// the car's day, driven as the log was.
///
/// # Errors
/// [`NoFit`] where the car is not complete or no day drives it.
pub fn against(
    recording: &Recording,
    analysis: &Analysis,
    found: &PassFound,
    car: &Car,
) -> Result<Against, NoFit> {
    let span = found.pass.span;
    let study = Study::new(&driven(car, recording, span)).map_err(NoFit::Unresolved)?;
    let simulated = simulated(car, recording, span, &study.tolerances, &study.on_car)?;
    let band = band(recording, span, &simulated, &study.tolerances);
    let measured = |moment: &Simulated| Some((moment.measured_v?, *moment));
    let seen: Vec<(f64, Simulated)> = band.iter().filter_map(measured).collect();
    let within = seen
        .iter()
        .filter(|(volts, moment)| (moment.low_v..=moment.high_v).contains(volts));
    let inside = within.count() as f64 / seen.len().max(1) as f64;
    let mut off: Vec<f64> = seen
        .iter()
        .map(|(volts, moment)| volts - (moment.low_v + moment.high_v) / 2.0)
        .collect();
    Ok(Against {
        off_v: super::robust::median(&mut off).unwrap_or(0.0),
        offers: offers::offers(
            recording,
            analysis,
            found,
            car,
            &study.tolerances,
            &simulated,
        ),
        band,
        inside,
    })
}

fn simulated(
    car: &Car,
    recording: &Recording,
    span: Span,
    tolerances: &Tolerances,
    judged: &Judged,
) -> Result<PassStudy, NoFit> {
    PassStudy::new(&driven(car, recording, span), tolerances, judged).map_err(NoFit::Pass)
}

/// The band: output over the limit gone or holding, and what set-point and reading may be off.
fn band(
    recording: &Recording,
    span: Span,
    simulated: &PassStudy,
    tolerances: &Tolerances,
) -> Vec<Simulated> {
    let resolved = tolerances.resolved();
    let inputs = resolved.inputs.iter().chain(&resolved.supply_inputs);
    let off = |wanted: InputId| {
        let input = inputs.clone().find(|input| input.id == wanted);
        input.map_or((0.0, 0.0), |input| {
            (input.value - input.lowest, input.highest - input.value)
        })
    };
    let (set_point, offset) = (off(InputId::SetPoint), off(InputId::ReaderOffset));
    let (down, up) = (set_point.0.hypot(offset.0), set_point.1.hypot(offset.1));
    let width = span.seconds() / MOMENTS as f64;
    (0..=MOMENTS)
        .map(|place| {
            let since = place as f64 * width;
            let (low, high) = simulated.shown_v(since);
            let at_s = span.from_s + since;
            let around = Span::new(at_s - width / 2.0, at_s + width / 2.0);
            Simulated {
                at_s,
                low_v: low - down,
                high_v: high + up,
                measured_v: super::cut::median_of(&recording.volts, around),
            }
        })
        .collect()
}

/// The car with an offer accepted.
///
/// # Errors
/// [`EntryError`] where the car does not take it.
pub fn accept(car: &Car, offer: &Offer) -> Result<Car, EntryError> {
    let mut changed = car.clone();
    for (field, value) in &offer.edits {
        // With its unit, whatever the car is shown in.
        let text = match field.kind() {
            Some(Kind::Current) => format!("{value:.1} A"),
            Some(Kind::Voltage) => format!("{value:.3} V"),
            _ => format!("{value:.0}"),
        };
        changed = set(&changed, *field, &text)?;
    }
    Ok(changed)
}
