//! A whole study of any car.

use crate::cars::car;
use laneside_core::car::Car;
use laneside_core::choose::{rank, sizes_to_walk, ways_out};
use laneside_core::drive::Pulley;
use laneside_core::finding::{Spread, Status};
use laneside_core::gates::{Judged, Verdict};
use laneside_core::resolve::Pulleys;
use laneside_core::study::{
    Study, accessory_speed_ratio, curves, drag_at_shift, findings, speeds_on_car,
};
use laneside_core::turns::{NoPause, at_once};
use proptest::prelude::*;

fn sound(spread: Spread) -> bool {
    spread.down >= 0.0 && spread.up >= 0.0 && spread.widest().is_finite()
}

fn judged_is_sound(judged: &Judged) -> Result<(), TestCaseError> {
    prop_assert!(judged.ratio.value.is_finite() && judged.ratio.value > 0.0);
    prop_assert!(sound(judged.ratio.spread));
    for gate in &judged.speeds {
        prop_assert!(gate.speed_rpm.is_finite() && gate.speed_rpm > 0.0);
        prop_assert!(sound(gate.margin_rpm.spread), "{gate:?}");
        prop_assert!(gate.generous_rpm >= gate.limit_rpm);
        prop_assert!(
            gate.margin_rpm
                .shares
                .iter()
                .all(|share| (0.0..=1.0).contains(&share.fraction))
        );
    }
    for phase in &judged.phases {
        prop_assert!(phase.load_a.is_finite() && phase.load_a >= 0.0);
        let Some(running) = &phase.running else {
            continue;
        };
        for number in [
            running.engine_rpm,
            running.alternator_rpm,
            running.hot_a,
            running.cold_a,
            running.net_a.value,
            running.turn_on_rpm,
            running.break_even_rpm.unwrap_or_default(),
            running.unexcited_net_a.unwrap_or_default(),
        ] {
            prop_assert!(number.is_finite(), "{running:?}");
        }
        prop_assert!(running.hot_a >= 0.0 && running.cold_a >= 0.0);
        prop_assert!(sound(running.net_a.spread), "{running:?}");
        let off = running.hot_a - phase.load_a - running.net_a.value;
        prop_assert!(off.abs() < 1e-9 * (1.0 + running.hot_a), "{running:?}");
    }
    let statuses = judged.speeds.iter().map(|gate| gate.status).chain(
        judged
            .phases
            .iter()
            .filter_map(|phase| phase.running.as_ref())
            .map(|running| running.status),
    );
    let worst = statuses.fold(Status::Holds, |worst, status| match (worst, status) {
        (Status::Fails, _) | (_, Status::Fails) => Status::Fails,
        (Status::TooClose, _) | (_, Status::TooClose) => Status::TooClose,
        _ => Status::Holds,
    });
    let verdict = match judged.verdict {
        Verdict::Over { .. } | Verdict::Short { .. } => Status::Fails,
        Verdict::TooClose { .. } => Status::TooClose,
        Verdict::Holds => Status::Holds,
    };
    let tested = judged
        .phases
        .iter()
        .any(|phase| phase.running.is_some() && phase.load_a > 0.0);
    let worst = match worst {
        // Nothing holds for a car that was tried with nothing to carry.
        Status::Holds if !tested => Status::TooClose,
        worst => worst,
    };
    prop_assert_eq!(verdict, worst, "a verdict is its worst gate");
    Ok(())
}

fn study_is_sound(car: &Car) -> Result<(), TestCaseError> {
    let study = Study::new(car).unwrap();
    judged_is_sound(&study.on_car)?;
    if let Some(tried) = &study.tried {
        judged_is_sound(&tried.judged)?;
    }
    for finding in findings(car, &study) {
        prop_assert!(finding.value.is_none_or(f64::is_finite), "{finding:?}");
        prop_assert!(finding.spread.is_none_or(sound), "{finding:?}");
        let inputs = &finding.working.inputs;
        prop_assert!(
            inputs.iter().all(|input| input.value.is_finite()),
            "{finding:?}"
        );
        prop_assert!(!finding.working.sources.is_empty(), "{finding:?}");
        // JSON has no not-a-number: what cannot be written would turn up as null.
        prop_assert!(serde_json::to_value(&finding).is_ok());
    }
    let top = study.tolerances.nominal().params.limiter_rpm;
    let grid: Vec<f64> = (0..=12).map(|step| top * f64::from(step) / 12.0).collect();
    let drawn = curves(&study.tolerances, Pulleys::ON_CAR, None, &grid);
    prop_assert!(drawn.limit_met_rpm.is_finite());
    for place in 0..grid.len() {
        prop_assert!(drawn.speed_rpm[place].is_finite() && drawn.output_a[place].is_finite());
        prop_assert!(sound(drawn.speed_spread[place]) && sound(drawn.output_spread[place]));
    }
    prop_assert!(
        study
            .assumed()
            .iter()
            .all(|assumed| assumed.share.is_finite())
    );
    prop_assert!(
        drag_at_shift(&study, &study.on_car).is_none_or(|drag| drag.total_w().is_finite())
    );
    prop_assert!(
        accessory_speed_ratio(&study.tolerances).is_none_or(|ratio| ratio.value.is_finite())
    );
    let sizes: Vec<Pulley> = sizes_to_walk(car).into_iter().take(3).collect();
    let ranked = rank(car, &study.tolerances, &study.window, &sizes, &NoPause);
    prop_assert_eq!(at_once(ranked).len(), sizes.len());
    prop_assert!(speeds_on_car(car).is_ok());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    /// A study of any car that the parser accepts ends, with numbers in every finding, and its verdict is that of its worst
    /// gate.
    #[test]
    fn any_accepted_car_can_be_studied(car in car()) {
        study_is_sound(&car)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Each way out makes a valid car that, studied again, has a window of sizes that surely work.
    #[test]
    fn ways_out_cure(car in car()) {
        for way in ways_out(&car) {
            prop_assert_eq!(way.car.check(), Ok(()), "{:?} to {}", way.kind, way.to);
            let again = Study::new(&way.car).unwrap();
            prop_assert!(again.window.sure().is_some(), "{:?} to {}: {:?}", way.kind, way.to, again.window);
            prop_assert!(way.to.is_finite() && way.to > 0.0);
        }
    }
}
