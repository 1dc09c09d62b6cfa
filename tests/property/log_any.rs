//! Verification: any recording whatever is looked through without a panic, and what is found of
//! it lies within it.

use laneside_core::car::demo;
use laneside_core::log::analysis::analyze;
use laneside_core::log::compare::compare;
use laneside_core::log::diagnose::{Outcome, Standing};
use laneside_core::log::kept::{KeptPass, worn};
use laneside_core::log::passes::Rules;
use laneside_core::log::readings::{Reading, Readings, diagnose};
use laneside_core::log::{Known, Recording, Signal};
use proptest::prelude::*;

/// Times that may stand still or jump, values that may be anything.
fn signals(values: impl Strategy<Value = f32> + Clone + 'static) -> impl Strategy<Value = Signal> {
    let step = prop_oneof![8 => 0.0..0.2f64, 1 => Just(0.0), 1 => 0.2..40.0f64];
    // Runs of samples, so that something lasts long enough to be found.
    let piece = (step, values.clone(), values, 1usize..60);
    prop::collection::vec(piece, 0..40).prop_map(|pieces| {
        let (mut time, mut kept, mut now) = (Vec::new(), Vec::new(), -3.0);
        for (step, from, to, count) in pieces {
            for place in 0..count {
                now += step;
                time.push(now);
                kept.push(from + (to - from) * place as f32 / count as f32);
            }
        }
        Signal::new(time, kept).unwrap()
    })
}

fn recordings() -> impl Strategy<Value = Recording> {
    let speeds = prop_oneof![6 => 0.0..9_000.0f32, 1 => Just(0.0f32), 1 => -500.0..1e6f32];
    let volts = prop_oneof![6 => 10.0..15.5f32, 1 => Just(0.0f32), 1 => -1e3..1e4f32];
    (
        signals(speeds.clone()),
        signals(volts),
        prop::option::of(signals(0.0..1.0f32)),
        prop::option::of(signals(0.0..90.0f32)),
        prop::option::of(signals(speeds)),
        prop::option::of(signals(-300.0..300.0f32)),
    )
        .prop_map(
            |(rpm, volts, throttle, speed, alternator_rpm, amps)| Recording {
                rpm,
                volts,
                alternator_amps: amps.clone(),
                battery_amps: amps.clone(),
                throttle,
                speed,
                alternator_rpm,
                celsius: amps,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_recording_is_looked_through(recording in recordings(), high in prop::option::of(0.0..9_000.0)) {
        let rules = Rules { high_rpm: high, ..Rules::default() };
        let car = demo::tansy();
        let analysis = analyze(&recording, &Known::of(&car), &rules);
        let whole = analysis.sampling.span;
        prop_assert_eq!(analysis.passes.len(), analysis.found.passes.len());
        let mut kept = Vec::new();
        for found in &analysis.passes {
            let span = found.pass.span;
            prop_assert!(span.from_s <= span.to_s, "{:?}", span);
            prop_assert!(span.from_s >= whole.from_s - 1e-9 && span.to_s <= whole.to_s + 1e-9);
            for gear in &found.pass.gears {
                prop_assert!(gear.from_s <= gear.to_s && gear.from_s >= span.from_s && gear.to_s <= span.to_s);
            }
            kept.push(KeptPass::new("", "", &car, &recording, found, analysis.bands));
        }
        for pair in kept.windows(2) {
            let comparison = compare(&pair[0], &pair[1]);
            prop_assert!(comparison.pairs.iter().all(|pair| !pair.before.is_nan()));
        }
        prop_assert!(worn(&kept).iter().all(|worn| worn.continuous_s.0 <= worn.continuous_s.1));
        let diagnosis = &analysis.diagnosis;
        prop_assert_eq!(diagnosis.causes.len(), 13);
        // What it points to is what stands so.
        let pointed = diagnosis.causes.iter().filter(|judged| judged.standing == Standing::PointsTo).count();
        match &diagnosis.outcome {
            Outcome::PointsTo(causes) => prop_assert_eq!(causes.len(), pointed),
            _ => prop_assert_eq!(pointed, 0),
        }
        // It is plain data: it goes to a worker and back.
        let text = serde_json::to_string(&analysis).unwrap();
        prop_assert!(serde_json::from_str::<laneside_core::log::Analysis>(&text).is_ok());
    }

    #[test]
    fn any_readings_are_answered(volts in prop::array::uniform4(prop::option::of(0.0..30.0))) {
        let [idle, launch, stripe, shutdown] = volts.map(|volts| Reading { volts, rpm: None });
        let said = diagnose(&Readings { idle, launch, stripe, shutdown }, &Known::nothing());
        prop_assert_eq!(said.causes.len(), 13);
        if volts.iter().flatten().count() < 2 {
            let is_named = matches!(&said.outcome, Outcome::PointsTo(causes) if causes.len() > 1);
            prop_assert!(!is_named);
        }
    }
}
