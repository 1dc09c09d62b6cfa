//! The diagnosis in words: what it comes from, what speaks for it, what to check next.

use super::{rpm, volts};
use crate::parts::verdict::{Status, Verdict};
use laneside_core::log::diagnose::{Blind, Cause, Check, Diagnosis, Judged, Outcome, Standing};
use laneside_core::log::figures::Lowest;

pub fn speaks_for() -> &'static str {
    say!("What speaks for it")
}
pub fn shared() -> &'static str {
    say!("What speaks for each of them")
}
pub fn against() -> &'static str {
    say!("What speaks against it")
}
pub fn nothing() -> &'static str {
    say!("Nothing speaks against it.")
}
pub fn unopposed() -> &'static str {
    say!("Nothing speaks against")
}
pub fn alike_label() -> &'static str {
    say!("What cannot be told apart here")
}
pub fn next() -> &'static str {
    say!("Check next")
}
pub fn others() -> &'static str {
    say!("Every cause, and how it stands")
}
pub fn blind_label() -> &'static str {
    say!("What does not show here")
}
pub fn caution() -> &'static str {
    say!(
        "Engine off, key out and battery negative off before hands go near the belt. Hands, hair and sleeves off it while it turns. Never disconnect the battery with the engine running. Local rules, the rule book and licensed practice come first."
    )
}

/// A cause as a word of the verdict.
fn word(cause: Cause) -> &'static str {
    say!(match cause {
        Cause::Healthy => "CHARGES WELL",
        Cause::BeltSlip => "BELT SLIPS",
        Cause::BrushFloat => "BRUSHES FLOAT",
        Cause::HeatFade => "HEAT FADE",
        Cause::RpmLoad => "LOAD GROWS",
        Cause::Regulator => "REGULATOR",
        Cause::Commanded => "COMMANDED",
        Cause::LostWire => "WIRE LOST",
        Cause::ReadingPlace => "READING OFF",
        Cause::BatteryAlone => "NOT CHARGING",
        Cause::ShortAtIdle => "SHORT AT IDLE",
        Cause::LoadSteps => "LOADS SWITCH",
        Cause::Overcharge => "OVERCHARGE",
    })
}

/// A cause as the head of its evidence.
pub fn name(cause: Cause) -> &'static str {
    say!(match cause {
        Cause::Healthy => "It charges as it should",
        Cause::BeltSlip => "The belt slips",
        Cause::BrushFloat => "Brushes lift, alternator spun too fast",
        Cause::HeatFade => "Output fades with heat",
        Cause::RpmLoad => "A load that grows with rpm",
        Cause::Regulator => "Regulator faulty, or cut back by heat",
        Cause::Commanded => "A computer asks for another voltage",
        Cause::LostWire => "Exciter or sense wire lost",
        Cause::ReadingPlace => "Where the voltage is read, or its ground",
        Cause::BatteryAlone => "Nothing charges: the battery carries the car",
        Cause::ShortAtIdle => "Too little output at idle",
        Cause::LoadSteps => "Loads switched on and off",
        Cause::Overcharge => "It charges too high",
    })
}

/// A cause within a sentence.
fn within(cause: Cause) -> &'static str {
    say!(match cause {
        Cause::Healthy => "charging as it should",
        Cause::BeltSlip => "belt slip",
        Cause::BrushFloat => "brush float",
        Cause::HeatFade => "heat",
        Cause::RpmLoad => "a load that grows with rpm",
        Cause::Regulator => "the regulator",
        Cause::Commanded => "a commanded voltage",
        Cause::LostWire => "a lost exciter or sense wire",
        Cause::ReadingPlace => "the place of the reading or its ground",
        Cause::BatteryAlone => "the battery alone",
        Cause::ShortAtIdle => "too little output at idle",
        Cause::LoadSteps => "loads switched on and off",
        Cause::Overcharge => "overcharge",
    })
}

/// What a cause means for the racer.
fn meaning(cause: Cause) -> &'static str {
    say!(match cause {
        Cause::Healthy => "Nothing to cure here.",
        Cause::BeltSlip => {
            "Alternator speed falls behind the engine. Cure the belt before the pulley."
        }
        Cause::BrushFloat => "A larger pulley slows the alternator.",
        Cause::HeatFade => "It gives less as it gets hot. Cool it, or ask less of it.",
        Cause::RpmLoad => "Something takes more as rpm rises: pumps, coils, injectors.",
        Cause::Regulator => "It lets the voltage go while the alternator turns.",
        Cause::Commanded => "The engine's computer may lower it on purpose.",
        Cause::LostWire => "It stopped exciting, and a rev may bring it back.",
        Cause::ReadingPlace => "The car may be fine and the reading not.",
        Cause::BatteryAlone => "The day ends when the battery is empty.",
        Cause::ShortAtIdle => "A smaller pulley or a higher idle gives more there.",
        Cause::LoadSteps => "The alternator follows what is switched.",
        Cause::Overcharge => "It cooks the battery. Do not race it so.",
    })
}

fn listed(causes: &[Cause], last: &str) -> String {
    let names: Vec<&str> = causes.iter().map(|cause| within(*cause)).collect();
    match names.split_last() {
        Some((end, [])) => (*end).to_owned(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
        None => String::new(),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The verdict on a pass, or on all of the log.
pub fn verdict(diagnosis: &Diagnosis, lowest: Option<&Lowest>) -> Verdict {
    let (status, word, line) = match &diagnosis.outcome {
        Outcome::PointsTo(causes) => match causes[..] {
            [Cause::Healthy] => (
                Status::Holds,
                word(Cause::Healthy).to_owned(),
                meaning(Cause::Healthy).to_owned(),
            ),
            [one] => (Status::Over, word(one).to_owned(), meaning(one).to_owned()),
            _ => (
                Status::Over,
                say!("{} CAUSES", causes.len()),
                say!("{}: each by itself.", capital(&listed(causes, say!("and")))),
            ),
        },
        Outcome::OneOf(causes) => (
            Status::Close,
            say!("ONE OF {}", causes.len()),
            say!(
                "{}: which of them does not show here.",
                capital(&listed(causes, say!("or")))
            ),
        ),
        Outcome::CannotTell => (
            Status::Close,
            tell!("CANNOT TELL"),
            tell!("What is wrong does not show here. The next check tells."),
        ),
    };
    let figure = lowest.map_or_else(String::new, |lowest| {
        if lowest.rpm.is_finite() && lowest.rpm > 0.0 {
            say!("{} at {}", volts(lowest.volts), rpm(lowest.rpm))
        } else {
            volts(lowest.volts)
        }
    });
    let line = if figure.is_empty() {
        line
    } else {
        say!("At the lowest. {line}")
    };
    Verdict {
        status,
        word,
        figure,
        line,
        action: None,
    }
}

/// The causes of the verdict; where it cannot tell, those that are possible.
pub fn causes(diagnosis: &Diagnosis) -> Vec<&Judged> {
    let is_meant = |judged: &&Judged| match &diagnosis.outcome {
        Outcome::PointsTo(causes) | Outcome::OneOf(causes) => causes.contains(&judged.cause),
        Outcome::CannotTell => judged.standing == Standing::Possible,
    };
    diagnosis.causes.iter().filter(is_meant).collect()
}

/// How a cause stands.
pub fn standing(standing: Standing) -> &'static str {
    say!(match standing {
        Standing::PointsTo => "all points to it",
        Standing::Possible => "possible",
        Standing::CannotTell => "cannot tell",
        Standing::RuledOut => "ruled out",
    })
}

/// Causes that it cannot tell apart.
pub fn alike(causes: &[Cause]) -> String {
    format!("{}.", capital(&listed(causes, say!("and"))))
}

/// The next check, in what to do and what it tells.
pub fn check(check: Check) -> (&'static str, &'static str) {
    match check {
        Check::Belt => (
            say!("Look at the belt"),
            say!(
                "Engine off. Mark belt and pulley across, make a pass, see whether the marks still meet. Look for glaze, dust and a pulley too hot to touch; set the tension."
            ),
        ),
        Check::AlternatorSpeed => (
            say!("Measure alternator speed"),
            say!(
                "Optical tachometer at the alternator pulley, engine held at one rpm. Slower than rpm times the pulley ratio: the belt slips."
            ),
        ),
        Check::Brushes => (
            say!("Look at brushes and slip rings"),
            say!(
                "Short or chipped brushes and burnt rings point to float. A larger pulley for one pass tells as well."
            ),
        ),
        Check::ColdAndHot => (
            say!("Read it cold, then hot"),
            say!("The same rpm and the same loads, cold and right after a pass. Lower hot: heat."),
        ),
        Check::ClampOutput => (
            say!("Clamp the output lead"),
            say!(
                "Amps out of the alternator at low and at high rpm. Falling with the voltage: the alternator. Rising: a load."
            ),
        ),
        Check::ClampLoads => (
            say!("Clamp the loads"),
            say!(
                "Amps of pumps, ignition and fans at low and at high rpm. The one that grows is the load."
            ),
        ),
        Check::MeterAtStud => (
            say!("Meter at the alternator's stud"),
            say!(
                "Stud against its own case, at the rpm where the log falls. Steady there: wiring, ground or the logger."
            ),
        ),
        Check::MeterAtBattery => (
            say!("Meter at the battery's posts"),
            say!(
                "Read it while the logger shows its value. The difference is the logger's, or the wiring's."
            ),
        ),
        Check::DropTest => (
            say!("Measure the drops"),
            say!(
                "With the loads on: alternator case to battery negative, and stud to battery positive. Over 0.2 V on either is too much (common practice)."
            ),
        ),
        Check::ExciterWire => (
            say!("Check exciter and sense wire"),
            say!(
                "Plug seated, voltage there with the engine running. Wiggle it and watch the voltage."
            ),
        ),
        Check::CommandWire => (
            say!("Find out who sets the voltage"),
            say!("If the engine's computer commands it, log its target or duty with the voltage."),
        ),
        Check::IdleOutput => (
            say!("Measure output at idle"),
            say!(
                "Clamp the output lead at idle with the lanes' loads on. Raise idle by 200 rpm: if the voltage comes up, it is speed."
            ),
        ),
        Check::SwitchLoads => (
            say!("Switch the loads one at a time"),
            say!("At steady rpm. The step that matches the log is the load."),
        ),
        Check::LogAgain => (
            say!("Log it again"),
            say!(
                "Faster, from idle to shutdown, and with one more channel: alternator speed or current."
            ),
        ),
    }
}

/// What a log could not be asked.
pub fn blind(blind: Blind) -> &'static str {
    say!(match blind {
        Blind::NoIdle => "No idle in it: nothing is said about idle.",
        Blind::NoHighSpeed => "No high rpm in it: nothing is said about the far end.",
        Blind::SlowForGears => {
            "Too slow for what happens within a gear: 20 samples a second are needed."
        }
        Blind::SlowForRaggedness => "Too slow to see a ragged voltage: float and slip look alike.",
        Blind::ShortForHeat => "Too short for heat to show.",
        Blind::Coarse => "The logger's steps are as large as what is looked for.",
        Blind::Chemistry => "With this battery the voltage alone says little.",
        Blind::Nominal => {
            "A 12 V or a 16 V system? This voltage goes with both: say which at the car."
        }
        Blind::Samples => "Too few samples with both rpm and voltage.",
    })
}
