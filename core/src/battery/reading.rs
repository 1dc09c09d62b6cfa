//! Charge from a voltage read at rest.
//!
//! Surface charge makes a battery that was charged a short while ago read full, so the
//! hours since then are asked; without them the whole range is kept. A meter, and a
//! battery that does not follow the table, add their part. Lithium iron phosphate is so
//! flat that a reading fixes its charge to a tenth at best.

use super::{Battery, Chemistry};
use crate::data::battery_memory as memory;

/// A voltage read with everything off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// At the battery's posts, V.
    pub volts: f64,
    /// Temperature of the battery, degrees Celsius.
    pub celsius: f64,
    /// Hours since it was last charged, if known.
    pub hours_since_charge: Option<f64>,
    /// How far the meter may be off, V.
    pub meter_v: f64,
}

/// What a reading says about charge, all from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// The most likely charge.
    pub soc: f64,
    /// The least it may be.
    pub lowest: f64,
    /// The most it may be.
    pub highest: f64,
    /// Surface charge that was taken off the reading, V.
    pub surface_v: f64,
}

impl Battery {
    /// Charge from a rested reading.
    pub fn charge_from(&self, reading: &Reading) -> Charge {
        let (surface, hours, table_v) = match self.chemistry() {
            Chemistry::Flooded => (
                memory::SURFACE_V,
                memory::SURFACE_HOURS,
                memory::FLOODED_TABLE_V,
            ),
            Chemistry::Agm | Chemistry::Gel => (
                memory::SURFACE_V,
                memory::SURFACE_HOURS,
                memory::AGM_TABLE_V,
            ),
            Chemistry::LithiumIronPhosphate => (
                memory::LIFEPO4_SURFACE_V,
                memory::LIFEPO4_SURFACE_HOURS,
                memory::LIFEPO4_TABLE_V,
            ),
        };
        let cells_ratio = self.cells_ratio();
        let left = |at_once: f64, falls_in: f64, unknown: f64| {
            let part = reading
                .hours_since_charge
                .map_or(unknown, |passed| (-passed.max(0.0) / falls_in).exp());
            cells_ratio * at_once * part
        };
        let surface_v = left(surface.value, hours.value, 0.5);
        let most_v = left(surface.highest, hours.highest, 1.0);
        let doubt_v = reading.meter_v.hypot(table_v * cells_ratio);
        let soc_at = |volts| self.soc_at_rest(volts, reading.celsius);
        let soc = soc_at(reading.volts - surface_v);
        let mut lowest = soc_at(reading.volts - most_v - doubt_v).min(soc);
        let mut highest = soc_at(reading.volts + doubt_v).max(soc);
        if self.chemistry().is_lithium() {
            lowest = lowest.min(soc - memory::LIFEPO4_SOC_HALF_WIDTH).max(0.0);
            highest = highest.max(soc + memory::LIFEPO4_SOC_HALF_WIDTH).min(1.0);
        }
        Charge {
            soc,
            lowest,
            highest,
            surface_v,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::Spec;

    fn charge(chemistry: Chemistry, volts: f64, hours_since_charge: Option<f64>) -> Charge {
        Battery::new(&Spec::of(chemistry))
            .unwrap()
            .charge_from(&Reading {
                volts,
                celsius: 25.0,
                hours_since_charge,
                meter_v: memory::METER_V,
            })
    }

    #[test]
    fn a_long_rest_reads_the_table() {
        let found = charge(Chemistry::Flooded, 12.45, Some(48.0));
        assert!((found.soc - 0.75).abs() < 1e-4);
        assert!(found.lowest < 0.70 && found.highest > 0.80);
    }

    #[test]
    fn just_charged_reads_too_full() {
        let rested = charge(Chemistry::Flooded, 12.6, Some(48.0));
        let fresh = charge(Chemistry::Flooded, 12.6, Some(0.5));
        let unknown = charge(Chemistry::Flooded, 12.6, None);
        assert!(fresh.soc < rested.soc - 0.2);
        assert!(fresh.lowest < unknown.soc && unknown.soc < rested.soc);
        assert!(unknown.lowest <= fresh.lowest && unknown.highest >= rested.highest);
    }

    #[test]
    fn lithium_is_flat() {
        for volts in [12.7, 13.0, 13.1, 13.2, 13.3] {
            let found = charge(Chemistry::LithiumIronPhosphate, volts, Some(24.0));
            assert!(found.highest - found.lowest >= 0.1, "{found:?}");
            assert!(found.lowest >= 0.0 && found.highest <= 1.0);
        }
    }
}
