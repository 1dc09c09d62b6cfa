//! The card of questions for the seller, in words.

use crate::parts::verdict::{Status as Form, Verdict};
use laneside_core::belt::{
    Answered, BeltStudy, BoltOn, BuyVerdict, FanTurns, Section, Topic, alternator_turns,
    misaligned_mm, shorter_span_mm,
};
use laneside_core::car::Car;
use laneside_core::drive::{Belt, Hub};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::plain;

/// Which way the pulley's fan is made to turn.
pub const FANS: (&str, [&str; 4]) = note!((
    "Its fan turns",
    ["not said", "clockwise", "counter-clockwise", "either way"],
));
/// One-way or solid.
pub const HUBS: (&str, [&str; 3]) = note!(("It is", ["not said", "solid", "one-way"]));

/// What all answers together say.
pub fn buy(card: &BoltOn) -> Verdict {
    let open = card
        .questions
        .iter()
        .filter(|one| one.answered.is_open())
        .count();
    let (status, word, line) = match card.verdict {
        BuyVerdict::DoNotBuy => (
            Form::Over,
            say!("DO NOT BUY"),
            tell!("What is marked does not fit your car."),
        ),
        BuyVerdict::DoNotBuyYet => (
            Form::Blank,
            say!("DO NOT BUY YET"),
            say!("{open} questions are open."),
        ),
        BuyVerdict::BoltsOn => (
            Form::Holds,
            say!("BOLTS ON"),
            tell!("Every answer fits. Check alignment with a straightedge once it is on."),
        ),
    };
    Verdict {
        status,
        word: word.to_owned(),
        figure: String::new(),
        line,
        action: None,
    }
}

fn answered(answered: Answered) -> &'static str {
    say!(match answered {
        Answered::Fits => "fits",
        Answered::DoesNotFit => "DOES NOT FIT",
        Answered::MeasureCar => "measure your car",
        Answered::AskSeller => "ask",
        Answered::Both => "ask, and measure",
        Answered::NoMatter => "does not matter",
    })
}

fn section(section: Option<Section>) -> String {
    match section {
        Some(Section::VRibbed { ribs }) => say!("{ribs} ribs, PK"),
        Some(Section::V) => "V".to_owned(),
        None => String::new(),
    }
}

fn turns(turns: Option<FanTurns>) -> &'static str {
    say!(match turns {
        Some(FanTurns::Clockwise) => "clockwise",
        Some(FanTurns::CounterClockwise) => "counter-clockwise",
        Some(FanTurns::Either) => "either way",
        None => "",
    })
}

fn hub(hub: Option<Hub>) -> &'static str {
    say!(match hub {
        Some(Hub::Solid) => "solid",
        Some(Hub::OneWay) => "one-way",
        None => "",
    })
}

/// The questions, each with the car's side, the pulley's and how it stands.
pub fn seller_rows(car: &Car, belt: Option<&BeltStudy>, card: &BoltOn) -> Vec<Vec<String>> {
    let (shaft, offered) = (&car.belt_drive.shaft, &car.belt_drive.offered);
    let fine = |mm: Option<f64>| {
        mm.map_or_else(String::new, |mm| {
            plain::show(mm, Kind::Fine, car.units).to_string()
        })
    };
    let own_section = match car.drive.belt {
        Belt::Other => Some(Section::V),
        Belt::VRibbed => car.belt_drive.ribs.map(|ribs| Section::VRibbed { ribs }),
    };
    let offered_section = offered.ribs.map(|ribs| match ribs {
        0 => Section::V,
        ribs => Section::VRibbed { ribs },
    });
    let drive = &car.belt_drive;
    let own_fan = (!drive.pulleys.is_empty()).then(|| alternator_turns(drive));
    let row = |topic: Topic| -> (&'static str, String, String) {
        match topic {
            Topic::Profile => (
                say!("Which profile, how many ribs?"),
                section(own_section),
                section(offered_section),
            ),
            Topic::Bore => (
                say!("What bore?"),
                fine(shaft.bore_mm),
                fine(offered.bore_mm),
            ),
            Topic::Nut => (
                say!("Which nut does it take?"),
                shaft.nut.clone().unwrap_or_default(),
                offered.nut.clone().unwrap_or_default(),
            ),
            Topic::Offset => (
                say!("Offset, face to middle of the ribs?"),
                fine(shaft.offset_mm),
                fine(offered.offset_mm),
            ),
            Topic::Nose => (
                say!("How far does it reach forward?"),
                fine(shaft.nose_mm),
                fine(offered.nose_mm),
            ),
            Topic::Around => (
                say!("Outside diameter, over the rims?"),
                fine(shaft.room_mm),
                fine(offered.outside_mm),
            ),
            Topic::Fan => (
                say!("Which way is its fan made to turn?"),
                turns(own_fan).to_owned(),
                turns(offered.fan).to_owned(),
            ),
            Topic::Hub => (
                say!("Solid or one-way?"),
                hub(Some(car.drive.hub)).to_owned(),
                hub(offered.hub).to_owned(),
            ),
        }
    };
    let filled = |text: String| {
        if text.is_empty() {
            "?".to_owned()
        } else {
            text
        }
    };
    let mut rows: Vec<Vec<String>> = card
        .questions
        .iter()
        .map(|one| {
            let (ask, own, theirs) = row(one.topic);
            vec![
                ask.to_owned(),
                filled(own),
                filled(theirs),
                answered(one.answered).to_owned(),
            ]
        })
        .collect();
    let span = shorter_span_mm(belt);
    if let Some(offset) = rows.get_mut(3) {
        offset[0] = say!(
            "{} (within {})",
            offset[0],
            plain::show(misaligned_mm(span), Kind::Fine, car.units)
        );
    }
    rows
}
