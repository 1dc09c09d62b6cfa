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

pub fn title() -> &'static str {
    say!("Tension by ear")
}
pub fn answers() -> &'static str {
    say!("Pluck the belt: how fast the span swings tells how tight it is.")
}
pub fn no_span() -> &'static str {
    say!("Needed: the pulleys, their places and the belt first.")
}
pub fn caution() -> &'static str {
    say!(
        "Engine off, cool, key out before a hand goes near the belt. Hair, sleeves and rings off. Never pluck a belt that turns."
    )
}
pub fn span_label() -> &'static str {
    say!("Span to pluck")
}
pub fn span_note() -> &'static str {
    say!("The longest free span is best: a short one reads high, since the belt is stiff.")
}
pub fn how() -> &'static str {
    say!("How to pluck")
}
pub fn steps() -> [&'static str; 4] {
    say!([
        "Quiet around the car: engine, fans and pumps off.",
        "Hold the bottom of the phone a hand's width from the middle of the span. It must not touch.",
        "Pluck the middle with one finger and let it ring. Wait a second. Again, three times or more.",
        "Turn the crank by hand a little and pluck again: a belt that reads otherwise has a bad spot, or a pulley runs out.",
    ])
}
pub fn listen() -> &'static str {
    say!("Listen")
}
pub fn stop() -> &'static str {
    say!("Stop listening")
}
pub fn private() -> &'static str {
    say!(
        "Sound is worked out on this phone and gone at once. Nothing is recorded, sent or kept but the frequency. The microphone is off again after 30 seconds, or when you leave the page."
    )
}
pub fn asking() -> &'static str {
    say!("The browser asks for the microphone.")
}
pub fn ready() -> &'static str {
    say!("Listening. Pluck the span and let it ring.")
}
pub fn readings() -> &'static str {
    say!("Heard and typed, this span")
}
pub fn readings_note() -> &'static str {
    say!("Take the mark off a reading that does not count. The next time you listen starts anew.")
}
pub fn take() -> &'static str {
    say!("Take it as the static tension")
}
pub fn taken() -> &'static str {
    say!("This is the static tension that grip is worked out with.")
}
pub fn clear() -> &'static str {
    say!("Delete these readings")
}
pub fn by_hand() -> &'static str {
    say!("Frequency by hand")
}
pub fn by_hand_note() -> &'static str {
    say!("From anything else that tells it.")
}
pub fn add() -> &'static str {
    say!("Add it")
}
pub fn full_label() -> &'static str {
    say!("No more than 12.")
}
pub fn frequency_label() -> &'static str {
    say!("Frequency")
}
pub fn tension_label() -> &'static str {
    say!("Tension of the span")
}
pub fn wanted_label() -> &'static str {
    say!("Grip needs")
}
pub fn disagree() -> &'static str {
    say!(
        "These readings are too far apart to be one span's. Take the mark off the odd one, or delete them and pluck again."
    )
}
pub fn all_out() -> &'static str {
    say!("No reading counts.")
}
pub fn no_wanted() -> &'static str {
    say!("What grip needs of this span is not known yet.")
}

/// What is being heard.
pub fn not_heard(why: NotHeard) -> String {
    match why {
        NotHeard::TooShort | NotHeard::Silence => {
            tell!("Nothing to hear. Pluck the span; hold the phone nearer.")
        }
        NotHeard::Clipped => {
            tell!("Too loud for the microphone. Hold the phone farther away.")
        }
        NotHeard::Noise => tell!(
            "Noise, but no tone that rings. Pluck, hold the phone nearer, or find a quieter place."
        ),
        NotHeard::Engine { hz } => say!(
            "A steady sound, about {} Hz: an engine, a fan or a pump runs. Switch it off, key out. With it running nothing is taken.",
            show::fixed(hz, 0)
        ),
        NotHeard::Torn => tell!(
            "The phone missed parts of the sound. Pluck again; close other apps if it goes on."
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
        1 => say!("1 pluck heard, {last}. Again."),
        2 => say!("2 plucks heard, the last {last}. Once more."),
        count => say!("{count} plucks heard, the last {last}."),
    }
}

/// Why nothing is listened to any more, and after how many plucks.
pub fn end(end: End, count: usize) -> String {
    let text = say!(match end {
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
    });
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
        1 => tell!("one reading; three show how far they scatter"),
        count => say!("{count} readings"),
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
    say!(
        "{wanted} {} at rest in this span.",
        in_full(newtons, spread, units),
        wanted = wanted_label()
    )
}

/// The verdict on a tension heard.
pub fn verdict(heard: &Measured, needed: (f64, Spread), units: System) -> Verdict {
    let (status, word, next) = match against(heard, needed.0, needed.1) {
        Against::Enough => (
            Status::Holds,
            say!("TIGHT ENOUGH"),
            say!("Much more than that costs bearings: the maker's figure comes first."),
        ),
        Against::TooSlack => (
            Status::Short,
            say!("TOO SLACK"),
            say!("Set it tighter, turn the crank two turns by hand, and pluck again."),
        ),
        Against::TooCloseToCall => (Status::Close, say!("TOO CLOSE TO CALL"), doubt(heard)),
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
    say!(match heard.shares.first() {
        Some((BeltInput::Mass, _)) => {
            "Most of the doubt is the belt's mass: weigh a belt of this kind."
        }
        Some((BeltInput::SpanLength, _)) => {
            "Most of the doubt is the span's length: measure where the belt leaves and meets."
        }
        _ => "Most of the doubt is the frequency: pluck again, in quiet.",
    })
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
        (name.to_owned(), say!("{value}, {part} % of the doubt"))
    };
    let percent = |with: WithHalfWidth| show::fixed(100.0 * with.half_width / with.value, 0);
    Working {
        formula: tell!("tension = 4 x mass per length x (span x frequency)²"),
        inputs: vec![
            row(
                say!("Mass of the belt"),
                format!(
                    "{} g/m ±{} %",
                    show::fixed(1_000.0 * mass.value, 0),
                    percent(mass)
                ),
                BeltInput::Mass,
            ),
            row(
                say!("Free span"),
                format!(
                    "{} ±{}",
                    belt::length(1_000.0 * length.value, units),
                    belt::length(1_000.0 * length.half_width, units)
                ),
                BeltInput::SpanLength,
            ),
            row(
                say!("Frequency"),
                format!(
                    "{} Hz ±{}",
                    show::fixed(plucks.hz, 1),
                    show::fixed(plucks.half_width_hz, 1)
                ),
                BeltInput::Frequency,
            ),
        ],
        source: tell!(
            "A string's lowest tone: Rayleigh, The Theory of Sound, chapter VI. The belt's stiffness is left out: it makes a short span read high. Of a frequency heard 2 % are doubted at least."
        ),
    }
}

/// That there is no room for one more.
pub fn full() -> Fault {
    Fault {
        found: tell!("Found 12 readings of this span."),
        needed: tell!("Needed: delete these first."),
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
