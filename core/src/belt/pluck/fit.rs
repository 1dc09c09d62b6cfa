//! A tone with overtones that dies away, fitted to sound.
//!
//! `sum over n of (a_n cos + b_n sin)(2 pi f_n t) exp(-pi f_n t/Q)`, with the overtones of a
//! stiff string, `f_n = n f sqrt((1 + B n^2)/(1 + B))`, so that f is the lowest tone itself.
//! First the frequencies at which there is a tone at all; then least squares with all overtones
//! at each, and around the best.
//!
//! The octave below explains whatever a tone does, by its even overtones alone: where there is
//! next to nothing at a candidate itself, it is left out.

use std::f64::consts::PI;

use super::RANGE_HZ;
use crate::belt::dense::Square;
use crate::sort::sort_short;

/// Most overtones, the lowest counted.
const MOST_OVERTONES: usize = 6;
/// Overtones above this are not looked at, Hz.
const HIGHEST_HZ: f64 = 1_400.0;
/// Step of the coarse search, as a factor.
const COARSE: f64 = 1.008;
/// Qualities of the coarse search.
const QUALITIES: [f64; 3] = [7.0, 16.0, 45.0];
/// Quality that tones are looked for with at first.
const MIDDLING: f64 = 16.0;
/// The lowest tone's energy over its strongest overtone's, at least: small microphones hear
/// low tones poorly.
const LOWEST: f64 = 0.1;
/// Most candidates for the lowest tone.
const MOST_CANDIDATES: usize = 10;
/// So many times its decay of a tone is looked at.
const DECAYS: f64 = 2.5;

/// What was fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tone {
    pub(super) hz: f64,
    pub(super) quality: f64,
    /// Stiffness B.
    pub(super) stiffness: f64,
    /// Energy explained, and the whole of it, over `samples`.
    pub(super) explained: f64,
    pub(super) whole: f64,
    pub(super) samples: usize,
}

/// Samples over which a tone of this frequency and quality is looked at.
fn looked_at(piece: &[f64], rate: f64, hz: f64, quality: f64) -> usize {
    let decay_s = quality / (PI * hz);
    ((DECAYS * decay_s * rate) as usize)
        .clamp(24, piece.len().max(24))
        .min(piece.len())
}

fn overtones(hz: f64) -> usize {
    ((HIGHEST_HZ / hz) as usize).clamp(1, MOST_OVERTONES)
}

/// Energy that one damped tone explains.
fn projected(piece: &[f64], rate: f64, hz: f64, quality: f64) -> f64 {
    let (angle, decay) = (2.0 * PI * hz / rate, (-PI * hz / quality / rate).exp());
    let (sin, cos) = angle.sin_cos();
    let (mut re, mut im, mut own) = (1.0, 0.0, 0.0);
    let (mut with_re, mut with_im) = (0.0, 0.0);
    for sample in piece {
        with_re += sample * re;
        with_im += sample * im;
        own += re * re + im * im;
        let next = decay * (re * cos - im * sin);
        im = decay * (re * sin + im * cos);
        re = next;
    }
    2.0 * (with_re * with_re + with_im * with_im) / own
}

/// The best tone in a piece of sound that begins with its attack, over noise of this mean square.
pub(super) fn best(piece: &[f64], rate: f64, noise: f64) -> Option<Tone> {
    let mut coarse: Option<(f64, f64, f64)> = None;
    for hz in candidates(piece, rate) {
        for quality in QUALITIES {
            let part = &piece[..looked_at(piece, rate, hz, quality)];
            // Two columns of noise alone would explain as much.
            let for_nothing = 4.0 * overtones(hz) as f64 * noise;
            let Some(energy) = explained(part, rate, hz, quality, 0.0) else {
                continue;
            };
            let score = energy - for_nothing;
            if coarse.is_none_or(|(best, ..)| score > best) {
                coarse = Some((score, hz, quality));
            }
        }
    }
    let (_, hz, quality) = coarse?;
    refined(piece, rate, hz, quality)
}

/// Frequencies at which there is a tone that may be the lowest: peaks of what a single one
/// explains, each no weaker than a part of its strongest overtone.
fn candidates(piece: &[f64], rate: f64) -> Vec<f64> {
    let mut grid = Vec::new();
    let mut hz = RANGE_HZ.0 / COARSE;
    while hz <= RANGE_HZ.1 * COARSE {
        let part = &piece[..looked_at(piece, rate, hz, MIDDLING)];
        grid.push((hz, projected(part, rate, hz, MIDDLING)));
        hz *= COARSE;
    }
    let is_lowest = |hz: f64, own: f64| {
        let part = &piece[..looked_at(piece, rate, hz, MIDDLING)];
        (2..=overtones(hz)).all(|n| own >= LOWEST * projected(part, rate, n as f64 * hz, MIDDLING))
    };
    let mut found: Vec<(f64, f64)> = grid
        .windows(3)
        .filter(|three| three[1].1 >= three[0].1 && three[1].1 >= three[2].1)
        .map(|three| three[1])
        .filter(|(hz, own)| is_lowest(*hz, *own))
        .collect();
    sort_short(&mut found, |a, b| b.1.total_cmp(&a.1));
    found.truncate(MOST_CANDIDATES);
    found.into_iter().map(|(hz, _)| hz).collect()
}

/// Least squares around a coarse answer.
fn refined(piece: &[f64], rate: f64, hz: f64, quality: f64) -> Option<Tone> {
    let samples = looked_at(piece, rate, hz, quality);
    let part = &piece[..samples];
    let whole: f64 = part.iter().map(|sample| sample * sample).sum();
    let value = |x: [f64; 3]| explained(part, rate, x[0], x[1], x[2]).unwrap_or(0.0);
    let mut at = [hz, quality, 0.0];
    let mut best = value(at);
    for stiffness in [0.003, 0.01, 0.03] {
        let tried = [hz, quality, stiffness];
        let energy = value(tried);
        if energy > best {
            (at, best) = (tried, energy);
        }
    }
    let mut step = [0.01, 0.3, 0.5];
    while step[0] > 5e-4 {
        let mut moved = false;
        for axis in 0..3 {
            for sign in [-1.0, 1.0] {
                let mut tried = at;
                tried[axis] *= 1.0 + sign * step[axis];
                if axis == 2 && at[2] < 1e-4 {
                    tried[2] = if sign > 0.0 { 1e-3 * step[2] } else { 0.0 };
                }
                tried[1] = tried[1].clamp(3.0, 300.0);
                tried[2] = tried[2].clamp(0.0, 0.06);
                let energy = value(tried);
                if energy > best * (1.0 + 1e-9) {
                    (at, best, moved) = (tried, energy, true);
                }
            }
        }
        if !moved {
            step.iter_mut().for_each(|one| *one *= 0.5);
        }
    }
    Some(Tone {
        hz: at[0],
        quality: at[1],
        stiffness: at[2],
        explained: best,
        whole,
        samples,
    })
}

/// Energy that a tone with its overtones explains, by least squares.
fn explained(piece: &[f64], rate: f64, hz: f64, quality: f64, stiffness: f64) -> Option<f64> {
    let mut columns: Vec<Vec<f64>> = Vec::new();
    for n in 1..=overtones(hz) {
        let number = n as f64;
        let ratio = (1.0 + stiffness * number * number) / (1.0 + stiffness);
        let tone = number * hz * ratio.sqrt();
        if tone > HIGHEST_HZ {
            break;
        }
        let (angle, decay) = (2.0 * PI * tone / rate, (-PI * tone / quality / rate).exp());
        let (sin, cos) = angle.sin_cos();
        let (mut re, mut im) = (1.0, 0.0);
        let (mut cosine, mut sine) = (Vec::new(), Vec::new());
        for _ in piece {
            cosine.push(re);
            sine.push(im);
            let next = decay * (re * cos - im * sin);
            im = decay * (re * sin + im * cos);
            re = next;
        }
        columns.push(cosine);
        columns.push(sine);
    }
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let mut matrix = Square::zero(columns.len());
    for (row, a) in columns.iter().enumerate() {
        for (column, b) in columns.iter().enumerate().take(row + 1) {
            let value = dot(a, b);
            matrix.add(row, column, value);
            if row != column {
                matrix.add(column, row, value);
            }
        }
    }
    let right: Vec<f64> = columns.iter().map(|column| dot(column, piece)).collect();
    let found = matrix.factor()?.solve(&right);
    Some(dot(&found, &right))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Verification: a tone that is damped as asked for is explained whole, at any rate; one a tenth off is not.
    #[test]
    fn a_damped_tone_is_explained_by_itself() {
        for rate in [2_000.0, 4_000.0] {
            let (hz, quality) = (110.0, 60.0);
            let piece: Vec<f64> = (0..2_000)
                .map(|at| f64::from(at) / rate)
                .map(|time| (-PI * hz * time / quality).exp() * (2.0 * PI * hz * time + 0.9).cos())
                .collect();
            let whole: f64 = piece.iter().map(|sample| sample * sample).sum();
            let explained = |hz: f64| projected(&piece, rate, hz, quality) / whole;
            assert!((explained(hz) - 1.0).abs() < 0.03, "{}", explained(hz));
            assert!(explained(1.1 * hz) < 0.2, "{}", explained(1.1 * hz));
        }
    }
}
