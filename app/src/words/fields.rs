//! What a field is called, what it is, how it is measured and what is typical.

mod belt;
mod how;
mod race;
mod supply;
mod typical;

pub use how::{How, how, how_measured};
pub use typical::typical;

use super::tongue::look;
use laneside_core::car::entry::Field;
use laneside_core::data::memory::Default as Ranged;
use laneside_core::drive::Measure;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};

fn memory() -> &'static str {
    say!("From memory.")
}
fn practice() -> &'static str {
    say!("Common practice.")
}

/// Label, note and steps of a field of battery, wiring, pass or day.
struct Words {
    label: &'static str,
    note: &'static str,
    steps: &'static [&'static str],
}

const fn of(label: &'static str, note: &'static str, steps: &'static [&'static str]) -> Words {
    Words { label, note, steps }
}

fn more(field: Field) -> Option<Words> {
    supply::words(field)
        .or_else(|| race::words(field))
        .or_else(|| belt::words(field))
}

/// A figure from memory with its range.
fn ranged(range: Ranged, kind: Kind, units: System) -> String {
    let say = |value| plain::show(value, kind, units);
    let (value, low, high) = (say(range.value), say(range.lowest), say(range.highest));
    say!("{value}, {low} to {high}. {memory}", memory = memory())
}

/// Asks for the way a pulley was measured.
pub fn measured() -> &'static str {
    say!("Size is")
}

/// The label of a field.
pub fn label(field: Field) -> &'static str {
    say!(match field {
        Field::Name => "Name of the car",
        Field::Crank => "Crank pulley",
        Field::Fitted => "Alternator pulley",
        Field::Tried => "Alternator pulley to try",
        Field::TriedCrank => "Crank pulley to try",
        Field::OnHand(_) => "Pulley on hand",
        Field::StageDriven => "Jackshaft pulley, driven by the crank",
        Field::StageDriving => "Jackshaft pulley, driving the alternator",
        Field::CrankTurns => "Turns of the crank",
        Field::AlternatorTurns => "Turns of the alternator",
        Field::ReadEngine => "Engine rpm, read",
        Field::ReadAlternator => "Alternator rpm, read",
        Field::FittedRating | Field::TriedRating => "Speed marked on the pulley",
        Field::Limiter => "Limiter",
        Field::Idle => "Idle, in neutral",
        Field::IdleInGear => "Idle, in gear",
        Field::Launch => "Launch",
        Field::Shift => "Shift",
        Field::Overshoot => "Overshoot over the limiter",
        Field::Rated => "Amps on the case",
        Field::RatedSpeed => "Rated at, alternator rpm",
        Field::Low => "Output at low speed",
        Field::LowSpeed => "Low output at, alternator rpm",
        Field::Points => "Points: alternator rpm and amps",
        Field::TestVoltage => "Voltage of the rating",
        Field::Continuous => "Maker's speed limit",
        Field::Short => "Limit for moments",
        Field::SetPoint => "Set-point voltage",
        Field::UnderHood => "Air under the hood",
        Field::Shed => "Amps switched off at idle",
        Field::LoadName(_) => "Name of the load",
        Field::LoadCurrent(_) => "Current",
        Field::LoadTolerance(_) => "Give or take",
        Field::LoadVoltage(_) => "Read at",
        Field::LoadDuty(..) => "On for",
        Field::PhaseName(_) => "Name of the phase",
        Field::PhaseSpeed(_) => "Engine rpm",
        Field::PhaseClamp(_) => "Clamp-meter total",
        Field::PhaseClampVoltage(_) => "Read at",
        Field::CardVolts(_)
        | Field::CardDrop(_)
        | Field::CardAmps(_)
        | Field::CardNotes
        | Field::HistoryNotes(_) => return super::swap::label(field),
        _ => return more(field).map_or("", |words| look(words.label)),
    })
}

/// What a field is, in one line; of a pulley, by the way it is measured. May be empty.
pub fn note(field: Field, measure: Measure) -> &'static str {
    say!(match field {
        Field::Crank
        | Field::Fitted
        | Field::Tried
        | Field::TriedCrank
        | Field::StageDriven
        | Field::StageDriving => return size_note(measure),
        Field::OnHand(_) => "",
        Field::CrankTurns => "Turned by hand. Ten turns tell more than two.",
        Field::AlternatorTurns => "Counted meanwhile, to an eighth of a turn.",
        Field::ReadEngine => "Off the tach, held steady.",
        Field::ReadAlternator => "At the same moment, off an optical tach.",
        Field::FittedRating | Field::TriedRating => {
            "Highest rpm that its maker allows. Leave it blank if none is marked."
        }
        Field::Limiter => "Engine rpm where the limiter cuts in.",
        Field::Idle => "Warm engine, out of gear.",
        Field::IdleInGear => "Where the converter pulls it down to, foot on the brake.",
        Field::Launch => "Engine rpm as the car leaves.",
        Field::Shift => "Engine rpm where you shift.",
        Field::Overshoot => "At worst: a missed shift, a broken driveline, a downshift.",
        Field::Rated => "The large number of amperes stamped on the case.",
        Field::RatedSpeed => "Speed at which it makes the rated amps.",
        Field::Low => "The smaller figure of the two.",
        Field::LowSpeed => "Speed at which it makes the low output.",
        Field::Points => "One point a line, lowest speed first, such as 2000 85.",
        Field::TestVoltage => "Volts at which the amps were rated.",
        Field::Continuous => "Highest alternator rpm for as long as you like.",
        Field::Short => "Highest alternator rpm for seconds.",
        Field::SetPoint => "Volts that the regulator holds.",
        Field::UnderHood => "Around the alternator, engine hot.",
        Field::Shed => "What you can do without in the lanes and on the return road.",
        Field::LoadTolerance(_) => "How far the current may be off.",
        Field::LoadVoltage(_) => "Volts at which the current was read.",
        Field::PhaseClamp(_) => {
            "All that the car draws, battery charging left out. Replaces the list in this phase."
        }
        Field::PhaseClampVoltage(_) => "Volts while you read it.",
        Field::Name
        | Field::LoadName(_)
        | Field::LoadCurrent(_)
        | Field::LoadDuty(..)
        | Field::PhaseName(_)
        | Field::PhaseSpeed(_) => "",
        _ => return more(field).map_or("", |words| look(words.note)),
    })
}

fn size_note(measure: Measure) -> &'static str {
    say!(match measure {
        Measure::Called => "As it is called. That may be 1/8 in (3 mm) off.",
        Measure::Caliper => "Diameter, across the rib tips.",
        Measure::Tape => "Circumference, once around the rib tips.",
        Measure::Effective => "Effective diameter, from its maker's drawing.",
        Measure::Pitch => "Pitch diameter, where the belt's cords run.",
    })
}
