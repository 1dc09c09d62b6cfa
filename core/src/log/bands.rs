//! What a voltage means with the engine running.

use serde::{Deserialize, Serialize};

use super::Known;
use crate::data::charge_bands::{
    AT_C, GOOD_V, HIGH_V, LITHIUM_ALONE_V, LOW_V, NOT_CHARGING_V, SLOPE_V_PER_K,
};
use crate::data::race_memory::UNCALIBRATED_V;
use crate::data::{absorb_voltage, battery_memory};

/// A recorded temperature is taken up to here, degrees Celsius: over it, it is the engine's,
/// and the regulator's is under it.
const WARMEST_C: f64 = 60.0;
/// A battery of six cells never rests over this, one of eight never under it, V.
const SIX_OR_EIGHT_V: f64 = 15.0;
/// A 12 V system never runs over this for long, a 16 V system charges over it, V.
const RUNNING_SIX_OR_EIGHT_V: f64 = 16.6;

/// How a voltage stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Nothing charges.
    NotCharging,
    /// Low.
    Low,
    /// Good.
    Good,
    /// High.
    High,
    /// Too high.
    Over,
}

/// Upper edges of the bands, V.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bands {
    /// Of "not charging".
    pub not_charging_v: f64,
    /// Of "low".
    pub low_v: f64,
    /// Of "good".
    pub good_v: f64,
    /// Of "high".
    pub high_v: f64,
    /// Whether they serve: with lithium they do not.
    pub serve: bool,
    /// How far off the reading may be, V.
    pub doubt_v: f64,
    /// Nominal voltage over 12 V.
    pub scale: f64,
}

impl Bands {
    /// The bands of a car with the regulator at a temperature (degrees Celsius), where that is
    /// known.
    ///
    /// The edge of "not charging" is the battery's own voltage, which hardly moves with
    /// temperature; the others move as the set-point does.
    pub fn of(known: &Known, celsius: Option<f64>) -> Self {
        let warm = celsius.map_or(0.0, |celsius| celsius.min(WARMEST_C) - AT_C);
        let edge = |volts: f64| (volts + SLOPE_V_PER_K * warm) * known.scale;
        let is_lithium = known
            .chemistry
            .is_some_and(|chemistry| chemistry.is_lithium());
        let doubt_v = match known.offset_v {
            Some(_) => battery_memory::METER_V,
            None => UNCALIBRATED_V,
        };
        let bands = Self {
            not_charging_v: NOT_CHARGING_V * known.scale,
            low_v: edge(LOW_V),
            good_v: edge(GOOD_V),
            high_v: edge(HIGH_V),
            serve: !is_lithium,
            doubt_v,
            scale: known.scale,
        };
        if is_lithium {
            let (_, ceiling) = absorb_voltage::LIFEPO4_V;
            Self {
                not_charging_v: LITHIUM_ALONE_V.0,
                low_v: LITHIUM_ALONE_V.1,
                good_v: ceiling,
                high_v: ceiling,
                ..bands
            }
        } else {
            bands
        }
    }

    /// How a voltage (V) stands.
    pub fn level(&self, volts: f64) -> Level {
        let edges = [
            (self.not_charging_v, Level::NotCharging),
            (self.low_v, Level::Low),
            (self.good_v, Level::Good),
            (self.high_v, Level::High),
        ];
        let under = edges.into_iter().find(|(edge, _)| volts < *edge);
        under.map_or(Level::Over, |(_, level)| level)
    }
}

/// The system's voltage over 12 V as the log shows it, where the car says nothing else: by its
/// battery at rest (V), or by what it runs at (V).
pub fn seen_scale(known: &Known, off_v: Option<f64>, running_v: Option<f64>) -> f64 {
    let over = |volts: Option<f64>, edge: f64| volts.is_some_and(|volts| volts > edge);
    if over(off_v, SIX_OR_EIGHT_V) || over(running_v, RUNNING_SIX_OR_EIGHT_V) {
        known.scale.max(8.0 / 6.0)
    } else {
        known.scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;

    /// Validation: the published bands of [`crate::data::charge_bands::SOURCE`].
    #[test]
    fn bands_are_those_published() {
        let bands = Bands::of(&Known::nothing(), Some(20.0));
        let levels = [12.5, 12.9, 14.0, 14.75, 14.9].map(|volts| bands.level(volts));
        let wanted = [
            Level::NotCharging,
            Level::Low,
            Level::Good,
            Level::High,
            Level::Over,
        ];
        assert_eq!(levels, wanted);
        assert_eq!(bands, Bands::of(&Known::nothing(), None));
    }

    #[test]
    fn they_follow_cells_temperature_and_chemistry() {
        let mut known = Known::nothing();
        known.scale = 8.0 / 6.0;
        let bands = Bands::of(&known, None);
        assert!((bands.low_v - 17.6).abs() < 1e-9 && (bands.not_charging_v - 16.8).abs() < 1e-9);
        known.scale = 1.0;
        let cold = Bands::of(&known, Some(-20.0));
        assert!((cold.high_v - 15.2).abs() < 1e-9 && (cold.not_charging_v - 12.6).abs() < 1e-9);
        // An engine at 95 C does not have its regulator as hot.
        assert_eq!(Bands::of(&known, Some(95.0)), Bands::of(&known, Some(60.0)));
        known.chemistry = Some(Chemistry::LithiumIronPhosphate);
        assert!(!Bands::of(&known, None).serve);
        assert_eq!(seen_scale(&known, Some(12.7), Some(14.9)), 1.0);
        assert_eq!(seen_scale(&known, Some(16.8), None), 8.0 / 6.0);
    }
}
