//! Rows of the page's tables.

use super::{
    belt_speed, entered, force, length, pulley, settled, signed, span, the_pulley, with_ends,
    with_spread,
};
use laneside_core::belt::{
    BeltStudy, Clearance, Gripping, MomentKind, Nearest, Passing, Placement, Serves, Settled, Worst,
};
use laneside_core::car::Car;
use laneside_core::finding::Status;
use laneside_core::quantity::show;

fn row(
    label: impl Into<String>,
    on_car: impl Into<String>,
    to_try: impl Into<String>,
) -> Vec<String> {
    vec![label.into(), on_car.into(), to_try.into()]
}

/// Length now, change, length wanted, where the mover ends.
pub fn length_rows(car: &Car, belt: &BeltStudy) -> Vec<Vec<String>> {
    let units = car.units;
    let both = &belt.comparison;
    let mut rows = Vec::new();
    let say = |mm: f64| length(mm, units);
    let measured = both.length_now_mm().map(|now| with_spread(&now, say));
    let wanted = both
        .length_wanted_mm()
        .map(|wanted| with_spread(&wanted, say));
    rows.push(row(
        say!("Length by the places"),
        measured.unwrap_or_default(),
        "",
    ));
    if let Some(known) = car.belt_drive.belt() {
        let off = both.off_designation_mm();
        let agrees = off.as_ref().is_some_and(|off| {
            off.spread.least(off.value) <= 0.0 && off.spread.most(off.value) >= 0.0
        });
        let said = say!(if agrees { "agrees" } else { "measure again" });
        rows.push(row(say!("As designated"), known.designation(), ""));
        rows.push(row(
            say!("Places less designation"),
            off.map_or_else(String::new, |off| {
                format!("{}, {said}", signed(off.value, units))
            }),
            "",
        ));
    }
    rows.push(row(
        say!("Change, nothing moved"),
        "",
        both.change_mm().map_or_else(String::new, |change| {
            format!(
                "{} ±\u{a0}{}",
                signed(change.value, units),
                length(change.spread.widest(), units)
            )
        }),
    ));
    rows.push(row(
        say!("Length wanted, nothing moved"),
        "",
        wanted.unwrap_or_default(),
    ));
    let ending =
        |ending: &laneside_core::belt::Ending| settled(&ending.settled, ending.of_travel, units);
    rows.push(row(
        say!("Your belt ends"),
        start(belt),
        ending(&belt.own_ending),
    ));
    if belt.ending != belt.own_ending {
        rows.push(row(say!("The one to bring ends"), "", ending(&belt.ending)));
    }
    rows
}

/// Where the mover stands now, in its travel.
fn start(belt: &BeltStudy) -> String {
    let Some(mover) = belt.comparison.on_car.nominal.layout.mover else {
        return tell!("nothing moves");
    };
    let (from, to) = mover.travel;
    if to > from {
        say!("{} % along", show::fixed(100.0 * -from / (to - from), 0))
    } else {
        tell!("no travel")
    }
}

fn judged(status: Status) -> &'static str {
    say!(match status {
        Status::Holds => "yes",
        Status::TooClose => "too close",
        Status::Fails => "no",
    })
}

/// Belts that end within the travel, and which of them to bring.
pub fn offer_rows(car: &Car, belt: &BeltStudy) -> Vec<Vec<String>> {
    let units = car.units;
    let fits = belt
        .offers
        .iter()
        .filter(|offer| matches!(offer.settled, Settled::At(_)));
    fits.map(|offer| {
        let is_best = matches!(&belt.serves, Serves::Another(best) if best.belt == offer.belt);
        let fits = if is_best {
            say!("bring it")
        } else {
            judged(offer.status)
        };
        vec![
            offer.belt.designation(),
            fits.to_owned(),
            settled(&offer.settled, offer.of_travel, units),
            length(offer.room_mm.value.max(0.0), units),
        ]
    })
    .collect()
}

/// Wrap of every pulley.
pub fn wrap_rows(car: &Car, belt: &BeltStudy) -> Vec<Vec<String>> {
    let wrap = |gripping: &Gripping, place: usize| {
        let arc = gripping.laid.path.arcs.get(place);
        arc.map_or_else(String::new, |arc| {
            format!("{}°", show::fixed(arc.wrap.to_degrees(), 0))
        })
    };
    (0..car.belt_drive.pulleys.len())
        .map(|place| {
            row(
                pulley(car, place),
                wrap(&belt.on_car, place),
                wrap(&belt.tried, place),
            )
        })
        .collect()
}

fn moment(kind: MomentKind) -> &'static str {
    say!(match kind {
        MomentKind::PeakOutput => "Most output",
        MomentKind::Upshift => "Shift up",
        MomentKind::TopSpeed => "Top speed",
    })
}

/// Both drives at the worst moments.
pub fn grip_rows(car: &Car, belt: &BeltStudy) -> Vec<Vec<String>> {
    let units = car.units;
    let stage = belt.stage;
    let mut rows = Vec::new();
    let count = belt.on_car.moments.len().max(belt.tried.moments.len());
    for at in 0..count {
        let both = [belt.on_car.moments.get(at), belt.tried.moments.get(at)];
        let Some(first) = both[0].or(both[1]) else {
            continue;
        };
        let each =
            |say: &dyn Fn(&Worst) -> String| both.map(|worst| worst.map_or_else(String::new, say));
        let mut push =
            |label: String, [on_car, to_try]: [String; 2]| rows.push(row(label, on_car, to_try));
        push(
            say!("{}, engine rpm", moment(first.kind)),
            each(&|worst| show::grouped((worst.crank_rpm / stage / 10.0).round() * 10.0, 0)),
        );
        push(
            tell!("needs static tension"),
            each(&|worst| with_ends(&worst.needed_n, |newtons| force(newtons, units))),
        );
        if first.margin.is_some() {
            push(tell!("margin"), each(&margin));
        }
        push(
            tell!("slips first"),
            each(&|worst| the_pulley(car, worst.grip.critical)),
        );
        push(
            tell!("slack span"),
            each(&|worst| {
                let next = (worst.grip.slackest + 1) % car.belt_drive.pulleys.len().max(1);
                let tight = say!(if worst.grip.tensioner_on_tight {
                    "; the tensioner is on the tight side"
                } else {
                    ""
                });
                format!("{}{tight}", span(car, worst.grip.slackest, next))
            }),
        );
        push(
            tell!("belt speed"),
            each(&|worst| belt_speed(worst.grip.belt_mps, units)),
        );
        push(
            tell!("load on the alternator's hub"),
            each(&|worst| {
                let place = car
                    .belt_drive
                    .pulleys
                    .iter()
                    .position(|pulley| pulley.role == laneside_core::belt::Role::Alternator);
                let hub = place.and_then(|place| worst.grip.pulleys.get(place));
                hub.map_or_else(String::new, |hub| force(hub.hub_n, units))
            }),
        );
    }
    rows
}

fn margin(worst: &Worst) -> String {
    let Some(margin) = &worst.margin else {
        return String::new();
    };
    let word = say!(match worst.status {
        Some(Status::Holds) => "grips",
        Some(Status::TooClose) => "too close",
        Some(Status::Fails) => "slips",
        None => "",
    });
    let said = with_ends(margin, |value| show::fixed(value, 2));
    format!("{said}, {word}")
}

/// Every obstacle to the belt and to the rims, three rows each.
pub fn clearance_rows(car: &Car, belt: &BeltStudy) -> Vec<Vec<String>> {
    let units = car.units;
    let gap = |clearance: &Clearance| {
        let word = say!(match clearance.status {
            Status::Holds => "clears",
            Status::TooClose => "may touch",
            Status::Fails => "touches",
        });
        format!(
            "{} ±\u{a0}{}, {word}",
            signed(clearance.gap_mm.value, units),
            length(clearance.gap_mm.spread.widest(), units)
        )
    };
    let least = |clearance: &Clearance| signed(clearance.least_in_travel_mm, units);
    let one = |passing: &Passing| {
        let name = car.belt_drive.obstacles.get(passing.tried.obstacle);
        let name = name.map_or("", |one| one.name.as_str());
        let to = match passing.tried.nearest.nearest {
            Nearest::Span(at) => {
                let next = (at + 1) % car.belt_drive.pulleys.len().max(1);
                say!("span {}", span(car, at, next))
            }
            Nearest::Arc(at) => say!("belt on the {}", the_pulley(car, at)),
            Nearest::Rim(at) => say!("rim of the {}", the_pulley(car, at)),
        };
        [
            row(
                say!("{name} to {to}"),
                gap(&passing.on_car),
                gap(&passing.tried),
            ),
            row(
                say!("least anywhere in the travel"),
                least(&passing.on_car),
                least(&passing.tried),
            ),
            row(
                say!("comes nearer by"),
                "",
                signed(passing.nearer_mm, units),
            ),
        ]
    };
    let all = belt.belt_passing.iter().chain(&belt.rim_passing);
    all.flat_map(one).collect()
}

/// How the distances agree, and how well each place is known by them.
pub fn residual_rows(car: &Car, placement: &Placement) -> [Vec<Vec<String>>; 2] {
    let units = car.units;
    let tapes = car.belt_drive.tapes.iter().zip(&placement.residuals_mm);
    let off = tapes
        .map(|(tape, residual)| {
            row(
                say!("{} to {}", pulley(car, tape.from), pulley(car, tape.to)),
                entered(tape.distance_mm, units),
                signed(*residual, units),
            )
        })
        .collect();
    let spreads = placement.half_widths_mm.iter().enumerate();
    let known = spreads
        .map(|(place, half)| {
            let shaky = say!(if placement.shaky.contains(&place) {
                ", poorly: nearly in line with what it was measured from"
            } else {
                ""
            });
            vec![
                pulley(car, place),
                format!("±\u{a0}{}{shaky}", length(*half, units)),
            ]
        })
        .collect();
    [off, known]
}
