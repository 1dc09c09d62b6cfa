//! The verdict of the page Belt: at most a few sentences.

use super::{errors, force, length, settled, signed, with_spread};
use crate::parts::verdict::{Status as Form, Verdict};
use laneside_core::belt::{BeltStudy, Passing, Serves};
use laneside_core::car::Car;
use laneside_core::data::belt_memory::FLAP_MM;
use laneside_core::finding::Status;
use laneside_core::quantity::{System, show};

/// What the drive comes to with the pulley to try.
pub fn verdict(car: &Car, belt: &BeltStudy) -> Verdict {
    let units = car.units;
    let clearance = belt.clearance_status(true);
    let grip = belt.tried.status();
    let nearest = nearest(belt);
    let (bring, carry) = carry(car, belt);
    let over = |word: &str, figure: String, line: String| Verdict {
        status: Form::Over,
        word: word.to_owned(),
        figure,
        line,
        action: None,
    };
    if let Some(error) = &belt.not_tried {
        let line = errors::lay(car, error).said;
        return over(
            say!("DOES NOT GO ON"),
            String::new(),
            say!("With the pulley to try: {line}"),
        );
    }
    if belt.serves == Serves::None {
        let ends = settled(&belt.own_ending.settled, belt.own_ending.of_travel, units);
        return over(
            say!("NO BELT FITS"),
            String::new(),
            say!(
                "No length ends within the travel; your own belt: {ends}. Measure the travel again."
            ),
        );
    }
    if clearance == Some(Status::Fails) {
        let gap = nearest.as_ref().map(|(_, passing)| &passing.tried.gap_mm);
        let gap = gap.map_or_else(String::new, |gap| signed(gap.value, units));
        let line = nearest.map_or_else(String::new, |(name, passing)| {
            let way = say!(if belt.has_tried {
                "Move it, or try a smaller pulley."
            } else {
                "Move it."
            });
            say!(
                "Gap to {name}; {} now. A span flaps {} more. {way}",
                signed(passing.on_car.gap_mm.value, units),
                length(FLAP_MM.value, units)
            )
        });
        return over(say!("TOUCHES"), gap, line);
    }
    let ends = ends(belt, units);
    if grip == Some(Status::Fails) {
        let wanted = belt.tried.wanted_n().map_or(0.0, |(value, _)| value);
        return over(
            say!("SLIPS"),
            bring,
            say!(
                "{carry} {ends} It needs {} of static tension: tighten it as its maker allows.",
                force(wanted, units)
            ),
        );
    }
    let too_close = [clearance, grip]
        .into_iter()
        .flatten()
        .chain(match &belt.serves {
            Serves::OwnBelt => Some(belt.own_status),
            Serves::Another(offer) => Some(offer.status),
            _ => None,
        })
        .any(|status| status == Status::TooClose);
    let near = nearest.map_or_else(
        || tell!("Nothing entered that it must miss."),
        |(name, passing)| {
            say!(
                "Nearest: {name}, {}.",
                signed(passing.tried.gap_mm.value, units)
            )
        },
    );
    let grips = match (grip, belt.tried.worst()) {
        (Some(_), Some(worst)) => worst.margin.as_ref().map_or_else(String::new, |margin| {
            say!("Grips {} times over.", show::fixed(margin.value, 1))
        }),
        (None, Some(worst)) => say!(
            "It needs {} of static tension.",
            force(worst.needed_n.value, units)
        ),
        _ => tell!("Grip: not known without the engine."),
    };
    let is_open = clearance.is_none() || grip.is_none();
    let (status, word) = match (too_close, is_open) {
        (true, _) => (Form::Close, say!("TOO CLOSE")),
        (false, true) => (Form::Blank, say!("FITS SO FAR")),
        (false, false) => (Form::Holds, say!("FITS")),
    };
    Verdict {
        status,
        word: word.to_owned(),
        figure: bring,
        line: format!("{carry} {ends} {near} {grips}"),
        action: None,
    }
}

/// Where the mover ends up, as a sentence.
fn ends(belt: &BeltStudy, units: System) -> String {
    match (&belt.serves, belt.ending.of_travel) {
        (Serves::NothingMoves, _) => {
            belt.comparison
                .length_wanted_mm()
                .map_or_else(String::new, |wanted| {
                    say!(
                        "Nothing moves: it wants {}.",
                        with_spread(&wanted, |mm| length(mm, units))
                    )
                })
        }
        (_, Some(part)) => say!("Ends {} % along its travel.", show::fixed(100.0 * part, 0)),
        _ => String::new(),
    }
}

/// The belt that serves, and what to do about it.
fn carry(car: &Car, belt: &BeltStudy) -> (String, &'static str) {
    let own = car.belt_drive.belt().map(|own| own.designation());
    match &belt.serves {
        Serves::OwnBelt => (own.unwrap_or_default(), say!("Your belt stays.")),
        Serves::Another(offer) => (offer.belt.designation(), say!("Bring this belt.")),
        Serves::None | Serves::NothingMoves => (String::new(), ""),
    }
}

/// What comes nearest with the pulley to try, by what it has over the room it needs.
pub(super) fn nearest(belt: &BeltStudy) -> Option<(String, &Passing)> {
    let all = belt.belt_passing.iter().chain(&belt.rim_passing);
    let spare = |passing: &Passing| passing.tried.gap_mm.value - passing.tried.needed_mm.1;
    let passing = all.min_by(|a, b| spare(a).total_cmp(&spare(b)))?;
    let obstacles = &belt.comparison.on_car.nominal.layout.obstacles;
    let name = obstacles.get(passing.tried.obstacle)?.name.clone();
    Some((name, passing))
}
