//! Sound brought down to the band of spans, and its level over time.

use std::f64::consts::PI;

/// About so many samples a second are kept.
const KEPT_RATE: f64 = 4_000.0;
/// Highest frequency that passes, over the kept rate.
const PASSES: f64 = 0.4;
/// Half the filter's length, in kept samples.
const HALF_LENGTH: usize = 6;
/// Rumble under this is taken out, Hz.
const RUMBLE_HZ: f64 = 25.0;
/// A level is taken over so long, s; a new one every quarter of it.
const FRAME_S: f64 = 0.02;

/// Sound in the band of spans.
#[derive(Clone, Debug)]
pub(super) struct Band {
    pub(super) samples: Vec<f64>,
    pub(super) rate: f64,
}

impl Band {
    /// From sound at any rate: low-pass (a sinc under a Hann window), every so manieth sample,
    /// and rumble taken out.
    pub(super) fn new(sound: &[f32], rate: f64) -> Self {
        let every = (rate / KEPT_RATE).floor().max(1.0) as usize;
        let half = HALF_LENGTH * every;
        let cutoff = PASSES / every as f64;
        let taps: Vec<f64> = (0..=2 * half)
            .map(|at| {
                let from_middle = at as f64 - half as f64;
                let hann = 0.5 + 0.5 * (PI * from_middle / (half as f64 + 1.0)).cos();
                let angle = 2.0 * PI * cutoff * from_middle;
                let sinc = if from_middle == 0.0 {
                    1.0
                } else {
                    angle.sin() / angle
                };
                2.0 * cutoff * hann * sinc
            })
            .collect();
        let mut samples: Vec<f64> = (0..sound.len() / every)
            .map(|kept| {
                let middle = kept * every;
                let first = middle.saturating_sub(half);
                let skipped = (first + half) - middle;
                sound[first..sound.len().min(middle + half + 1)]
                    .iter()
                    .zip(&taps[skipped..])
                    .map(|(sample, tap)| f64::from(*sample) * tap)
                    .sum()
            })
            .collect();
        let rate = rate / every as f64;
        for _ in 0..2 {
            take_out_rumble(&mut samples, rate);
        }
        Self { samples, rate }
    }

    pub(super) fn frame(&self) -> usize {
        ((FRAME_S * self.rate) as usize).max(8)
    }

    pub(super) fn hop(&self) -> usize {
        self.frame() / 4
    }

    /// Root mean square from every hop on, over a frame.
    pub(super) fn levels(&self) -> Vec<f64> {
        self.samples
            .windows(self.frame())
            .step_by(self.hop())
            .map(|frame| mean_square(frame).sqrt())
            .collect()
    }

    /// How much a piece of sound is like itself a period later, 0 to 1, and that period's
    /// frequency; the best over periods of 6 to 400 Hz. What is alike only at once does not repeat: the likeness has
    /// to go and come back.
    pub(super) fn tone(&self, piece: &[f64]) -> (f64, f64) {
        let (shortest, longest) = ((self.rate / 1_000.0) as usize, (self.rate / 6.0) as usize);
        let (mut best, mut went) = ((0.0, 0.0), false);
        for lag in shortest.max(1)..=longest.min(piece.len() / 2) {
            let (now, later) = (&piece[..piece.len() - lag], &piece[lag..]);
            let product: f64 = now.iter().zip(later).map(|(a, b)| a * b).sum();
            let energy: f64 =
                now.iter().map(|a| a * a).sum::<f64>() * later.iter().map(|b| b * b).sum::<f64>();
            let alike = product / energy.sqrt().max(f64::MIN_POSITIVE);
            went = went || alike < 0.2;
            if went && alike > best.0 {
                best = (alike, self.rate / lag as f64);
            }
        }
        best
    }
}

pub(super) fn mean_square(samples: &[f64]) -> f64 {
    samples.iter().map(|sample| sample * sample).sum::<f64>() / samples.len().max(1) as f64
}

fn take_out_rumble(samples: &mut [f64], rate: f64) {
    let keep = (-2.0 * PI * RUMBLE_HZ / rate).exp();
    let (mut before, mut kept) = (samples.first().copied().unwrap_or(0.0), 0.0);
    for sample in samples {
        kept = keep * (kept + *sample - before);
        before = *sample;
        *sample = kept;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_repeats_is_told_with_its_frequency() {
        let rate = 4_000.0;
        let band = Band {
            samples: Vec::new(),
            rate,
        };
        for hz in [40.0, 100.0, 250.0] {
            let piece: Vec<f64> = (0..1_600)
                .map(|at| f64::from(at) / rate)
                // A span that dies away is most like itself one period later.
                .map(|time| (2.0 * PI * hz * time).sin() / (1.0 + 50.0 * time))
                .collect();
            let (alike, found) = band.tone(&piece);
            assert!(alike > 0.9 && alike < 1.000_001, "{hz}: {alike}");
            assert_eq!(found, hz);
        }
        assert_eq!(band.tone(&[1.0; 1_600]), (0.0, 0.0));
    }
}
