//! The worst moments of a belt, and their grip with its spread.

use super::grip::{BeltKind, Grip, Moment, Taken, grip};
use super::laid::Laid;
use super::layout::{Role, Section, Side};
use super::ranges::{BeltInput, Measured};
use crate::alternator::drag;
use crate::data::belt_memory::{
    GRIP_BACK, GRIP_RIBS, GRIP_V, LEAST_BACK_MM, LEAST_V_MM, LEAST_WRAP_DEG, MASS_PER_RIB,
    ROTOR_INERTIA, SPEED_CEILING_MPS, STEERING_W, V_MASS, WATER_PUMP_W,
};
use crate::data::gearing::SHIFT_S;
use crate::data::iso_9981::SMALLEST_EFFECTIVE_DIAMETER_MM;
use crate::data::memory::Default as Ranged;
use crate::finding::Status;
use crate::tolerance::State;

/// Engine speeds that are looked at for the highest force.
const STEPS: u32 = 60;
/// Power of a pump grows with speed cubed, of steering with speed.
const PUMP_GROWS: i32 = 3;

/// Which moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MomentKind {
    /// The alternator pulls hardest on the belt: output is at its highest at the lowest speed.
    PeakOutput,
    /// The rotor drives the belt while the engine is pulled down.
    Upshift,
    /// Centrifugal tension is highest.
    TopSpeed,
}

/// A shift up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Upshift {
    /// Engine speed before, rpm.
    pub from_rpm: f64,
    /// Engine speed after, rpm.
    pub to_rpm: f64,
    /// How long it takes, s.
    pub seconds: Ranged,
}

impl Upshift {
    /// From one gear to the next: engine speed goes with the ratio.
    pub fn between(from_rpm: f64, from_ratio: f64, to_ratio: f64) -> Self {
        Self {
            from_rpm,
            to_rpm: from_rpm * to_ratio / from_ratio,
            seconds: SHIFT_S,
        }
    }
}

/// What turns the belt and what it carries. `alternator_w` gives the power at the alternator's
/// shaft at its speed (rpm): electrical output over efficiency, and friction.
pub struct Engine<'a> {
    /// Idle, rpm.
    pub idle_rpm: f64,
    /// Highest speed, overshoot counted, rpm.
    pub top_rpm: f64,
    /// The hardest shift up, if there is one.
    pub upshift: Option<Upshift>,
    /// Power at the alternator's shaft (W) at its speed (rpm).
    pub alternator_w: &'a dyn Fn(f64) -> f64,
    /// Uncertainty of that power and of all others, as a fraction.
    pub power_part: f64,
    /// Inertia of rotor and pulley, kg m2; typical while absent.
    pub rotor_kg_m2: Option<f64>,
    /// The alternator's pulley overruns: the rotor does not drive the belt.
    pub one_way: bool,
    /// Power of each pulley at top speed (W), by the belt's order; typical while absent or
    /// short.
    pub others_w: Vec<Option<f64>>,
}

/// Power at the alternator's shaft at its speed (rpm), with a cold machine at its set-point and
/// everything on, W: what [`Engine::alternator_w`] asks for.
pub fn shaft_power_w(state: &State, alternator_rpm: f64) -> f64 {
    let amps = state.cold_a(alternator_rpm);
    drag(amps, state.params.set_point_v, alternator_rpm).total_w()
}

/// Everything that is uncertain at a moment.
#[derive(Clone, Copy, Debug)]
struct Numbers {
    belt: BeltKind,
    power: f64,
    rotor_kg_m2: f64,
    shift_s: f64,
}

/// Grip at one of the worst moments.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// Which.
    pub kind: MomentKind,
    /// Engine speed, rpm.
    pub crank_rpm: f64,
    /// Everything as entered.
    pub grip: Grip,
    /// Static tension needed, N.
    pub needed_n: Measured,
    /// Static tension there is over that needed; absent while it is not known.
    pub margin: Option<Measured>,
    /// Whether that margin holds.
    pub status: Option<Status>,
}

/// Grip at peak output, in the upshift (if there is one) and at top speed, with the static
/// tension there is (value and 95 % half-width, N), or without one.
pub fn worst_moments(laid: &Laid, engine: &Engine, static_n: Option<(f64, f64)>) -> Vec<Worst> {
    let rotor = engine.rotor_kg_m2.map_or(ROTOR_INERTIA, |value| Ranged {
        value,
        lowest: value,
        highest: value,
    });
    let shift_s = engine.upshift.map_or(SHIFT_S, |shift| shift.seconds);
    let section = laid.layout.section;
    let (ribs_or_v, mass) = match section {
        Section::VRibbed { ribs } => (GRIP_RIBS, scaled(MASS_PER_RIB, f64::from(ribs))),
        Section::V => (GRIP_V, V_MASS),
    };
    let nominal = Numbers {
        belt: BeltKind::usual(section),
        power: 1.0,
        rotor_kg_m2: rotor.value,
        shift_s: shift_s.value,
    };
    let frictions = |ribs: f64, back: f64| {
        let mut moved = nominal;
        moved.belt.friction_ribs = ribs;
        moved.belt.friction_back = back;
        moved
    };
    let with = |change: &dyn Fn(&mut Numbers)| {
        let mut moved = nominal;
        change(&mut moved);
        moved
    };
    let part = engine.power_part;
    let moved = [
        (
            BeltInput::Friction,
            frictions(ribs_or_v.lowest, GRIP_BACK.lowest),
            frictions(ribs_or_v.highest, GRIP_BACK.highest),
        ),
        (
            BeltInput::Mass,
            with(&|numbers| numbers.belt.kg_per_m = mass.lowest),
            with(&|numbers| numbers.belt.kg_per_m = mass.highest),
        ),
        (
            BeltInput::Power,
            with(&|numbers| numbers.power = 1.0 - part),
            with(&|numbers| numbers.power = 1.0 + part),
        ),
        (
            BeltInput::Inertia,
            with(&|numbers| numbers.rotor_kg_m2 = rotor.lowest),
            with(&|numbers| numbers.rotor_kg_m2 = rotor.highest),
        ),
        (
            BeltInput::ShiftTime,
            with(&|numbers| numbers.shift_s = shift_s.lowest),
            with(&|numbers| numbers.shift_s = shift_s.highest),
        ),
    ];
    let mut kinds = vec![(MomentKind::PeakOutput, peak_rpm(laid, engine, &nominal))];
    if let Some(shift) = engine.upshift {
        kinds.push((MomentKind::Upshift, shift.from_rpm));
    }
    kinds.push((MomentKind::TopSpeed, engine.top_rpm));
    kinds
        .into_iter()
        .filter_map(|(kind, crank_rpm)| {
            let at = |numbers: &Numbers| {
                let moment = moment(laid, engine, numbers, kind, crank_rpm)?;
                grip(
                    laid,
                    &numbers.belt,
                    &moment,
                    static_n.map(|(value, _)| value),
                )
            };
            let found = at(&nominal)?;
            let measured = |answer: &dyn Fn(&Grip) -> f64| {
                let value = answer(&found);
                let change = |numbers| at(numbers).map_or(0.0, |grip| answer(&grip) - value);
                let changes: Vec<(BeltInput, f64, f64)> = moved
                    .iter()
                    .map(|(input, low, high)| (*input, change(low), change(high)))
                    .collect();
                Measured::from_changes(value, &changes)
            };
            let needed_n = measured(&|grip| grip.needed_n);
            let margin = static_n
                .filter(|_| found.needed_n > 0.0)
                .map(|(value, half)| {
                    measured(&Grip::margin)
                        .widened(BeltInput::Tension, half / value * found.margin())
                });
            let status = margin.as_ref().map(|margin| {
                let value = margin.value;
                Status::between(margin.spread.least(value), margin.spread.most(value), 1.0)
            });
            Some(Worst {
                kind,
                crank_rpm,
                grip: found,
                needed_n,
                margin,
                status,
            })
        })
        .collect()
}

fn scaled(range: Ranged, by: f64) -> Ranged {
    Ranged {
        value: range.value * by,
        lowest: range.lowest * by,
        highest: range.highest * by,
    }
}

/// What every pulley takes. `None` without a crank pulley.
fn moment(
    laid: &Laid,
    engine: &Engine,
    numbers: &Numbers,
    kind: MomentKind,
    crank_rpm: f64,
) -> Option<Moment> {
    let crank_mm = laid.pitch_radius_mm(laid.crank()?);
    let crank_rpm_per_s = match (kind, engine.upshift) {
        (MomentKind::Upshift, Some(shift)) => (shift.to_rpm - shift.from_rpm) / numbers.shift_s,
        _ => 0.0,
    };
    let of_top = crank_rpm / engine.top_rpm;
    let taken = laid
        .layout
        .pulleys
        .iter()
        .enumerate()
        .map(|(at, pulley)| {
            let own_w = engine.others_w.get(at).copied().flatten();
            let watts = match pulley.role {
                Role::Crank | Role::Tensioner | Role::Idler => 0.0,
                Role::Alternator => {
                    (engine.alternator_w)(crank_rpm * crank_mm / laid.pitch_radius_mm(at))
                }
                Role::WaterPump => own_w.unwrap_or(WATER_PUMP_W.value) * of_top.powi(PUMP_GROWS),
                Role::PowerSteering => own_w.unwrap_or(STEERING_W.value) * of_top,
                Role::Other => own_w.unwrap_or(0.0) * of_top,
            };
            let coasts = engine.one_way && crank_rpm_per_s < 0.0;
            let turns = pulley.role == Role::Alternator && !coasts;
            Taken {
                // A coasting rotor takes nothing from the belt.
                watts: if pulley.role == Role::Alternator && coasts {
                    0.0
                } else {
                    watts * numbers.power
                },
                kg_m2: if turns { numbers.rotor_kg_m2 } else { 0.0 },
            }
        })
        .collect();
    Some(Moment {
        crank_rpm,
        crank_rpm_per_s,
        taken,
    })
}

/// Engine speed at which the belt is asked for most.
fn peak_rpm(laid: &Laid, engine: &Engine, numbers: &Numbers) -> f64 {
    let asked = |crank_rpm: f64| {
        moment(laid, engine, numbers, MomentKind::PeakOutput, crank_rpm)
            .and_then(|moment| grip(laid, &numbers.belt, &moment, None))
            .map_or(0.0, |grip| {
                let alternator = laid.layout.find(Role::Alternator);
                alternator.map_or(grip.needed_n, |at| grip.pulleys[at].force_n)
            })
    };
    let mut best = (engine.idle_rpm, f64::NEG_INFINITY);
    for step in 0..=STEPS {
        let share = f64::from(step) / f64::from(STEPS);
        let rpm = engine.idle_rpm + share * (engine.top_rpm - engine.idle_rpm);
        let force = asked(rpm);
        if force > best.1 {
            best = (rpm, force);
        }
    }
    best.0
}

/// What else a pulley or the belt is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// Under the smallest usual diameter of its belt, mm.
    SmallPulley {
        /// The pulley.
        pulley: usize,
        /// Its diameter, mm.
        diameter_mm: f64,
        /// The smallest usual one, mm.
        least_mm: f64,
    },
    /// Less wrap than most would give a pulley that carries load, degrees.
    LittleWrap {
        /// The pulley.
        pulley: usize,
        /// Its wrap, degrees.
        wrap_deg: f64,
        /// What most would not go under, degrees.
        least_deg: f64,
    },
    /// Faster than belts usually run, m/s.
    FastBelt {
        /// Its speed, m/s.
        belt_mps: f64,
        /// The usual ceiling, m/s.
        most_mps: f64,
    },
    /// A pulley that carries load runs on the belt's flat back, which holds little.
    LoadOnBack {
        /// The pulley.
        pulley: usize,
    },
}

/// What to be careful about: diameters, wraps and speed.
pub fn cautions(laid: &Laid, top_rpm: f64) -> Vec<Caution> {
    let mut found = Vec::new();
    for (at, (pulley, arc)) in laid.layout.pulleys.iter().zip(&laid.path.arcs).enumerate() {
        let least_mm = match (pulley.side, laid.layout.section) {
            (Side::Back, _) => LEAST_BACK_MM,
            (Side::Ribs, Section::VRibbed { .. }) => SMALLEST_EFFECTIVE_DIAMETER_MM,
            (Side::Ribs, Section::V) => LEAST_V_MM,
        };
        if pulley.diameter_mm < least_mm {
            found.push(Caution::SmallPulley {
                pulley: at,
                diameter_mm: pulley.diameter_mm,
                least_mm,
            });
        }
        let carries = !matches!(pulley.role, Role::Tensioner | Role::Idler);
        let wrap_deg = arc.wrap.to_degrees();
        if carries && wrap_deg < LEAST_WRAP_DEG {
            found.push(Caution::LittleWrap {
                pulley: at,
                wrap_deg,
                least_deg: LEAST_WRAP_DEG,
            });
        }
        // A water pump on the back is common: it takes little.
        if pulley.side == Side::Back && matches!(pulley.role, Role::Alternator | Role::Crank) {
            found.push(Caution::LoadOnBack { pulley: at });
        }
    }
    if let Some(crank) = laid.crank() {
        let belt_mps = top_rpm * std::f64::consts::PI / 30.0 * laid.pitch_radius_mm(crank) * 1e-3;
        if belt_mps > SPEED_CEILING_MPS {
            found.push(Caution::FastBelt {
                belt_mps,
                most_mps: SPEED_CEILING_MPS,
            });
        }
    }
    found
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::belt::Template;

    fn worst(alternator_w: &dyn Fn(f64) -> f64, section: Section) -> Vec<Worst> {
        let mut layout = Template::AlternatorAndPump.layout((150.0, 0.6), (60.0, 0.6));
        layout.section = section;
        let engine = Engine {
            idle_rpm: 900.0,
            top_rpm: 7_000.0,
            upshift: None,
            alternator_w,
            power_part: 0.2,
            rotor_kg_m2: None,
            one_way: false,
            others_w: Vec::new(),
        };
        worst_moments(&Laid::new(&layout).unwrap(), &engine, None)
    }

    /// The force on the belt is power over its speed: that of a power that grows less than speed is greatest at idle, of one
    /// that grows more at the top.
    #[test]
    fn the_belt_is_asked_for_most_where_the_force_is_greatest() {
        let at = |alternator_w: &dyn Fn(f64) -> f64| worst(alternator_w, Section::V)[0].crank_rpm;
        assert_eq!(at(&|_| 2_000.0), 900.0);
        assert_eq!(at(&|rpm| 5e-6 * rpm * rpm), 7_000.0);
        let between = at(&|rpm| if rpm < 9_000.0 { 0.0 } else { 2_000.0 });
        assert!((3_500.0..3_900.0).contains(&between), "{between}");
    }

    #[test]
    fn a_belts_mass_is_that_of_its_ribs() {
        let range = scaled(MASS_PER_RIB, 6.0);
        for (found, one) in [
            (range.value, MASS_PER_RIB.value),
            (range.lowest, MASS_PER_RIB.lowest),
            (range.highest, MASS_PER_RIB.highest),
        ] {
            assert_eq!(found, 6.0 * one);
        }
        // At a speed at which the mass counts, it has a share in what is not sure.
        let found = worst(&|_| 2_000.0, Section::VRibbed { ribs: 6 });
        let top = found.last().unwrap();
        assert!(
            top.needed_n
                .shares
                .iter()
                .any(|(input, part)| *input == BeltInput::Mass && *part > 0.0)
        );
    }
}
