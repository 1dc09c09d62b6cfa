//! The belt's answers as findings.

use super::clearance::Clearance;
use super::compare::{Comparison, Ending};
use super::moments::{MomentKind, Worst};
use super::ranges::Measured;
use super::travel::Settled;
use crate::data::belt_memory::{
    DESIGNATION_SOURCE, FLAP_MM, GRIP_SOURCE, INERTIA_SOURCE, PATH_SOURCE, SOURCE,
};
use crate::data::gum;
use crate::finding::{Draft, Finding, Provenance, Status, Unit, input};

/// The start of a finding about the belt's path.
fn about_path(
    code: &'static str,
    unit: Unit,
    measured: Option<&Measured>,
    formula: &'static str,
) -> Draft {
    Draft {
        code,
        value: measured.map(|found| found.value),
        unit,
        spread: measured.map(|found| found.spread),
        formula,
        sources: vec![PATH_SOURCE, gum::SOURCE],
        ..Draft::default()
    }
}

/// How a [`Settled`] is called.
pub fn settled_reason(settled: &Settled) -> &'static str {
    match settled {
        Settled::At(_) => "within_travel",
        Settled::TooShort { .. } => "belt_too_short",
        Settled::TooLong { .. } => "belt_too_long",
        Settled::Never => "no_belt_in_travel",
    }
}

/// Lengths, and where the mover ends up with a belt.
pub fn length_findings(comparison: &Comparison, ending: &Ending) -> Vec<Finding> {
    const LENGTH: &str = "sum of spans sqrt(c^2 - k^2) and of r wrap, k = s2 r2 - s1 r1";
    let mut found = Vec::new();
    let now = comparison.length_now_mm();
    let mut draft = about_path("belt_length_now", Unit::Millimeter, now.as_ref(), LENGTH);
    draft.pulley = Some("on_car");
    found.push(draft.finished());

    if let (Some(off), Some(belt)) = (
        comparison.off_designation_mm(),
        comparison.on_car.nominal.layout.belt,
    ) {
        let mut draft = about_path(
            "belt_length_off_designation",
            Unit::Millimeter,
            Some(&off),
            "length from the places less length from the designation",
        );
        let agrees = off.spread.least(off.value) <= 0.0 && off.spread.most(off.value) >= 0.0;
        draft.status = Some(if agrees { Status::Holds } else { Status::Fails });
        draft.reason = Some(if agrees {
            "agrees"
        } else {
            "measured_or_read_wrongly"
        });
        draft.inputs = vec![input(
            "designated length",
            belt.length_mm,
            Unit::Millimeter,
            Provenance::Entered,
        )];
        draft.sources.push(DESIGNATION_SOURCE);
        found.push(draft.finished());
    }
    let to_try = [
        (
            "belt_length_change",
            comparison.change_mm(),
            "length over the pulleys to try less length now, the mover where it is",
        ),
        (
            "belt_length_wanted",
            comparison.length_wanted_mm(),
            "length now (as designated, where known) and the change",
        ),
    ];
    for (code, measured, formula) in to_try {
        let mut draft = about_path(code, Unit::Millimeter, measured.as_ref(), formula);
        draft.pulley = Some("to_try");
        found.push(draft.finished());
    }
    let unit = if comparison.travel_in_degrees() {
        Unit::Degree
    } else {
        Unit::Millimeter
    };
    let mut draft = about_path(
        "mover_travel",
        unit,
        ending.travel.as_ref(),
        "where the length over the pulleys is the belt's",
    );
    draft.pulley = Some("to_try");
    draft.status = Some(match ending.settled {
        Settled::At(_) => Status::Holds,
        _ => Status::Fails,
    });
    draft.reason = Some(settled_reason(&ending.settled));
    found.push(draft.finished());
    for (pulley, laid) in [
        ("on_car", Some(comparison.on_car.nominal.clone())),
        ("to_try", comparison.tried_at(ending).ok()),
    ] {
        for (at, arc) in laid
            .iter()
            .flat_map(|laid| laid.path.arcs.iter().enumerate())
        {
            let mut draft = about_path(
                "wrap",
                Unit::Degree,
                None,
                "s (direction of the span leaving less of the one arriving)",
            );
            draft.value = Some(arc.wrap.to_degrees());
            draft.pulley = Some(pulley);
            draft.phase = Some(format!("pulley {}", at + 1));
            found.push(draft.finished());
        }
    }
    found
}

/// A moment's name.
pub fn moment_code(kind: MomentKind) -> &'static str {
    match kind {
        MomentKind::PeakOutput => "peak_output",
        MomentKind::Upshift => "upshift",
        MomentKind::TopSpeed => "top_speed",
    }
}

/// Tension needed and margin to slip at the worst moments of a pulley.
pub fn grip_findings(pulley: &'static str, moments: &[Worst]) -> Vec<Finding> {
    let mut found = Vec::new();
    for worst in moments {
        let phase = || Some(moment_code(worst.kind).to_owned());
        let grip = &worst.grip;
        let inputs = || {
            let derived = |name, value, unit| input(name, value, unit, Provenance::Derived);
            let mut inputs = vec![
                derived("engine speed", worst.crank_rpm, Unit::Rpm),
                derived("belt speed v", grip.belt_mps, Unit::MeterPerSecond),
                derived("centrifugal tension Fc", grip.centrifugal_n, Unit::Newton),
            ];
            if let Some(critical) = grip.pulleys.get(grip.critical) {
                inputs.push(derived(
                    "force on the pulley that slips first",
                    critical.force_n,
                    Unit::Newton,
                ));
                inputs.push(derived(
                    "its wrap",
                    critical.wrap.to_degrees(),
                    Unit::Degree,
                ));
                inputs.push(derived(
                    "its ratio exp(f wrap)",
                    critical.holds_ratio,
                    Unit::Ratio,
                ));
            }
            inputs
        };
        let sources = || vec![GRIP_SOURCE, SOURCE, INERTIA_SOURCE, gum::SOURCE];
        let mut draft = about_path(
            "static_tension_needed",
            Unit::Newton,
            Some(&worst.needed_n),
            "least tension with which (F1 - Fc)/(F2 - Fc) <= exp(f wrap) on every pulley",
        );
        draft.pulley = Some(pulley);
        draft.inputs = inputs();
        draft.sources = sources();
        draft.reason = grip.tensioner_on_tight.then_some("tensioner_on_tight_side");
        draft.phase = phase();
        found.push(draft.finished());
        if let Some(margin) = &worst.margin {
            let mut draft = about_path(
                "slip_margin",
                Unit::Ratio,
                Some(margin),
                "static tension there is over that needed",
            );
            draft.pulley = Some(pulley);
            draft.status = worst.status;
            draft.reason = worst.status.map(|status| match status {
                Status::Holds => "grips",
                Status::TooClose => "may_slip",
                Status::Fails => "slips",
            });
            draft.inputs = inputs();
            draft.sources = sources();
            draft.phase = phase();
            found.push(draft.finished());
        }
        for (at, one) in grip.pulleys.iter().enumerate() {
            let mut draft = about_path(
                "hub_load",
                Unit::Newton,
                None,
                "vector sum of the tensions that press on the pulley",
            );
            draft.pulley = Some(pulley);
            draft.value = Some(one.hub_n);
            draft.sources = vec![GRIP_SOURCE];
            draft.phase = Some(format!("{}, pulley {}", moment_code(worst.kind), at + 1));
            found.push(draft.finished());
        }
    }
    found
}

/// What the belt and the rims must miss.
pub fn clearance_findings(
    pulley: &'static str,
    names: &dyn Fn(usize) -> String,
    clearances: &[Clearance],
) -> Vec<Finding> {
    clearances
        .iter()
        .map(|one| {
            let mut draft = about_path(
                "clearance",
                Unit::Millimeter,
                Some(&one.gap_mm),
                "distance to the nearest span, arc or rim, less the belt's face and the obstacle's radius",
            );
            draft.pulley = Some(pulley);
            draft.status = Some(one.status);
            draft.reason = Some(match one.status {
                Status::Holds => "clears",
                Status::TooClose => "may_touch",
                Status::Fails => "touches",
            });
            draft.inputs = vec![
                input("smallest over the travel", one.least_in_travel_mm, Unit::Millimeter, Provenance::Derived),
                input("allowance for flap", FLAP_MM.value, Unit::Millimeter, Provenance::Assumed),
            ];
            draft.sources.push(SOURCE);
            draft.phase = Some(names(one.obstacle));
            draft.finished()
        })
        .collect()
}
