//! A kept pass as text, on the phone and in the car's file: `{"version": 1, "pass": {...}}`.
//!
//! Texts of every version ever written are read for good; a newer one is left alone. What was found in a log is
//! written here too, to be handed from one thread to another: both by way of the tree, as a car is.

use serde::{Deserialize, Serialize};

use super::tree::Tree;
use crate::log::analysis::Analysis;
use crate::log::kept::KeptPass;

/// The version written.
pub const VERSION: u32 = 1;

/// The longest text that is looked at, in bytes: many times what a picture of a pass needs.
pub const LONGEST: usize = 1024 * 1024;

/// The longest name of a pass that is taken, in characters; what is longer is cut.
const LONGEST_NAME: usize = 120;
/// The longest date, in characters.
const LONGEST_DATE: usize = 40;

fn cut(text: &mut String, most: usize) {
    if let Some((end, _)) = text.char_indices().nth(most) {
        text.truncate(end);
    }
}

#[derive(Serialize)]
struct Whole<'a> {
    version: u32,
    pass: &'a KeptPass,
}

#[derive(Deserialize)]
struct Read {
    version: u32,
    /// Read by way of a tree, as a car is: the parts of a car in it are then read by the same code.
    pass: Tree,
}

impl KeptPass {
    /// Reads a kept pass; `None` for a text that this program does not know, or whose samples are in no order or beyond
    /// all numbers. A name or date that is too long is cut.
    // Inlined, as the writing is, so that it is compiled with its caller, for few bytes.
    #[inline]
    pub fn from_text(text: &str) -> Option<Self> {
        if text.len() > LONGEST {
            return None;
        }
        let read: Read = serde_json::from_str(text).ok()?;
        if read.version != VERSION {
            return None;
        }
        let mut pass = Self::deserialize(read.pass).ok()?;
        cut(&mut pass.name, LONGEST_NAME);
        cut(&mut pass.date, LONGEST_DATE);
        let in_order = [&pass.rpm, &pass.volts].iter().all(|line| {
            let mut points = line.points.iter();
            // What is written as 1e39 is infinite in 32 bits.
            points.all(|(at, value)| at.is_finite() && value.is_finite())
                && line.points.windows(2).all(|two| two[0].0 <= two[1].0)
        });
        in_order.then_some(pass)
    }

    /// Writes it; `None` where it holds a number that JSON cannot write, or is too long to be read again.
    #[inline]
    pub fn to_text(&self) -> Option<String> {
        let whole = Whole {
            version: VERSION,
            pass: self,
        };
        let text = serde_json::to_string(&whole).ok()?;
        (text.len() <= LONGEST).then_some(text)
    }
}

impl Analysis {
    /// Reads what was found in a log, as it is handed on by the worker that found it; `None` for any other text.
    #[inline]
    pub fn from_text(text: &str) -> Option<Self> {
        let tree: Tree = serde_json::from_str(text).ok()?;
        Self::deserialize(tree).ok()
    }

    /// Writes it; `None` where it holds a number that JSON cannot write.
    #[inline]
    pub fn to_text(&self) -> Option<String> {
        serde_json::to_string(self).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::{Car, demo, file, several};
    use crate::log::analysis::analyze;
    use crate::log::figures::Lowest;
    use crate::log::passes::Rules;
    use crate::log::{Known, Recording, Seen, Signal};

    /// Idle, a pass of three gears on which the voltage falls, idle.
    fn recording(hertz: f64) -> Recording {
        let time: Vec<f64> = (0..(60.0 * hertz) as u32)
            .map(|at| f64::from(at) / hertz)
            .collect();
        let rpm = |at: f64| match at {
            at if !(20.0..27.5).contains(&at) => 950.0,
            at => 5_000.0 + 2_200.0 * ((at - 20.0) / 2.5).fract(),
        };
        let volts = |at: f64| 13.9 - (rpm(at) - 5_500.0).max(0.0) / 1_000.0;
        let signal = |of: &dyn Fn(f64) -> f64| {
            Signal::new(time.clone(), time.iter().map(|at| of(*at) as f32).collect()).unwrap()
        };
        Recording {
            rpm: signal(&rpm),
            volts: signal(&volts),
            ..Recording::default()
        }
    }

    fn pass(hertz: f64) -> KeptPass {
        let (recording, car) = (recording(hertz), demo::nettle());
        let analysis = analyze(&recording, &Known::of(&car), &Rules::default());
        let found = analysis.passes.first().unwrap();
        KeptPass::new("One", "2026-11-25", &car, &recording, found, analysis.bands)
    }

    #[test]
    fn a_pass_reads_back_as_written() {
        for hertz in [4.0, 100.0, 1_000.0] {
            let text = pass(hertz).to_text().unwrap();
            let read = KeptPass::from_text(&text).unwrap();
            // To the ninth decimal; once read, it is the same to the last bit.
            let again = KeptPass::from_text(&read.to_text().unwrap());
            assert!(again.as_ref() == Some(&read));
            let (lowest, kept) = (pass(hertz).figures.lowest, read.figures.lowest);
            let volts = |lowest: Seen<Lowest>| lowest.found().unwrap().volts;
            assert!((volts(lowest) - volts(kept)).abs() < 1e-8);
            assert!(text.len() < 100_000, "{}", text.len());
        }
    }

    #[test]
    fn what_was_found_is_handed_on() {
        for hertz in [2.0, 100.0] {
            for known in [Known::of(&demo::nettle()), Known::nothing()] {
                let found = analyze(&recording(hertz), &known, &Rules::default());
                let read = Analysis::from_text(&found.to_text().unwrap()).unwrap();
                assert_eq!(read.diagnosis.outcome, found.diagnosis.outcome);
                assert_eq!(read.passes.len(), found.passes.len());
                let again = Analysis::from_text(&read.to_text().unwrap());
                assert!(again == Some(read));
            }
        }
        assert!(Analysis::from_text("").is_none());
    }

    #[test]
    fn what_is_not_known_is_no_pass() {
        let text = pass(50.0).to_text().unwrap();
        let newer = text.replace("\"version\":1", "\"version\":2");
        let half = &text[..text.len() / 2];
        let backward = text.replace(
            "\"volts\":{\"points\":[",
            "\"volts\":{\"points\":[[1e9,1.0],",
        );
        let endless = text.replace(
            "\"volts\":{\"points\":[",
            "\"volts\":{\"points\":[[-1e9,1e39],",
        );
        for bad in [
            newer.as_str(),
            half,
            backward.as_str(),
            endless.as_str(),
            "",
            "{}",
            "[1]",
        ] {
            assert_ne!(bad, text);
            assert!(KeptPass::from_text(bad).is_none());
        }
    }

    #[test]
    fn a_long_name_is_cut() {
        let long = "\u{e4}".repeat(100_000);
        let pass = KeptPass {
            name: long.clone(),
            date: long,
            ..pass(50.0)
        };
        let read = KeptPass::from_text(&pass.to_text().unwrap()).unwrap();
        assert_eq!(read.name.chars().count(), LONGEST_NAME);
        assert_eq!(read.date.chars().count(), LONGEST_DATE);
    }

    #[test]
    fn a_car_file_holds_its_passes_and_reads_as_before() {
        let car = demo::nettle();
        let passes = [pass(100.0), pass(4.0)];
        let file = car.to_file().unwrap();
        let (whole, left_out) = several::write(&[(&car, &passes)]).unwrap();
        assert_eq!(left_out, 0);
        assert_eq!(Car::from_file(&whole).unwrap().to_file().unwrap(), file);
        let read = several::read(&whole).unwrap().remove(0);
        assert_eq!((read.passes.len(), read.unknown, read.surplus), (2, 0, 0));
        assert!(read.passes[0].volts == passes[0].volts && read.passes[1].rpm == passes[1].rpm);
        let newer = whole.replacen("{\"version\":1", "{\"version\":9", 1);
        let read = several::read(&newer).unwrap().remove(0);
        assert_eq!((read.passes.len(), read.unknown), (1, 1));
        // More passes than a file holds are left out, the first ones given stay.
        for pass in &passes {
            let many = vec![pass.clone(); 1_000];
            let (whole, left_out) = several::write(&[(&car, &many)]).unwrap();
            assert!(whole.len() < file::LONGEST_FILE);
            let read = several::read(&whole).unwrap().remove(0);
            assert_eq!((read.passes.len(), read.surplus), (1_000 - left_out, 0));
            assert!(left_out >= 1_000 - several::MOST_PASSES && read.passes.len() > 50);
        }
    }
}
