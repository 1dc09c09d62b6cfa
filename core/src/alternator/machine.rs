//! The machine at other voltages and temperatures than it was rated at.
//!
//! Voltage: the ideal machine's current at infinite speed does not depend on the bus, its
//! cut-in speed is proportional to `V + 2 V_d`, and its field current follows the bus,
//! `q = ((V - 1)/(V_t - 1))^a`:
//! `I(n, V) = q I_test(n q (V_t + 2 V_d)/(V + 2 V_d))`.
//!
//! Heat: output falls by 0.2 % a kelvin of machine temperature. A stabilized rating is
//! already warm, `h = 1 - 0.002 (T - 23 - dT_R)`; a cold or swept curve is not,
//! `h = 1 - 0.002 (T - 23)`. Settled at full output, `T = T_air + dT_R P_loss/P_loss,R`
//! makes `h` linear in the current, so that the settled output has a closed form.

use serde::{Deserialize, Serialize};

use super::Curve;
use crate::data::iso_8854::TEST_TEMPERATURE_C;
use crate::data::memory::{OUTPUT_LOSS_PER_K, RATED_RISE_K};
use crate::data::perreault_2004::DIODE_DROP_V;
use crate::quantity::RotationalSpeed;

/// Whether the rating was taken on a machine that had settled to its temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Warmth {
    /// Settled: the official rating, and what the case says. The machine was warmed up at
    /// rated output and then swept, so that every point counts as equally warm.
    #[default]
    Stabilized,
    /// Cold or quickly swept: a parts-counter bench sheet.
    Cold,
}

/// How the machine is built, as far as its speed limit depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fan {
    /// Fan behind the pulley, outside the case.
    Outside,
    /// Fans on the rotor, inside the case.
    Inside,
    /// Large heavy-duty machine.
    HeavyDuty,
}

/// How the machine gets its first field current.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Excitation {
    /// An excite wire: turns on at cut-in speed.
    ExciteWire,
    /// One wire, self-exciting: has to be revved higher once.
    SelfExciting,
}

/// A maker's speed limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpeedLimits {
    /// Speed it stands for as long as one likes.
    #[serde(rename = "continuous_rpm", with = "crate::stored::rpm")]
    pub continuous: RotationalSpeed,
    /// Speed it stands for moments; the continuous limit where none is given.
    #[serde(
        rename = "short_rpm",
        with = "crate::stored::opt_rpm",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub short: Option<RotationalSpeed>,
}

/// What scales the rated curve at one study point: all of it uncertain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Scale of the whole curve.
    pub scale: f64,
    /// Scale of the part below the lowest rated speed.
    pub low_form: f64,
    /// Exponent of field current over bus voltage.
    pub exponent: f64,
}

/// A rated machine.
#[derive(Clone, Debug)]
pub struct Machine {
    /// Output at test voltage.
    pub curve: Curve,
    /// Voltage the curve was taken at, V.
    pub test_v: f64,
    /// Whether the curve was taken warm.
    pub warmth: Warmth,
}

/// A machine at one bus voltage: everything that does not depend on speed, worked out
/// once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtBus {
    /// Field current over that of the test.
    q: f64,
    /// Speed at which the test curve is read, over speed.
    test_speed: f64,
    scale: f64,
    low_form: f64,
    lowest_known_rpm: f64,
    cut_in_rpm: f64,
    /// Temperature rise a settled ampere costs, K.
    rise_per_a: f64,
    /// Machine temperature at which the curve was taken, degrees Celsius.
    reference_c: f64,
}

impl AtBus {
    /// Output at an alternator speed (rpm), as warm as at the test, A.
    pub fn output_a(&self, curve: &Curve, rpm: f64) -> f64 {
        let test_rpm = rpm * self.test_speed;
        let low = self.lowest_known_rpm;
        // The form's doubt fades in below the lowest rated speed, so that the curve has no step.
        let below = ((low - test_rpm) / (0.05 * low)).clamp(0.0, 1.0);
        self.q * curve.at(test_rpm) * self.scale * (1.0 + (self.low_form - 1.0) * below)
    }

    /// Output with the machine as cold as the test room, A.
    pub fn cold_output_a(&self, curve: &Curve, rpm: f64) -> f64 {
        self.output_a(curve, rpm) * heat_factor(TEST_TEMPERATURE_C, self.reference_c)
    }

    /// Output once the machine has settled at full output in air of this temperature
    /// (degrees Celsius), A.
    pub fn hot_output_a(&self, curve: &Curve, rpm: f64, air_c: f64) -> f64 {
        let test = self.output_a(curve, rpm);
        let unheated = 1.0 - OUTPUT_LOSS_PER_K * (air_c - self.reference_c);
        (test * unheated / (1.0 + OUTPUT_LOSS_PER_K * test * self.rise_per_a)).max(0.0)
    }

    /// Alternator speed at which output begins, rpm.
    pub fn cut_in_rpm(&self) -> f64 {
        self.cut_in_rpm
    }

    /// Alternator speed at which the test curve is read at this speed of its own (rpm), rpm.
    pub fn speed_rpm(&self, test_rpm: f64) -> f64 {
        test_rpm / self.test_speed
    }
}

/// Factor on output at a machine temperature, for a curve taken at another (degrees
/// Celsius).
fn heat_factor(machine_c: f64, reference_c: f64) -> f64 {
    (1.0 - OUTPUT_LOSS_PER_K * (machine_c - reference_c)).max(0.0)
}

impl Machine {
    /// The machine at a bus voltage (V).
    pub fn at_bus(&self, bus_v: f64, field: &Field) -> AtBus {
        let q = ((bus_v - 1.0) / (self.test_v - 1.0))
            .max(0.0)
            .powf(field.exponent);
        let diodes = 2.0 * DIODE_DROP_V;
        let test_speed = q * (self.test_v + diodes) / (bus_v + diodes);
        AtBus {
            q,
            test_speed,
            scale: field.scale,
            low_form: field.low_form,
            lowest_known_rpm: self.curve.lowest_known_rpm(),
            cut_in_rpm: self.curve.cut_in_rpm() / test_speed,
            rise_per_a: self.rise_per_amp(bus_v),
            reference_c: self.reference_c(),
        }
    }

    /// Output at an alternator speed (rpm) and a bus voltage (V), as warm as at its
    /// test, A.
    pub fn output_a(&self, rpm: f64, bus_v: f64, field: &Field) -> f64 {
        self.at_bus(bus_v, field).output_a(&self.curve, rpm)
    }

    /// Factor on output at a machine temperature (degrees Celsius).
    pub fn heat_factor(&self, machine_c: f64) -> f64 {
        heat_factor(machine_c, self.reference_c())
    }

    /// Output with the machine as cold as the test room, A.
    pub fn cold_output_a(&self, rpm: f64, bus_v: f64, field: &Field) -> f64 {
        self.at_bus(bus_v, field).cold_output_a(&self.curve, rpm)
    }

    /// Output once the machine has settled at full output in air of this temperature
    /// (degrees Celsius), A.
    pub fn hot_output_a(&self, rpm: f64, bus_v: f64, air_c: f64, field: &Field) -> f64 {
        self.at_bus(bus_v, field)
            .hot_output_a(&self.curve, rpm, air_c)
    }

    /// Machine temperature once settled at an output (A) in air of this temperature,
    /// degrees Celsius.
    pub fn settled_c(&self, amps: f64, bus_v: f64, air_c: f64) -> f64 {
        air_c + amps * self.rise_per_amp(bus_v)
    }

    /// Alternator speed at which output begins at a bus voltage, rpm.
    pub fn cut_in_rpm(&self, bus_v: f64, field: &Field) -> f64 {
        self.at_bus(bus_v, field).cut_in_rpm()
    }

    fn reference_c(&self) -> f64 {
        match self.warmth {
            Warmth::Stabilized => TEST_TEMPERATURE_C + RATED_RISE_K,
            Warmth::Cold => TEST_TEMPERATURE_C,
        }
    }

    fn rise_per_amp(&self, bus_v: f64) -> f64 {
        RATED_RISE_K * bus_v / (self.test_v * self.curve.peak_a())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AS_RATED: Field = Field {
        scale: 1.0,
        low_form: 1.0,
        exponent: 0.4,
    };

    fn machine(warmth: Warmth) -> Machine {
        Machine {
            curve: Curve::pair((1_500.0, 50.0), (6_000.0, 120.0)).unwrap(),
            test_v: 13.5,
            warmth,
        }
    }

    #[test]
    fn at_test_voltage_the_rating_comes_back() {
        let machine = machine(Warmth::Stabilized);
        assert!((machine.output_a(6_000.0, 13.5, &AS_RATED) - 120.0).abs() < 1e-9);
        // Settled in the test room at rated current it gives what it is rated for.
        assert!((machine.hot_output_a(6_000.0, 13.5, 23.0, &AS_RATED) - 120.0).abs() < 1e-9);
        assert!((machine.settled_c(120.0, 13.5, 23.0) - 98.0).abs() < 1e-9);
        // Cold, it gives 15 % more.
        assert!((machine.cold_output_a(6_000.0, 13.5, &AS_RATED) - 138.0).abs() < 1e-9);
    }

    #[test]
    fn settled_output_satisfies_its_own_temperature() {
        for warmth in [Warmth::Stabilized, Warmth::Cold] {
            let machine = machine(warmth);
            let hot = machine.hot_output_a(4_000.0, 14.2, 60.0, &AS_RATED);
            let settled = machine.settled_c(hot, 14.2, 60.0);
            let again = machine.output_a(4_000.0, 14.2, &AS_RATED) * machine.heat_factor(settled);
            assert!((hot - again).abs() < 1e-9, "{warmth:?}: {hot} {again}");
        }
    }

    #[test]
    fn a_higher_bus_needs_more_speed_to_cut_in() {
        let machine = machine(Warmth::Stabilized);
        let plain = Field {
            exponent: 0.0,
            ..AS_RATED
        };
        let ratio = machine.cut_in_rpm(14.5, &plain) / machine.cut_in_rpm(13.5, &plain);
        assert!((ratio - 16.5 / 15.5).abs() < 1e-12);
    }
}
