//! Listening on while a span is plucked again and again: sound comes in pieces, plucks come out once each.
//!
//! Every so often the last seconds are looked through. A pluck counts once it has rung for a while, so that it is
//! never judged by its beginning, and the same one is in sight several times but told once.

use super::listen::{Heard, NotHeard, listen};

/// Sound looked through at a time, s.
const WINDOW_S: f64 = 3.0;
/// From one look to the next, s.
const EVERY_S: f64 = 0.75;
/// Sound before the first look, s.
const FIRST_S: f64 = 1.5;
/// Sound left out at the start, s: microphones come on with a thump.
const THUMP_S: f64 = 0.25;
/// A pluck has rung this long before it counts, s.
const RUNG_S: f64 = 0.5;
/// Two times of a pluck nearer than this are one pluck's, s.
const SAME_S: f64 = 0.12;

/// What a look found.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Plucks not told before; their times count from the first sound.
    pub heard: Vec<Heard>,
    /// Why there is no pluck in sight at all.
    pub not_heard: Option<NotHeard>,
}

/// Sound as it comes in.
#[derive(Clone, Debug)]
pub struct Ear {
    rate: f64,
    /// The last of it.
    sound: Vec<f32>,
    /// Samples that came before what is kept.
    gone: usize,
    /// Samples to be left out yet.
    thump: usize,
    /// At which sample the next look is due.
    due: usize,
    /// When the last pluck told of began, s.
    last_s: Option<f64>,
}

impl Ear {
    /// Begins to listen, at so many samples a second.
    pub fn new(rate: f64) -> Self {
        let thump = (THUMP_S * rate) as usize;
        Self {
            rate,
            sound: Vec::new(),
            gone: 0,
            thump,
            due: (FIRST_S * rate) as usize,
            last_s: None,
        }
    }

    /// Takes sound (samples from -1 to 1); a look, if one is due.
    pub fn hear(&mut self, piece: &[f32]) -> Option<Look> {
        let left_out = self.thump.min(piece.len());
        self.thump -= left_out;
        self.sound.extend_from_slice(&piece[left_out..]);
        let most = (WINDOW_S * self.rate) as usize;
        if self.sound.len() > most {
            let old = self.sound.len() - most;
            self.sound.drain(..old);
            self.gone += old;
        }
        let now = self.gone + self.sound.len();
        if now < self.due {
            return None;
        }
        self.due = now + (EVERY_S * self.rate) as usize;
        Some(self.look())
    }

    fn look(&mut self) -> Look {
        let found = match listen(&self.sound, self.rate) {
            Ok(found) => found,
            Err(why) => {
                return Look {
                    heard: Vec::new(),
                    not_heard: Some(why),
                };
            }
        };
        let (from_s, seconds) = (
            self.gone as f64 / self.rate,
            self.sound.len() as f64 / self.rate,
        );
        let mut heard = Vec::new();
        for pluck in found {
            let at_s = from_s + pluck.at_s;
            let is_new = self.last_s.is_none_or(|last_s| at_s > last_s + SAME_S);
            if is_new && pluck.at_s + RUNG_S <= seconds {
                self.last_s = Some(at_s);
                heard.push(Heard { at_s, ..pluck });
            }
        }
        Look {
            heard,
            not_heard: None,
        }
    }
}
