//! The words of the page Car.

use laneside_core::car::EngineState;
use laneside_core::data::common_practice::TypicalLoad;
use laneside_core::loads::LoadKind;
use laneside_core::quantity::{Mark, amps, mark, show};
use laneside_core::resolve::InputId;

pub fn answers() -> &'static str {
    say!("Car keeps what you know about the engine, the pulleys, the alternator and the loads.")
}
pub fn needs() -> &'static str {
    say!("Needed first: five entries.")
}
pub fn enter() -> &'static str {
    say!("Enter them")
}
pub fn invented() -> &'static str {
    say!("An invented car, to try things on. Change what you like.")
}

/// What is still blank, and the way to it.
pub fn blanks(missing: &[&str]) -> String {
    say!("Still blank: {}.", missing.join(", "))
}
pub fn to_blanks() -> &'static str {
    say!("Fill the blanks")
}

/// How much is assumed.
pub fn assumed(count: usize, matter: usize) -> String {
    let matters = say!(if matter == 1 { "matters" } else { "matter" });
    say!("{count} assumed, {matter} {matters}")
}
pub fn assumed_note() -> &'static str {
    say!(
        "What matters can turn a verdict that is too close to call. Enter it, and the verdict settles."
    )
}
pub fn none_matters() -> &'static str {
    say!("No verdict hangs on an assumed value.")
}
/// The name of an assumed value where a sentence calls it otherwise, with what its percent are of.
pub fn assumed_name(id: InputId) -> Option<&'static str> {
    Some(say!(match id {
        InputId::InGearDrop => "idle drop in gear",
        InputId::LowFraction => "output at low speed, of the rated",
        InputId::LowForm => "output below the lowest rated speed, of what the curve gives",
        InputId::OutputScale => "rated output of this very machine, of the stamped",
        InputId::LoadsScale => "all loads together, of the list",
        InputId::FieldExponent => "field current over voltage, as a power",
        _ => return None,
    }))
}
pub fn the_rest() -> &'static str {
    say!("The rest")
}
pub fn speed_limit() -> &'static str {
    say!("speed limit of the alternator")
}

/// A value with the range that it may have; a unit that all share is said once.
pub fn range(value: &str, low: &str, high: &str) -> String {
    match (
        value.split_once(' '),
        low.split_once(' '),
        high.split_once(' '),
    ) {
        (Some((_, unit)), Some((low, of_low)), Some((high, of_high)))
            if unit == of_low && unit == of_high =>
        {
            say!("{value} ({low} to {high})")
        }
        _ => say!("{value} ({low} to {high})"),
    }
}

/// A range of speeds.
pub fn speeds(low: f64, high: f64) -> String {
    say!(
        "{} to {} rpm",
        show::grouped(low, 0),
        show::grouped(high, 0)
    )
}

pub fn drive() -> &'static str {
    say!("Pulleys and belt")
}
pub fn engine() -> &'static str {
    say!("Engine")
}
pub fn alternator() -> &'static str {
    say!("Alternator")
}
pub fn loads() -> &'static str {
    say!("Loads")
}
pub fn phases() -> &'static str {
    say!("Phases of the day")
}
/// The disclosures of what few cars need.
pub fn regulator() -> &'static str {
    say!("Regulator, heat, rating: rarely needed")
}
pub fn drive_rare() -> &'static str {
    say!("Ratio, belt, jackshaft: rarely needed")
}

pub const BELT: (&str, [&str; 2]) = note!(("Belt", ["V-ribbed", "V belt, toothed, other"]));
pub const BELT_NOTE: &str =
    note!("On V-ribbed belts a size is the effective diameter, on the others the pitch diameter.");
pub const RATIO_BY: (&str, [&str; 3]) = note!((
    "Speed ratio from",
    ["Both sizes", "Turns counted", "Two speeds read"],
));
pub const RATIO_NOTE: &str = note!(
    "Counted turns beat a called size. They hold for the pulleys on the car; one size then tells the other."
);
pub const HUB: (&str, [&str; 2]) = note!(("Alternator pulley", ["Solid", "One-way or decoupler"]));
pub const HUB_NOTE: &str = note!(
    "One-way: the rotor coasts on when the engine slows. Its speed is then only bounded, and a counted ratio needs turning forward."
);
pub fn jackshaft() -> &'static str {
    say!("Jackshaft")
}
pub fn jackshaft_note() -> &'static str {
    say!("A shaft between crank and alternator, with two belts. Both pulleys on it:")
}
pub fn no_jackshaft() -> &'static str {
    say!("Take the jackshaft out")
}

/// The pulleys on hand, by their sizes.
pub fn on_hand(sizes: &[String]) -> String {
    if sizes.is_empty() {
        tell!("Pulleys on hand: none yet")
    } else {
        say!("Pulleys on hand: {}", sizes.join(", "))
    }
}
pub fn on_hand_note() -> &'static str {
    say!("What lies in the toolbox: these are tried first. Type into the empty row to add one.")
}
pub fn remove() -> &'static str {
    say!("Remove")
}
pub fn full_on_hand() -> &'static str {
    say!("40 pulleys are the most. Remove one to add another.")
}
pub fn accessories() -> &'static str {
    say!("Also driven by the crank pulley")
}
pub fn accessories_note() -> &'static str {
    say!("A smaller crank pulley slows them all: Pulleys says by how much.")
}
/// Common ones; kept in the car by these very words.
pub fn accessory_names() -> [&'static str; 5] {
    say!([
        "water pump",
        "power steering pump",
        "vacuum pump",
        "dry-sump pump",
        "supercharger",
    ])
}
pub fn other_accessory() -> &'static str {
    say!("Another")
}
pub fn add() -> &'static str {
    say!("Add")
}

pub const GEARBOX: (&str, [&str; 3]) = note!(("Gearbox", ["Automatic", "Manual", "Not said"]));
pub const GEARBOX_NOTE: &str =
    note!("An automatic pulls the idle down in gear. Not said counts as one.");

pub const RATING_BY: (&str, [&str; 3]) = note!((
    "Output by",
    ["One number", "Two: 70/140 A", "Points of a curve"],
));
pub const RATING_NOTE: &str = note!("Two figures settle the output at idle better than one.");
pub fn one_number_note() -> &'static str {
    say!("This one number decides the verdict at idle. Two, such as 70/140 A, settle it better.")
}
pub fn pair_form() -> (&'static str, [&'static str; 2]) {
    let speeds = match mark() {
        Mark::Point => ["1,500 rpm", "1,800 rpm"],
        Mark::Comma => ["1\u{a0}500 rpm", "1\u{a0}800 rpm"],
    };
    (say!("Smaller at"), speeds)
}
pub fn pair_note() -> &'static str {
    say!(
        "Stamped 14 V 70/140 A, the handbook form reads at 1,800 and 6,000 rpm. A data sheet by ISO 8854 reads at 1,500 and 6,000."
    )
}
pub const WARMTH: (&str, [&str; 2]) = note!(("Rated", ["Settled warm", "Cold"]));
pub const WARMTH_NOTE: &str = note!(
    "The case and official ratings: settled. A quick bench sheet from the parts counter: cold. Not said counts as settled."
);
pub const FAN: (&str, [&str; 4]) = note!((
    "Where is the fan?",
    [
        "Inside the case",
        "Outside, behind the pulley",
        "Large heavy-duty machine",
        "Not looked yet",
    ],
));
pub const FAN_NOTE: &str =
    note!("It tells the speed limit until the maker's own figure is entered.");
pub const FAN_STEPS: [&str; 2] = note!([
    "Inside: the pulley sits right at the case, which has rows of slots.",
    "Outside: a fan wheel shows between pulley and case.",
]);
pub const EXCITATION: (&str, [&str; 3]) = note!((
    "Turns on by",
    ["Excite wire", "Itself: one wire", "Not looked yet"],
));
pub const EXCITATION_NOTE: &str = note!(
    "A self-exciting alternator has to be revved once before it charges. One published machine needs 2,000 rpm (US Army TM 5-3895-383-24)."
);
pub const EXCITATION_STEPS: [&str; 2] = note!([
    "A thin wire in a plug beside the big stud, live with the ignition on: excite wire.",
    "Nothing but the big cable: self-exciting.",
]);
pub const NOMINAL: (&str, [&str; 2]) = note!(("System", ["12 V", "16 V"]));
pub const NOMINAL_NOTE: &str =
    note!("16 V: a battery of eight cells. Set-point and rating go up with it.");

pub fn typical_note() -> &'static str {
    say!("These typical loads stand in. Common practice, no source.")
}
pub fn typical_head() -> [&'static str; 3] {
    say!(["Load", "A", "usual"])
}
pub fn take_over() -> &'static str {
    say!("Make this my list")
}
pub fn loads_note() -> &'static str {
    say!(
        "Tap a load to change it. Amps are those at the voltage they were read at; the balance has them at the set-point voltage."
    )
}
pub fn add_load() -> &'static str {
    say!("Add a load")
}
pub fn pick_load() -> &'static str {
    say!("Pick one")
}
pub fn full_loads() -> &'static str {
    say!("40 loads are the most. Put small ones together under one name, or remove one.")
}
pub fn kind() -> (&'static str, [&'static str; 4]) {
    say!((
        "With less volts",
        [
            "less amps: lamps, coils",
            "far less: fans",
            "the same: pumps",
            "more: electronics",
        ],
    ))
}
pub fn follows() -> &'static str {
    say!("Grows with engine rpm")
}
pub fn follows_note() -> &'static str {
    say!("Ignition and injectors may: the amps are then those at the limiter.")
}
pub fn on_in() -> &'static str {
    say!("On in")
}
pub fn part_time() -> &'static str {
    say!("Part of the time")
}
pub fn part_time_note() -> &'static str {
    say!("A fan on a thermostat, brake lamps: share of the phase it is on.")
}
pub fn remove_load() -> &'static str {
    say!("Remove this load")
}
pub fn total_note() -> &'static str {
    say!("A clamp-meter total of a phase replaces this list there: see the phases.")
}

/// One load in the list.
pub fn load_line(current: f64, on: usize, phases: usize) -> String {
    let current = show::current(amps(current));
    if on == phases {
        say!("{current}, always")
    } else {
        say!("{current}, {on} of {phases} phases")
    }
}

/// One choice of the picker.
pub fn pick(name: &str, typical: &TypicalLoad) -> String {
    format!(
        "{name}: {} A ({})",
        figure(typical.typical_a),
        usual(typical.lowest_a, typical.highest_a)
    )
}

/// A current of the typical list, with a decimal where it has one.
pub fn figure(current: f64) -> String {
    show::fixed(current, u8::from(current.fract() != 0.0))
}

/// A range of currents.
pub fn usual(low: f64, high: f64) -> String {
    say!("{} to {}", figure(low), figure(high))
}

/// The order in which [`KIND`] names them.
pub const KINDS: [LoadKind; 4] = LoadKind::ALL;

pub fn phases_note() -> &'static str {
    say!("Tap a phase to say what the engine does, or to enter a clamp-meter total.")
}
pub fn engine_state() -> &'static str {
    say!("The engine")
}
/// What the engine may do in a phase; the last has a speed of its own.
pub fn states() -> [&'static str; 6] {
    say!([
        "is off",
        "idles in neutral",
        "idles in gear",
        "holds launch rpm",
        "runs from launch to shift",
        "holds its own rpm",
    ])
}
pub fn add_phase() -> &'static str {
    say!("Add a phase")
}
pub fn new_phase() -> &'static str {
    say!("new phase")
}
pub fn remove_phase() -> &'static str {
    say!("Remove this phase")
}
pub fn full_phases() -> &'static str {
    say!("20 phases are the most. Remove one to add another.")
}
pub fn last_phase() -> &'static str {
    say!("One phase has to stay.")
}

/// One phase in the list.
pub fn phase_line(engine: EngineState, clamp: Option<f64>) -> String {
    let engine = super::names::engine_state(engine);
    match clamp {
        Some(current) => say!("{engine}, {} by clamp", show::current(amps(current))),
        None => engine.to_owned(),
    }
}
