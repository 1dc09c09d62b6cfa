//! The words of the page Swap: the job card.

use crate::words::{belt, log, names};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::car::swap::{Band, JobCard, Serving, Task};
use laneside_core::drive::{Hub, Pulley};
use laneside_core::job::{Changed, Part, PointsTo, Reading, Standing, Told};
use laneside_core::quantity::{mm, show};

pub const ANSWERS: &str = "Swap makes a job card for the pulley: what to bring, the steps in order, and what a meter reads before and after.";
pub const NEEDS: &str = "Needed: the car's pulleys, alternator and loads first.";
pub const NEEDS_PULLEY: &str = "Needed: a pulley to put on. Choose it first.";
pub const ENTER: &str = "Enter the car";
pub const CHOOSE: &str = "Choose the pulley";
pub const MAKE: &str = "Make the job card";
pub const PRACTICE: &str = "The rule book, local rules and licensed practice come first. Whoever does not do this often has it done.";
pub const PRINT: &str = "Print the card";
pub const AWAKE: &str = "The screen stays on while this page is open.";
pub const ASLEEP: &str =
    "This browser cannot keep the screen on: set the phone to stay awake. The boxes stay ticked.";
pub const REMAKE: &str = "Make the card anew";
pub const REMAKE_NOTE: &str = "Readings and boxes that still hold stay, notes too.";
pub const DONE_WORDS: &str = "The new pulley is on";
pub const DONE_ASK: &str =
    "It counts as the pulley on the car from here on, and a line goes into the history.";
pub const DONE_SURE: &str = "Yes, it is on the car";
pub const TAKE_BACK: &str = "Take it back";
pub const FULL: &str = "The history is full: delete an entry below first.";
pub const PUT_AWAY: &str = "Put this card away";
pub const GONE: &str = "The job card is put away.";
pub const UNDO: &str = "Undo";
pub const CLOSE: &str = "Close";
pub const LOG: &str = "Read the next log";
pub const LOG_NOTE: &str =
    "Drive it as before, then hold the log against the one from before the swap.";
pub const NEXT: &str = "Make the next card";
pub const REMEASURE: &str =
    "The belt drive was measured with the old pulley: the tensioner stands elsewhere now.";
pub const BELT: &str = "Measure the belt";
pub const SIDES: [&str; 2] = ["Before", "After"];
pub const READINGS: &str = "Readings";
pub const PRINTED: [&str; 5] = ["Reading", "before", "read", "after", "read"];
pub const NOTES: &str = "Notes";
pub const METER: &str = "Meter on the battery's posts. Drops: meter from end to end, everything on, amps by a clamp on the charge lead.";
pub const SOURCES: &str = "Expected, 95 of 100 times: from a hot machine to a cold one, with the spread of the car's entries and of the meters. Fast idle, tools and steps: common practice, no source.";

/// The heading of a part.
pub const fn part(part: Part) -> &'static str {
    match part {
        Part::Bring => "To bring",
        Part::Before => "Before: engine warm and running",
        Part::Off => "The work: engine off",
        Part::Again => "Running again",
    }
}

/// The caution over a part; may be empty.
pub fn part_caution(card: &JobCard, part: Part) -> String {
    match part {
        Part::Bring => String::new(),
        Part::Before => "Running: hands, hair, sleeves and meter leads off belt and fan. In neutral, brake on, wheels chocked, in the open. Never disconnect the battery with the engine running.".to_owned(),
        Part::Off if card.lithium => "Battery negative off first and on last. Key in your pocket. Lithium only on its own charger.".to_owned(),
        Part::Off => "Battery negative off first and on last. Key in your pocket.".to_owned(),
        Part::Again => "Nobody in line with the belt. Hands, hair and sleeves off it.".to_owned(),
    }
}

/// Sizes of both pulleys, off and on.
fn pulleys(car: &Car, card: &JobCard) -> (String, String) {
    let off = card.from.as_ref();
    (
        off.map_or_else(|| "as fitted".to_owned(), |off| names::size(car, off)),
        names::size(car, &card.to),
    )
}

/// What the card is for, in one line.
pub fn job(car: &Car, card: &JobCard) -> String {
    let (off, on) = pulleys(car, card);
    let crank = card.to_crank.as_ref().map_or_else(String::new, |crank| {
        format!(" Crank pulley {} on, too.", names::size(car, crank))
    });
    format!("{off} off, {on} on.{crank}")
}

/// Which pulley the card would be for.
pub fn to_put_on(car: &Car, pulley: &Pulley) -> String {
    format!(
        "For: {} off, {} on.",
        names::fitted(car),
        names::tried(car, pulley)
    )
}

/// When and by what it was made.
pub fn made(card: &JobCard) -> String {
    format!(
        "Made {} by Laneside {}. What it expects stays as it was then.",
        card.made, card.version
    )
}

/// How many boxes are ticked.
pub fn progress((ticked, all): (usize, usize)) -> String {
    format!("{ticked} of {all} boxes ticked")
}

/// That it was done.
pub fn done(car: &Car, card: &JobCard, on: &str) -> String {
    format!("{} is on since {on}.", pulleys(car, card).1)
}

/// What is otherwise by now.
pub fn changed(changed: Changed) -> String {
    let said = [
        (changed.pulleys, "other pulleys are chosen"),
        (changed.belt, "another belt serves, or it sits elsewhere"),
        (changed.expected, "the car's entries expect other readings"),
        (changed.version, "this is another version of the app"),
    ];
    let said: Vec<&str> = said
        .into_iter()
        .filter_map(|(is_so, what)| is_so.then_some(what))
        .collect();
    format!("Since this card was made: {}.", said.join("; "))
}

/// A box: what is done, and what to beware of, which may be empty.
pub fn task(car: &Car, card: &JobCard, task: Task) -> (String, String) {
    let plain = |what: &str, beware: &str| (what.to_owned(), beware.to_owned());
    match task {
        Task::BringPulley => (
            format!("Pulley {}, its nut and washers", pulleys(car, card).1),
            String::new(),
        ),
        Task::BringCrankPulley => {
            let size = card.to_crank.as_ref().map(|crank| names::size(car, crank));
            (
                format!("Crank pulley {}, its bolts", size.unwrap_or_default()),
                String::new(),
            )
        }
        Task::BringBelt => belt(car, card),
        Task::BringWrenches => plain(
            "Socket for the shaft nut, wrench for tensioner or adjuster",
            "",
        ),
        Task::BringShaftHold => plain(
            "What holds the shaft still: a key in its end, or a strap; a puller if it is pressed on",
            "",
        ),
        Task::BringTorque => plain("Torque wrench, and the maker's figure for the nut", ""),
        Task::BringStraightedge => plain("Straightedge, caliper, marker", ""),
        Task::BringMeter => plain("Meter that shows hundredths of a volt", ""),
        Task::BringClamp => plain("Clamp meter for direct current", ""),
        Task::BringGlasses => plain("Safety glasses; no rings, no loose sleeves", ""),
        Task::ReadBefore => (revved(card, 0, "Readings taken"), String::new()),
        Task::EngineOff => plain("Engine off, key out, cooled down to hand-warm", ""),
        Task::NegativeOff => plain(
            "Master switch off. Battery negative off, first of all; tied back",
            "Never with the engine running.",
        ),
        Task::SketchBelt => plain("Belt's way in a picture, its direction marked", ""),
        Task::SlackenBelt => plain(
            "Tensioner eased or adjuster slackened, belt off",
            "A spring tensioner snaps back: ease it with its tool, fingers out of its reach.",
        ),
        Task::NutOff => plain(
            "Nut off, the shaft held still; washers kept in order",
            "Never hold it by the fan.",
        ),
        Task::Compare => (
            format!(
                "Old beside new: ribs, bore, depth, {}",
                match card.hub {
                    Hub::Solid => "both solid",
                    Hub::OneWay => "one-way as before",
                }
            ),
            "If one differs, stop: it does not go on.".to_owned(),
        ),
        Task::PulleyOn => plain("New pulley on and seated, washers as before, fan clear", ""),
        Task::NutTorque => plain("Nut to the maker's torque", "This tool gives no torque."),
        Task::CrankPulleyOn => plain(
            "Crank pulley swapped, bolts to the maker's torque",
            "It turns all else on its belt, too.",
        ),
        Task::Align => plain("Straightedge across the pulleys: ribs in one plane", ""),
        Task::BeltOn => plain("Belt on, every rib in its groove", ""),
        Task::TensionBelt => (tension(car, card), String::new()),
        Task::TurnByHand => plain(
            "Turned by hand, two whole turns: belt runs true, nothing touches",
            "By a wrench on the crank bolt; fingers off the belt.",
        ),
        Task::ClearTools => plain("Tools and rags out, guards back", ""),
        Task::NegativeOn => plain("Battery negative on, last of all", ""),
        Task::FirstStart => (
            revved(card, 1, "Started; nothing squeals, rubs or wanders"),
            "Off at once if the belt wanders or the volts climb.".to_owned(),
        ),
        Task::ReadAfter => plain("Readings taken, engine warm", ""),
        Task::MasterSwitch => plain(
            "Master switch checked as the rule book says: it stops the engine and the alternator's feed",
            "",
        ),
        Task::BeltAgain => plain(
            "Belt tension and nut again, once hot and cold",
            "Engine off, key out.",
        ),
        Task::NextLog => plain("Next log kept", ""),
    }
}

/// The belt to bring.
fn belt(car: &Car, card: &JobCard) -> (String, String) {
    let Some(belt) = &card.belt else {
        return (
            "Belt: length not known. Measure it on the page Belt; bring the next lengths both ways."
                .to_owned(),
            String::new(),
        );
    };
    let length = |length| show::length(mm(length), car.units).to_string();
    let called = belt.bring.clone().or(belt.length_mm.map(length));
    let sure = if belt.certain {
        ""
    } else {
        "Not certain: bring the next lengths both ways."
    };
    let (what, beware) = match (belt.serving, called) {
        (Serving::OwnBelt, None) => ("the one on the car serves".to_owned(), sure),
        (Serving::OwnBelt, Some(called)) => {
            (format!("{called}, the one on the car or its like"), sure)
        }
        (Serving::NothingMoves, Some(called)) => (
            format!("of just this length, {called}, since nothing moves"),
            "",
        ),
        (Serving::Another, Some(called)) => (called, sure),
        (Serving::None | Serving::Another | Serving::NothingMoves, _) => (
            "none of the usual lengths serves".to_owned(),
            "Settle that first, on the page Belt.",
        ),
    };
    (format!("Belt: {what}"), beware.to_owned())
}

/// How tight the belt is to be, and where the tensioner ends up.
fn tension(car: &Car, card: &JobCard) -> String {
    let bought = card.belt.as_ref();
    let at = bought.and_then(|belt| belt.of_travel).map(|of| {
        let percent = show::fixed(100.0 * of, 0);
        format!(", expected at {percent}\u{a0}% of its travel")
    });
    let wanted = bought.and_then(|belt| belt.tension_n).map(|wanted| {
        let force = |newtons| belt::force(newtons, car.units);
        let (low, high) = (force(wanted.low), force(wanted.high));
        format!(", grip asks for {low} to {high} at rest")
    });
    format!(
        "Tension set{}; tensioner between its marks{}",
        wanted.unwrap_or_default(),
        at.unwrap_or_default()
    )
}

/// To rev it once so that it turns on.
fn revved(card: &JobCard, side: usize, what: &str) -> String {
    format!(
        "{what}. Rev once past {} first, or it may not charge",
        log::rpm(up(card.side(side).expected.turn_on_rpm))
    )
}

/// The next hundred.
fn up(rpm: f64) -> f64 {
    (rpm / 100.0).ceil() * 100.0
}

/// What a reading is called.
pub fn reading(card: &JobCard, reading: Reading) -> String {
    match reading {
        Reading::Idle => "Idle".to_owned(),
        Reading::FastIdle => format!("Fast idle, {}", log::rpm(card.fast_idle_rpm)),
        Reading::AllOn => "Fast idle, everything on".to_owned(),
        Reading::LeadDrop => "Drop, charge lead".to_owned(),
        Reading::GroundDrop => "Drop, ground side".to_owned(),
    }
}

/// The current of the drops.
pub const AMPS: &str = "Amps meanwhile";

/// What is on, for a reading.
fn with(card: &JobCard, reading: Reading) -> String {
    let phase = |id: &Option<String>| id.as_deref().map(|id| names::phase_id(id).to_owned());
    match reading {
        Reading::Idle | Reading::FastIdle => phase(&card.idle_as)
            .map_or_else(String::new, |phase| format!("what runs in the {phase}.")),
        Reading::AllOn => phase(&card.all_on_as).map_or_else(
            || "every load, but never transbrake or nitrous.".to_owned(),
            |phase| format!("all that the clamp total of the {phase} counts."),
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
        format!("{low} to {high}\u{a0}{unit}")
    }
}

/// What is expected of a reading, on paper.
pub fn printed_band(card: &JobCard, side: usize, reading: Reading) -> String {
    let at = if reading.is_drop() {
        format!(" at {}\u{a0}A", show::fixed(card.drop_amps(side), 0))
    } else {
        String::new()
    };
    format!("{}{at}", band(card, side, reading))
}

/// What is on in all readings, on paper.
pub fn what_is_on(card: &JobCard) -> String {
    format!(
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
    let on = if on.is_empty() {
        on
    } else {
        format!(" On: {on}")
    };
    format!("Expected: {}.{on}", printed_band(card, side, reading))
}

/// What is expected of the current.
pub fn expected_amps(card: &JobCard, side: usize) -> String {
    format!(
        "Expected: {}. The drops are held against what you read.",
        amps(card, side)
    )
}

/// What a reading means.
pub fn told(told: &Told) -> String {
    let mohm = told.mohm.map_or_else(String::new, |mohm| {
        format!(" That is {}\u{a0}mΩ.", show::fixed(mohm, 1))
    });
    let standing = match told.standing {
        Standing::Within => "As expected.",
        Standing::Under => "Under what is expected.",
        Standing::Over => "Over what is expected.",
    };
    let points: Vec<&str> = told.points_to.iter().copied().map(points_to).collect();
    let points = if points.is_empty() {
        String::new()
    } else {
        format!(" {}", points.join(" "))
    };
    format!("{standing}{mohm}{points}")
}

const fn points_to(points_to: PointsTo) -> &'static str {
    match points_to {
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
    }
}

/// The label of a field of the card or the history.
pub const fn label(field: Field) -> &'static str {
    match field {
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
        Field::CardNotes | Field::HistoryNotes(_) => NOTES,
        _ => "",
    }
}
