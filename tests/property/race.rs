//! The pass and the day of any car that the parser accepts.

use crate::cars::car;
use laneside_core::finding::Status;
use laneside_core::race::{DayStudy, Otherwise, PassStudy, Swept, rescues};
use laneside_core::study::{Study, race_findings};
use laneside_core::turns::{NoPause, at_once};
use proptest::prelude::*;

proptest! {
    // Each case runs some dozens of days.
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Neither ends in a panic or in no number, and the energy of any day adds up.
    #[test]
    fn any_accepted_car_has_a_day(car in car()) {
        let study = Study::new(&car).unwrap();
        for finding in race_findings(&car, &study) {
            prop_assert!(finding.value.is_none_or(f64::is_finite), "{finding:?}");
            prop_assert!(!finding.working.sources.is_empty(), "{finding:?}");
            prop_assert!(serde_json::to_value(&finding).is_ok());
        }
        let judged = &study.on_car;
        if let Ok(pass) = PassStudy::new(&car, &study.tolerances, judged) {
            prop_assert!(pass.holds.lowest.1.is_finite());
            prop_assert!(pass.window_s.1 > pass.window_s.0);
        }
        let day = DayStudy::new(&car, &study.tolerances, judged);
        let books = day.books();
        let throughput = books.throughput_j().max(1.0);
        prop_assert!(books.missing_j().abs() <= 1e-6 * throughput, "{:e}", books.missing_j() / throughput);
        prop_assert!(day.rounds.iter().all(|round| (0.0..=1.0).contains(&round.end_soc)));
        // What ends the day is what the verdict is about.
        let spreads = day.spreads(&car, &study.tolerances, judged);
        if day.status(&spreads) == Status::Holds {
            prop_assert_eq!(day.ends(), None);
            prop_assert!(day.gone.is_none_or(|gone| gone.ends.is_none()));
        }
        prop_assert!(spreads.iter().all(|found| found.value.is_finite()));
        let other = at_once(Otherwise::new(&car, &study.tolerances, judged, &NoPause));
        if let (Some(Some((alone, _))), Some(Some((with, _)))) =
            (other.passes_on_battery, other.passes)
        {
            prop_assert!(alone <= with);
        }
        let saved = at_once(rescues(&car, &study.tolerances, judged, &NoPause));
        prop_assert!(saved.is_none_or(|found| found.len() <= 4));
    }
}
