//! Does the belt hold on every pulley, and how tight must it be?
//!
//! Each pulley that takes power adds `F = P/v + J a/r` to the belt's tension from where the belt
//! arrives to where it leaves; the crank takes all of it back. That gives every span's tension
//! but for one constant, which the spring, or the centers' fixed distance, sets. A belt grips as
//! long as `(F1 - Fc)/(F2 - Fc) <= exp(f wrap)`, `Fc = m v^2`.
//!
//! A spring tensioner holds its own spans at its static tension besides `Fc`. With fixed centers
//! the belt's stretch stays, so the mean of the running tension over its length is the static
//! tension.
//!
//! Corner cases:
//! - torque has a sign: a rotor that the belt slows down drives it, the tight and the slack span
//!   change places, and the tensioner may be on the tight one;
//! - a span that would have to push is slack: less than no tension;
//! - at rest nothing is taken and no tension is needed.

use super::laid::Laid;
use super::layout::{Section, Side, Turning};
use crate::data::belt_memory::{GRIP_BACK, GRIP_RIBS, GRIP_V, MASS_PER_RIB, V_MASS};

/// Friction and mass of a belt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeltKind {
    /// Effective coefficient of friction under ribs (or V).
    pub friction_ribs: f64,
    /// The same under the back.
    pub friction_back: f64,
    /// Mass, kg/m.
    pub kg_per_m: f64,
}

impl BeltKind {
    /// What is usual for a section.
    pub fn usual(section: Section) -> Self {
        match section {
            Section::VRibbed { ribs } => Self {
                friction_ribs: GRIP_RIBS.value,
                friction_back: GRIP_BACK.value,
                kg_per_m: MASS_PER_RIB.value * f64::from(ribs),
            },
            Section::V => Self {
                friction_ribs: GRIP_V.value,
                friction_back: GRIP_BACK.value,
                kg_per_m: V_MASS.value,
            },
        }
    }

    fn friction(&self, side: Side) -> f64 {
        match side {
            Side::Ribs => self.friction_ribs,
            Side::Back => self.friction_back,
        }
    }
}

/// What a pulley takes from the belt at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taken {
    /// Power, W; negative where it drives.
    pub watts: f64,
    /// Inertia that turns with it, kg m2.
    pub kg_m2: f64,
}

/// A moment at which grip is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// Speed of the crank, rpm.
    pub crank_rpm: f64,
    /// How fast it changes, rpm/s; negative in an upshift.
    pub crank_rpm_per_s: f64,
    /// What each pulley takes, in the belt's order; the crank's own is not looked at.
    pub taken: Vec<Taken>,
}

/// A pulley at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulleyGrip {
    /// Force that it takes from the belt, N; negative where it drives.
    pub force_n: f64,
    /// Torque on its shaft, N m.
    pub torque_nm: f64,
    /// Wrap, radians.
    pub wrap: f64,
    /// Tension ratio that it could hold.
    pub holds_ratio: f64,
    /// Part of its grip in use: the logarithm of the ratio over `f wrap`. 1 slips, infinite
    /// where its slack span has no tension left.
    pub used: f64,
    /// Force on its hub from the belt, N.
    pub hub_n: f64,
    /// Speed, rpm; always positive.
    pub rpm: f64,
}

/// A drive at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Grip {
    /// Belt speed, m/s.
    pub belt_mps: f64,
    /// Centrifugal tension, N.
    pub centrifugal_n: f64,
    /// Least static tension with which no pulley slips and no span hangs, N.
    pub needed_n: f64,
    /// The pulley that asks for it.
    pub critical: usize,
    /// The static tension that the rest is worked out with, N.
    pub static_n: f64,
    /// Running tension of the span after each pulley (in the belt's order), N.
    pub spans_n: Vec<f64>,
    /// The slackest span.
    pub slackest: usize,
    /// The tightest span.
    pub tightest: usize,
    /// A spring's spans are the tightest of the belt at this moment: it gives way.
    pub tensioner_on_tight: bool,
    /// Each pulley.
    pub pulleys: Vec<PulleyGrip>,
}

impl Grip {
    /// What the tension there is has over what is needed: 1 just holds.
    pub fn margin(&self) -> f64 {
        self.static_n / self.needed_n
    }
}

/// Grip of a drive at a moment with a static tension (N), or with just what is needed while
/// that is absent. `None` without a crank pulley.
pub fn grip(laid: &Laid, belt: &BeltKind, moment: &Moment, static_n: Option<f64>) -> Option<Grip> {
    let crank = laid.crank()?;
    let count = laid.wheels.len();
    let radius_m = |pulley: usize| laid.pitch_radius_mm(pulley) * 1e-3;
    let to_rad = std::f64::consts::PI / 30.0;
    let belt_mps = moment.crank_rpm * to_rad * radius_m(crank);
    let belt_mps2 = moment.crank_rpm_per_s * to_rad * radius_m(crank);
    let mut forces: Vec<f64> = (0..count)
        .map(|pulley| {
            let taken = moment.taken.get(pulley).copied().unwrap_or_default();
            let steady = if belt_mps > 0.0 {
                taken.watts / belt_mps
            } else {
                0.0
            };
            steady + taken.kg_m2 * belt_mps2 / radius_m(pulley).powi(2)
        })
        .collect();
    forces[crank] = 0.0;
    forces[crank] = -forces.iter().sum::<f64>();

    let relative = relative_tensions(&forces, laid.layout.turning);
    let centrifugal_n = belt.kg_per_m * belt_mps * belt_mps;
    let sides = |pulley: usize| {
        let (a, b) = (relative[(pulley + count - 1) % count], relative[pulley]);
        (a.min(b), a.max(b))
    };
    let can = |pulley: usize| {
        let arc = &laid.path.arcs[pulley];
        (belt.friction(arc.wheel.side) * arc.wrap).exp()
    };
    // The constant that each pulley asks for: so much that its slack side holds its force.
    let (critical, least) = (0..count)
        .map(|pulley| {
            let (slack, tight) = sides(pulley);
            (pulley, (tight - slack) / (can(pulley) - 1.0) - slack)
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    // What the constant is over the static tension.
    let held = match laid.sprung() {
        Some(sprung) => relative[sprung],
        None => mean_over_length(laid, &relative) + centrifugal_n,
    };
    let needed_n = (least + held).max(0.0);
    let static_n = static_n.unwrap_or(needed_n);
    let constant = static_n - held;

    let pressing: Vec<f64> = relative.iter().map(|tension| tension + constant).collect();
    let pulleys = (0..count)
        .map(|pulley| {
            let before = (pulley + count - 1) % count;
            let (slack, tight) = sides(pulley);
            let (slack, tight) = (slack + constant, tight + constant);
            let holds_ratio = can(pulley);
            let used = match tight - slack {
                difference if difference <= 1e-9 => 0.0,
                _ if slack <= 0.0 => f64::INFINITY,
                _ => (tight / slack).ln() / holds_ratio.ln(),
            };
            let turn = laid.path.spans[pulley].direction - laid.path.spans[before].direction;
            let (a, b) = (pressing[before], pressing[pulley]);
            PulleyGrip {
                force_n: forces[pulley],
                torque_nm: forces[pulley] * radius_m(pulley),
                wrap: laid.path.arcs[pulley].wrap,
                holds_ratio,
                used,
                hub_n: (a * a + b * b - 2.0 * a * b * turn.cos()).max(0.0).sqrt(),
                rpm: belt_mps / radius_m(pulley) / to_rad,
            }
        })
        .collect();
    let place = |most: bool| {
        let sign = if most { -1.0 } else { 1.0 };
        (0..count)
            .min_by(|a, b| (sign * relative[*a]).total_cmp(&(sign * relative[*b])))
            .unwrap_or(0)
    };
    let (slackest, tightest) = (place(false), place(true));
    let range = relative[tightest] - relative[slackest];
    let tensioner_on_tight = laid
        .sprung()
        .is_some_and(|sprung| range > 0.0 && relative[tightest] - relative[sprung] < 0.25 * range);
    Some(Grip {
        belt_mps,
        centrifugal_n,
        needed_n,
        critical,
        static_n,
        spans_n: pressing
            .iter()
            .map(|tension| tension + centrifugal_n)
            .collect(),
        slackest,
        tightest,
        tensioner_on_tight,
        pulleys,
    })
}

/// Tension of the span after each pulley but for a constant, N.
fn relative_tensions(forces: &[f64], turning: Turning) -> Vec<f64> {
    let mut tension = 0.0;
    forces
        .iter()
        .map(|force| {
            // A belt that runs with the order leaves a pulley into the span after it.
            tension += match turning {
                Turning::CounterClockwise => *force,
                Turning::Clockwise => -*force,
            };
            tension
        })
        .collect()
}

/// Mean over the belt's length: spans, and on each pulley half of either side.
fn mean_over_length(laid: &Laid, relative: &[f64]) -> f64 {
    let count = relative.len();
    let sum: f64 = (0..count)
        .map(|pulley| {
            let before = relative[(pulley + count - 1) % count];
            relative[pulley] * laid.path.spans[pulley].length_mm
                + 0.5 * (before + relative[pulley]) * laid.path.arcs[pulley].length_mm()
        })
        .sum();
    sum / laid.path.length_mm
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::belt::{BeltPulley, Layout, Places, Point, Role};
    use std::f64::consts::PI;

    const BELT: BeltKind = BeltKind {
        friction_ribs: 0.5,
        friction_back: 0.3,
        kg_per_m: 0.1,
    };

    /// A crank pulley and pulleys of the same pitch diameter, 200 mm, at these places.
    fn alike(centers: &[(f64, f64)]) -> Laid {
        let pulley = |role| BeltPulley {
            role,
            side: Side::Ribs,
            diameter_mm: 200.0,
            half_width_mm: 0.0,
        };
        let mut pulleys = vec![pulley(Role::Other); centers.len()];
        pulleys[0].role = Role::Crank;
        let centers = centers.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        let layout = Layout {
            pulleys,
            places: Places::Coordinates {
                centers,
                half_width_mm: 0.0,
            },
            mover: None,
            turning: Turning::CounterClockwise,
            section: Section::V,
            belt: None,
            obstacles: Vec::new(),
            back_line_mm: None,
        };
        Laid::new(&layout).unwrap()
    }

    fn taking(watts: &[f64]) -> Moment {
        Moment {
            // 20 m/s.
            crank_rpm: 20.0 / (PI * 0.2) * 60.0,
            crank_rpm_per_s: 0.0,
            taken: watts
                .iter()
                .map(|&watts| Taken { watts, kg_m2: 0.0 })
                .collect(),
        }
    }

    /// Verification, Euler's equation by hand: half a turn at 0.5 holds a ratio of e^(pi/2), so that 5 kW at 20 m/s, 250 N,
    /// need 250 / (e^(pi/2) - 1) N on the slack side over the centrifugal 40 N.
    #[test]
    fn two_pulleys_alike_just_hold() {
        let laid = alike(&[(0.0, 0.0), (500.0, 0.0)]);
        let found = grip(&laid, &BELT, &taking(&[0.0, 5_000.0]), None).unwrap();
        let ratio = (PI / 2.0).exp();
        let slack_n = 250.0 / (ratio - 1.0);
        let near = |found: f64, wanted: f64| {
            assert!((found - wanted).abs() < 1e-6, "{found} is not {wanted}");
        };
        near(found.centrifugal_n, 40.0);
        near(found.needed_n, slack_n + 125.0 + 40.0);
        near(found.margin(), 1.0);
        for pulley in &found.pulleys {
            near(pulley.holds_ratio, ratio);
            near(pulley.used, 1.0);
            // Both spans pull the same way.
            near(pulley.hub_n, 2.0 * slack_n + 250.0);
            near(pulley.force_n.abs(), 250.0);
            near(pulley.rpm, 20.0 / (PI * 0.2) * 60.0);
        }
        // The crank pulls on the span before it, in the order that the belt runs.
        near(found.spans_n[1], slack_n + 250.0 + 40.0);
        near(found.spans_n[0], slack_n + 40.0);
        assert_eq!((found.slackest, found.tightest), (0, 1));
    }

    /// Verification: at the corner of a right angle the hub carries both spans at right angles, at the others as they run.
    #[test]
    fn hubs_carry_both_their_spans() {
        let laid = alike(&[(0.0, 0.0), (600.0, 0.0), (0.0, 450.0)]);
        let found = grip(&laid, &BELT, &taking(&[0.0, 1_000.0, 3_000.0]), Some(600.0)).unwrap();
        let pressing: Vec<f64> = found.spans_n.iter().map(|span| span - 40.0).collect();
        assert!((pressing[1] - pressing[0] - 50.0).abs() < 1e-6);
        assert!((pressing[2] - pressing[1] - 150.0).abs() < 1e-6);
        for (pulley, [before, after]) in [
            [(0.0, 1.0), (1.0, 0.0)],
            [(-1.0, 0.0), (-0.8, 0.6)],
            [(0.8, -0.6), (0.0, -1.0)],
        ]
        .into_iter()
        .enumerate()
        {
            let (a, b) = (pressing[(pulley + 2) % 3], pressing[pulley]);
            let wanted = (a * before.0 + b * after.0).hypot(a * before.1 + b * after.1);
            let hub_n = found.pulleys[pulley].hub_n;
            assert!(
                (hub_n - wanted).abs() < 1e-6,
                "{pulley}: {hub_n} is not {wanted}"
            );
        }
    }
}
