//! Validation of the monotone cubic against SciPy's `PchipInterpolator`.
//!
//! `tests/fixtures/pchip.json` holds the curves and SciPy's values, and names the versions that made it;
//! `tests/fixtures/make_pchip.py` makes it again.

use laneside_core::interpolate::MonotoneCubic;
use serde::Deserialize;

/// How far a value may be from SciPy's, relative to that value.
const TOLERANCE: f64 = 1e-9;

/// Where a curve passes through zero no digit is significant: what is left there of the curve's largest value.
const ZERO: f64 = 1e-15;

#[derive(Deserialize)]
struct Fixture {
    reference: String,
    curves: Vec<Curve>,
}

#[derive(Deserialize)]
struct Curve {
    name: String,
    x: Vec<f64>,
    y: Vec<f64>,
    at: Vec<f64>,
    value: Vec<f64>,
}

#[test]
fn agrees_with_scipy() -> Result<(), Box<dyn std::error::Error>> {
    let fixture: Fixture = serde_json::from_str(include_str!("../fixtures/pchip.json"))?;
    assert_eq!(fixture.reference, "scipy.interpolate.PchipInterpolator");
    assert_eq!(fixture.curves.len(), 40);

    let mut worst: f64 = 0.0;
    for Curve {
        name,
        x,
        y,
        at,
        value,
    } in &fixture.curves
    {
        let points: Vec<(f64, f64)> = x.iter().copied().zip(y.iter().copied()).collect();
        let curve = MonotoneCubic::new(&points)?;
        assert_eq!(at.len(), value.len(), "{name}");
        assert_eq!(at.len(), 8 * (points.len() - 1) + 1, "{name}");
        let largest = y.iter().fold(0.0, |most: f64, y| most.max(y.abs()));
        for (&x, &wanted) in at.iter().zip(value) {
            let found = curve.at(x);
            let off = (found - wanted).abs();
            assert!(
                off <= TOLERANCE * wanted.abs() + ZERO * largest,
                "{name} at {x}: found {found}, SciPy {wanted}"
            );
            if wanted.abs() > 1e-3 * largest {
                worst = worst.max(off / wanted.abs());
            }
        }
    }
    println!("largest relative difference: {worst:e}");
    Ok(())
}
