//! What the page's figures rest on.

use super::verdict::nearest;
use super::{span, the_pulley};
use laneside_core::belt::{BeltInput, BeltStudy, Measured};
use laneside_core::car::Car;
use laneside_core::data::belt_memory::{
    BACK_LINE_MM, DESIGNATION_SOURCE, FLAP_MM, GRIP_BACK, GRIP_RIBS, GRIP_SOURCE, GRIP_V,
    INERTIA_SOURCE, MASS_PER_RIB, PATH_SOURCE, RIM_OVER_MM, ROTOR_INERTIA, SOURCE, V_MASS,
    WATER_PUMP_W,
};
use laneside_core::data::iso_9981;
use laneside_core::data::memory::Default as Ranged;
use laneside_core::drive::Belt;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{plain, show};

/// Where it is from.
pub fn sources() -> String {
    crate::words::findings::sources(&[
        PATH_SOURCE,
        GRIP_SOURCE,
        DESIGNATION_SOURCE,
        iso_9981::SOURCE,
        INERTIA_SOURCE,
        SOURCE,
    ])
}

/// What an answer of the belt rests on.
fn input(car: &Car, input: BeltInput) -> String {
    let name = |place: usize| the_pulley(car, place);
    match input {
        BeltInput::Diameter(place) => say!("size of the {}", name(place)),
        BeltInput::NewPulley(place) => say!("size of the {} to try", name(place)),
        BeltInput::Tape(tape) => car
            .belt_drive
            .tapes
            .get(tape)
            .map_or_else(String::new, |tape| {
                say!("tape, {}", span(car, tape.from, tape.to))
            }),
        BeltInput::X(place) => say!("{}, to the right", name(place)),
        BeltInput::Y(place) => say!("{}, up", name(place)),
        BeltInput::BackLine => tell!("thickness over the flat back"),
        BeltInput::BeltLength => tell!("length of your belt"),
        BeltInput::NewBelt => tell!("length of the belt to bring"),
        BeltInput::Obstacle(place) => {
            let one = car.belt_drive.obstacles.get(place);
            one.map_or_else(String::new, |one| say!("place of {}", one.name))
        }
        BeltInput::BeltFace => tell!("thickness of the belt"),
        BeltInput::Rim => tell!("rim over the ribs"),
        BeltInput::Mass => tell!("mass of the belt"),
        BeltInput::Friction => tell!("friction"),
        BeltInput::Power => tell!("power taken"),
        BeltInput::Inertia => tell!("inertia of the rotor"),
        BeltInput::ShiftTime => tell!("time of a shift"),
        BeltInput::Tension => tell!("static tension"),
        BeltInput::SpanLength => tell!("length of the span"),
        BeltInput::Frequency => tell!("frequency heard"),
    }
}

/// What an answer's spread is made of, the largest part first.
fn parts(car: &Car, label: &str, found: Option<Measured>) -> Option<(String, String)> {
    const MOST: usize = 3;
    let shares = found?.shares;
    let parts: Vec<String> = shares
        .into_iter()
        .take(MOST)
        .map(|(of, share)| format!("{} {} %", input(car, of), show::fixed(100.0 * share, 0)))
        .collect();
    (!parts.is_empty()).then(|| (label.to_owned(), parts.join(", ")))
}

/// What the figures rest on: what their spreads are made of, and what is assumed.
pub fn inputs(car: &Car, belt: &BeltStudy) -> Vec<(String, String)> {
    let units = car.units;
    let ranged = |range: Ranged, say: &dyn Fn(f64) -> String| {
        say!(
            "{} ({} to {})",
            say(range.value),
            say(range.lowest),
            say(range.highest)
        )
    };
    let mm = |value: f64| plain::show(value, Kind::Fine, units).to_string();
    let plain_number = |value: f64| show::fixed(value, 3);
    let kilograms = |value: f64| format!("{} kg/m", show::fixed(value, 3));
    let inertia = |value: f64| format!("{} kg m²", show::fixed(value, 4));
    let watts = |value: f64| plain::show(value, Kind::Power, units).to_string();
    let (friction, mass) = match car.drive.belt {
        Belt::VRibbed => (GRIP_RIBS, MASS_PER_RIB),
        Belt::Other => (GRIP_V, V_MASS),
    };
    let worst = belt.tried.worst();
    let mut all: Vec<(String, String)> = [
        parts(
            car,
            say!("Spread of the length wanted"),
            belt.comparison.length_wanted_mm(),
        ),
        parts(
            car,
            say!("Spread of the tension needed"),
            worst.map(|worst| worst.needed_n.clone()),
        ),
        parts(
            car,
            say!("Spread of the margin"),
            worst.and_then(|worst| worst.margin.clone()),
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    let nearest = nearest(belt).map(|(_, passing)| passing.tried.gap_mm.clone());
    all.extend(parts(car, say!("Spread of the smallest gap"), nearest));
    let mut assumed =
        |label: &str, text: String| all.push((label.to_owned(), say!("{text}, assumed")));
    assumed(say!("Friction f"), ranged(friction, &plain_number));
    assumed(
        say!("Friction on the flat back"),
        ranged(GRIP_BACK, &plain_number),
    );
    assumed(
        say!(match car.drive.belt {
            Belt::VRibbed => "Mass m, each rib",
            Belt::Other => "Mass m",
        }),
        ranged(mass, &kilograms),
    );
    assumed(
        say!("Inertia of rotor and pulley"),
        ranged(ROTOR_INERTIA, &inertia),
    );
    assumed(
        say!("Water pump at the limiter"),
        ranged(WATER_PUMP_W, &watts),
    );
    assumed(say!("Room for flap"), ranged(FLAP_MM, &mm));
    assumed(
        say!("Flat back over the effective line"),
        ranged(BACK_LINE_MM, &mm),
    );
    assumed(
        say!("Rim over the effective radius"),
        ranged(RIM_OVER_MM, &mm),
    );
    all
}
