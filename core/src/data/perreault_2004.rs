//! Output power of a claw-pole alternator on a constant-voltage load.

use crate::finding::{Mark, Source};

/// The power equation behind the square-root form of the output curve.
pub const SOURCE: Source = Source {
    citation: "Perreault and Caliskan, Automotive power generation and control, IEEE Trans. Power Electronics 19(3), 2004, 618-630; I = I_inf sqrt(1 - (n0/n)^2) derived from its power equation",
    mark: Mark::Derived,
};

/// The monotone cubic between measured points.
pub const PCHIP_SOURCE: Source = Source {
    citation: "Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984, 300-304; end slopes: Moler, Numerical Computing with MATLAB, 2004, 3.6",
    mark: Mark::Published,
};

/// Forward drop of one rectifier diode, V; two are in the path.
pub const DIODE_DROP_V: f64 = 1.0;
