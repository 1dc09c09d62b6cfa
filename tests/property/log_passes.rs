//! Verification: passes and shifts (20 Hz and up), slopes (5 samples a gear and up) and dips
//! (100 Hz and up) against logs whose truth is known, with noise and dropouts.

use crate::log_maker::{Course, Logger, Style, record};
use laneside_core::log::analysis::analyze;
use laneside_core::log::passes::Rules;
use laneside_core::log::{Known, Seen};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

fn styles() -> impl Strategy<Value = Style> {
    let gears = prop_oneof![
        Just(vec![2.48, 1.48, 1.0]),
        Just(vec![1.76, 1.0]),
        Just(vec![3.2, 2.1, 1.5, 1.15, 0.97]),
        Just(vec![2.9, 1.9, 1.4, 1.15]),
    ];
    (
        750.0..1_200.0,
        0.35..0.75,
        5_800.0..9_200.0,
        gears,
        1.0..2.6,
        0.06..0.3,
        1usize..3,
        any::<bool>(),
    )
        .prop_map(
            |(idle, launch, shift, gears, seconds, shift_s, passes, burnout)| Style {
                idle,
                launch: launch * shift,
                shift,
                gears,
                seconds,
                shift_s,
                passes,
                burnout,
            },
        )
}

fn loggers(hz: impl Strategy<Value = f64>) -> impl Strategy<Value = Logger> {
    (hz, 0.0..45.0, 0.0..0.05, 0.0..0.06, any::<u64>()).prop_map(|(hz, rpm, volts, lost, seed)| {
        Logger {
            hz,
            noise: (rpm, volts),
            step_v: 0.01,
            lost,
            seed,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Every pass, none more, its launch and stripe to half a second, every shift and none more.
    #[test]
    fn passes_and_shifts_are_those_that_were_driven(
        style in styles(),
        logger in loggers(prop_oneof![Just(20.0), Just(25.0), Just(50.0), Just(100.0), 20.0..120.0]),
    ) {
        let course = Course::drag(&style);
        let recording = record(&course, |_, rpm| if rpm > 400.0 { 14.1 } else { 12.6 }, &logger);
        let analysis = analyze(&recording, &Known::nothing(), &Rules::default());
        let found = &analysis.found;
        prop_assert_eq!(found.passes.len(), course.passes.len(), "{:?}", found);
        for (found, made) in found.passes.iter().zip(&course.passes) {
            prop_assert!((found.span.from_s - made.launch_s).abs() < 0.5, "{:?} {:?}", found.span, made);
            prop_assert!((found.span.to_s - made.stripe_s).abs() < 0.4, "{:?} {:?}", found.span, made);
            let Seen::Found(shifts) = &found.shifts else {
                return Err(TestCaseError::fail(format!("{:?}", found.shifts)));
            };
            prop_assert_eq!(shifts.len(), made.shifts.len(), "{:?} {:?}", shifts, made.shifts);
            for (shift, made) in shifts.iter().zip(&made.shifts) {
                prop_assert!((shift.at_s - made.0).abs() < 0.1 + 2.5 / logger.hz, "{:?} {:?}", shift, made);
                // Between the last sample before a shift and its top lie up to three that were lost or smoothed.
                let climb = (style.shift - style.launch) / style.seconds;
                let missed = 3.5 * climb / logger.hz;
                prop_assert!((shift.from_rpm - made.2).abs() < 0.03 * made.2 + missed, "{:?} {:?}", shift, made);
                prop_assert!((shift.to_rpm - made.3).abs() < 0.05 * made.3 + missed, "{:?} {:?}", shift, made);
            }
        }
    }

    /// Every interval of a slope holds the truth within three times its half-width, from 5 samples a gear up. How often it
    /// lies outside of the interval itself is asked of many courses together, below: of two gears in one course both
    /// are outside once in four hundred.
    #[test]
    fn slopes_are_those_that_were_made(
        style in styles(),
        per_1000 in -0.25f64..0.1,
        logger in loggers(5.0..120.0),
    ) {
        let course = Course::drag(&style);
        let first = course.passes[0].clone();
        let volts = |_: f64, rpm: f64| 14.2 + per_1000 * (rpm - 3_000.0) / 1_000.0;
        // A slow logger does not see the shifts: hold the gears apart by their truth.
        let recording = record(&course, volts, &logger);
        let analysis = analyze(&recording, &Known::nothing(), &Rules::default());
        let Some(pass) = analysis.passes.first() else { return Ok(()) };
        for gear in &pass.figures.gears {
            match gear.slope {
                Seen::Found(slope) => {
                    prop_assert!(slope.samples >= 5 && !slope.of_alternator);
                    let off = (slope.per_1000_rpm.value - per_1000).abs();
                    prop_assert!(off < 3.0 * slope.per_1000_rpm.half_width + 0.01, "{:?} {}", gear, per_1000);
                }
                Seen::TooSlow { hz, needs_hz } => prop_assert!(hz < needs_hz * 1.3, "{} {}", hz, needs_hz),
                Seen::Missing(_) => {}
            }
        }
        prop_assert!(first.stripe_s > first.launch_s);
    }

    /// The cranking dip, its depth and its time, from 100 Hz up; and the lowest voltage of a pass
    /// that dipped for 20 ms.
    #[test]
    fn dips_are_found(
        style in styles().prop_map(|style| Style { passes: 1, ..style }),
        deep in 1.5f64..4.0,
        at in 0.2f64..0.8,
        logger in loggers(100.0..250.0),
    ) {
        let course = Course::drag(&style);
        let pass = course.passes[0].clone();
        let dip_s = pass.launch_s + at * (pass.stripe_s - pass.launch_s);
        let volts = |at: f64, rpm: f64| {
            let cranking = (6.0..7.0).contains(&at);
            let dipped = (dip_s..dip_s + 0.0201).contains(&at);
            let base = if cranking { 12.6 - deep } else if rpm > 400.0 { 14.1 } else { 12.6 };
            if dipped { base - deep } else { base }
        };
        let whole = Logger { lost: 0.0, ..logger };
        let recording = record(&course, volts, &whole);
        let analysis = analyze(&recording, &Known::nothing(), &Rules::default());
        let Seen::Found(cranks) = &analysis.cranks else {
            return Err(TestCaseError::fail(format!("{:?}", analysis.cranks)));
        };
        prop_assert_eq!(cranks.len(), 1);
        let near = 5.0 * logger.noise.1 + 0.02;
        prop_assert!((cranks[0].rested_v - 12.6).abs() < near);
        prop_assert!((cranks[0].lowest_v - 12.6 + deep).abs() < near, "{:?}", cranks[0]);
        prop_assert!((cranks[0].at_s - 6.0).abs() < 0.1, "{:?}", cranks[0]);
        let lowest = analysis.passes[0].figures.lowest.found().copied();
        let Some(lowest) = lowest else { return Err(TestCaseError::fail("no lowest")) };
        prop_assert!((lowest.volts - 14.1 + deep).abs() < near, "{:?} {}", lowest, deep);
        prop_assert!((lowest.at_s - dip_s).abs() < 0.05);
    }

    /// Under the rates it says so.
    #[test]
    fn too_slow_is_said(style in styles(), logger in loggers(4.0..17.0)) {
        let course = Course::drag(&style);
        let recording = record(&course, |_, rpm| if rpm > 400.0 { 14.1 } else { 12.6 }, &logger);
        let analysis = analyze(&recording, &Known::nothing(), &Rules::default());
        for pass in &analysis.passes {
            let is_slow = matches!(pass.pass.shifts, Seen::TooSlow { .. });
            prop_assert!(is_slow);
            for gear in &pass.figures.gears {
                let is_slow = !matches!(gear.recovery, Seen::Found(_));
                prop_assert!(is_slow);
            }
        }
        let is_found = matches!(analysis.cranks, Seen::Found(_));
        prop_assert!(!is_found);
    }
}

/// Verification: in one gear of twenty the truth lies outside of the 95 % interval of its slope, not in more, and gears of few
/// samples are no exception. Loggers are slow, so that there are such; noise is no less than a step of the voltage, since what
/// is left of less is no chance but the rounding.
#[test]
fn slopes_lie_outside_of_their_intervals_as_seldom_as_said() {
    let mut runner = TestRunner::deterministic();
    let drawn = (styles(), -0.25f64..0.1, loggers(4.0..14.0), 0.012..0.05);
    // Gears of up to 10 samples, and all others: (outside, all).
    let mut few_and_many = [(0_u32, 0_u32); 2];
    for _ in 0..1_000 {
        let (style, per_1000, mut logger, noise_v) = drawn.new_tree(&mut runner).unwrap().current();
        logger.noise.1 = noise_v;
        let volts = |_: f64, rpm: f64| 14.2 + per_1000 * (rpm - 3_000.0) / 1_000.0;
        let recording = record(&Course::drag(&style), volts, &logger);
        let analysis = analyze(&recording, &Known::nothing(), &Rules::default());
        for gear in analysis.passes.iter().flat_map(|pass| &pass.figures.gears) {
            if let Seen::Found(slope) = gear.slope {
                let within = slope.per_1000_rpm;
                let (outside, all) = &mut few_and_many[usize::from(slope.samples > 10)];
                *outside += u32::from((within.value - per_1000).abs() > within.half_width);
                *all += 1;
            }
        }
    }
    for (outside, all) in few_and_many {
        // A twentieth, and three standard deviations of such a count.
        let expected = 0.05 * f64::from(all);
        let most = expected + 3.0 * (0.95 * expected).sqrt();
        assert!(
            all > 100 && f64::from(outside) <= most,
            "{outside} of {all}"
        );
    }
}
