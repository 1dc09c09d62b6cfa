//! Plucks in a recording, or why there are none.

use thiserror::Error;

use super::RANGE_HZ;
use super::band::{Band, mean_square};
use super::fit::{self, Tone};
use super::torn;

/// Least rate of samples that reaches the overtones, Hz.
const LEAST_RATE: f64 = 2_000.0;
/// Least length of a recording, s.
const LEAST_S: f64 = 0.25;
/// Sound under this, over full scale, is none.
const SILENCE: f64 = 1e-3;
/// Samples this near to the largest, over it, are at it.
const AT_TOP: f32 = 1e-3;
/// Tops of so many samples in a row are cut off.
const CUT_OFF: usize = 4;
/// Cut-off tops from which a recording is clipped.
const CUT_OFF_TOPS: usize = 3;
/// A recording not driven this far does not clip, over full scale.
const DRIVEN: f32 = 0.3;
/// A pluck raises the level so many times within [`RISE_FRAMES`].
const RISES: f64 = 1.6;
/// Hops over which a level rises: 30 ms.
const RISE_FRAMES: usize = 6;
/// Two plucks are this far apart, s.
const APART_S: f64 = 0.15;
/// A pluck dies to half within this, s.
const DIES_S: f64 = 0.8;
/// Longest piece of a pluck that is looked at, s.
const LONGEST_S: f64 = 0.7;
/// More rises in a second than this are an engine's firing, not a finger's.
const FIRING_PER_S: f64 = 3.0;
/// A steady tone is looked for in pieces so long, s.
const PIECE_S: f64 = 0.35;
/// A sound like itself a period later by this is a tone.
const TONAL: f64 = 0.55;
/// A steady tone this loud, over the pluck, is no background.
const LOUD_TONE: f64 = 0.15;
/// A span's tone rings at least so well.
const LEAST_QUALITY: f64 = 5.0;
/// Tone over all else, as energies, from which a pluck counts: a clap's best tone stays under.
const OVER_NOISE: f64 = 2.5;

/// A pluck heard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heard {
    /// When it begins, s.
    pub at_s: f64,
    /// Lowest tone, Hz.
    pub hz: f64,
    /// Quality factor of its decay.
    pub quality: f64,
    /// Stiffness B in `f_n = n f sqrt((1 + B n^2)/(1 + B))`.
    pub stiffness: f64,
    /// Tone over noise, dB.
    pub over_noise_db: f64,
}

/// Why no pluck was heard.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum NotHeard {
    /// The recording is too short or too coarse, or is none.
    #[error("the recording is too short or too coarse")]
    TooShort,
    /// Nothing to hear.
    #[error("silence")]
    Silence,
    /// So loud that its tops are cut off.
    #[error("too loud: tops are cut off")]
    Clipped,
    /// Sound, but no tone that begins and dies away.
    #[error("noise only")]
    Noise,
    /// A tone that goes on: the engine, or another machine, runs.
    #[error("a steady tone of {hz} Hz: an engine runs")]
    Engine {
        /// How often it repeats, Hz.
        hz: f64,
    },
    /// Sound that came with silence or a piece of itself put in between, so that its tone is none of the span's.
    #[error("torn: parts of the sound are missing or twice")]
    Torn,
}

/// Plucks of a span in a recording (samples from -1 to 1, samples a second).
///
/// # Errors
/// [`NotHeard`]: why there is none.
pub fn listen(sound: &[f32], rate: f64) -> Result<Vec<Heard>, NotHeard> {
    let seconds = sound.len() as f64 / rate;
    let is_fit = rate.is_finite() && rate >= LEAST_RATE && seconds >= LEAST_S;
    if !is_fit || sound.iter().any(|sample| !sample.is_finite()) {
        return Err(NotHeard::TooShort);
    }
    if is_clipped(sound) {
        return Err(NotHeard::Clipped);
    }
    let band = Band::new(sound, rate);
    let levels = band.levels();
    let floor = percentile(&levels, 0.2);
    let rises = rises(&band, &levels);
    let torn = torn::places(sound);
    let (alike, engine_hz) = steady_tone(&band, &rises);
    let per_second = rises.len() as f64 / seconds;
    if rises.len() > 3 && per_second > FIRING_PER_S {
        // Each hole ends in a rise.
        if 2 * torn.len() >= rises.len() {
            return Err(NotHeard::Torn);
        }
        let hz = if alike > 0.0 { engine_hz } else { per_second };
        return Err(NotHeard::Engine { hz });
    }
    let every = (rate / band.rate).round() as usize;
    let (mut heard, mut missed) = (Vec::new(), false);
    for (place, &from) in rises.iter().enumerate() {
        let peak = levels[from];
        if alike > TONAL && floor > LOUD_TONE * peak {
            continue;
        }
        let until = rises.get(place + 1).copied().unwrap_or(levels.len());
        if !dies(&band, &levels[from..until], peak) {
            continue;
        }
        let start = from * band.hop();
        let end = (until * band.hop())
            .min(start + (LONGEST_S * band.rate) as usize)
            .min(band.samples.len());
        let Some(tone) = fit::best(&band.samples[start..end], band.rate, floor * floor) else {
            continue;
        };
        let of_pluck = start * every..(start + tone.samples) * every;
        if torn.iter().any(|at| of_pluck.contains(at)) {
            missed = true;
        } else {
            heard.extend(accepted(&tone, start as f64 / band.rate));
        }
    }
    if !heard.is_empty() {
        return Ok(heard);
    }
    Err(if missed {
        NotHeard::Torn
    } else if mean_square(&band.samples).sqrt() < SILENCE && rises.is_empty() {
        NotHeard::Silence
    } else if alike > TONAL {
        NotHeard::Engine { hz: engine_hz }
    } else {
        NotHeard::Noise
    })
}

fn is_clipped(sound: &[f32]) -> bool {
    let top = sound
        .iter()
        .fold(0.0_f32, |top, sample| top.max(sample.abs()));
    if top < DRIVEN {
        return false;
    }
    let (mut in_a_row, mut tops) = (0, 0);
    for sample in sound {
        if sample.abs() >= top * (1.0 - AT_TOP) {
            in_a_row += 1;
            tops += usize::from(in_a_row == CUT_OFF);
        } else {
            in_a_row = 0;
        }
    }
    tops >= CUT_OFF_TOPS
}

fn percentile(levels: &[f64], part: f64) -> f64 {
    let mut sorted = levels.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let place = (part * sorted.len() as f64) as usize;
    sorted.get(place).copied().unwrap_or(0.0)
}

/// Frames at which the level has just risen steeply.
fn rises(band: &Band, levels: &[f64]) -> Vec<usize> {
    let apart = (APART_S * band.rate) as usize / band.hop();
    let quiet = 0.05 * levels.iter().copied().fold(0.0, f64::max);
    let mut found: Vec<usize> = Vec::new();
    let mut at = 0;
    while at < levels.len() {
        let before = levels[at.saturating_sub(RISE_FRAMES)];
        if levels[at] > RISES * before && levels[at] > quiet {
            let peak = summit(levels, at);
            found.push(peak);
            at = peak + apart;
        } else {
            at += 1;
        }
    }
    found
}

/// The highest frame from one on, as long as it goes on rising.
fn summit(levels: &[f64], from: usize) -> usize {
    let mut peak = from;
    loop {
        let ahead = levels.len().min(peak + RISE_FRAMES + 2);
        let higher = (peak..ahead).max_by(|a, b| levels[*a].total_cmp(&levels[*b]));
        match higher {
            Some(higher) if levels[higher] > levels[peak] => peak = higher,
            _ => return peak,
        }
    }
}

/// Whether a level dies to half soon.
fn dies(band: &Band, levels: &[f64], peak: f64) -> bool {
    let soon = (DIES_S * band.rate) as usize / band.hop();
    levels.iter().take(soon).any(|level| *level < 0.5 * peak)
}

/// How tonal a recording is away from its rises: the middle of pieces, and how often
/// that tone repeats.
fn steady_tone(band: &Band, rises: &[usize]) -> (f64, f64) {
    let length = (PIECE_S * band.rate) as usize;
    let after_rise = (0.4 * band.rate) as usize;
    let is_quiet = |start: usize| {
        !rises.iter().any(|rise| {
            let rise = rise * band.hop();
            start + length > rise && start < rise + after_rise
        })
    };
    let pieces = |only_quiet: bool| -> Vec<(f64, f64)> {
        band.samples
            .chunks_exact(length.max(1))
            .enumerate()
            .filter(|(number, _)| !only_quiet || is_quiet(number * length))
            .map(|(_, piece)| band.tone(piece))
            .collect()
    };
    let mut tones = pieces(true);
    if tones.is_empty() && rises.len() > 3 {
        tones = pieces(false);
    }
    tones.sort_by(|a, b| a.0.total_cmp(&b.0));
    tones.get(tones.len() / 2).copied().unwrap_or((0.0, 0.0))
}

fn accepted(tone: &Tone, at_s: f64) -> Option<Heard> {
    let left = (tone.whole - tone.explained).max(1e-12 * tone.whole);
    let in_range = (RANGE_HZ.0..=RANGE_HZ.1).contains(&tone.hz);
    let is_tone = tone.whole > 0.0 && tone.explained >= OVER_NOISE * left;
    let rings = tone.quality >= LEAST_QUALITY;
    (in_range && is_tone && rings).then(|| Heard {
        at_s,
        hz: tone.hz,
        quality: tone.quality,
        stiffness: tone.stiffness,
        over_noise_db: 10.0 * (tone.explained / left).log10(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const RATE: f64 = 4_000.0;

    fn tone(hz: f64, seconds: f64, loud: impl Fn(f64) -> f64) -> Vec<f64> {
        (0..(seconds * RATE) as u32)
            .map(|at| f64::from(at) / RATE)
            .map(|time| loud(time) * (2.0 * PI * hz * time).sin())
            .collect()
    }

    /// A tone that dies away, with what is over `top` cut off.
    fn cut_off(loudest: f64, top: f64) -> Vec<f32> {
        let whole = tone(50.0, 0.5, |time| loudest * (-4.0 * time).exp());
        let cut = whole.iter().map(|sample| sample.clamp(-top, top) as f32);
        cut.collect()
    }

    #[test]
    fn tops_that_are_cut_off_are_clipped() {
        assert!(is_clipped(&cut_off(0.9, 0.6)));
        assert!(!is_clipped(&cut_off(0.9, 1.0)));
        // Cut off where nothing is driven far: a flat top of the sound itself.
        assert!(!is_clipped(&cut_off(0.3, 0.2)));
    }

    /// Cut off are four samples in a row, three times, within a thousandth of the largest.
    #[test]
    fn three_tops_of_four_samples_are_the_least_that_is_clipped() {
        let tops = |count: usize, long: usize, at: f32| -> Vec<f32> {
            let mut sound = vec![0.0, 0.8, 0.0];
            for _ in 0..count {
                sound.extend(vec![-at; long]);
                sound.push(0.1);
            }
            sound
        };
        assert!(is_clipped(&tops(3, 4, 0.7995)));
        assert!(!is_clipped(&tops(2, 9, 0.7995)));
        assert!(!is_clipped(&tops(9, 3, 0.7995)));
        assert!(!is_clipped(&tops(3, 4, 0.798)));
    }

    /// Five pieces of a recording: what the middle one is like counts, whatever the two others on either side are.
    #[test]
    fn the_steady_tone_is_that_of_the_middle_piece() {
        let with = |hums: usize| {
            let mut samples = Vec::new();
            for piece in 0..5 {
                samples.extend(if piece < hums {
                    tone(100.0, PIECE_S, |time| 1.0 / (1.0 + 5.0 * time))
                } else {
                    (0..(PIECE_S * RATE) as u32)
                        .map(|at| (f64::from(at) * f64::from(at) * 0.37).sin())
                        .collect()
                });
            }
            Band {
                samples,
                rate: RATE,
            }
        };
        let (alike, hz) = steady_tone(&with(3), &[]);
        assert!(alike > 0.99 && hz == 100.0, "{alike} {hz}");
        let (alike, _) = steady_tone(&with(2), &[]);
        assert!(alike < TONAL, "{alike}");
        // A pluck rings where the hum is: those pieces are left out.
        let band = with(3);
        let rise = |seconds: f64| (seconds * RATE) as usize / band.hop();
        let (alike, _) = steady_tone(&band, &[rise(0.05), rise(0.6)]);
        assert!(alike < TONAL, "{alike}");
        assert_eq!(
            steady_tone(
                &with(5),
                &[rise(0.0), rise(0.4), rise(0.8), rise(1.2), rise(1.6)]
            )
            .1,
            100.0
        );
        assert_eq!(
            steady_tone(
                &Band {
                    samples: Vec::new(),
                    rate: RATE
                },
                &[]
            ),
            (0.0, 0.0)
        );
    }
}
