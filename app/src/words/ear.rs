//! The words of tension by ear.

use crate::parts::field::Fault;
use crate::parts::verdict::{Status, Verdict};
use crate::parts::working::Working;
use crate::sound::End;
use crate::words::{belt, faults};
use laneside_core::belt::pluck::{Against, NotHeard, Plucks, TYPED_HZ, WithHalfWidth, against};
use laneside_core::belt::{BeltInput, Measured};
use laneside_core::car::entry::{EntryError, Quantity};
use laneside_core::finding::Spread;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::show::{self, rounded_to_spread};
use laneside_core::quantity::{System, plain};

pub const TITLE: &str = "Tension by ear";
pub const ANSWERS: &str = "Pluck the belt: how fast the span swings tells how tight it is.";
pub const NO_SPAN: &str = "Needed: the pulleys, their places and the belt first.";
pub const CAUTION: &str = "Engine off, cool, key out before a hand goes near the belt. Hair, sleeves and rings off. Never pluck a belt that turns.";
pub const SPAN: &str = "Span to pluck";
pub const SPAN_NOTE: &str =
    "The longest free span is best: a short one reads high, since the belt is stiff.";
pub const HOW: &str = "How to pluck";
pub const STEPS: [&str; 4] = [
    "Quiet around the car: engine, fans and pumps off.",
    "Hold the bottom of the phone a hand's width from the middle of the span. It must not touch.",
    "Pluck the middle with one finger and let it ring. Wait a second. Again, three times or more.",
    "Turn the crank by hand a little and pluck again: a belt that reads otherwise has a bad spot, or a pulley runs out.",
];
pub const LISTEN: &str = "Listen";
pub const STOP: &str = "Stop listening";
pub const PRIVATE: &str = "Sound is worked out on this phone and gone at once. Nothing is recorded, sent or kept but the frequency. The microphone is off again after 30 seconds, or when you leave the page.";
pub const ASKING: &str = "The browser asks for the microphone.";
pub const READY: &str = "Listening. Pluck the span and let it ring.";
pub const READINGS: &str = "Heard and typed, this span";
pub const READINGS_NOTE: &str =
    "Take the mark off a reading that does not count. The next time you listen starts anew.";
pub const TAKE: &str = "Take it as the static tension";
pub const TAKEN: &str = "This is the static tension that grip is worked out with.";
pub const CLEAR: &str = "Delete these readings";
pub const BY_HAND: &str = "Frequency by hand";
pub const BY_HAND_NOTE: &str = "From anything else that tells it.";
pub const ADD: &str = "Add it";
pub const FULL: &str = "No more than 12.";
pub const FREQUENCY: &str = "Frequency";
pub const TENSION: &str = "Tension of the span";
pub const WANTED: &str = "Grip needs";
pub const DISAGREE: &str = "These readings are too far apart to be one span's. Take the mark off the odd one, or delete them and pluck again.";
pub const ALL_OUT: &str = "No reading counts.";
pub const NO_WANTED: &str = "What grip needs of this span is not known yet.";

/// What is being heard.
pub fn not_heard(why: NotHeard) -> String {
    match why {
        NotHeard::TooShort | NotHeard::Silence => {
            "Nothing to hear. Pluck the span; hold the phone nearer.".to_owned()
        }
        NotHeard::Clipped => "Too loud for the microphone. Hold the phone farther away.".to_owned(),
        NotHeard::Noise => {
            "Noise, but no tone that rings. Pluck, hold the phone nearer, or find a quieter place."
                .to_owned()
        }
        NotHeard::Engine { hz } => format!(
            "A steady sound, about {} Hz: an engine, a fan or a pump runs. Switch it off, key out. With it running nothing is taken.",
            show::fixed(hz, 0)
        ),
    }
}

/// The plucks heard this time, Hz; nothing for none.
pub fn heard(heard_hz: &[f64]) -> String {
    let Some(last) = heard_hz.last() else {
        return String::new();
    };
    let last = reading(*last);
    match heard_hz.len() {
        1 => format!("1 pluck heard, {last}. Again."),
        2 => format!("2 plucks heard, the last {last}. Once more."),
        count => format!("{count} plucks heard, the last {last}."),
    }
}

/// Why nothing is listened to any more, and after how many plucks.
pub fn end(end: End, count: usize) -> String {
    let text = match end {
        End::Refused => {
            "The microphone is refused. Allow it for this page in the browser's settings, or type the frequency."
        }
        End::NoMicrophone => "This phone gives no microphone. Type the frequency.",
        End::Busy => {
            "The microphone cannot be had: another app may hold it. Close that, or type the frequency."
        }
        End::Insecure => {
            "A browser gives the microphone only to a page that came over https. Type the frequency."
        }
        End::Old => "This browser cannot listen. Type the frequency, or use a newer one.",
        End::Lost => {
            "No sound comes from the microphone any more. Try again, or type the frequency."
        }
        End::TimeUp if count == 0 => "30 seconds without a pluck: the microphone is off.",
        End::TimeUp => "30 seconds are over: the microphone is off.",
    };
    text.to_owned()
}

/// A span with its length.
pub fn span(name: &str, length_mm: f64, units: System) -> String {
    let (first, rest) = name.split_at(name.chars().next().map_or(0, char::len_utf8));
    let length = belt::length(length_mm, units);
    format!("{}{rest}, {length}", first.to_uppercase())
}

/// One reading.
pub fn reading(hz: f64) -> String {
    format!("{} Hz", show::fixed(hz, 1))
}

/// Figure and spread of the frequency.
pub fn frequency(plucks: &Plucks) -> (String, String) {
    let rounded = rounded_to_spread(plucks.hz, plucks.half_width_hz);
    let of = match plucks.count {
        1 => "one reading; three show how far they scatter".to_owned(),
        count => format!("{count} readings"),
    };
    (
        rounded.value_text(),
        format!("{} Hz, {of}", rounded.spread_text()),
    )
}

/// Newtons to a pound-force (exact: NIST SP 811, 2008, B.8).
const N_PER_LBF: f64 = 4.448_221_615_260_5;

fn force(newtons: f64, units: System) -> f64 {
    match units {
        System::Inch => newtons / N_PER_LBF,
        System::Metric => newtons,
    }
}

/// The unit of tension.
pub fn force_unit(units: System) -> &'static str {
    match units {
        System::Inch => "lbf",
        System::Metric => "N",
    }
}

/// A force and its spread as figures: `420` and `±70 N`.
pub fn tension(newtons: f64, spread: Spread, units: System) -> (String, String) {
    let half = force(spread.up.max(spread.down), units);
    let rounded = rounded_to_spread(force(newtons, units), half);
    let unit = force_unit(units);
    if half > 0.0 {
        let text = format!("{} {unit}", rounded.spread_text());
        (rounded.value_text(), text)
    } else {
        (show::grouped(force(newtons, units), 0), String::new())
    }
}

fn in_full(newtons: f64, spread: Spread, units: System) -> String {
    let (value, spread) = tension(newtons, spread, units);
    match spread.is_empty() {
        true => format!("{value} {}", force_unit(units)),
        false => format!("{value} {spread}"),
    }
}

/// What grip needs of the span.
pub fn wanted((newtons, spread): (f64, Spread), units: System) -> String {
    format!(
        "{WANTED} {} at rest in this span.",
        in_full(newtons, spread, units)
    )
}

/// The verdict on a tension heard.
pub fn verdict(heard: &Measured, needed: (f64, Spread), units: System) -> Verdict {
    let (status, word, next) = match against(heard, needed.0, needed.1) {
        Against::Enough => (
            Status::Holds,
            "TIGHT ENOUGH",
            "Much more than that costs bearings: the maker's figure comes first.",
        ),
        Against::TooSlack => (
            Status::Short,
            "TOO SLACK",
            "Set it tighter, turn the crank two turns by hand, and pluck again.",
        ),
        Against::TooCloseToCall => (Status::Close, "TOO CLOSE TO CALL", doubt(heard)),
    };
    Verdict {
        status,
        word: word.to_owned(),
        figure: in_full(heard.value, heard.spread, units),
        line: format!("{} {next}", wanted(needed, units)),
        action: None,
    }
}

/// Where most of the spread comes from, and what settles it.
fn doubt(heard: &Measured) -> &'static str {
    match heard.shares.first() {
        Some((BeltInput::Mass, _)) => {
            "Most of the doubt is the belt's mass: weigh a belt of this kind."
        }
        Some((BeltInput::SpanLength, _)) => {
            "Most of the doubt is the span's length: measure where the belt leaves and meets."
        }
        _ => "Most of the doubt is the frequency: pluck again, in quiet.",
    }
}

/// What stands behind the tension.
pub fn working(
    mass: WithHalfWidth,
    length: WithHalfWidth,
    plucks: &Plucks,
    heard: &Measured,
    units: System,
) -> Working {
    let share = |input: BeltInput| {
        let found = heard.shares.iter().find(|(of, _)| *of == input);
        found.map_or(0.0, |(_, share)| 100.0 * share)
    };
    let row = |name: &str, value: String, input| {
        let part = show::fixed(share(input), 0);
        (name.to_owned(), format!("{value}, {part} % of the doubt"))
    };
    let percent = |with: WithHalfWidth| show::fixed(100.0 * with.half_width / with.value, 0);
    Working {
        formula: "tension = 4 x mass per length x (span x frequency)²".to_owned(),
        inputs: vec![
            row(
                "Mass of the belt",
                format!("{} g/m ±{} %", show::fixed(1_000.0 * mass.value, 0), percent(mass)),
                BeltInput::Mass,
            ),
            row(
                "Free span",
                format!(
                    "{} ±{}",
                    belt::length(1_000.0 * length.value, units),
                    belt::length(1_000.0 * length.half_width, units)
                ),
                BeltInput::SpanLength,
            ),
            row(
                "Frequency",
                format!(
                    "{} Hz ±{}",
                    show::fixed(plucks.hz, 1),
                    show::fixed(plucks.half_width_hz, 1)
                ),
                BeltInput::Frequency,
            ),
        ],
        source: "A string's lowest tone: Rayleigh, The Theory of Sound, chapter VI. The belt's stiffness is left out: it makes a short span read high. Of a frequency heard 2 % are doubted at least.".to_owned(),
    }
}

/// That there is no room for one more.
pub fn full() -> Fault {
    Fault {
        found: "Found 12 readings of this span.".to_owned(),
        needed: "Needed: delete these first.".to_owned(),
    }
}

/// A frequency typed, Hz, or why it is none.
///
/// # Errors
/// The two lines beside the field.
pub fn typed(text: &str, units: System) -> Result<f64, Fault> {
    let (low, high) = TYPED_HZ;
    let read = plain::read(text, Kind::Frequency, units).map_err(EntryError::from);
    let in_range = read.and_then(|found| {
        if (low..=high).contains(&found) {
            Ok(found)
        } else {
            let quantity = Quantity::Of(Kind::Frequency);
            Err(EntryError::Range {
                found,
                low,
                high,
                quantity,
            })
        }
    });
    in_range.map_err(|error| faults::entry(&error, text, units))
}
