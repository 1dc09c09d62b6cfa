//! Where sound is torn: a phone that is busy loses pieces of it, and silence or the piece before stands in their place.
//!
//! A tone across such a place has its phase moved: a piece of 3 ms twice in a pluck of 68 Hz made it 66 Hz, its tension 5 %
//! less, and nothing else told of it.

/// Browsers hand on sound in pieces of so many samples (Web Audio API, W3C, "render quantum").
const PIECE: usize = 128;
/// One, two, four or eight of them may be there twice.
const TWICE: [usize; 4] = [PIECE, 2 * PIECE, 4 * PIECE, 8 * PIECE];
/// No microphone gives silence to the last digit, or the same again, for so many samples of a sound.
const LEAST: usize = 100;

/// Samples at which a torn place ends, in no order.
pub(super) fn places(sound: &[f32]) -> Vec<usize> {
    let mut found = ends(sound.len(), |at| sound[at] == 0.0);
    for lag in TWICE {
        let is_same = |at: usize| at >= lag && sound[at] == sound[at - lag] && sound[at] != 0.0;
        found.extend(ends(sound.len(), is_same));
    }
    found
}

/// Where what is asked of each sample held for long enough, and stops.
fn ends(count: usize, is_so: impl Fn(usize) -> bool) -> Vec<usize> {
    let (mut found, mut in_a_row) = (Vec::new(), 0);
    for at in 0..count {
        if is_so(at) {
            in_a_row += 1;
        } else {
            if in_a_row >= LEAST {
                found.push(at);
            }
            in_a_row = 0;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sound() -> Vec<f32> {
        (1..2_000_u16)
            .map(|at| (f32::from(at) * f32::from(at)).sin())
            .collect()
    }

    #[test]
    fn silence_and_pieces_that_are_there_twice_are_found() {
        assert_eq!(places(&sound()), [] as [usize; 0]);
        let mut silent = sound();
        silent[300..428].fill(0.0);
        assert_eq!(places(&silent), [428]);
        for lag in TWICE {
            let mut twice = sound();
            twice.truncate(300 + lag);
            twice.extend_from_within(300..);
            twice.extend(sound());
            assert_eq!(places(&twice), [300 + 2 * lag], "{lag}");
        }
    }

    #[test]
    fn a_little_of_it_is_sound() {
        let mut short = sound();
        short[300..300 + LEAST - 1].fill(0.0);
        assert_eq!(places(&short), [] as [usize; 0]);
        short[300 + LEAST - 1] = 0.0;
        assert_eq!(places(&short), [300 + LEAST]);
    }
}
