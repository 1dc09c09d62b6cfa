//! Tension by ear, on sounds made here: damped tones with overtones, a stiff belt by finite differences, and what is none.

use std::f64::consts::PI;

use crate::support::within;
use laneside_core::belt::pluck::{Heard, NotHeard, listen};

pub(crate) const RATE: f64 = 48_000.0;

/// Numbers that only look random (xorshift), and a normal made of twelve.
pub(crate) struct Noise(pub u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }

    /// Noise below about 2 kHz, of mean square one: what hides a span's tone, not what a filter takes away for nothing.
    pub(crate) fn low(&mut self, count: usize) -> Vec<f64> {
        let keep = (-2.0 * PI * 2_000.0 / RATE).exp();
        let mut states = [0.0; 2];
        let mut made: Vec<f64> = (0..count)
            .map(|_| {
                states[0] = keep * states[0] + (1.0 - keep) * self.normal();
                states[1] = keep * states[1] + (1.0 - keep) * states[0];
                states[1]
            })
            .collect();
        let mean = made.iter().map(|x| x * x).sum::<f64>() / count as f64;
        made.iter_mut().for_each(|x| *x /= mean.sqrt());
        made
    }
}

/// One pluck: odd and even overtones as of a span plucked at a third, with this quality.
pub(crate) fn pluck(hz: f64, quality: f64, seconds: f64) -> Vec<f64> {
    let count = (seconds * RATE) as usize;
    (0..count)
        .map(|at| {
            let t = at as f64 / RATE;
            (1..=6)
                .map(|n| {
                    let tone = f64::from(n) * hz;
                    let loud = (f64::from(n) * PI / 2.7).sin() / f64::from(n * n);
                    loud * (-PI * tone * t / quality).exp() * (2.0 * PI * tone * t).sin()
                })
                .sum()
        })
        .collect()
}

/// Half a second of noise, then a pluck in it, with the pluck's power over its first fifth of amplitude decay (until 14 dB
/// down) this many dB over the noise below 2 kHz.
pub(crate) fn recorded(
    pluck: &[f64],
    hz: f64,
    quality: f64,
    snr_db: f64,
    noise: &mut Noise,
) -> Vec<f32> {
    let first = (RATE * 1.6 * quality / (PI * hz)) as usize;
    let first = first.min(pluck.len());
    let power = pluck[..first].iter().map(|x| x * x).sum::<f64>() / first as f64;
    let level = (power / 10_f64.powf(snr_db / 10.0)).sqrt();
    let before = (0.5 * RATE) as usize;
    let top = 2.0 * pluck.iter().fold(0.0_f64, |top, x| top.max(x.abs()));
    let mut sound: Vec<f64> = noise
        .low(before + pluck.len())
        .iter()
        .map(|x| x * level)
        .collect();
    for (at, x) in pluck.iter().enumerate() {
        sound[before + at] += x;
    }
    sound.iter().map(|x| (0.5 * x / top) as f32).collect()
}

/// Verification on made sounds: 50 to 300 Hz at a quality of 15 and 10 dB over the noise, five noises each, within 2 %.
#[test]
fn plucks_are_heard_within_two_percent() {
    let mut noise = Noise(7);
    let (mut worst, mut missed) = (0.0_f64, Vec::new());
    for step in 0..=25 {
        let hz = 50.0 + 10.0 * f64::from(step) + 0.37 * f64::from(step % 7);
        for _ in 0..5 {
            let sound = recorded(&pluck(hz, 15.0, 1.5), hz, 15.0, 10.0, &mut noise);
            match listen(&sound, RATE) {
                Ok(heard) if heard.len() == 1 => {
                    let off = heard[0].hz / hz - 1.0;
                    worst = worst.max(off.abs());
                    if off.abs() > 0.02 {
                        missed.push((hz, format!("{:?}", heard[0])));
                    }
                }
                other => missed.push((hz, format!("{other:?}"))),
            }
        }
    }
    println!(
        "worst {:.2} %, {} of 130 missed",
        100.0 * worst,
        missed.len()
    );
    assert!(missed.is_empty(), "{missed:#?}");
}

/// Verification: other qualities and other rates of samples, three plucks in a recording.
#[test]
fn several_plucks_at_other_rates() {
    let mut noise = Noise(11);
    for (hz, quality) in [(62.0, 8.0), (95.0, 25.0), (140.0, 40.0), (210.0, 60.0)] {
        let one = recorded(&pluck(hz, quality, 1.0), hz, quality, 15.0, &mut noise);
        let sound: Vec<f32> = one.iter().cycle().take(3 * one.len()).copied().collect();
        let heard = listen(&sound, RATE).unwrap();
        assert_eq!(heard.len(), 3, "{hz} Hz: {heard:?}");
        for pluck in &heard {
            within(pluck.hz, hz, 0.02);
        }
        // The same sound at half the rate, as a coarser microphone gives it.
        let coarse: Vec<f32> = sound
            .chunks_exact(2)
            .map(|two| 0.5 * (two[0] + two[1]))
            .collect();
        within(listen(&coarse, RATE / 2.0).unwrap()[0].hz, hz, 0.02);
    }
}

/// A stiff belt by finite differences: `m y'' = T y_xx - EI y_xxxx - c y'`, clamped to nothing at both ends (supported),
/// plucked to a corner at 30 % of its length; the sound is its velocity at 20 %. Explicit steps, far finer than the sound.
fn stiff_belt(hz: f64, stiffness: f64, quality: f64, seconds: f64) -> (Vec<f64>, f64) {
    const CELLS: usize = 60;
    let (length, mass) = (0.3, 0.117);
    let tension = 4.0 * mass * (length * hz).powi(2);
    // B = pi^2 EI/(T L^2) raises the n-th tone by sqrt(1 + B n^2).
    let rigidity = stiffness * tension * length * length / (PI * PI);
    let dx = length / CELLS as f64;
    let damping = 2.0 * mass * PI * hz / quality;
    let steps_each = 8;
    let dt = 1.0 / RATE / f64::from(steps_each);
    let fastest = 4.0 * tension / (mass * dx * dx) + 16.0 * rigidity / (mass * dx.powi(4));
    assert!(dt * dt * fastest < 4.0, "unstable");
    let corner = 0.3 * CELLS as f64;
    let mut y: Vec<f64> = (0..=CELLS)
        .map(|at| (at as f64 / corner).min((CELLS - at) as f64 / (CELLS as f64 - corner)))
        .collect();
    y[0] = 0.0;
    y[CELLS] = 0.0;
    let mut before = y.clone();
    let mut sound = Vec::new();
    let count = (seconds * RATE) as usize;
    for _ in 0..count {
        let at_start = y[CELLS / 5];
        for _ in 0..steps_each {
            let value = |at: isize| -> f64 {
                // Supported ends: odd reflection.
                if at < 0 {
                    -y[at.unsigned_abs()]
                } else if at as usize > CELLS {
                    -y[2 * CELLS - at as usize]
                } else {
                    y[at as usize]
                }
            };
            let mut next = y.clone();
            for at in 1..CELLS {
                let i = at as isize;
                let bend = value(i - 1) - 2.0 * y[at] + value(i + 1);
                let fourth = value(i - 2) - 4.0 * value(i - 1) + 6.0 * y[at] - 4.0 * value(i + 1)
                    + value(i + 2);
                let force = tension * bend / (dx * dx)
                    - rigidity * fourth / dx.powi(4)
                    - damping * (y[at] - before[at]) / dt;
                next[at] = 2.0 * y[at] - before[at] + dt * dt / mass * force;
            }
            before = std::mem::replace(&mut y, next);
        }
        sound.push((y[CELLS / 5] - at_start) * RATE);
    }
    (sound, hz * (1.0 + stiffness).sqrt())
}

/// Verification against a physical model that shares nothing with the detector. All tones decay alike there, unlike in the
/// detector's model.
#[test]
fn a_stiff_belt_is_heard() {
    let mut noise = Noise(23);
    for (hz, stiffness, quality) in [
        (70.0, 0.0, 20.0),
        (70.0, 0.01, 15.0),
        (120.0, 0.01, 20.0),
        (180.0, 0.004, 15.0),
    ] {
        let (belt, lowest) = stiff_belt(hz, stiffness, quality, 0.8);
        let sound = recorded(&belt, lowest, quality, 12.0, &mut noise);
        let heard = listen(&sound, RATE).unwrap();
        assert_eq!(heard.len(), 1, "{hz} Hz: {heard:?}");
        within(heard[0].hz, lowest, 0.02);
    }
}

/// A running engine: firing and its multiples with wandering speed and loudness, with its noise.
pub(crate) fn engine(firing_hz: f64, seconds: f64, noise: &mut Noise) -> Vec<f32> {
    let count = (seconds * RATE) as usize;
    let low = noise.low(count);
    let (mut phase, mut wander) = (0.0_f64, 0.0_f64);
    (0..count)
        .map(|at| {
            let t = at as f64 / RATE;
            wander += 0.002 * (noise.uniform() - 0.5);
            wander *= 0.9999;
            phase += firing_hz * (1.0 + wander + 0.01 * (2.0 * PI * 0.7 * t).sin()) / RATE;
            let tones: f64 = (1..=10)
                .map(|n| {
                    let number = f64::from(n);
                    (2.0 * PI * number * phase / 2.0 + number * number).sin() / number.sqrt()
                })
                .sum();
            let louder = 1.0 + 0.2 * (2.0 * PI * 1.3 * t).sin();
            (0.08 * louder * tones + 0.03 * low[at]) as f32
        })
        .collect()
}

/// An engine whose every firing is a thump that rings.
fn thumping(firing_hz: f64, seconds: f64, noise: &mut Noise) -> Vec<f32> {
    let count = (seconds * RATE) as usize;
    let mut sound: Vec<f64> = noise.low(count).iter().map(|x| 0.01 * x).collect();
    let mut at = 0.0;
    while at < count as f64 {
        let loud = 0.3 * (0.8 + 0.4 * noise.uniform());
        let ring = (0.08 * RATE) as usize;
        for step in 0..ring.min(count - at as usize) {
            let t = step as f64 / RATE;
            sound[at as usize + step] += loud * (-t / 0.015).exp() * (2.0 * PI * 110.0 * t).sin();
        }
        at += RATE / firing_hz * (0.98 + 0.04 * noise.uniform());
    }
    sound.iter().map(|x| *x as f32).collect()
}

/// Verification: a running engine is refused at idle and faster, smooth or thumping.
#[test]
fn a_running_engine_is_refused() {
    let mut noise = Noise(31);
    for firing in [9.0, 13.0, 25.0, 40.0, 60.0, 110.0, 230.0] {
        let heard = listen(&engine(firing, 3.0, &mut noise), RATE);
        assert!(
            matches!(heard, Err(NotHeard::Engine { .. })),
            "{firing} Hz: {heard:?}"
        );
        if firing < 50.0 {
            let heard = listen(&thumping(firing, 3.0, &mut noise), RATE);
            assert!(
                matches!(heard, Err(NotHeard::Engine { .. })),
                "thumping {firing} Hz: {heard:?}"
            );
        }
    }
}

/// Verification: what is no pluck is refused, each with its own reason; plucks while the engine runs are not taken either.
#[test]
fn silence_noise_clipping_and_an_engine_behind_the_pluck() {
    let mut noise = Noise(41);
    assert_eq!(listen(&vec![0.0; 96_000], RATE), Err(NotHeard::Silence));
    let hush: Vec<f32> = noise
        .low(96_000)
        .iter()
        .map(|x| (x * 2e-4) as f32)
        .collect();
    assert_eq!(listen(&hush, RATE), Err(NotHeard::Silence));
    for _ in 0..20 {
        let only: Vec<f32> = noise
            .low(96_000)
            .iter()
            .map(|x| (x * 0.05) as f32)
            .collect();
        assert_eq!(listen(&only, RATE), Err(NotHeard::Noise));
    }
    let loud: Vec<f32> = recorded(&pluck(90.0, 20.0, 1.0), 90.0, 20.0, 30.0, &mut noise)
        .iter()
        .map(|x| (8.0 * x).clamp(-1.0, 1.0))
        .collect();
    assert_eq!(listen(&loud, RATE), Err(NotHeard::Clipped));
    assert_eq!(listen(&[0.1; 100], RATE), Err(NotHeard::TooShort));
    assert_eq!(listen(&[f32::NAN; 96_000], RATE), Err(NotHeard::TooShort));

    let mut both = engine(27.0, 3.0, &mut noise);
    for (at, x) in pluck(95.0, 20.0, 1.0).iter().enumerate() {
        both[48_000 + at] += 0.4 * *x as f32;
    }
    assert!(matches!(listen(&both, RATE), Err(NotHeard::Engine { .. })));
}

/// Verification: of plucks across which a piece of the sound is there twice, or silence stands in its place, no tone is
/// told; the next one, which is whole, is heard.
#[test]
fn torn_plucks_are_told_from_whole_ones() {
    let mut noise = Noise(53);
    let (hz, quality) = (68.0, 15.0);
    let whole = recorded(&pluck(hz, quality, 1.0), hz, quality, 25.0, &mut noise);
    let begins = RATE as usize / 2;
    let near = |found: &[Heard]| found.iter().all(|one| (one.hz / hz - 1.0).abs() < 0.005);
    for after_s in [0.03, 0.06, 0.1] {
        let at = begins + (after_s * RATE) as usize;
        let mut twice = whole.clone();
        twice.splice(at..at, whole[at - 128..at].to_vec());
        let mut silent = whole.clone();
        silent[at..at + 256].fill(0.0);
        for torn in [twice, silent] {
            assert_eq!(listen(&torn, RATE), Err(NotHeard::Torn), "{after_s} s");
            let next = listen(&[torn, whole.clone()].concat(), RATE).unwrap();
            assert!(next.len() == 1 && near(&next), "{next:?}");
        }
    }
    let before = [&whole[..9_000], &[0.0; 256], &whole[9_256..]].concat();
    let found = listen(&before, RATE).unwrap();
    assert!(found.len() == 1 && near(&found), "{found:?}");
}

/// Verification: claps (noise that dies away) are no plucks.
#[test]
fn claps_are_no_plucks() {
    let mut noise = Noise(53);
    for number in 0..60 {
        let decay_s = 0.01 + 0.002 * f64::from(number);
        let low = noise.low(96_000);
        let clap: Vec<f32> = low
            .iter()
            .enumerate()
            .map(|(at, x)| {
                let after = at as f64 / RATE - 0.7;
                let dying = if after < 0.0 {
                    0.0
                } else {
                    (-after / decay_s).exp()
                };
                (x * (0.002 + 0.3 * dying)) as f32
            })
            .collect();
        assert_eq!(listen(&clap, RATE), Err(NotHeard::Noise));
    }
}
