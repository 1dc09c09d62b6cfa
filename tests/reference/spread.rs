//! How spreads are put together: JCGM 100:2008 (GUM), JCGM 101:2008, and the normal quantile behind the fixed draws.

use crate::support::{car, near, within};
use laneside_core::alternator::Excitation;
use laneside_core::drive::{Measure, Pulley};
use laneside_core::quantity::mm;
use laneside_core::resolve::{InputId, Resolved};
use laneside_core::study::{Study, findings};
use laneside_core::tolerance::{DRAWS, State, Tolerances, drawn, quantile};
use serde::Deserialize;

fn tolerances() -> Tolerances {
    Tolerances::new(Resolved::new(&car(60.0)).unwrap())
}

fn half(tolerances: &Tolerances, id: InputId) -> f64 {
    let inputs = &tolerances.resolved().inputs;
    let input = inputs.iter().find(|input| input.id == id).unwrap();
    (input.highest - input.lowest) / 2.0
}

/// Validation. Source: JCGM 100:2008 5.1.2, equation (10): for a linear answer the half-widths add as root sum of squares,
/// each times its sensitivity. Tolerance: 1e-12.
#[test]
fn linear_answers_add_as_root_sum_of_squares() {
    let tolerances = tolerances();
    let answer = |state: &State| {
        3.0 * state.params.crank_mm - 2.0 * state.params.fitted_mm + 0.1 * state.params.idle_rpm
    };
    let found = tolerances.of(None, answer);
    let parts = [
        3.0 * half(&tolerances, InputId::Crank),
        2.0 * half(&tolerances, InputId::FittedPulley),
        0.1 * half(&tolerances, InputId::Idle),
    ];
    let wanted = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
    within(found.spread.up, wanted, 1e-12);
    within(found.spread.down, wanted, 1e-12);
    near(found.value, 3.0 * 154.0 - 2.0 * 64.0 + 90.0, 1e-9);

    // The shares are the parts of the variance (5.1.3, note), largest first.
    let shares: Vec<(InputId, f64)> = found
        .shares
        .iter()
        .map(|share| (share.input, share.fraction))
        .collect();
    assert_eq!(shares.len(), 3);
    for (place, id) in [InputId::Idle, InputId::Crank, InputId::FittedPulley]
        .into_iter()
        .enumerate()
    {
        assert_eq!(shares[place].0, id);
    }
    near(shares[0].1, (parts[2] / wanted).powi(2), 1e-12);
    near(shares.iter().map(|share| share.1).sum::<f64>(), 1.0, 1e-12);
}

/// Validation. Source: JCGM 100:2008 5.1.6, equation (12): for a product of powers the relative half-widths add as root sum of
/// squares, each times its power. Tolerance: 1 % (the equation is of first order, the program moves each input to its
/// ends).
#[test]
fn relative_spread_of_a_ratio() {
    let tolerances = tolerances();
    let found = tolerances.of(None, |state| state.params.crank_mm / state.params.fitted_mm);
    let relative = (half(&tolerances, InputId::Crank) / 154.0)
        .hypot(half(&tolerances, InputId::FittedPulley) / 64.0);
    within(
        (found.spread.up + found.spread.down) / 2.0 / found.value,
        relative,
        0.01,
    );
    // The answer bends: a smaller alternator pulley adds more speed than a larger one takes.
    assert!(found.spread.up > found.spread.down);
}

/// Verification: a one-sided change counts on its side alone.
#[test]
fn each_side_takes_its_own_changes() {
    let tolerances = tolerances();
    // Overshoot is 300 rpm, 0 to 800.
    let found = tolerances.of(None, |state| state.params.overshoot_rpm);
    near(found.spread.down, 300.0, 1e-9);
    near(found.spread.up, 500.0, 1e-9);
}

/// Verification: a pulley that is only called a size is less well known than one under a caliper, in every answer with a
/// spread about it.
#[test]
fn the_doubt_about_the_pulley_to_try_is_in_every_answer_about_it() {
    let spreads = |measure| {
        let mut car = car(60.0);
        car.alternator.excitation = Some(Excitation::ExciteWire);
        car.drive.tried = Some(Pulley::new(mm(75.0), measure));
        let study = Study::new(&car).unwrap();
        findings(&car, &study)
            .into_iter()
            .filter(|finding| finding.pulley == Some("to_try"))
            .filter_map(|finding| {
                finding
                    .spread
                    .map(|spread| (finding.code, finding.phase, spread.widest()))
            })
            .filter(|(code, ..)| {
                ["speed_ratio", "speed_margin", "turn_on_engine_speed"].contains(code)
            })
            .collect::<Vec<_>>()
    };
    let (drawing, called) = (spreads(Measure::Effective), spreads(Measure::Called));
    assert_eq!(drawing.len(), 4);
    for (known, called) in drawing.iter().zip(&called) {
        assert_eq!(known.0, called.0);
        assert!(called.2 > 1.05 * known.2, "{known:?} {called:?}");
    }
}

/// Validation. Source: JCGM 101:2008 9.2.2: the sum of four standard normal inputs has a 95 % interval of +-3.92. Tolerance,
/// with the program's own draws for any four of the first thirty inputs side by side: 3 % root mean square, 8 % at most.
#[test]
fn draws_give_the_interval_of_the_additive_example() {
    let mut off: Vec<f64> = Vec::new();
    for first in 0..26 {
        let mut sums: Vec<f64> = (0..DRAWS)
            .map(|row| drawn(row).skip(first).take(4).sum())
            .collect();
        sums.sort_by(f64::total_cmp);
        off.push(sums[DRAWS / 40] / -3.92 - 1.0);
        off.push(sums[DRAWS - 1 - DRAWS / 40] / 3.92 - 1.0);
    }
    let square: f64 = off.iter().map(|off| off * off).sum::<f64>() / off.len() as f64;
    assert!(square.sqrt() <= 0.03, "{}", square.sqrt());
    assert!(off.iter().all(|off| off.abs() <= 0.08), "{off:?}");
}

#[derive(Deserialize)]
struct Normal {
    reference: String,
    p: Vec<f64>,
    quantile: Vec<f64>,
}

/// Validation. Source: SciPy's `ndtri`; `tests/fixtures/normal.json` names the version. Tolerance: 2e-9 of the value (the
/// approximation claims 1.15e-9), 1e-9 near zero.
#[test]
fn normal_quantile_agrees_with_scipy() {
    let fixture: Normal = serde_json::from_str(include_str!("../fixtures/normal.json")).unwrap();
    assert_eq!(fixture.reference, "scipy.special.ndtri");
    assert_eq!((fixture.p.len(), fixture.quantile.len()), (55, 55));
    for (p, wanted) in fixture.p.iter().zip(&fixture.quantile) {
        near(quantile(*p), *wanted, 2e-9 * wanted.abs() + 1e-9);
    }
}

/// Validation. Source: common practice and memory: all loads' scale 15 % with each load's own (10 %). Tolerance: exact.
#[test]
fn loads_share_a_scale_and_have_their_own() {
    let mut with_list = car(60.0);
    with_list.loads = Some(laneside_core::car::demo::tansy().loads.unwrap());
    let resolved = Resolved::new(&with_list).unwrap();
    let range = |id| {
        let input = resolved.inputs.iter().find(|input| input.id == id).unwrap();
        (input.value, input.lowest, input.highest)
    };
    assert_eq!(range(InputId::LoadsScale), (1.0, 0.85, 1.15));
    let (value, lowest, highest) = range(InputId::Load(0));
    near(value, 12.0, 1e-12);
    near(lowest, 10.8, 1e-12);
    near(highest, 13.2, 1e-12);
}
