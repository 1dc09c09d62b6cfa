//! Small dense symmetric systems, for least squares in a dozen unknowns.

/// A square matrix, row by row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Square {
    pub(super) size: usize,
    entries: Vec<f64>,
}

impl Square {
    pub(super) fn zero(size: usize) -> Self {
        Self {
            size,
            entries: vec![0.0; size * size],
        }
    }

    pub(super) fn at(&self, row: usize, column: usize) -> f64 {
        self.entries[row * self.size + column]
    }

    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.entries[row * self.size + column] += value;
    }

    fn set(&mut self, row: usize, column: usize, value: f64) {
        self.entries[row * self.size + column] = value;
    }

    /// The lower factor of a positive definite matrix (Cholesky). `None` if it is not.
    pub(super) fn factor(&self) -> Option<Self> {
        let mut lower = Self::zero(self.size);
        for row in 0..self.size {
            for column in 0..=row {
                let known: f64 = (0..column)
                    .map(|k| lower.at(row, k) * lower.at(column, k))
                    .sum();
                let rest = self.at(row, column) - known;
                if row == column {
                    let is_positive = rest > 1e-14 * self.at(row, row);
                    if !is_positive {
                        return None;
                    }
                    lower.set(row, row, rest.sqrt());
                } else {
                    lower.set(row, column, rest / lower.at(column, column));
                }
            }
        }
        Some(lower)
    }

    /// Solves with this lower factor and its transpose.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x = right.to_vec();
        for row in 0..self.size {
            let known: f64 = (0..row).map(|k| self.at(row, k) * x[k]).sum();
            x[row] = (x[row] - known) / self.at(row, row);
        }
        for row in (0..self.size).rev() {
            let known: f64 = (row + 1..self.size).map(|k| self.at(k, row) * x[k]).sum();
            x[row] = (x[row] - known) / self.at(row, row);
        }
        x
    }

    /// The inverse of the matrix that this is the lower factor of.
    pub(super) fn inverse_from_factor(&self) -> Self {
        let mut inverse = Self::zero(self.size);
        for column in 0..self.size {
            let mut unit = vec![0.0; self.size];
            unit[column] = 1.0;
            for (row, value) in self.solve(&unit).into_iter().enumerate() {
                inverse.set(row, column, value);
            }
        }
        inverse
    }

    /// Smallest and largest eigenvalue of a symmetric matrix (Jacobi's rotations).
    pub(super) fn extreme_eigenvalues(&self) -> (f64, f64) {
        let mut a = self.clone();
        let n = self.size;
        for _ in 0..60 {
            let off: f64 = (0..n)
                .flat_map(|p| (0..p).map(move |q| (p, q)))
                .map(|(p, q)| a.at(p, q).powi(2))
                .sum();
            let on: f64 = (0..n).map(|p| a.at(p, p).powi(2)).sum();
            if off <= 1e-26 * on {
                break;
            }
            for p in 0..n {
                for q in p + 1..n {
                    a.rotate(p, q);
                }
            }
        }
        (0..n).map(|p| a.at(p, p)).fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        )
    }

    fn rotate(&mut self, p: usize, q: usize) {
        let apq = self.at(p, q);
        if apq == 0.0 {
            return;
        }
        let theta = (self.at(q, q) - self.at(p, p)) / (2.0 * apq);
        let t = theta.signum() / (theta.abs() + theta.hypot(1.0));
        let t = if theta == 0.0 { 1.0 } else { t };
        let c = 1.0 / t.hypot(1.0);
        let s = t * c;
        for k in 0..self.size {
            let (kp, kq) = (self.at(k, p), self.at(k, q));
            self.set(k, p, c * kp - s * kq);
            self.set(k, q, s * kp + c * kq);
        }
        for k in 0..self.size {
            let (pk, qk) = (self.at(p, k), self.at(q, k));
            self.set(p, k, c * pk - s * qk);
            self.set(q, k, s * pk + c * qk);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Square {
        let mut a = Square::zero(3);
        for (row, values) in [[4.0, 1.0, 0.5], [1.0, 3.0, -0.2], [0.5, -0.2, 2.0]]
            .iter()
            .enumerate()
        {
            for (column, value) in values.iter().enumerate() {
                a.add(row, column, *value);
            }
        }
        a
    }

    #[test]
    fn solves_and_inverts() {
        let a = sample();
        let factor = a.factor().unwrap();
        let x = factor.solve(&[1.0, 2.0, 3.0]);
        for (row, wanted) in [1.0, 2.0, 3.0].into_iter().enumerate() {
            let found: f64 = (0..3).map(|k| a.at(row, k) * x[k]).sum();
            assert!((found - wanted).abs() < 1e-12);
        }
        let inverse = factor.inverse_from_factor();
        for row in 0..3 {
            for column in 0..3 {
                let found: f64 = (0..3).map(|k| a.at(row, k) * inverse.at(k, column)).sum();
                let wanted = if row == column { 1.0 } else { 0.0 };
                assert!((found - wanted).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn eigenvalues_of_a_known_matrix() {
        let mut a = Square::zero(2);
        for (row, column, value) in [(0, 0, 2.0), (1, 1, 2.0), (0, 1, 1.0), (1, 0, 1.0)] {
            a.add(row, column, value);
        }
        let (least, most) = a.extreme_eigenvalues();
        assert!((least - 1.0).abs() < 1e-12 && (most - 3.0).abs() < 1e-12);
        a.add(0, 0, -2.0);
        assert!(a.factor().is_none());
    }

    /// One turn of the plane makes it diagonal, whatever its diagonal was.
    #[test]
    fn a_turn_leaves_nothing_off_the_diagonal() {
        for (first, last, apart) in [
            (5.0, 1.0, 2.0),
            (1.0, 5.0, 2.0),
            (3.0, 3.0, -0.5),
            (-2.0, 4.0, -1.0),
        ] {
            let mut a = Square::zero(2);
            for (row, column, value) in [(0, 0, first), (1, 1, last), (0, 1, apart), (1, 0, apart)]
            {
                a.add(row, column, value);
            }
            a.rotate(0, 1);
            assert!(a.at(0, 1).abs() < 1e-12 && a.at(1, 0).abs() < 1e-12);
            assert!((a.at(0, 0) + a.at(1, 1) - first - last).abs() < 1e-12);
            let determinant = first * last - apart * apart;
            assert!((a.at(0, 0) * a.at(1, 1) - determinant).abs() < 1e-12);
        }
    }
}
