//! Four readings by hand instead of a log.
//!
//! They say less than a log: nothing of what lies between them. What takes more than that is
//! left open.

use super::Known;
use super::bands::Bands;
use super::diagnose::assemble::{Symptom, assemble, symptom};
use super::diagnose::{Blind, Cause, Diagnosis, Sign};

/// How far a reading off a dash at a glance may be off, V of a 12 V system (from memory): more
/// than a logger, since nobody holds the needle still.
const GLANCE_V: f64 = 0.2;
/// A small drop from idle under load is normal (common practice), V of a 12 V system.
const NORMAL_DROP_V: f64 = 0.4;

/// One reading.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reading {
    /// Voltage, V.
    pub volts: Option<f64>,
    /// Engine speed, rpm.
    pub rpm: Option<f64>,
}

/// What somebody read off a dash or a meter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Readings {
    /// Idling.
    pub idle: Reading,
    /// At the launch.
    pub launch: Reading,
    /// At the stripe.
    pub stripe: Reading,
    /// After it, before the engine was switched off.
    pub shutdown: Reading,
}

/// What four readings say; those that were not taken are left out.
///
/// ```
/// use laneside_core::log::Known;
/// use laneside_core::log::diagnose::{Cause, Outcome};
/// use laneside_core::log::readings::{Reading, Readings, diagnose};
///
/// let read = |volts| Reading { volts: Some(volts), rpm: None };
/// let readings = Readings {
///     idle: read(12.7),
///     launch: read(14.1),
///     stripe: read(14.0),
///     shutdown: read(14.1),
/// };
/// let diagnosis = diagnose(&readings, &Known::nothing());
/// assert_eq!(diagnosis.outcome, Outcome::PointsTo(vec![Cause::ShortAtIdle]));
/// ```
pub fn diagnose(readings: &Readings, known: &Known) -> Diagnosis {
    let bands = Bands::of(known, known.air_c);
    let doubt = (GLANCE_V * bands.scale).max(bands.doubt_v);
    let four = [
        readings.idle.volts,
        readings.launch.volts,
        readings.stripe.volts,
        readings.shutdown.volts,
    ];
    let taken: Vec<f64> = four.iter().flatten().copied().collect();
    let mut blind = vec![
        Blind::SlowForGears,
        Blind::SlowForRaggedness,
        Blind::ShortForHeat,
    ];
    if readings.idle.volts.is_none() {
        blind.push(Blind::NoIdle);
    }
    if readings.stripe.volts.is_none() && readings.launch.volts.is_none() {
        blind.push(Blind::NoHighSpeed);
    }
    if !bands.serve {
        blind.push(Blind::Chemistry);
    }
    let symptoms = if bands.serve {
        symptoms(readings, &taken, &bands, doubt)
    } else {
        Vec::new()
    };
    let lowest = taken.iter().copied().fold(f64::MAX, f64::min);
    let highest = taken.iter().copied().fold(f64::MIN, f64::max);
    let is_clean = symptoms.is_empty()
        && bands.serve
        && taken.len() == 4
        && lowest > bands.low_v + doubt / 2.0
        && highest < bands.high_v
        && highest - lowest < NORMAL_DROP_V * bands.scale + doubt;
    let clean = is_clean.then_some(Sign::Good {
        lowest_v: lowest,
        highest_v: highest,
    });
    let against = |cause: Cause| match cause {
        Cause::BatteryAlone if bands.serve && highest > bands.low_v + doubt => {
            vec![Sign::Charges { volts: highest }]
        }
        Cause::Overcharge if bands.serve && taken.len() == 4 && highest < bands.high_v - doubt => {
            vec![Sign::NeverTooHigh {
                highest_v: highest,
                limit_v: bands.high_v,
            }]
        }
        Cause::ShortAtIdle => readings
            .idle
            .volts
            .filter(|idle_v| bands.serve && *idle_v > bands.low_v + doubt)
            .map(|idle_v| vec![Sign::GoodAtIdle { idle_v }])
            .unwrap_or_default(),
        _ => Vec::new(),
    };
    assemble(&symptoms, clean, &against, &|_| true, blind)
}

fn symptoms(readings: &Readings, taken: &[f64], bands: &Bands, doubt: f64) -> Vec<Symptom> {
    let mut found = Vec::new();
    let lowest = taken.iter().copied().fold(f64::MAX, f64::min);
    let highest = taken.iter().copied().fold(f64::MIN, f64::max);
    if taken.len() >= 2 && highest < bands.not_charging_v {
        let signs = vec![Sign::NotCharging { volts: highest }];
        return vec![symptom(&[Cause::BatteryAlone], signs)];
    }
    if highest > bands.high_v + doubt {
        let signs = vec![Sign::TooHigh {
            volts: highest,
            limit_v: bands.high_v,
        }];
        let causes: &[Cause] = if taken.len() >= 2 && lowest > bands.high_v + doubt {
            &[Cause::Overcharge]
        } else {
            &[Cause::Overcharge, Cause::Regulator, Cause::ReadingPlace]
        };
        found.push(symptom(causes, signs));
    }
    let is_good = |volts: Option<f64>| volts.is_some_and(|volts| volts > bands.low_v);
    let (idle, stripe) = (readings.idle.volts, readings.stripe.volts);
    let fast = [readings.launch.volts, stripe];
    if let Some(idle_v) = idle
        && idle_v < bands.low_v - doubt / 2.0
        && let Some(above_v) = fast.iter().flatten().copied().reduce(f64::min)
        && above_v > bands.low_v
        && above_v - idle_v > 2.0 * doubt
    {
        let signs = vec![Sign::LowAtIdle { idle_v, above_v }];
        found.push(symptom(&[Cause::ShortAtIdle], signs));
    }
    let before = [idle, readings.launch.volts]
        .into_iter()
        .flatten()
        .reduce(f64::max);
    if let (Some(stripe_v), Some(before_v)) = (stripe, before)
        && before_v > bands.low_v
        && before_v - stripe_v > (NORMAL_DROP_V * bands.scale).max(2.0 * doubt)
    {
        let mut signs = vec![Sign::FallsWithRpm {
            volts: before_v - stripe_v,
            from_rpm: readings.idle.rpm.unwrap_or(0.0),
            to_rpm: readings.stripe.rpm.unwrap_or(0.0),
        }];
        let back = readings.shutdown.volts;
        if let Some(back_v) = back.filter(|back_v| back_v - stripe_v > doubt && is_good(back)) {
            signs.push(Sign::Charges { volts: back_v });
            let causes = [
                Cause::BeltSlip,
                Cause::BrushFloat,
                Cause::RpmLoad,
                Cause::Commanded,
                Cause::LoadSteps,
            ];
            found.push(symptom(&causes, signs));
        } else {
            signs.push(Sign::StaysDown {
                volts: before_v - stripe_v,
            });
            let causes = [
                Cause::LostWire,
                Cause::HeatFade,
                Cause::Regulator,
                Cause::BeltSlip,
                Cause::BrushFloat,
                Cause::Commanded,
            ];
            found.push(symptom(&causes, signs));
        }
    }
    if found.is_empty() && taken.len() >= 2 && highest < bands.low_v - doubt / 2.0 {
        let signs = vec![Sign::LowAtEverySpeed { volts: lowest }];
        let causes = [
            Cause::ReadingPlace,
            Cause::Regulator,
            Cause::BatteryAlone,
            Cause::Commanded,
        ];
        found.push(symptom(&causes, signs));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;
    use crate::log::diagnose::{Check, Outcome, Standing};

    fn said(volts: [f64; 4], known: &Known) -> Diagnosis {
        let [idle, launch, stripe, shutdown] = volts.map(|volts| Reading {
            volts: (volts > 0.0).then_some(volts),
            rpm: None,
        });
        diagnose(
            &Readings {
                idle,
                launch,
                stripe,
                shutdown,
            },
            known,
        )
    }

    #[test]
    fn four_readings_say_what_they_can() {
        let known = Known::nothing();
        let outcome = |volts| said(volts, &known).outcome;
        assert_eq!(
            outcome([14.1, 14.0, 13.9, 14.0]),
            Outcome::PointsTo(vec![Cause::Healthy])
        );
        assert_eq!(
            outcome([12.4, 12.2, 12.0, 12.1]),
            Outcome::PointsTo(vec![Cause::BatteryAlone])
        );
        assert_eq!(
            outcome([15.3, 15.4, 15.4, 15.3]),
            Outcome::PointsTo(vec![Cause::Overcharge])
        );
        // Down at the stripe and back: four readings cannot tell belt, brushes and load apart.
        assert!(
            matches!(outcome([14.1, 14.0, 12.6, 14.0]), Outcome::OneOf(causes) if causes.len() == 5)
        );
        assert!(
            matches!(outcome([14.1, 14.0, 12.6, 12.5]), Outcome::OneOf(causes) if causes.contains(&Cause::HeatFade))
        );
        assert_eq!(outcome([14.1, 0.0, 0.0, 0.0]), Outcome::CannotTell);
        assert_eq!(outcome([0.0; 4]), Outcome::CannotTell);
    }

    #[test]
    fn lithium_readings_say_little() {
        let mut known = Known::nothing();
        known.chemistry = Some(Chemistry::LithiumIronPhosphate);
        let alone = said([13.2, 13.1, 13.0, 13.0], &known);
        assert_eq!(alone.outcome, Outcome::CannotTell);
        assert!(alone.blind.contains(&Blind::Chemistry) && alone.checks.contains(&Check::LogAgain));
        assert!(
            alone
                .causes
                .iter()
                .all(|judged| judged.standing == Standing::CannotTell)
        );
    }

    #[test]
    fn sixteen_volts_scale() {
        let mut known = Known::nothing();
        known.scale = 8.0 / 6.0;
        let outcome = said([18.6, 18.5, 18.4, 18.5], &known).outcome;
        assert_eq!(outcome, Outcome::PointsTo(vec![Cause::Healthy]));
    }
}
