//! From symptoms to how each cause stands.
//!
//! Each symptom has the causes that make it. Where one alone makes it, it points to that;
//! where several do, they are given as a group. A cause is ruled out only by what it cannot go
//! with.

use super::{Blind, Cause, Check, Diagnosis, Judged, Outcome, Sign, Standing};
use crate::sort::sort_short;

/// A symptom with the causes that make it, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Symptom {
    /// The causes that make it.
    pub causes: Vec<Cause>,
    /// What was seen of it.
    pub signs: Vec<Sign>,
}

/// A symptom.
pub fn symptom(causes: &[Cause], signs: Vec<Sign>) -> Symptom {
    Symptom {
        causes: causes.to_vec(),
        signs,
    }
}

/// All causes.
pub const ALL: [Cause; 13] = [
    Cause::Healthy,
    Cause::BeltSlip,
    Cause::BrushFloat,
    Cause::HeatFade,
    Cause::RpmLoad,
    Cause::Regulator,
    Cause::Commanded,
    Cause::LostWire,
    Cause::ReadingPlace,
    Cause::BatteryAlone,
    Cause::ShortAtIdle,
    Cause::LoadSteps,
    Cause::Overcharge,
];

/// The check that tells a cause.
pub fn check(cause: Cause) -> Check {
    match cause {
        Cause::Healthy => Check::MeterAtBattery,
        Cause::BeltSlip => Check::Belt,
        Cause::BrushFloat => Check::Brushes,
        Cause::HeatFade => Check::ColdAndHot,
        Cause::RpmLoad => Check::ClampLoads,
        Cause::Regulator => Check::MeterAtStud,
        Cause::Commanded => Check::CommandWire,
        Cause::LostWire => Check::ExciterWire,
        Cause::ReadingPlace | Cause::Overcharge => Check::MeterAtBattery,
        Cause::BatteryAlone => Check::ClampOutput,
        Cause::ShortAtIdle => Check::IdleOutput,
        Cause::LoadSteps => Check::SwitchLoads,
    }
}

/// Puts it together: every cause by the symptoms it makes, what it cannot go with, and what
/// could not be asked; `clean` is the sign of a clean bill.
pub fn assemble(
    symptoms: &[Symptom],
    clean: Option<Sign>,
    rules_out: &dyn Fn(Cause) -> Vec<Sign>,
    is_blind: &dyn Fn(Cause) -> bool,
    blind: Vec<Blind>,
) -> Diagnosis {
    let mut causes: Vec<Judged> = ALL
        .iter()
        .map(|&cause| match cause {
            Cause::Healthy => healthy(symptoms, clean),
            _ => judged(symptoms, cause, rules_out(cause), is_blind(cause)),
        })
        .collect();
    sort_short(&mut causes, |a, b| {
        order(a.standing).cmp(&order(b.standing))
    });
    let pointed: Vec<Cause> = causes
        .iter()
        .filter(|judged| judged.standing == Standing::PointsTo)
        .map(|judged| judged.cause)
        .collect();
    let alike: Vec<Vec<Cause>> = symptoms
        .iter()
        .filter(|symptom| symptom.causes.len() > 1)
        .map(|symptom| symptom.causes.clone())
        .collect();
    let outcome = match (pointed.is_empty(), alike.first()) {
        (false, _) => Outcome::PointsTo(pointed),
        (true, Some(group)) => Outcome::OneOf(group.clone()),
        (true, None) => Outcome::CannotTell,
    };
    let mut checks: Vec<Check> = Vec::new();
    for cause in symptoms.iter().flat_map(|symptom| &symptom.causes) {
        let check = check(*cause);
        if !checks.contains(&check) {
            checks.push(check);
        }
    }
    if outcome == Outcome::CannotTell {
        checks.push(Check::LogAgain);
    }
    Diagnosis {
        outcome,
        causes,
        alike,
        checks,
        blind,
    }
}

/// The likeliest first.
fn order(standing: Standing) -> u8 {
    match standing {
        Standing::PointsTo => 0,
        Standing::Possible => 1,
        Standing::CannotTell => 2,
        Standing::RuledOut => 3,
    }
}

fn healthy(symptoms: &[Symptom], clean: Option<Sign>) -> Judged {
    let is_named = symptoms
        .iter()
        .any(|symptom| symptom.causes.contains(&Cause::Healthy));
    let standing = if clean.is_some() {
        Standing::PointsTo
    } else if is_named {
        Standing::Possible
    } else if symptoms.is_empty() {
        Standing::CannotTell
    } else {
        Standing::RuledOut
    };
    let signs = symptoms.iter().flat_map(|symptom| symptom.signs.clone());
    Judged {
        cause: Cause::Healthy,
        standing,
        support: clean.into_iter().collect(),
        against: signs.collect(),
        check: check(Cause::Healthy),
    }
}

fn judged(symptoms: &[Symptom], cause: Cause, against: Vec<Sign>, is_blind: bool) -> Judged {
    let made: Vec<&Symptom> = symptoms
        .iter()
        .filter(|symptom| symptom.causes.contains(&cause))
        .collect();
    let is_alone = made.iter().any(|symptom| symptom.causes.len() == 1);
    let standing = if is_alone {
        Standing::PointsTo
    } else if !made.is_empty() {
        Standing::Possible
    } else if !against.is_empty() {
        Standing::RuledOut
    } else if is_blind {
        Standing::CannotTell
    } else {
        Standing::Possible
    };
    let signs = made.iter().flat_map(|symptom| symptom.signs.clone());
    Judged {
        cause,
        standing,
        support: signs.collect(),
        against,
        check: check(cause),
    }
}
