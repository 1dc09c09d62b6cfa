//! Why there is no belt, in words, and which field is meant.

use super::{pulley, the_pulley};
use laneside_core::belt::{LayError, NoBelt, PathError, PlaceError, Role, SideQuestion};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, PlacesBy};

/// What is wrong, and beside which field it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// What is wrong and what is needed.
    pub said: String,
    /// The field.
    pub field: Option<Field>,
    /// The pulleys that are meant, by the belt's order.
    pub pulleys: Vec<usize>,
    /// The distance that is meant.
    pub tape: Option<usize>,
}

fn of(car: &Car, said: String, pulleys: &[usize]) -> Trouble {
    let by_place = car.belt_drive.places_by == PlacesBy::Coordinates;
    let mut movable = pulleys.iter().copied().filter(|place| {
        let pulley = car.belt_drive.pulleys.get(*place);
        pulley.is_some_and(|pulley| !pulley.is_origin())
    });
    let first = movable.next();
    Trouble {
        said,
        field: first.and_then(|place| {
            if by_place {
                return Some(Field::BeltX(place));
            }
            let mut tapes = car.belt_drive.tapes.iter();
            let tape = tapes.position(|tape| tape.from == place || tape.to == place);
            tape.map(Field::TapeDistance)
        }),
        pulleys: pulleys.to_vec(),
        tape: None,
    }
}

/// Why a car has no belt.
pub fn trouble(car: &Car, error: &NoBelt) -> Trouble {
    match error {
        NoBelt::Empty => of(car, super::needs().to_owned(), &[]),
        NoBelt::NoRole(role) => of(
            car,
            say!(
                "No {} among the pulleys. Say which one it is.",
                super::role(*role)
            ),
            &[],
        ),
        NoBelt::NoDiameter(place) => {
            let role = car.belt_drive.pulleys.get(*place).map(|pulley| pulley.role);
            let mut found = of(
                car,
                say!("The {} has no diameter. Enter it.", the_pulley(car, *place)),
                &[*place],
            );
            found.field = Some(match role {
                Some(Role::Crank) => Field::Crank,
                Some(Role::Alternator) => Field::Fitted,
                _ => Field::BeltDiameter(*place),
            });
            found
        }
        NoBelt::OtherBelt => Trouble {
            said: tell!(
                "The designation is of another kind of belt than the page Car says. Mend one of them."
            ),
            field: Some(Field::BeltDesignation),
            pulleys: Vec::new(),
            tape: None,
        },
        NoBelt::Lay(error) => lay(car, error),
    }
}

/// Why no belt is laid.
pub(super) fn lay(car: &Car, error: &LayError) -> Trouble {
    match error {
        LayError::Places { .. } => of(car, tell!("Every pulley needs a place."), &[]),
        LayError::Place(error) => place(car, error),
        LayError::Ask(_) => of(
            car,
            tell!("The distances leave a side open: answer the question."),
            &[],
        ),
        LayError::Path(error) => path(car, error),
        LayError::Mover => of(
            car,
            tell!("The travel is none: its ends are not in order, or its pulley is gone."),
            &[],
        ),
    }
}

fn path(car: &Car, error: &PathError) -> Trouble {
    let name = |place: usize| the_pulley(car, place);
    match *error {
        PathError::TooFew => of(car, tell!("A belt needs two pulleys."), &[]),
        PathError::NoSize { pulley } => of(
            car,
            say!("The {} has no size or place.", name(pulley)),
            &[pulley],
        ),
        PathError::Overlap { first, second } => of(
            car,
            say!(
                "The {} and the {} lie in each other. Measure places or sizes again.",
                name(first),
                name(second)
            ),
            &[second, first],
        ),
        PathError::Unreachable { from, to } => of(
            car,
            say!(
                "No belt gets from the {} to the {}: there is no room between them.",
                name(from),
                name(to)
            ),
            &[to, from],
        ),
        PathError::Untouched { pulley } => of(
            car,
            say!(
                "The belt misses the {}. Is it ribs or back, and is its place right?",
                name(pulley)
            ),
            &[pulley],
        ),
        PathError::Clockwise => of(
            car,
            tell!("The pulleys are in clockwise order. Turn the order round."),
            &[],
        ),
        PathError::WrongOrder { turns } => of(
            car,
            say!("In this order the belt goes around {turns} times, not once. Change the order."),
            &[],
        ),
        PathError::Crossed { first, second } => of(
            car,
            say!(
                "The belt crosses itself behind the {} and the {}. Change order or places.",
                name(first),
                name(second)
            ),
            &[first, second],
        ),
        PathError::Through { span, pulley } => of(
            car,
            say!(
                "The belt behind the {} runs through the {}. Change order or places.",
                name(span),
                name(pulley)
            ),
            &[pulley, span],
        ),
    }
}

fn place(car: &Car, error: &PlaceError) -> Trouble {
    let by_tape = |said: String, tape: usize| Trouble {
        said,
        field: Some(Field::TapeDistance(tape)),
        pulleys: Vec::new(),
        tape: Some(tape),
    };
    match *error {
        PlaceError::Count => of(car, tell!("Two to ten pulleys are placed by tape."), &[]),
        PlaceError::NoDistance { tape } => {
            by_tape(tell!("This distance is between a pulley and itself."), tape)
        }
        PlaceError::NotFixed { pulley: at } => {
            let mut found = of(
                car,
                say!(
                    "The {} needs another distance: two fix a place.",
                    the_pulley(car, at)
                ),
                &[at],
            );
            found.field = None;
            found
        }
        PlaceError::Contradicts { tape, off_mm } => {
            let between = car.belt_drive.tapes.get(tape);
            let between = between.map_or_else(String::new, |tape| {
                say!("{} to {}", pulley(car, tape.from), pulley(car, tape.to))
            });
            by_tape(
                say!(
                    "The distances contradict each other; {between} is off most, by {}. Measure it again.",
                    super::length(off_mm.abs(), car.units)
                ),
                tape,
            )
        }
        PlaceError::Sides => of(
            car,
            tell!("The sides answered do not go with the distances. Answer them again."),
            &[],
        ),
    }
}

/// A question about a side, with its two answers: left, right.
pub fn question(car: &Car, asked: &SideQuestion) -> (String, [String; 2]) {
    let [subject, from, to] = [asked.pulley, asked.from, asked.to].map(|at| the_pulley(car, at));
    (
        say!(
            "Standing before the engine, looking from the {from} toward the {to}: on which side is the {subject}?"
        ),
        [tell!("Left"), tell!("Right")],
    )
}
