//! Fixed standard normal draws.

/// Quantile of the standard normal distribution.
///
/// Source: Acklam's rational approximation (relative error under 1.15e-9), in the form
/// given by Wichura's discussion of AS 241, Applied Statistics 37, 1988, 477-484;
/// coefficients from memory, checked against SciPy in the reference tests.
pub fn quantile(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 5] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 4] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
    ];
    const TAIL: f64 = 0.024_25;
    let horner = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    if p < TAIL {
        let q = (-2.0 * p.ln()).sqrt();
        horner(&C, q) / (horner(&D, q) * q + 1.0)
    } else if p > 1.0 - TAIL {
        -quantile(1.0 - p)
    } else {
        let q = p - 0.5;
        let r = q * q;
        q * horner(&A, r) / (horner(&B, r) * r + 1.0)
    }
}

/// One standard normal draw from the middle of each of `count` equally likely slices, in an
/// order fixed by `column`: a column of a Latin hypercube.
///
/// Source: McKay, Beckman and Conover, Technometrics 21, 1979, 239-245; shuffled by Fisher
/// and Yates with the SplitMix64 generator (Steele, Lea and Flood, OOPSLA 2014).
pub fn stratified(count: usize, column: u64) -> Vec<f64> {
    let mut draws: Vec<f64> = (0..count)
        .map(|slice| quantile((slice as f64 + 0.5) / count as f64))
        .collect();
    let mut state = column.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D;
    for last in (1..count).rev() {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        draws.swap(last, (z % (last as u64 + 1)) as usize);
    }
    draws
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_symmetric_and_known() {
        assert!((quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-8);
        assert!((quantile(0.01) + quantile(0.99)).abs() < 1e-12);
        assert_eq!(quantile(0.5), 0.0);
    }

    #[test]
    fn columns_are_the_same_numbers_in_other_orders() {
        let (mut first, mut second) = (stratified(64, 1), stratified(64, 2));
        assert_ne!(first, second);
        first.sort_by(f64::total_cmp);
        second.sort_by(f64::total_cmp);
        assert_eq!(first, second);
    }
}
