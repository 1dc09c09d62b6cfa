//! The words of the page Swap: the job card.

mod texts;

pub use texts::*;

use crate::words::{belt, log, names, pass};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::car::swap::{Band, JobCard, Serving, Task};
use laneside_core::drive::{Hub, Pulley};
use laneside_core::job::{Changed, Part, PointsTo, Reading, Standing, Told};
use laneside_core::quantity::{mm, show};

/// The heading of a part.
pub fn part(part: Part) -> &'static str {
    say!(match part {
        Part::Bring => "To bring",
        Part::Before => "Before: engine warm and running",
        Part::Off => "The work: engine off",
        Part::Again => "Running again",
    })
}

/// The caution over a part; may be empty.
pub fn part_caution(card: &JobCard, part: Part) -> String {
    match part {
        Part::Bring => String::new(),
        Part::Before => tell!(
            "Running: hands, hair, sleeves and meter leads off belt and fan. In neutral, brake on, wheels chocked, in the open. Never disconnect the battery with the engine running."
        ),
        Part::Off if card.lithium => tell!(
            "Battery negative off first and on last. Key in your pocket. Lithium only on its own charger."
        ),
        Part::Off => tell!("Battery negative off first and on last. Key in your pocket."),
        Part::Again => tell!("Nobody in line with the belt. Hands, hair and sleeves off it."),
    }
}

/// Sizes of both pulleys, off and on.
fn pulleys(car: &Car, card: &JobCard) -> (String, String) {
    let off = card.from.as_ref();
    (
        off.map_or_else(|| tell!("as fitted"), |off| names::size(car, off)),
        names::size(car, &card.to),
    )
}

/// What the card is for, in one line.
pub fn job(car: &Car, card: &JobCard) -> String {
    let (off, on) = pulleys(car, card);
    let crank = card.to_crank.as_ref().map_or_else(String::new, |crank| {
        say!(" Crank pulley {} on, too.", names::size(car, crank))
    });
    say!("{off} off, {on} on.{crank}")
}

/// Which pulley the card would be for.
pub fn to_put_on(car: &Car, pulley: &Pulley) -> String {
    say!(
        "For: {} off, {} on.",
        names::fitted(car),
        names::tried(car, pulley)
    )
}

/// When and by what it was made.
pub fn made(card: &JobCard) -> String {
    say!(
        "Made {} by Laneside {}. What it expects stays as it was then.",
        card.made,
        card.version
    )
}

/// How many boxes are ticked.
pub fn progress((ticked, all): (usize, usize)) -> String {
    say!("{ticked} of {all} boxes ticked")
}

/// That it was done.
pub fn done(car: &Car, card: &JobCard, on: &str) -> String {
    say!("{} is on since {on}.", pulleys(car, card).1)
}

/// What is otherwise by now.
pub fn changed(changed: Changed) -> String {
    let said = [
        (changed.pulleys, say!("other pulleys are chosen")),
        (
            changed.belt,
            say!("another belt serves, or it sits elsewhere"),
        ),
        (
            changed.expected,
            say!("the car's entries expect other readings"),
        ),
        (changed.version, say!("this is another version of the app")),
    ];
    let said: Vec<&str> = said
        .into_iter()
        .filter_map(|(is_so, what)| is_so.then_some(what))
        .collect();
    say!("Since this card was made: {}.", said.join("; "))
}

/// A box: what is done, and what to beware of, which may be empty.
pub fn task(car: &Car, card: &JobCard, task: Task) -> (String, String) {
    let plain = |what: &str, beware: &str| (what.to_owned(), beware.to_owned());
    match task {
        Task::BringPulley => (
            say!("Pulley {}, its nut and washers", pulleys(car, card).1),
            String::new(),
        ),
        Task::BringCrankPulley => {
            let size = card.to_crank.as_ref().map(|crank| names::size(car, crank));
            (
                say!("Crank pulley {}, its bolts", size.unwrap_or_default()),
                String::new(),
            )
        }
        Task::BringBelt => belt(car, card),
        Task::BringWrenches => plain(
            say!("Socket for the shaft nut, wrench for tensioner or adjuster"),
            "",
        ),
        Task::BringShaftHold => plain(
            say!(
                "What holds the shaft still: a key in its end, or a strap; a puller if it is pressed on"
            ),
            "",
        ),
        Task::BringTorque => plain(
            say!("Torque wrench, and the maker's figure for the nut"),
            "",
        ),
        Task::BringStraightedge => plain(say!("Straightedge, caliper, marker"), ""),
        Task::BringMeter => plain(say!("Meter that shows hundredths of a volt"), ""),
        Task::BringClamp => plain(say!("Clamp meter for direct current"), ""),
        Task::BringGlasses => plain(say!("Safety glasses; no rings, no loose sleeves"), ""),
        Task::ReadBefore => (revved(card, 0, say!("Readings taken")), String::new()),
        Task::EngineOff => plain(say!("Engine off, key out, cooled down to hand-warm"), ""),
        Task::NegativeOff => plain(
            say!("Master switch off. Battery negative off, first of all; tied back"),
            say!("Never with the engine running."),
        ),
        Task::SketchBelt => plain(say!("Belt's way in a picture, its direction marked"), ""),
        Task::SlackenBelt => plain(
            say!("Tensioner eased or adjuster slackened, belt off"),
            say!("A spring tensioner snaps back: ease it with its tool, fingers out of its reach."),
        ),
        Task::NutOff => plain(
            say!("Nut off, the shaft held still; washers kept in order"),
            say!("Never hold it by the fan."),
        ),
        Task::Compare => (
            say!(
                "Old beside new: ribs, bore, depth, {}",
                say!(match card.hub {
                    Hub::Solid => "both solid",
                    Hub::OneWay => "one-way as before",
                })
            ),
            tell!("If one differs, stop: it does not go on."),
        ),
        Task::PulleyOn => plain(
            say!("New pulley on and seated, washers as before, fan clear"),
            "",
        ),
        Task::NutTorque => plain(
            say!("Nut to the maker's torque"),
            say!("This tool gives no torque."),
        ),
        Task::CrankPulleyOn => plain(
            say!("Crank pulley swapped, bolts to the maker's torque"),
            say!("It turns all else on its belt, too."),
        ),
        Task::Align => plain(
            say!("Straightedge across the pulleys: ribs in one plane"),
            "",
        ),
        Task::BeltOn => plain(say!("Belt on, every rib in its groove"), ""),
        Task::TensionBelt => (tension(car, card), String::new()),
        Task::TurnByHand => plain(
            say!("Turned by hand, two whole turns: belt runs true, nothing touches"),
            say!("By a wrench on the crank bolt; fingers off the belt."),
        ),
        Task::ClearTools => plain(say!("Tools and rags out, guards back"), ""),
        Task::NegativeOn => plain(say!("Battery negative on, last of all"), ""),
        Task::FirstStart => (
            revved(card, 1, say!("Started; nothing squeals, rubs or wanders")),
            tell!("Off at once if the belt wanders or the volts climb."),
        ),
        Task::ReadAfter => plain(say!("Readings taken, engine warm"), ""),
        Task::MasterSwitch => plain(
            say!(
                "Master switch checked as the rule book says: it stops the engine and the alternator's feed"
            ),
            "",
        ),
        Task::BeltAgain => plain(
            say!("Belt tension and nut again, once hot and cold"),
            say!("Engine off, key out."),
        ),
        Task::NextLog => plain(say!("Next log kept"), ""),
    }
}

/// The belt to bring.
fn belt(car: &Car, card: &JobCard) -> (String, String) {
    let Some(belt) = &card.belt else {
        return (
            tell!(
                "Belt: length not known. Measure it on the page Belt; bring the next lengths both ways."
            ),
            String::new(),
        );
    };
    let length = |length| show::length(mm(length), car.units).to_string();
    let called = belt.bring.clone().or(belt.length_mm.map(length));
    let sure = say!(if belt.certain {
        ""
    } else {
        "Not certain: bring the next lengths both ways."
    });
    let (what, beware) = match (belt.serving, called) {
        (Serving::OwnBelt, None) => (tell!("the one on the car serves"), sure),
        (Serving::OwnBelt, Some(called)) => {
            (say!("{called}, the one on the car or its like"), sure)
        }
        (Serving::NothingMoves, Some(called)) => (
            say!("of just this length, {called}, since nothing moves"),
            "",
        ),
        (Serving::Another, Some(called)) => (called, sure),
        (Serving::None | Serving::Another | Serving::NothingMoves, _) => (
            tell!("none of the usual lengths serves"),
            say!("Settle that first, on the page Belt."),
        ),
    };
    (say!("Belt: {what}"), beware.to_owned())
}

/// How tight the belt is to be, and where the tensioner ends up.
fn tension(car: &Car, card: &JobCard) -> String {
    let bought = card.belt.as_ref();
    let at = bought.and_then(|belt| belt.of_travel).map(|of| {
        let percent = show::fixed(100.0 * of, 0);
        say!(", expected at {percent}\u{a0}% of its travel")
    });
    let wanted = bought.and_then(|belt| belt.tension_n).map(|wanted| {
        let force = |newtons| belt::force(newtons, car.units);
        let (low, high) = (force(wanted.low), force(wanted.high));
        say!(", grip asks for {low} to {high} at rest")
    });
    say!(
        "Tension set{}; tensioner between its marks{}",
        wanted.unwrap_or_default(),
        at.unwrap_or_default()
    )
}

/// To rev it once so that it turns on.
fn revved(card: &JobCard, side: usize, what: &str) -> String {
    say!(
        "{what}. Rev once past {} first, or it may not charge",
        log::rpm(pass::rev_past(card.side(side).expected.turn_on_rpm))
    )
}

/// What a reading is called.
pub fn reading(card: &JobCard, reading: Reading) -> String {
    match reading {
        Reading::Idle => tell!("Idle"),
        Reading::FastIdle => say!("Fast idle, {}", log::rpm(card.fast_idle_rpm)),
        Reading::AllOn => tell!("Fast idle, everything on"),
        Reading::LeadDrop => tell!("Drop, charge lead"),
        Reading::GroundDrop => tell!("Drop, ground side"),
    }
}

/// What is on, for a reading.
fn with(card: &JobCard, reading: Reading) -> String {
    let phase = |id: &Option<String>| id.as_deref().map(|id| names::phase_id(id).to_owned());
    match reading {
        Reading::Idle | Reading::FastIdle => {
            phase(&card.idle_as).map_or_else(String::new, |phase| say!("what runs in the {phase}."))
        }
        Reading::AllOn => phase(&card.all_on_as).map_or_else(
            || tell!("every load, but never transbrake or nitrous."),
            |phase| say!("all that the clamp total of the {phase} counts."),
        ),
        Reading::LeadDrop | Reading::GroundDrop => String::new(),
    }
}

/// From a low to a high number with one unit.
fn ends(band: Band, decimals: u8, unit: &str) -> String {
    let (low, high) = (
        show::fixed(band.low, decimals),
        show::fixed(band.high, decimals),
    );
    if low == high {
        format!("{low}\u{a0}{unit}")
    } else {
        say!("{low} to {high}\u{a0}{unit}")
    }
}

/// What is expected of a reading, on paper.
pub fn printed_band(card: &JobCard, side: usize, reading: Reading) -> String {
    let at = if reading.is_drop() {
        say!(" at {}\u{a0}A", show::fixed(card.drop_amps(side), 0))
    } else {
        String::new()
    };
    format!("{}{at}", band(card, side, reading))
}

/// What is on in all readings, on paper.
pub fn what_is_on(card: &JobCard) -> String {
    say!(
        "On at idle and fast idle: {} Everything: {}",
        with(card, Reading::Idle),
        with(card, Reading::AllOn)
    )
}

/// What is expected of a reading, in short.
fn band(card: &JobCard, side: usize, reading: Reading) -> String {
    ends(card.expected(side, reading), 2, "V")
}

/// The current that is expected.
pub fn amps(card: &JobCard, side: usize) -> String {
    ends(card.side(side).expected.at_a, 0, "A")
}

/// What is expected of a reading.
pub fn expected(card: &JobCard, side: usize, reading: Reading) -> String {
    let on = with(card, reading);
    let on = if on.is_empty() { on } else { say!(" On: {on}") };
    say!("Expected: {}.{on}", printed_band(card, side, reading))
}

/// What is expected of the current.
pub fn expected_amps(card: &JobCard, side: usize) -> String {
    say!(
        "Expected: {}. The drops are held against what you read.",
        amps(card, side)
    )
}

/// What a reading means.
pub fn told(told: &Told) -> String {
    let mohm = told.mohm.map_or_else(String::new, |mohm| {
        say!(" That is {}\u{a0}mΩ.", show::fixed(mohm, 1))
    });
    let standing = say!(match told.standing {
        Standing::Within => "As expected.",
        Standing::Under => "Under what is expected.",
        Standing::Over => "Over what is expected.",
    });
    let points: Vec<&str> = told.points_to.iter().copied().map(points_to).collect();
    let points = if points.is_empty() {
        String::new()
    } else {
        format!(" {}", points.join(" "))
    };
    format!("{standing}{mohm}{points}")
}

fn points_to(points_to: PointsTo) -> &'static str {
    say!(match points_to {
        PointsTo::NotCharging => {
            "Nothing charges: not revved past turn-on, belt off or slipping, charge lead or its fuse open."
        }
        PointsTo::SlowAtIdle => "Too slow at idle: idle lower than entered, or the belt slips.",
        PointsTo::MoreLoad => "Or more draws than entered, or the alternator gives less.",
        PointsTo::LowSetPoint => "The regulator holds less than entered, or the belt slips.",
        PointsTo::HighSetPoint => "The regulator holds more than entered: enter what it read.",
        PointsTo::Overcharge => {
            "Stop the engine: this overcharges. The regulator, or its sense wire."
        }
        PointsTo::LithiumCeiling => {
            "Stop the engine: over the lithium ceiling the battery may cut itself off, and the surge destroys electronics."
        }
        PointsTo::PoorLead => "A poor joint, or too thin a cable, between stud and battery.",
        PointsTo::PoorGround => "A poor joint between battery negative and alternator case.",
        PointsTo::LessCurrent => "Less current flowed, or the meter was not from end to end.",
        PointsTo::OverPractice => {
            "More than 0.3\u{a0}V at 30\u{a0}A, the most that a carmaker's manual allows."
        }
    })
}

/// The label of a field of the card or the history.
pub fn label(field: Field) -> &'static str {
    say!(match field {
        Field::CardVolts(0) => "idle, before",
        Field::CardVolts(1) => "fast idle, before",
        Field::CardVolts(2) => "everything on, before",
        Field::CardVolts(3) => "idle, after",
        Field::CardVolts(4) => "fast idle, after",
        Field::CardVolts(_) => "everything on, after",
        Field::CardDrop(0) => "charge lead, before",
        Field::CardDrop(1) => "ground side, before",
        Field::CardDrop(2) => "charge lead, after",
        Field::CardDrop(_) => "ground side, after",
        Field::CardAmps(0) => "amps, before",
        Field::CardAmps(_) => "amps, after",
        Field::CardNotes | Field::HistoryNotes(_) => notes(),
        _ => "",
    })
}
