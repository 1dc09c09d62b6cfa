//! The words of the page Car.

use laneside_core::car::EngineState;
use laneside_core::data::common_practice::TypicalLoad;
use laneside_core::loads::LoadKind;
use laneside_core::quantity::{amps, show};
use laneside_core::resolve::InputId;

pub const ANSWERS: &str =
    "Car keeps what you know about the engine, the pulleys, the alternator and the loads.";
pub const NEEDS: &str = "Needed first: five entries.";
pub const ENTER: &str = "Enter them";
pub const INVENTED: &str = "An invented car, to try things on. Change what you like.";

/// What is still blank, and the way to it.
pub fn blanks(missing: &[&str]) -> String {
    format!("Still blank: {}.", missing.join(", "))
}
pub const TO_BLANKS: &str = "Fill the blanks";

/// How much is assumed.
pub fn assumed(count: usize, matter: usize) -> String {
    let matters = if matter == 1 { "matters" } else { "matter" };
    format!("{count} assumed, {matter} {matters}")
}
pub const ASSUMED_NOTE: &str =
    "What matters can turn a verdict that is too close to call. Enter it, and the verdict settles.";
pub const NONE_MATTERS: &str = "No verdict hangs on an assumed value.";
/// The name of an assumed value where a sentence calls it otherwise, with what its percent are of.
pub fn assumed_name(id: InputId) -> Option<&'static str> {
    Some(match id {
        InputId::InGearDrop => "idle drop in gear",
        InputId::LowFraction => "output at low speed, of the rated",
        InputId::LowForm => "output below the lowest rated speed, of what the curve gives",
        InputId::OutputScale => "rated output of this very machine, of the stamped",
        InputId::LoadsScale => "all loads together, of the list",
        InputId::FieldExponent => "field current over voltage, as a power",
        _ => return None,
    })
}
pub const THE_REST: &str = "The rest";
pub const SPEED_LIMIT: &str = "speed limit of the alternator";

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
            format!("{value} ({low} to {high})")
        }
        _ => format!("{value} ({low} to {high})"),
    }
}

/// A range of speeds.
pub fn speeds(low: f64, high: f64) -> String {
    format!(
        "{} to {} rpm",
        show::grouped(low, 0),
        show::grouped(high, 0)
    )
}

pub const DRIVE: &str = "Pulleys and belt";
pub const ENGINE: &str = "Engine";
pub const ALTERNATOR: &str = "Alternator";
pub const LOADS: &str = "Loads";
pub const PHASES: &str = "Phases of the day";
/// The disclosures of what few cars need.
pub const REGULATOR: &str = "Regulator, heat, rating: rarely needed";
pub const DRIVE_RARE: &str = "Ratio, belt, jackshaft: rarely needed";

pub const BELT: (&str, [&str; 2]) = ("Belt", ["V-ribbed", "V belt, toothed, other"]);
pub const BELT_NOTE: &str =
    "On V-ribbed belts a size is the effective diameter, on the others the pitch diameter.";
pub const RATIO_BY: (&str, [&str; 3]) = (
    "Speed ratio from",
    ["Both sizes", "Turns counted", "Two speeds read"],
);
pub const RATIO_NOTE: &str = "Counted turns beat a called size. They hold for the pulleys on the car; one size then tells the other.";
pub const HUB: (&str, [&str; 2]) = ("Alternator pulley", ["Solid", "One-way or decoupler"]);
pub const HUB_NOTE: &str = "One-way: the rotor coasts on when the engine slows. Its speed is then only bounded, and a counted ratio needs turning forward.";
pub const JACKSHAFT: &str = "Jackshaft";
pub const JACKSHAFT_NOTE: &str =
    "A shaft between crank and alternator, with two belts. Both pulleys on it:";
pub const NO_JACKSHAFT: &str = "Take the jackshaft out";

/// The pulleys on hand, by their sizes.
pub fn on_hand(sizes: &[String]) -> String {
    if sizes.is_empty() {
        "Pulleys on hand: none yet".to_owned()
    } else {
        format!("Pulleys on hand: {}", sizes.join(", "))
    }
}
pub const ON_HAND_NOTE: &str =
    "What lies in the toolbox: these are tried first. Type into the empty row to add one.";
pub const REMOVE: &str = "Remove";
pub const FULL_ON_HAND: &str = "40 pulleys are the most. Remove one to add another.";
pub const ACCESSORIES: &str = "Also driven by the crank pulley";
pub const ACCESSORIES_NOTE: &str =
    "A smaller crank pulley slows them all: Pulleys says by how much.";
/// Common ones; kept in the car by these very words.
pub const ACCESSORY_NAMES: [&str; 5] = [
    "water pump",
    "power steering pump",
    "vacuum pump",
    "dry-sump pump",
    "supercharger",
];
pub const OTHER_ACCESSORY: &str = "Another";
pub const ADD: &str = "Add";

pub const GEARBOX: (&str, [&str; 3]) = ("Gearbox", ["Automatic", "Manual", "Not said"]);
pub const GEARBOX_NOTE: &str = "An automatic pulls the idle down in gear. Not said counts as one.";

pub const RATING_BY: (&str, [&str; 3]) = (
    "Output by",
    ["One number", "Two: 70/140 A", "Points of a curve"],
);
pub const RATING_NOTE: &str = "Two figures settle the output at idle better than one.";
pub const ONE_NUMBER_NOTE: &str =
    "This one number decides the verdict at idle. Two, such as 70/140 A, settle it better.";
pub const PAIR_FORM: (&str, [&str; 2]) = ("Smaller at", ["1,500 rpm", "1,800 rpm"]);
pub const PAIR_NOTE: &str = "Stamped 14 V 70/140 A, the handbook form reads at 1,800 and 6,000 rpm. A data sheet by ISO 8854 reads at 1,500 and 6,000.";
pub const WARMTH: (&str, [&str; 2]) = ("Rated", ["Settled warm", "Cold"]);
pub const WARMTH_NOTE: &str = "The case and official ratings: settled. A quick bench sheet from the parts counter: cold. Not said counts as settled.";
pub const FAN: (&str, [&str; 4]) = (
    "Where is the fan?",
    [
        "Inside the case",
        "Outside, behind the pulley",
        "Large heavy-duty machine",
        "Not looked yet",
    ],
);
pub const FAN_NOTE: &str = "It tells the speed limit until the maker's own figure is entered.";
pub const FAN_STEPS: [&str; 2] = [
    "Inside: the pulley sits right at the case, which has rows of slots.",
    "Outside: a fan wheel shows between pulley and case.",
];
pub const EXCITATION: (&str, [&str; 3]) = (
    "Turns on by",
    ["Excite wire", "Itself: one wire", "Not looked yet"],
);
pub const EXCITATION_NOTE: &str = "A self-exciting alternator has to be revved once before it charges. One published machine needs 2,000 rpm (US Army TM 5-3895-383-24).";
pub const EXCITATION_STEPS: [&str; 2] = [
    "A thin wire in a plug beside the big stud, live with the ignition on: excite wire.",
    "Nothing but the big cable: self-exciting.",
];
pub const NOMINAL: (&str, [&str; 2]) = ("System", ["12 V", "16 V"]);
pub const NOMINAL_NOTE: &str =
    "16 V: a battery of eight cells. Set-point and rating go up with it.";

pub const TYPICAL_NOTE: &str = "These typical loads stand in. Common practice, no source.";
pub const TYPICAL_HEAD: [&str; 3] = ["Load", "A", "usual"];
pub const TAKE_OVER: &str = "Make this my list";
pub const LOADS_NOTE: &str = "Tap a load to change it. Amps are those at the voltage they were read at; the balance has them at the set-point voltage.";
pub const ADD_LOAD: &str = "Add a load";
pub const PICK_LOAD: &str = "Pick one";
pub const FULL_LOADS: &str =
    "40 loads are the most. Put small ones together under one name, or remove one.";
pub const KIND: (&str, [&str; 4]) = (
    "With less volts",
    [
        "less amps: lamps, coils",
        "far less: fans",
        "the same: pumps",
        "more: electronics",
    ],
);
pub const FOLLOWS: &str = "Grows with engine rpm";
pub const FOLLOWS_NOTE: &str =
    "Ignition and injectors may: the amps are then those at the limiter.";
pub const ON_IN: &str = "On in";
pub const PART_TIME: &str = "Part of the time";
pub const PART_TIME_NOTE: &str = "A fan on a thermostat, brake lamps: share of the phase it is on.";
pub const REMOVE_LOAD: &str = "Remove this load";
pub const TOTAL_NOTE: &str =
    "A clamp-meter total of a phase replaces this list there: see the phases.";

/// One load in the list.
pub fn load_line(current: f64, on: usize, phases: usize) -> String {
    let current = show::current(amps(current));
    if on == phases {
        format!("{current}, always")
    } else {
        format!("{current}, {on} of {phases} phases")
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
    format!("{} to {}", figure(low), figure(high))
}

/// The order in which [`KIND`] names them.
pub const KINDS: [LoadKind; 4] = LoadKind::ALL;

pub const PHASES_NOTE: &str =
    "Tap a phase to say what the engine does, or to enter a clamp-meter total.";
pub const ENGINE_STATE: &str = "The engine";
/// What the engine may do in a phase; the last has a speed of its own.
pub const STATES: [&str; 6] = [
    "is off",
    "idles in neutral",
    "idles in gear",
    "holds launch rpm",
    "runs from launch to shift",
    "holds its own rpm",
];
pub const ADD_PHASE: &str = "Add a phase";
pub const NEW_PHASE: &str = "new phase";
pub const REMOVE_PHASE: &str = "Remove this phase";
pub const FULL_PHASES: &str = "20 phases are the most. Remove one to add another.";
pub const LAST_PHASE: &str = "One phase has to stay.";

/// One phase in the list.
pub fn phase_line(engine: EngineState, clamp: Option<f64>) -> String {
    let engine = super::names::engine_state(engine);
    match clamp {
        Some(current) => format!("{engine}, {} by clamp", show::current(amps(current))),
        None => engine.to_owned(),
    }
}
