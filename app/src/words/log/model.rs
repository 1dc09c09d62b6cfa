//! The log against the car's model: what it offers for the car.

use super::{amps, rpm, volts};
use laneside_core::log::fit::{Against, Fixed, Offer};
use laneside_core::quantity::show;

pub fn model() -> &'static str {
    say!("Against the simulated pass")
}
pub fn take() -> &'static str {
    say!("Put it on the car")
}
pub fn undo() -> &'static str {
    say!("Undo")
}
pub fn close() -> &'static str {
    say!("Close")
}
pub fn no_offer() -> &'static str {
    say!("This log fixes nothing about the car beyond what is entered.")
}
pub fn needed() -> &'static str {
    say!(
        "Needed: the car's pulleys, alternator and loads. Then the log is held against the simulated pass."
    )
}
pub fn enter() -> &'static str {
    say!("Enter the car")
}

fn name(fixed: Fixed) -> &'static str {
    say!(match fixed {
        Fixed::Lose => "Alternator speed over which output is lost",
        Fixed::Recover => "Alternator speed under which it comes back",
        Fixed::SetPoint => "Set-point",
        Fixed::Offset => "What the logger shows over what is there",
        Fixed::Load => "Load on the pass",
        Fixed::PathOhm => "Resistance of the charge path",
    })
}

fn value(fixed: Fixed, value: f64) -> String {
    match fixed {
        Fixed::Lose | Fixed::Recover => rpm(value),
        Fixed::SetPoint | Fixed::Offset => volts(value),
        Fixed::Load => amps(value),
        Fixed::PathOhm => format!("{}\u{a0}mΩ", show::fixed(1e3 * value, 1)),
    }
}

/// How the log lies to the band.
pub fn inside(against: &Against) -> String {
    let percent = show::fixed(100.0 * against.inside, 0);
    let off = against.off_v;
    let side = say!(if off < 0.0 { "under" } else { "over" });
    say!(
        "The log lies within the simulated band for {percent}\u{a0}% of the pass, and {} {side} its middle.",
        volts(off.abs())
    )
}

/// What the log offers for the car.
pub fn offer(offer: &Offer) -> String {
    let present = offer
        .present
        .map_or_else(|| tell!("nothing"), |present| value(offer.fixed, present));
    let (low, high) = (
        offer.value.value - offer.value.half_width,
        offer.value.value + offer.value.half_width,
    );
    say!(
        "{}: {} by this log ({} to {}). The car says {present}.",
        name(offer.fixed),
        value(offer.fixed, offer.value.value),
        value(offer.fixed, low),
        value(offer.fixed, high)
    )
}

/// What was taken over.
pub fn taken(offer: &Offer) -> String {
    say!(
        "{} is {} now.",
        name(offer.fixed),
        value(offer.fixed, offer.value.value)
    )
}
