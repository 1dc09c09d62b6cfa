//! Where sound is torn: a phone that is busy loses time, and silence or a piece of the sound itself is put in its place.
//!
//! A tone across such a place has its phase moved: a piece of 3 ms twice in a pluck of 68 Hz made it 66 Hz, its tension 5 %
//! less, and nothing else told of it. A piece that is only left out is not found here: what is beside it is sound.

/// No microphone gives silence to the last digit, or the same again, for so many samples of a sound: browsers hand it on
/// in pieces of 128 (Web Audio API, W3C, "render quantum"), devices in longer ones.
const LEAST: usize = 100;
/// A piece that is there twice is no longer than this, in samples.
const MOST: usize = 2_048;
/// What is there twice is looked for from every so manieth sample on: any piece that is long enough holds one of them.
const EVERY: usize = 64;
/// So many samples that are the same are looked at further.
const SEED: usize = 4;

/// Samples at which a torn place ends, in order.
pub(super) fn places(sound: &[f32]) -> Vec<usize> {
    let mut found = silences(sound);
    found.extend(twice(sound));
    found.sort_unstable();
    found.dedup();
    found
}

/// Where silence ends.
fn silences(sound: &[f32]) -> Vec<usize> {
    let (mut found, mut in_a_row) = (Vec::new(), 0);
    for (at, sample) in sound.iter().enumerate() {
        if *sample == 0.0 {
            in_a_row += 1;
            continue;
        }
        if in_a_row >= LEAST {
            found.push(at);
        }
        in_a_row = 0;
    }
    found
}

/// Where the second of two pieces that are the same ends.
fn twice(sound: &[f32]) -> Vec<usize> {
    let mut found = Vec::new();
    for at in (LEAST..sound.len().saturating_sub(SEED)).step_by(EVERY) {
        let seed = &sound[at..at + SEED];
        // The same number again and again is like itself anywhere.
        if seed.iter().all(|sample| *sample == seed[0]) {
            continue;
        }
        for lag in LEAST..=MOST.min(at) {
            if sound[at - lag..at - lag + SEED] != *seed {
                continue;
            }
            let is_same = |at: &usize| sound[*at] == sound[*at - lag];
            let after = (at..sound.len()).take_while(is_same).count();
            let before = (lag..at).rev().take_while(is_same).count();
            if before + after >= LEAST {
                found.push(at + after);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(pace: f32) -> Vec<f32> {
        (1..4_000_u16)
            .map(|at| (pace * f32::from(at) * f32::from(at)).sin())
            .collect()
    }

    fn sound() -> Vec<f32> {
        made(1.0)
    }

    #[test]
    fn silence_and_pieces_that_are_there_twice_are_found() {
        assert_eq!(places(&sound()), [] as [usize; 0]);
        let mut silent = sound();
        silent[300..428].fill(0.0);
        assert_eq!(places(&silent), [428]);
        for lag in [LEAST, 128, 384, 441, 480, 1_024, MOST] {
            for from in 300..300 + EVERY {
                let mut twice = sound();
                twice.truncate(from + lag);
                twice.extend_from_within(from..);
                twice.extend(made(0.7));
                assert_eq!(places(&twice), [from + 2 * lag], "{lag} from {from}");
            }
        }
    }

    #[test]
    fn a_little_of_it_is_sound() {
        let mut short = sound();
        short[300..300 + LEAST - 1].fill(0.0);
        assert_eq!(places(&short), [] as [usize; 0]);
        short[300 + LEAST - 1] = 0.0;
        assert_eq!(places(&short), [300 + LEAST]);
        let mut twice = sound();
        twice.truncate(400);
        twice.extend_from_within(400 - (LEAST - 1)..);
        twice.extend(made(0.7));
        assert_eq!(places(&twice), [] as [usize; 0]);
    }

    /// A noise gate, or a microphone that is muted, ends no tone before its time.
    #[test]
    fn what_stays_silent_is_not_torn() {
        let mut muted = sound();
        muted.extend([0.0; 2_000]);
        assert_eq!(places(&muted), [] as [usize; 0]);
        muted.extend([0.25; 2_000]);
        assert_eq!(places(&muted), [4_000 - 1 + 2_000]);
    }
}
