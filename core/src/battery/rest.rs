//! Rest voltage over charge, its inverse, and the energy behind it.

use super::Chemistry;
use crate::data::{rest_agm, rest_flooded, rest_lifepo4};
use crate::interpolate::{CurveError, MonotoneCubic};
use crate::solve::root;

/// Half the distance between the two Gauss points of an interval, in half intervals.
const GAUSS_2: f64 = 0.577_350_269_189_625_8;

/// Rest voltage over charge near 25 degrees Celsius: the monotone cubic through the
/// published points, held beyond them.
#[derive(Clone, Debug)]
pub struct RestCurve {
    curve: MonotoneCubic,
    /// (charge, integral of voltage over charge up to it) at each point, V.
    area: Vec<(f64, f64)>,
    /// Cells of the battery over those of the table.
    cells_ratio: f64,
}

impl RestCurve {
    /// The curve of a chemistry with so many cells.
    ///
    /// # Errors
    /// [`CurveError`] if the published points are no curve; they are.
    pub fn of(chemistry: Chemistry, cells: u8) -> Result<Self, CurveError> {
        let points: &[(f64, f64)] = match chemistry {
            Chemistry::Flooded => &rest_flooded::SOC_V,
            Chemistry::Agm | Chemistry::Gel => &rest_agm::SOC_V,
            Chemistry::LithiumIronPhosphate => &rest_lifepo4::SOC_V,
        };
        let curve = MonotoneCubic::new(points)?;
        let mut sum = 0.0;
        let mut from = 0.0;
        let area = points
            .iter()
            .map(|&(soc, _)| {
                sum += piece_area(&curve, from, soc);
                from = soc;
                (soc, sum)
            })
            .collect();
        Ok(Self {
            curve,
            area,
            cells_ratio: f64::from(cells) / chemistry.table_cells(),
        })
    }

    /// Rest voltage at a charge (0 to 1), V.
    pub fn at(&self, soc: f64) -> f64 {
        self.cells_ratio * self.curve.at(soc)
    }

    /// The charge (0 to 1) at which it rests at a voltage (V), held at both ends.
    pub fn inverse(&self, volts: f64) -> f64 {
        if volts <= self.at(0.0) {
            0.0
        } else if volts >= self.at(1.0) {
            1.0
        } else {
            root(|soc| self.at(soc) - volts, 0.0, 1.0, 1e-12).unwrap_or(0.0)
        }
    }

    /// Integral of rest voltage over charge from empty, V: energy is this times capacity.
    /// Exact, since two Gauss points integrate a cubic exactly.
    pub fn area_v(&self, soc: f64) -> f64 {
        let soc = soc.clamp(0.0, 1.0);
        let at = self
            .area
            .partition_point(|point| point.0 <= soc)
            .saturating_sub(1);
        let (from, sum) = self.area.get(at).copied().unwrap_or((0.0, 0.0));
        self.cells_ratio * (sum + piece_area(&self.curve, from, soc))
    }
}

fn piece_area(curve: &MonotoneCubic, from: f64, to: f64) -> f64 {
    let half = 0.5 * (to - from);
    let middle = 0.5 * (to + from);
    half * (curve.at(middle - half * GAUSS_2) + curve.at(middle + half * GAUSS_2))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_finds_the_charge_back() {
        for chemistry in Chemistry::ALL {
            for &cells in chemistry.cells() {
                let rest = RestCurve::of(chemistry, cells).unwrap();
                for step in 0..=200 {
                    let soc = f64::from(step) / 200.0;
                    let found = rest.inverse(rest.at(soc));
                    assert!((found - soc).abs() < 1e-9, "{chemistry:?} {soc} {found}");
                }
                assert_eq!(rest.inverse(0.0), 0.0);
                assert_eq!(rest.inverse(99.0), 1.0);
            }
        }
    }

    #[test]
    fn the_area_is_the_integral() {
        for chemistry in Chemistry::ALL {
            let rest = RestCurve::of(chemistry, chemistry.cells()[0]).unwrap();
            let steps = 200_000;
            let width = 1.0 / f64::from(steps);
            let mut sum = 0.0;
            for step in 0..steps {
                sum += width * rest.at((f64::from(step) + 0.5) * width);
                if step % 20_011 == 0 {
                    let soc = f64::from(step + 1) * width;
                    assert!((rest.area_v(soc) - sum).abs() < 1e-8, "{chemistry:?} {soc}");
                }
            }
        }
    }

    #[test]
    fn eight_cells_rest_at_eight_sixths() {
        let twelve = RestCurve::of(Chemistry::Flooded, 6).unwrap();
        let sixteen = RestCurve::of(Chemistry::Flooded, 8).unwrap();
        assert!((sixteen.at(0.6) - twelve.at(0.6) * 8.0 / 6.0).abs() < 1e-12);
    }
}
