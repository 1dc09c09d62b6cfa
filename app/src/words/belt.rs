//! The page Belt in words.

mod errors;
mod seller;
mod tables;
mod verdict;
mod working;

pub use errors::{Trouble, question, trouble};
pub use seller::{FANS, HUBS, buy, seller_rows};
pub use verdict::verdict;
pub use working::{inputs, sources};

pub use tables::{clearance_rows, grip_rows, length_rows, offer_rows, residual_rows, wrap_rows};

use crate::words::names;
use laneside_core::belt::{
    BeltStudy, Caution, DesignationError, Measured, NoBelt, Role, Settled, Side,
};
use laneside_core::car::{Car, DriveObstacle};
use laneside_core::finding::Unit;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain, show};

pub const ANSWERS: &str = "Belt says whether the pulley to try fits: which belt to bring, where the tensioner ends, what the belt touches, whether it grips.";
pub const NEEDS: &str = "It needs the pulleys in the belt's way: what each is, how large, and where. A usual drive is there to measure over.";
pub const BEGIN: &str = "Begin with a usual drive";

pub const CAUTION: &str = "Engine off and cool, key out, battery's negative off first and on last. Hands, hair and sleeves stay off a belt that turns. Nut torque comes from its maker. Turn it by hand before starting. Rule book, local rules and licensed practice come first.";

pub const DRAWING: &str = "The drive, seen from the front";
pub const DRAG: &str =
    "Drag what has a square, or pick it and use the arrow keys: 1 mm a press, 10 with Shift.";
pub const DRAG_TAPE: &str = "Pulleys stand where the tape says. What has a square can be dragged, or moved by the arrow keys.";

pub const LENGTHS: &str = "Length of the belt";
pub const OFFERS: &str = "Belts to bring";
pub const OFFERS_HEAD: [&str; 4] = ["Belt", "Fits", "Mover ends", "Room"];
pub const OFFERS_NOTE: &str = "Lengths in steps of 5 mm; a shop may have others. Room: from there to the nearer end of travel, in mm or in of belt.";
pub const WRAPS: &str = "Wrap";
pub const GRIP: &str = "Grip at the worst moments";
pub const GRIP_NOTE: &str = "Margin: static tension there is over that needed; 1 just holds. A belt that slips for a shift's tenth of a second wears but charges on. Common practice, no source.";
pub const CLEARANCES: &str = "What it must miss";
pub const CLEARANCES_NOTE: &str =
    "Edge to edge at rest. A free span flaps: 3 to 5 mm more. From memory.";
pub const TWO_HEAD: [&str; 3] = ["", "On car", "To try"];
pub const CAUTIONS: &str = "Be careful about";

pub const DRIVE: &str = "The drive";
pub const TEMPLATE: &str = "Begin again with";
pub const TEMPLATES: [&str; 4] = [
    "As it is",
    "Alternator and water pump",
    "The same with a tensioner",
    "With idler and power steering",
];
pub const TEMPLATE_NOTE: &str = "Places of a template are invented: measure over them.";
pub const ORDER_NOTE: &str = "In the belt's order, counter-clockwise as you stand before the engine. Sizes of crank and alternator pulley are those of the page Car.";
pub const ROLE: &str = "What it is";
pub const ROLES: [&str; 7] = [
    "crank",
    "alternator",
    "water pump",
    "power steering",
    "tensioner",
    "idler",
    "other",
];
pub const SIDE: (&str, [&str; 2]) = ("Runs on the belt's", ["ribs", "flat back"]);
pub const ADD_PULLEY: &str = "Add a pulley";
pub const REMOVE_PULLEY: &str = "Take this pulley out";
pub const EARLIER: &str = "Move it up in the order";
pub const PLACES: (&str, [&str; 2]) = ("Places by", ["right and up", "tape, center to center"]);
pub const TAPE_NOTE: &str = "Distances between any two centers, more than needed welcome: they check each other. Those a template brings are invented; type over each.";
pub const ADD_TAPE: &str = "Add a distance";
pub const REMOVE_TAPE: &str = "Take this distance out";
pub const FROM: &str = "From";
pub const TO: &str = "To";
pub const RESIDUALS: &str = "How the distances agree";
pub const RESIDUALS_HEAD: [&str; 3] = ["Distance", "Measured", "Off by"];
pub const SPREADS: &str = "How well each place is known";
pub const SPREADS_HEAD: [&str; 2] = ["Pulley", "Good to"];
pub const BY_ORDER: &str =
    "More than one place agrees with the tape; only this one takes a belt in this order.";
pub const FORGET_SIDES: &str = "Ask about the sides again";
pub const MOVER: &str = "What sets the tension";
pub const MOVES: &str = "Moves";
pub const NOTHING: &str = "nothing";
pub const MOTION: (&str, [&str; 2]) = ("It moves", ["on an arm", "along a slot"]);
pub const HOLD: (&str, [&str; 2]) = ("Held by", ["a bolt", "a spring"]);
pub const TURNING: (&str, [&str; 2]) = ("Crank turns", ["clockwise", "counter-clockwise"]);
pub const TURNING_NOTE: &str = "Seen from the front.";
pub const BELT: &str = "The belt";
pub const OBSTACLES: &str = "Bolts, brackets, hoses";
pub const OBSTACLES_NOTE: &str = "Anything that the belt or a rim comes near.";
pub const ADD_OBSTACLE: &str = "Add something to miss";
pub const REMOVE_OBSTACLE: &str = "Take it out";
pub const NEW_OBSTACLE: &str = "bolt head";
pub const FULL: &str = "That is as many as fit.";
pub const SELLER: &str = "Does it bolt on?";
pub const SELLER_NOTE: &str =
    "Read these out to the seller. What your car needs stands beside each question.";
pub const SELLER_HEAD: [&str; 4] = ["Ask", "Your car", "The pulley", ""];
pub const ON_THE_CAR: &str = "Measured on your car";
pub const THE_OFFER: &str = "What the seller says";
pub const FORMULA: &str = "Path over circles: span = sqrt(c² − k²), k = s₂r₂ − s₁r₁; wrap from the directions of the spans; length = spans + r × wrap. Grip: (F₁ − Fc)/(F₂ − Fc) ≤ exp(f wrap), Fc = m v², force = power/v + inertia × acceleration/r.";
pub const TO_FIELD: &str = "Go to it";

/// What a pulley is for.
pub fn role(role: Role) -> &'static str {
    let at = match role {
        Role::Crank => 0,
        Role::Alternator => 1,
        Role::WaterPump => 2,
        Role::PowerSteering => 3,
        Role::Tensioner => 4,
        Role::Idler => 5,
        Role::Other => 6,
    };
    ROLES[at]
}

/// A pulley by its place and what it is for: `2 alternator`.
pub fn pulley(car: &Car, place: usize) -> String {
    let known = car.belt_drive.pulleys.get(place);
    let role = known.map_or("", |pulley| role(pulley.role));
    format!("{} {role}", place + 1)
}

/// A pulley as it stands in a sentence.
pub fn the_pulley(car: &Car, place: usize) -> String {
    let known = car.belt_drive.pulleys.get(place);
    known.map_or_else(String::new, |pulley| role(pulley.role).to_owned())
}

/// A span by its two pulleys.
pub fn span(car: &Car, from: usize, to: usize) -> String {
    format!("{} to {}", the_pulley(car, from), the_pulley(car, to))
}

/// A length that was worked out, in the person's units: no fraction of an inch, which would look
/// measured.
pub fn length(mm: f64, units: System) -> String {
    match units {
        System::Metric => format!("{}\u{a0}mm", show::fixed(mm, 1)),
        System::Inch => format!("{}\u{a0}in", show::fixed(mm / 25.4, 2)),
    }
}

/// A length that was entered.
pub fn entered(mm: f64, units: System) -> String {
    names::quantity(mm, Unit::Millimeter, units).replace(' ', "\u{a0}")
}

/// A length that has a sign.
pub fn signed(mm: f64, units: System) -> String {
    let text = length(mm.abs(), units);
    if text.starts_with('0') && !text.contains(['1', '2', '3', '4', '5', '6', '7', '8', '9']) {
        text
    } else if mm < 0.0 {
        format!("\u{2212}{text}")
    } else {
        format!("+{text}")
    }
}

/// A force in the person's units.
pub fn force(newtons: f64, units: System) -> String {
    plain::show(newtons, Kind::Force, units)
        .to_string()
        .replace(' ', "\u{a0}")
}

/// The speed of a belt in the person's units.
pub fn belt_speed(mps: f64, units: System) -> String {
    match units {
        System::Metric => format!("{}\u{a0}m/s", show::fixed(mps, 0)),
        System::Inch => format!(
            "{}\u{a0}ft/min",
            show::grouped((mps * 196.850_394 / 50.0).round() * 50.0, 0)
        ),
    }
}

/// A value with its half-width, as `say` says each.
pub fn with_spread(found: &Measured, say: impl Fn(f64) -> String) -> String {
    let widest = found.spread.widest();
    if !widest.is_finite() {
        format!("about {}", say(found.value))
    } else if widest > 0.0 {
        format!("{} ±\u{a0}{}", say(found.value), say(widest))
    } else {
        say(found.value)
    }
}

/// A value from 0 on with both ends of its range: a spread that is not the same both ways.
pub fn with_ends(found: &Measured, say: impl Fn(f64) -> String) -> String {
    let (least, most) = (
        found.spread.least(found.value).max(0.0),
        found.spread.most(found.value),
    );
    format!("{} ({} to {})", say(found.value), say(least), say(most))
}

/// Where the mover ends up.
pub fn settled(settled: &Settled, of_travel: Option<f64>, units: System) -> String {
    match settled {
        Settled::At(_) => of_travel.map_or_else(
            || "where it is".to_owned(),
            |part| format!("{} % along", show::fixed(100.0 * part, 0)),
        ),
        Settled::TooShort { by_mm } => format!("{} too short", length(*by_mm, units)),
        Settled::TooLong { by_mm } => format!("{} too long", length(*by_mm, units)),
        Settled::Never => "no belt there".to_owned(),
    }
}

/// The drawing in words.
pub fn summary(car: &Car, belt: &BeltStudy) -> String {
    let units = car.units;
    let wheels = belt.comparison.on_car.nominal.wheels.iter().enumerate();
    let each: Vec<String> = wheels
        .map(|(place, wheel)| {
            format!(
                "{} {} right, {} up",
                the_pulley(car, place),
                length(wheel.at.x_mm, units),
                length(wheel.at.y_mm, units)
            )
        })
        .collect();
    let change = belt
        .comparison
        .change_mm()
        .map_or_else(String::new, |change| {
            format!(
                " The belt over the pulley to try is {} longer.",
                signed(change.value, units)
            )
        });
    format!("{DRAWING}. {}.{change}", each.join("; "))
}

/// What can be moved on the drawing.
pub fn handle(name: &str, (x_mm, y_mm): (f64, f64), units: System) -> String {
    format!(
        "{name}, {} right, {} up; arrow keys move it",
        length(x_mm, units),
        length(y_mm, units)
    )
}

/// The pivot's name.
pub const PIVOT: &str = "pivot";

/// What to be careful about.
pub fn cautions(car: &Car, belt: &BeltStudy) -> Vec<String> {
    let units = car.units;
    let say = |caution: &Caution| match *caution {
        Caution::SmallPulley {
            pulley,
            diameter_mm,
            least_mm,
        } => format!(
            "The {} is {} across; belts of this kind usually bend no tighter than {}.",
            the_pulley(car, pulley),
            length(diameter_mm, units),
            length(least_mm, units)
        ),
        Caution::LittleWrap {
            pulley,
            wrap_deg,
            least_deg,
        } => format!(
            "Wrap on the {} is {}°, under the {}° that most would keep. From memory.",
            the_pulley(car, pulley),
            show::fixed(wrap_deg, 0),
            show::fixed(least_deg, 0)
        ),
        Caution::FastBelt { belt_mps, most_mps } => format!(
            "The belt runs {}, over the usual ceiling of {}. From memory; only a smaller crank pulley slows it.",
            belt_speed(belt_mps, units),
            belt_speed(most_mps, units)
        ),
        Caution::LoadOnBack { pulley } => format!(
            "The {} runs on the belt's flat back, which holds little.",
            the_pulley(car, pulley)
        ),
    };
    belt.tried.cautions.iter().map(say).collect()
}

/// What is needed instead of a designation that is none.
pub fn designation(error: DesignationError) -> &'static str {
    match error {
        DesignationError::Empty | DesignationError::Unknown => {
            "ribs, PK and length in mm, such as 6PK1255; of a V belt its length"
        }
        DesignationError::OtherProfile => {
            "a PK belt: no car's alternator runs on another rib profile"
        }
        DesignationError::Ribs => "2 to 12 ribs",
        DesignationError::Length => "a length of 300 to 4,000 mm",
    }
}

/// What is known of a pulley, in one line: its size and place.
pub fn pulley_line(car: &Car, belt: &Result<BeltStudy, NoBelt>, place: usize) -> String {
    let units = car.units;
    let Some(pulley) = car.belt_drive.pulleys.get(place) else {
        return String::new();
    };
    let laid = belt
        .as_ref()
        .ok()
        .map(|belt| &belt.comparison.on_car.nominal);
    let known = laid.and_then(|laid| laid.layout.pulleys.get(place));
    let size = known.map(|known| known.diameter_mm).or(pulley.diameter_mm);
    let size = size.map_or_else(|| "size?".to_owned(), |mm| entered(mm, units));
    let side = SIDE.1[usize::from(pulley.side == Side::Back)];
    format!("{size}, {side}")
}

/// What is known of an obstacle, in one line.
pub fn obstacle_line(units: System, obstacle: &DriveObstacle) -> String {
    format!(
        "{} right, {} up",
        signed(obstacle.x_mm, units),
        signed(obstacle.y_mm, units)
    )
}

/// The length of the drawing's scale: in inches, in metric units.
pub const SCALE: [&str; 2] = ["4 in", "100 mm"];
