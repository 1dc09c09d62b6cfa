//! Figures of batteries from memory, with their ranges.

use crate::data::memory::Default;

pub use crate::data::memory::SOURCE;

const fn default(value: f64, lowest: f64, highest: f64) -> Default {
    Default {
        value,
        lowest,
        highest,
    }
}

/// Rest voltage over temperature, V/K a cell.
pub const REST_V_PER_K_CELL: f64 = 0.000_2;
/// Temperature of the rest-voltage tables and of rated resistance, degrees Celsius.
pub const REFERENCE_C: f64 = 25.0;

/// Ohmic resistance of a 12 V battery times its SAE cold-crank rating, V (derived: with
/// the pair below it gives 7.2 V after 30 s at -18 degC).
pub const RATING_DROP_V: f64 = 2.8;
/// Resistance falls by this part a kelvin, 1/K.
pub const RESISTANCE_FALL_PER_K: f64 = 0.007_6;
/// Resistance of the RC pair over the ohmic one.
pub const PAIR_OVER_OHMIC: f64 = 1.0;
/// Time constant of the RC pair, s.
pub const PAIR_SECONDS: f64 = 60.0;

/// Acceptance of flooded cells, A for each missing Ah.
pub const FLOODED_ACCEPTANCE_PER_H: f64 = 1.0;
/// Acceptance of AGM cells, A for each missing Ah.
pub const AGM_ACCEPTANCE_PER_H: f64 = 3.0;
/// Lithium's limit where the maker gives none, A for each Ah of capacity.
pub const LIFEPO4_LIMIT_PER_H: f64 = 1.0;
/// Near full a lithium battery takes this many A for each missing Ah at most: full current
/// to 90 % at its usual limit, zero when full.
pub const LIFEPO4_TAPER_PER_H: f64 = 10.0;

/// Charge stored for charge put in, up to [`EFFICIENT_TO_SOC`].
pub const CHARGE_EFFICIENCY: f64 = 0.98;
/// Charge stored for charge put in, just before full.
pub const CHARGE_EFFICIENCY_FULL: f64 = 0.7;
/// Charge from which efficiency begins to fall.
pub const EFFICIENT_TO_SOC: f64 = 0.8;

/// Under this charge a battery gives less and less, nothing at zero.
pub const EXHAUSTED_UNDER_SOC: f64 = 0.05;

/// Capacity left over capacity when new; resistance grows by its inverse.
pub const HEALTH: Default = default(0.9, 0.6, 1.0);
/// Capacity of a race car's 12 V battery, Ah.
pub const CAPACITY_AH: Default = default(50.0, 20.0, 100.0);
/// SAE cold-crank amperes for each Ah of lead-acid capacity.
pub const CRANK_A_PER_AH: Default = default(12.0, 7.0, 18.0);
/// Cold-crank amperes for each Ah of lithium iron phosphate capacity.
pub const LIFEPO4_CRANK_A_PER_AH: Default = default(25.0, 12.0, 45.0);

/// Surface charge of six lead-acid cells just after charging, V, and ...
pub const SURFACE_V: Default = default(0.3, 0.0, 0.6);
/// ... the hours in which it falls to a third.
pub const SURFACE_HOURS: Default = default(3.0, 1.0, 6.0);
/// As [`SURFACE_V`], for four lithium iron phosphate cells.
pub const LIFEPO4_SURFACE_V: Default = default(0.15, 0.0, 0.3);
/// As [`SURFACE_HOURS`], for lithium iron phosphate.
pub const LIFEPO4_SURFACE_HOURS: Default = default(0.5, 0.25, 1.0);
/// How far a meter may be off, V.
pub const METER_V: f64 = 0.05;
/// How far a six-cell battery may rest from its table, V: flooded.
pub const FLOODED_TABLE_V: f64 = 0.05;
/// As [`FLOODED_TABLE_V`], AGM and gel (half of the published 12.8-13.2 V).
pub const AGM_TABLE_V: f64 = 0.2;
/// As [`FLOODED_TABLE_V`], four lithium iron phosphate cells.
pub const LIFEPO4_TABLE_V: f64 = 0.02;
/// A voltage reading never fixes the charge of lithium iron phosphate better than this.
pub const LIFEPO4_SOC_HALF_WIDTH: f64 = 0.1;
