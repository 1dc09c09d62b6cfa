//! Rest voltage of one lead-acid cell over the strength of its acid.

use crate::finding::{Mark, Source};

/// The polynomial.
pub const SOURCE: Source = Source {
    citation: "H. Bode, Lead-Acid Batteries, Wiley, 1977: cell voltage over acid molality at 25 degC",
    mark: Mark::Published,
};

/// Coefficients of 1, L, L^2, L^3, L^4 with L = log10(mol/kg), V.
pub const COEFFICIENTS_V: [f64; 5] = [1.9228, 0.1475, 0.063, 0.074, 0.034];

/// Rest voltage of one cell whose acid has this molality (mol of acid to a kg of water), V.
pub fn cell_v(molality: f64) -> f64 {
    let strength = molality.log10();
    COEFFICIENTS_V
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * strength + coefficient)
}
