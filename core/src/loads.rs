//! Consumers: what they draw at a voltage and an engine speed.
//!
//! `I = I_rated (V/V_rated)^a`, with `a` by kind; under the fading voltage every load
//! becomes a resistor through the point it had there.

use serde::{Deserialize, Serialize};

use crate::quantity::{ElectricCurrent, ElectricPotential};

/// How a consumer's current follows its voltage (exponents from memory).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadKind {
    /// Lamps, heaters, solenoids, most things: `a = 1`.
    #[default]
    Resistive,
    /// Fans: `a = 1.5`.
    Fan,
    /// Positive-displacement pumps: `a = 0`.
    Pump,
    /// Regulated electronics, constant power: `a = -1`.
    Electronics,
}

impl LoadKind {
    /// All kinds, for pickers.
    pub const ALL: [Self; 4] = [Self::Resistive, Self::Fan, Self::Pump, Self::Electronics];
}

/// How much of its time a load is on in one phase.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Duty {
    /// Which phase, by its id.
    pub phase: String,
    /// Fraction of the time, 0 to 1.
    pub fraction: f64,
}

/// One consumer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// What the person calls it, or a code of the word catalog.
    pub name: String,
    /// Current at `rated_at`, and at the limiter if it follows engine speed.
    #[serde(rename = "current_a", with = "crate::stored::amps")]
    pub current: ElectricCurrent,
    /// How uncertain that is, 95 % half-width; 10 % where absent.
    #[serde(
        rename = "tolerance_a",
        with = "crate::stored::opt_amps",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub tolerance: Option<ElectricCurrent>,
    /// Voltage the current was read at; the rating's test voltage where absent.
    #[serde(
        rename = "rated_at_v",
        with = "crate::stored::opt_volts",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub rated_at: Option<ElectricPotential>,
    /// How it follows voltage.
    #[serde(default)]
    pub kind: LoadKind,
    /// Whether it grows with engine speed (ignition, injectors).
    #[serde(default)]
    pub follows_engine: bool,
    /// Phases in which it is not fully on; fully on in every other.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub duty: Vec<Duty>,
}

impl Load {
    /// Fraction of the time it is on in a phase.
    pub fn duty_in(&self, phase: &str) -> f64 {
        self.duty
            .iter()
            .find(|duty| duty.phase == phase)
            .map_or(1.0, |duty| duty.fraction)
    }

    /// Sets the fraction of the time it is on in a phase.
    pub fn set_duty(&mut self, phase: &str, fraction: f64) {
        self.duty.retain(|duty| duty.phase != phase);
        if fraction < 1.0 {
            self.duty.push(Duty {
                phase: phase.to_owned(),
                fraction,
            });
        }
    }
}

/// Current of one load at a voltage, A: `rated_a` at `rated_v`, fading under `fading_v`.
///
/// ```
/// use laneside_core::loads::{LoadKind, current_a};
///
/// let draw = |bus_v| current_a(10.0, 13.5, LoadKind::Electronics, bus_v, 9.0);
/// assert_eq!(draw(13.5), 10.0);
/// // A regulated load takes more at a lower voltage ...
/// assert!((draw(12.0) - 11.25).abs() < 1e-12);
/// // ... until it fades like a resistor.
/// assert!((draw(4.5) - 7.5).abs() < 1e-12);
/// ```
pub fn current_a(rated_a: f64, rated_v: f64, kind: LoadKind, bus_v: f64, fading_v: f64) -> f64 {
    let relative = bus_v.max(fading_v) / rated_v;
    // No call to pow: this runs at every draw of the spread.
    let factor = match kind {
        LoadKind::Resistive => relative,
        LoadKind::Fan => relative * relative.sqrt(),
        LoadKind::Pump => 1.0,
        LoadKind::Electronics => relative.recip(),
    };
    let fade = (bus_v / fading_v).clamp(0.0, 1.0);
    rated_a * factor * fade
}
