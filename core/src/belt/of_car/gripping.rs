//! Grip of a car's belt at its worst moments.

use crate::belt::laid::Laid;
use crate::belt::moments::{
    Caution, Engine, MomentKind, Upshift, Worst, cautions, shaft_power_w, worst_moments,
};
use crate::car::{Car, Gearbox};
use crate::data::gearing::{AUTOMATIC, MANUAL, SHIFT_S};
use crate::data::memory::Default as Ranged;
use crate::drive::Hub;
use crate::finding::Status;
use crate::resolve::Params;
use crate::study::Study;
use crate::tolerance::Tolerances;

/// Part that the shaft's power is good to at least: its efficiency is a round figure (from memory).
const POWER_PART: f64 = 0.1;

/// Grip and cautions with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct Gripping {
    /// Belt and places.
    pub laid: Laid,
    /// The worst moments; none while the car has no study.
    pub moments: Vec<Worst>,
    /// What to be careful about.
    pub cautions: Vec<Caution>,
}

impl Gripping {
    /// Of the moments that last, the one that asks for the most tension.
    pub fn worst(&self) -> Option<&Worst> {
        self.lasting()
            .max_by(|a, b| a.needed_n.value.total_cmp(&b.needed_n.value))
    }

    fn lasting(&self) -> impl Iterator<Item = &Worst> {
        let lasts = |worst: &&Worst| worst.kind != MomentKind::Upshift;
        self.moments.iter().filter(lasts)
    }

    /// The shift, in which a belt may slip for a moment.
    pub fn shift(&self) -> Option<&Worst> {
        self.moments
            .iter()
            .find(|worst| worst.kind == MomentKind::Upshift)
    }

    /// Static tension wanted, N, with its half-width: what the worst of the moments that last
    /// needs. What the shift asks for is beyond what bearings are for; a belt that slips for its
    /// tenth of a second wears, but charges on (common practice, no source).
    pub fn wanted_n(&self) -> Option<(f64, f64)> {
        let needed = &self.worst()?.needed_n;
        Some((needed.value, needed.spread.widest()))
    }

    /// How the grip stands in the moments that last; nothing while the tension is not known.
    pub fn status(&self) -> Option<Status> {
        let each = self.lasting().map(|worst| worst.status);
        each.reduce(|a, b| Some(a?.worse(b?))).flatten()
    }
}

impl Gripping {
    /// With a car's study and its [`power_part`].
    pub(super) fn new(
        car: &Car,
        engine: Option<(&Study, f64)>,
        laid: Laid,
        (hub, tension_n, stage): (Hub, Option<(f64, f64)>, f64),
    ) -> Self {
        let top_rpm = engine.map(|(study, _)| {
            let params = &study.tolerances.nominal().params;
            stage * (params.limiter_rpm + params.overshoot_rpm)
        });
        let moments = engine.zip(top_rpm).map(|((study, power_part), top_rpm)| {
            let state = study.tolerances.nominal();
            let engine = Engine {
                idle_rpm: stage * state.params.idle_rpm,
                top_rpm,
                upshift: upshift(car, &state.params, stage),
                alternator_w: &|rpm| shaft_power_w(state, rpm),
                power_part,
                rotor_kg_m2: None,
                one_way: hub == Hub::OneWay,
                others_w: car
                    .belt_drive
                    .pulleys
                    .iter()
                    .map(|pulley| pulley.power_w)
                    .collect(),
            };
            worst_moments(&laid, &engine, tension_n)
        });
        Self {
            cautions: cautions(&laid, top_rpm.unwrap_or(0.0)),
            moments: moments.unwrap_or_default(),
            laid,
        }
    }
}

/// Part that the power at the shaft may be off by: what the output's own range leaves open at
/// rated speed, and the efficiency.
pub(super) fn power_part(tolerances: &Tolerances) -> f64 {
    /// Alternator speed at which the rating holds, rpm.
    const AT_RPM: f64 = 6_000.0;
    let (watts, spread) = tolerances.straight(|state| shaft_power_w(state, AT_RPM));
    if watts > 0.0 {
        (spread.widest() / watts).hypot(POWER_PART)
    } else {
        POWER_PART
    }
}

/// The shift that pulls the engine down furthest, from shift speed.
fn upshift(car: &Car, params: &Params, stage: f64) -> Option<Upshift> {
    let usual: &[f64] = match car.engine.gearbox {
        Some(Gearbox::Manual) => &MANUAL,
        _ => &AUTOMATIC,
    };
    let gears: &[f64] = match car.course.gears.len() {
        0 => usual,
        _ => &car.course.gears,
    };
    let hardest = gears
        .windows(2)
        .min_by(|a, b| (a[1] / a[0]).total_cmp(&(b[1] / b[0])))?;
    let seconds = car.course.shift_s.filter(|seconds| *seconds > 0.0);
    Some(Upshift {
        seconds: seconds.map_or(SHIFT_S, |value| Ranged {
            value,
            lowest: value,
            highest: value,
        }),
        ..Upshift::between(stage * params.shift_rpm, hardest[0], hardest[1])
    })
}
