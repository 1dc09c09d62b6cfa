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

pub fn answers() -> &'static str {
    say!(
        "Belt says whether the pulley to try fits: which belt to bring, where the tensioner ends, what the belt touches, whether it grips."
    )
}
pub fn needs() -> &'static str {
    say!(
        "It needs the pulleys in the belt's way: what each is, how large, and where. A usual drive is there to measure over."
    )
}
pub fn begin() -> &'static str {
    say!("Begin with a usual drive")
}

pub fn caution() -> &'static str {
    say!(
        "Engine off and cool, key out, battery's negative off first and on last. Hands, hair and sleeves stay off a belt that turns. Nut torque comes from its maker. Turn it by hand before starting. Rule book, local rules and licensed practice come first."
    )
}

pub fn drawing() -> &'static str {
    say!("The drive, seen from the front")
}
pub fn drag() -> &'static str {
    say!("Drag what has a square, or pick it and use the arrow keys: 1 mm a press, 10 with Shift.")
}
pub fn drag_tape() -> &'static str {
    say!(
        "Pulleys stand where the tape says. What has a square can be dragged, or moved by the arrow keys."
    )
}

pub fn lengths() -> &'static str {
    say!("Length of the belt")
}
pub fn offers() -> &'static str {
    say!("Belts to bring")
}
pub fn offers_head() -> [&'static str; 4] {
    say!(["Belt", "Fits", "Mover ends", "Room"])
}
pub fn offers_note() -> &'static str {
    say!(
        "Lengths in steps of 5 mm; a shop may have others. Room: from there to the nearer end of travel, in mm or in of belt."
    )
}
pub fn wraps() -> &'static str {
    say!("Wrap")
}
pub fn grip() -> &'static str {
    say!("Grip at the worst moments")
}
pub fn grip_note() -> &'static str {
    say!(
        "Margin: static tension there is over that needed; 1 just holds. A belt that slips for a shift's tenth of a second wears but charges on. Common practice, no source."
    )
}
pub fn clearances() -> &'static str {
    say!("What it must miss")
}
pub fn clearances_note() -> &'static str {
    say!("Edge to edge at rest. A free span flaps: 3 to 5 mm more. From memory.")
}
pub fn two_head() -> [&'static str; 3] {
    say!(["", "On car", "To try"])
}
pub fn cautions_label() -> &'static str {
    say!("Be careful about")
}

pub fn drive() -> &'static str {
    say!("The drive")
}
pub const TEMPLATE: &str = note!("Begin again with");
pub const TEMPLATES: [&str; 4] = note!([
    "As it is",
    "Alternator and water pump",
    "The same with a tensioner",
    "With idler and power steering",
]);
pub const TEMPLATE_NOTE: &str = note!("Places of a template are invented: measure over them.");
pub fn order_note() -> &'static str {
    say!(
        "In the belt's order, counter-clockwise as you stand before the engine. Sizes of crank and alternator pulley are those of the page Car."
    )
}
pub fn role_label() -> &'static str {
    say!("What it is")
}
pub fn roles() -> [&'static str; 7] {
    say!([
        "crank",
        "alternator",
        "water pump",
        "power steering",
        "tensioner",
        "idler",
        "other",
    ])
}
pub fn side() -> (&'static str, [&'static str; 2]) {
    say!(("Runs on the belt's", ["ribs", "flat back"]))
}
pub fn add_pulley() -> &'static str {
    say!("Add a pulley")
}
pub fn remove_pulley() -> &'static str {
    say!("Take this pulley out")
}
pub fn earlier() -> &'static str {
    say!("Move it up in the order")
}
pub fn places() -> (&'static str, [&'static str; 2]) {
    say!(("Places by", ["right and up", "tape, center to center"]))
}
pub fn tape_note() -> &'static str {
    say!(
        "Distances between any two centers, more than needed welcome: they check each other. Those a template brings are invented; type over each."
    )
}
pub fn add_tape() -> &'static str {
    say!("Add a distance")
}
pub fn remove_tape() -> &'static str {
    say!("Take this distance out")
}
pub fn from() -> &'static str {
    say!("From")
}
pub fn to() -> &'static str {
    say!("To")
}
pub fn residuals() -> &'static str {
    say!("How the distances agree")
}
pub fn residuals_head() -> [&'static str; 3] {
    say!(["Distance", "Measured", "Off by"])
}
pub fn spreads() -> &'static str {
    say!("How well each place is known")
}
pub fn spreads_head() -> [&'static str; 2] {
    say!(["Pulley", "Good to"])
}
pub fn by_order() -> &'static str {
    say!("More than one place agrees with the tape; only this one takes a belt in this order.")
}
pub fn forget_sides() -> &'static str {
    say!("Ask about the sides again")
}
pub fn mover() -> &'static str {
    say!("What sets the tension")
}
pub fn moves() -> &'static str {
    say!("Moves")
}
pub fn nothing() -> &'static str {
    say!("nothing")
}
pub const MOTION: (&str, [&str; 2]) = note!(("It moves", ["on an arm", "along a slot"]));
pub const HOLD: (&str, [&str; 2]) = note!(("Held by", ["a bolt", "a spring"]));
pub const TURNING: (&str, [&str; 2]) = note!(("Crank turns", ["clockwise", "counter-clockwise"]));
pub const TURNING_NOTE: &str = note!("Seen from the front.");
pub fn belt() -> &'static str {
    say!("The belt")
}
pub fn obstacles() -> &'static str {
    say!("Bolts, brackets, hoses")
}
pub fn obstacles_note() -> &'static str {
    say!("Anything that the belt or a rim comes near.")
}
pub fn add_obstacle() -> &'static str {
    say!("Add something to miss")
}
pub fn remove_obstacle() -> &'static str {
    say!("Take it out")
}
pub fn new_obstacle() -> &'static str {
    say!("bolt head")
}
pub fn full() -> &'static str {
    say!("That is as many as fit.")
}
pub fn seller() -> &'static str {
    say!("Does it bolt on?")
}
pub fn seller_note() -> &'static str {
    say!("Read these out to the seller. What your car needs stands beside each question.")
}
pub fn seller_head() -> [&'static str; 4] {
    say!(["Ask", "Your car", "The pulley", ""])
}
pub fn on_the_car() -> &'static str {
    say!("Measured on your car")
}
pub fn the_offer() -> &'static str {
    say!("What the seller says")
}
pub fn formula() -> &'static str {
    say!(
        "Path over circles: span = sqrt(c² − k²), k = s₂r₂ − s₁r₁; wrap from the directions of the spans; length = spans + r × wrap. Grip: (F₁ − Fc)/(F₂ − Fc) ≤ exp(f wrap), Fc = m v², force = power/v + inertia × acceleration/r."
    )
}
pub fn to_field() -> &'static str {
    say!("Go to it")
}

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
    roles()[at]
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
    say!("{} to {}", the_pulley(car, from), the_pulley(car, to))
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
        say!("about {}", say(found.value))
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
    say!("{} ({} to {})", say(found.value), say(least), say(most))
}

/// Where the mover ends up.
pub fn settled(settled: &Settled, of_travel: Option<f64>, units: System) -> String {
    match settled {
        Settled::At(_) => of_travel.map_or_else(
            || tell!("where it is"),
            |part| say!("{} % along", show::fixed(100.0 * part, 0)),
        ),
        Settled::TooShort { by_mm } => say!("{} too short", length(*by_mm, units)),
        Settled::TooLong { by_mm } => say!("{} too long", length(*by_mm, units)),
        Settled::Never => tell!("no belt there"),
    }
}

/// The drawing in words.
pub fn summary(car: &Car, belt: &BeltStudy) -> String {
    let units = car.units;
    let wheels = belt.comparison.on_car.nominal.wheels.iter().enumerate();
    let each: Vec<String> = wheels
        .map(|(place, wheel)| {
            say!(
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
            say!(
                " The belt over the pulley to try is {} longer.",
                signed(change.value, units)
            )
        });
    format!(
        "{drawing}. {}.{change}",
        each.join("; "),
        drawing = drawing()
    )
}

/// What can be moved on the drawing.
pub fn handle(name: &str, (x_mm, y_mm): (f64, f64), units: System) -> String {
    say!(
        "{name}, {} right, {} up; arrow keys move it",
        length(x_mm, units),
        length(y_mm, units)
    )
}

/// The pivot's name.
pub fn pivot() -> &'static str {
    say!("pivot")
}

/// What to be careful about.
pub fn cautions(car: &Car, belt: &BeltStudy) -> Vec<String> {
    let units = car.units;
    let say = |caution: &Caution| match *caution {
        Caution::SmallPulley {
            pulley,
            diameter_mm,
            least_mm,
        } => say!(
            "The {} is {} across; belts of this kind usually bend no tighter than {}.",
            the_pulley(car, pulley),
            length(diameter_mm, units),
            length(least_mm, units)
        ),
        Caution::LittleWrap {
            pulley,
            wrap_deg,
            least_deg,
        } => say!(
            "Wrap on the {} is {}°, under the {}° that most would keep. From memory.",
            the_pulley(car, pulley),
            show::fixed(wrap_deg, 0),
            show::fixed(least_deg, 0)
        ),
        Caution::FastBelt { belt_mps, most_mps } => say!(
            "The belt runs {}, over the usual ceiling of {}. From memory; only a smaller crank pulley slows it.",
            belt_speed(belt_mps, units),
            belt_speed(most_mps, units)
        ),
        Caution::LoadOnBack { pulley } => say!(
            "The {} runs on the belt's flat back, which holds little.",
            the_pulley(car, pulley)
        ),
    };
    belt.tried.cautions.iter().map(say).collect()
}

/// What is needed instead of a designation that is none.
pub fn designation(error: DesignationError) -> &'static str {
    say!(match error {
        DesignationError::Empty | DesignationError::Unknown => {
            "ribs, PK and length in mm, such as 6PK1255; of a V belt its length"
        }
        DesignationError::OtherProfile => {
            "a PK belt: no car's alternator runs on another rib profile"
        }
        DesignationError::Ribs => "2 to 12 ribs",
        DesignationError::Length => "a length of 300 to 4,000 mm",
    })
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
    let size = size.map_or_else(|| tell!("size?"), |mm| entered(mm, units));
    let side = side().1[usize::from(pulley.side == Side::Back)];
    format!("{size}, {side}")
}

/// What is known of an obstacle, in one line.
pub fn obstacle_line(units: System, obstacle: &DriveObstacle) -> String {
    say!(
        "{} right, {} up",
        signed(obstacle.x_mm, units),
        signed(obstacle.y_mm, units)
    )
}

/// The length of the drawing's scale: in inches, in metric units.
pub const SCALE: [&str; 2] = ["4 in", "100 mm"];
