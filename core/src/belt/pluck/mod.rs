//! Tension by ear: the tone of a plucked span, from sound.
//!
//! A span of length L that swings at f has the tension `T = 4 m L^2 f^2`. A pluck begins at once,
//! has a tone with overtones and dies away; noise has no tone, and a running engine does not die
//! away. Work is done at about 4,000 samples a second, over some seconds of sound.
//!
//! ```
//! use laneside_core::belt::pluck;
//!
//! // 6 ribs of 0.0195 kg/m, 250 mm, 120 Hz.
//! assert!((pluck::tension_n(0.117, 0.25, 120.0) - 421.2).abs() < 0.1);
//! ```

mod band;
mod ear;
mod fit;
mod listen;
mod torn;

pub use ear::{Ear, Look};
pub use listen::{Heard, NotHeard, listen};

use serde::{Deserialize, Serialize};

use super::ranges::{BeltInput, Measured};
use crate::finding::Spread;
use crate::sort::sort_short;

/// Frequencies of spans that are looked for, Hz.
pub const RANGE_HZ: (f64, f64) = (40.0, 400.0);
/// Frequencies that a person may type, Hz: a long slack span to a short tight one.
pub const TYPED_HZ: (f64, f64) = (10.0, 600.0);
/// What a frequency heard once may be off by at best, as a fraction.
const AT_BEST: f64 = 0.02;
/// Plucks further apart than this, as a fraction of their median, are not one span's.
const DISAGREE: f64 = 0.12;

/// Tension of a span, N: mass (kg/m), free length (m), frequency (Hz).
pub fn tension_n(kg_per_m: f64, span_m: f64, hz: f64) -> f64 {
    4.0 * kg_per_m * (span_m * hz).powi(2)
}

/// Frequency of a span, Hz: mass (kg/m), free length (m), tension (N).
pub fn frequency_hz(kg_per_m: f64, span_m: f64, tension_n: f64) -> f64 {
    (tension_n / kg_per_m).sqrt() / (2.0 * span_m)
}

/// A frequency of a span, heard or typed, as the car keeps it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// The span, by the place of the pulley that the belt comes from.
    pub span: u8,
    /// Frequency, Hz.
    pub hz: f64,
    /// The person does not count it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub left_out: bool,
}

fn is_false(value: &bool) -> bool {
    !value
}

/// Several plucks of one span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plucks {
    /// Their median, Hz.
    pub hz: f64,
    /// 95 % half-width of it, Hz.
    pub half_width_hz: f64,
    /// How many.
    pub count: usize,
    /// Whether they are near enough to each other to be one span's.
    pub agree: bool,
}

/// Puts plucks of one span together. The half-width is Student's on the mean of what was heard,
/// and at least 2 %. `None` for no plucks or a frequency that is none.
pub fn together(heard_hz: &[f64]) -> Option<Plucks> {
    /// Student's t at 95 %, both sides, for 1, 2, ... degrees of freedom.
    const STUDENT: [f64; 8] = [12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31];
    if heard_hz.is_empty() || heard_hz.iter().any(|hz| !hz.is_finite() || *hz <= 0.0) {
        return None;
    }
    let mut sorted = heard_hz.to_vec();
    sort_short(&mut sorted, |a, b| a.total_cmp(b));
    let count = sorted.len();
    let hz = 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
    let spread = match count {
        1 => 0.0,
        _ => {
            let number = count as f64;
            let mean = sorted.iter().sum::<f64>() / number;
            let squares: f64 = sorted.iter().map(|one| (one - mean).powi(2)).sum();
            let t = STUDENT[(count - 2).min(STUDENT.len() - 1)];
            t * (squares / (number - 1.0) / number).sqrt()
        }
    };
    Some(Plucks {
        hz,
        half_width_hz: spread.max(AT_BEST * hz),
        count,
        agree: sorted[count - 1] - sorted[0] <= DISAGREE * hz,
    })
}

/// A number with its 95 % half-width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithHalfWidth {
    /// The number.
    pub value: f64,
    /// 95 % half-width.
    pub half_width: f64,
}

/// Tension of a span with its spread, N: mass (kg/m), free length (m), frequency (Hz).
pub fn tension(kg_per_m: WithHalfWidth, span_m: WithHalfWidth, hz: WithHalfWidth) -> Measured {
    let value = tension_n(kg_per_m.value, span_m.value, hz.value);
    let ends = |input, of: &dyn Fn(f64) -> f64, at: WithHalfWidth| {
        let change = |number| of(number) - value;
        (
            input,
            change(at.value - at.half_width),
            change(at.value + at.half_width),
        )
    };
    let changes = [
        ends(
            BeltInput::Mass,
            &|mass| tension_n(mass, span_m.value, hz.value),
            kg_per_m,
        ),
        ends(
            BeltInput::SpanLength,
            &|length| tension_n(kg_per_m.value, length, hz.value),
            span_m,
        ),
        ends(
            BeltInput::Frequency,
            &|hz| tension_n(kg_per_m.value, span_m.value, hz),
            hz,
        ),
    ];
    Measured::from_changes(value, &changes)
}

/// How a tension heard stands against what grip needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Even the most it may be is too little.
    TooSlack,
    /// It may be enough.
    TooCloseToCall,
    /// Even the least it may be is enough.
    Enough,
}

/// Compares a tension heard with the tension needed (N) and its spread.
pub fn against(heard: &Measured, needed_n: f64, needed: Spread) -> Against {
    let sure = heard.spread.least(heard.value) >= needed.most(needed_n);
    let never = heard.spread.most(heard.value) < needed.least(needed_n);
    match (sure, never) {
        (true, _) => Against::Enough,
        (_, true) => Against::TooSlack,
        _ => Against::TooCloseToCall,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_plucks_tell_their_spread() {
        let plucks = together(&[118.0, 120.0, 122.0]).unwrap();
        assert_eq!((plucks.hz, plucks.count, plucks.agree), (120.0, 3, true));
        assert!((plucks.half_width_hz - 4.30 * (4.0_f64 / 3.0).sqrt()).abs() < 1e-9);
        assert!(!together(&[118.0, 240.0]).unwrap().agree);
        assert_eq!(together(&[100.0]).unwrap().half_width_hz, 2.0);
        assert_eq!(together(&[]), None);
        assert_eq!(together(&[f64::NAN]), None);
    }

    /// Verification: a string of 0.1 kg/m and half a meter at 250 N swings at sqrt(2500) a second; back it is the same tension.
    #[test]
    fn frequency_and_tension_are_each_others_way_back() {
        assert_eq!(frequency_hz(0.1, 0.5, 250.0), 50.0);
        assert!((tension_n(0.1, 0.5, 50.0) - 250.0).abs() < 1e-9);
        let hz = frequency_hz(0.117, 0.31, 421.2);
        assert!((tension_n(0.117, 0.31, hz) - 421.2).abs() < 1e-9);
    }

    #[test]
    fn mass_dominates_the_spread() {
        let with = |value, half_width| WithHalfWidth { value, half_width };
        let found = tension(
            with(0.117, 0.117 * 0.08),
            with(0.25, 0.001),
            with(120.0, 2.4),
        );
        assert_eq!(found.shares[0].0, BeltInput::Mass);
        let wanted = found.value * (0.08_f64.powi(2) + 0.04_f64.powi(2) + 0.008_f64.powi(2)).sqrt();
        assert!((found.spread.up - wanted).abs() < 0.01 * wanted);
    }

    #[test]
    fn tension_against_need() {
        let heard = Measured {
            value: 400.0,
            spread: Spread {
                down: 40.0,
                up: 40.0,
            },
            shares: Vec::new(),
        };
        let exact = Spread::default();
        assert_eq!(against(&heard, 350.0, exact), Against::Enough);
        assert_eq!(against(&heard, 390.0, exact), Against::TooCloseToCall);
        assert_eq!(against(&heard, 450.0, exact), Against::TooSlack);
    }
}
