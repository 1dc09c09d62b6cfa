#![allow(clippy::unwrap_used)]

use super::*;
use crate::alternator::SpeedLimits;
use crate::car::{DayReading, Mishap, demo};
use crate::choose::Standing;
use crate::drive::{Measure, Pulley};
use crate::finding::Status;
use crate::gates::Judged;
use crate::quantity::{amps, inch, rpm};
use crate::study::Study;
use crate::turns::{NoPause, at_once};

fn tried(study: &Study) -> &Judged {
    &study.tried.as_ref().unwrap().judged
}

#[test]
fn over_the_limit_the_pass_may_go_either_way_and_cured_it_holds() {
    let car = demo::nettle();
    let study = Study::new(&car).unwrap();
    let of = |judged| PassStudy::new(&car, &study.tolerances, judged).unwrap();
    let before = of(&study.on_car);
    let gone = before.gone.as_ref().unwrap();
    assert!(before.holds.lowest.1 > before.healthy_v);
    assert!(gone.lowest.1 < before.healthy_v - 0.3, "{:?}", gone.lowest);
    assert!(before.over_s[0] > before.over_s[1]);
    let spreads = before.spreads(&car, &study.tolerances, &study.on_car);
    assert_eq!(before.status(&spreads), Status::TooClose);
    let cured = of(tried(&study));
    assert_eq!(cured.gone, None);
    let spreads = cured.spreads(&car, &study.tolerances, tried(&study));
    assert_eq!(cured.status(&spreads), Status::Holds);
    // A small drop from idle, 13 V or better.
    assert!(cured.holds.end_v > 13.0);
}

#[test]
fn a_pass_without_its_times_names_what_is_missing() {
    let mut car = demo::nettle();
    let study = Study::new(&car).unwrap();
    car.course.elapsed_s = None;
    let found = PassStudy::new(&car, &study.tolerances, &study.on_car);
    assert_eq!(found, Err(NoPass::Elapsed));
    // The day assumes a usual one.
    let day = DayStudy::new(&car, &study.tolerances, &study.on_car);
    assert!(day.assumed.times);
}

#[test]
fn elapsed_time_trap_speed_and_shift_speed_are_enough() {
    let mut car = demo::nettle();
    car.course = crate::car::Course {
        elapsed_s: car.course.elapsed_s,
        trap_mps: car.course.trap_mps,
        ..crate::car::Course::default()
    };
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    assert!(pass.assumed.gears && pass.assumed.gearing);
    let params = &study.tolerances.nominal().params;
    let stripe = pass.pass.trace.at(pass.pass.ends_s);
    assert!((stripe / params.shift_rpm - params.supply.stripe_over_shift).abs() < 1e-9);
}

#[test]
fn a_missed_shift_goes_over_the_limiter() {
    let mut car = demo::nettle();
    car.course.mishap = Some(Mishap::MissedShift);
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, tried(&study)).unwrap();
    let params = &study.tolerances.nominal().params;
    let highest = pass.pass.trace.highest_rpm();
    assert!((highest - params.limiter_rpm - params.overshoot_rpm).abs() < 1e-9);
}

#[test]
fn a_dead_alternator_ends_the_day_on_the_battery() {
    let car = demo::nettle();
    let study = Study::new(&car).unwrap();
    let day = DayStudy::new(&car, &study.tolerances, tried(&study));
    assert_eq!(day.ends(), None);
    let other = at_once(Otherwise::new(
        &car,
        &study.tolerances,
        tried(&study),
        &NoPause,
    ));
    assert_eq!(other.passes, Some(None));
    let (passes, _) = other.passes_on_battery.unwrap().unwrap();
    assert!(passes < 10, "{passes}");
    // Nobody revs a self-exciting machine: it never charges at idle.
    let not_revved = other.not_revved.unwrap();
    assert!(not_revved.end_soc < day.end_soc() && not_revved.lowest_v < day.lowest_v());
}

/// A small battery, nobody charges it, and the fan runs in the pits.
fn runs_down() -> Car {
    let mut car = demo::nettle();
    car.battery.capacity_ah = Some(18.0);
    car.battery.rested_v = Some(12.5);
    car.battery.rested_h = Some(48.0);
    car.day.charger_a = None;
    car
}

#[test]
fn the_pass_looked_at_is_the_worst_of_the_day() {
    let car = runs_down();
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    assert!(pass.which.round > 1, "{:?}", pass.which);
    let mut one = car.clone();
    one.day.rounds = Some(1);
    let first = PassStudy::new(&one, &study.tolerances, &study.on_car).unwrap();
    assert_eq!(first.which.round, 1);
    let lowest = |pass: &PassStudy| pass.gone.as_ref().unwrap().lowest.1;
    assert!(
        lowest(&pass) < lowest(&first),
        "{} {}",
        lowest(&pass),
        lowest(&first)
    );
    // What was read late in the day reaches it.
    let mut read = car.clone();
    read.day.reading = Some(DayReading {
        before_round: 4,
        volts: 12.0,
        rested_h: Some(5.0),
    });
    let study = Study::new(&read).unwrap();
    let after = PassStudy::new(&read, &study.tolerances, &study.on_car).unwrap();
    assert!(after.which.round >= 4);
    assert!(lowest(&after) < lowest(&pass));
    let day = DayStudy::new(&read, &study.tolerances, &study.on_car);
    // Who reads before round 4 got there, whatever the model says of the rounds before.
    assert!(day.ends().is_none_or(|(round, _)| round >= 4));
    let off = day.reading.unwrap();
    assert_eq!(off.before_round, 4);
    assert!((off.read_soc - off.expected_soc).abs() > 0.02, "{off:?}");
}

#[test]
fn the_day_is_judged_with_output_gone_as_well() {
    let car = runs_down();
    let study = Study::new(&car).unwrap();
    let day = DayStudy::new(&car, &study.tolerances, &study.on_car);
    let spreads = day.spreads(&car, &study.tolerances, &study.on_car);
    let (holds, gone) = day.of(&spreads, DayAnswer::After(1)).unwrap();
    assert!(gone.value < holds.value);
    let (least, most) = day.range(&spreads, DayAnswer::Running).unwrap();
    assert!(least < day.gone.unwrap().lowest_v.unwrap() && most > day.lowest_v().unwrap());
    let standings = day.standings(&spreads);
    assert_eq!(standings[0].status, day.status(&spreads));
    // Every round's lowest charge is among them, and so are both voltages.
    assert_eq!(standings.len(), day.rounds.len() + 2);
}

/// The limit is judged without slip, as the gate does: at 1 % slip a limit just under the
/// speed of the pulleys is met all the same.
#[test]
fn a_limit_between_slip_and_no_slip_is_met() {
    let mut car = demo::nettle();
    car.engine.gearbox = None;
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    let top = pass.pass.trace.highest_rpm() * pass.ratio;
    car.alternator.limits = Some(SpeedLimits {
        continuous: rpm(0.995 * top),
        short: None,
    });
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    assert!(pass.over_s[0] > 0.0);
    let gone = pass.gone.unwrap();
    assert!(gone.lost_s > 0.0, "{}", gone.lost_s);
}

#[test]
fn a_day_without_a_start_or_a_pass_says_so_instead_of_running_out() {
    let mut car = demo::nettle();
    car.day.steps = template(&car.day, &car.phases);
    car.day.steps.retain(|step| step.phase == "pits");
    let study = Study::new(&car).unwrap();
    let day = DayStudy::new(&car, &study.tolerances, &study.on_car);
    assert_eq!((day.lowest_v(), day.ends()), (None, None));
    assert!(day.rounds.iter().all(|round| round.crank_v.is_none()));
    let spreads = day.spreads(&car, &study.tolerances, &study.on_car);
    assert!(spreads.iter().all(|found| found.value.is_finite()));
    assert_eq!(day.status(&spreads), Status::Holds);
    let other = at_once(Otherwise::new(
        &car,
        &study.tolerances,
        &study.on_car,
        &NoPause,
    ));
    assert_eq!(other.passes, None);
    let pass = |car: &Car| PassStudy::new(car, &study.tolerances, &study.on_car);
    assert_eq!(pass(&car), Err(NoPass::NoStep));
    // A pass that is switched off is none.
    car.day.steps = template(&car.day, &car.phases);
    assert!(pass(&car).is_ok());
    for step in &mut car.day.steps {
        step.off |= step.phase == "pass";
    }
    assert_eq!(pass(&car), Err(NoPass::NoStep));
}

/// Two starts in one step: the engine stands between them, and a standing engine's voltage is no
/// voltage of a running one.
#[test]
fn the_pause_between_two_starts_is_not_running() {
    let mut car = demo::nettle();
    car.day.steps = template(&car.day, &car.phases);
    let study = Study::new(&car).unwrap();
    let day = |car: &Car| DayStudy::new(car, &study.tolerances, tried(&study));
    let once = day(&car);
    let warm_up = |step: &crate::car::DayStep| step.phase == "warm_up";
    let at = car.day.steps.iter().position(warm_up).unwrap();
    car.day.steps[at].starts = 3;
    let thrice = day(&car);
    let (one, three) = (once.lowest_v().unwrap(), thrice.lowest_v().unwrap());
    assert!((one - three).abs() < 0.05, "{one} {three}");
}

/// A start at the line is over before the launch: the pass begins with it.
#[test]
fn a_start_in_the_pass_comes_before_its_launch() {
    let mut car = demo::nettle();
    car.day.steps = template(&car.day, &car.phases);
    let study = Study::new(&car).unwrap();
    let pass = |car: &Car| PassStudy::new(car, &study.tolerances, &study.on_car).unwrap();
    let without = pass(&car);
    let at = car.day.steps.iter().position(|step| step.phase == "pass");
    car.day.steps[at.unwrap()].starts = 3;
    let with = pass(&car);
    assert!((with.holds.launch_v - without.holds.launch_v).abs() < 0.05);
    let lowest = |pass: &PassStudy| pass.gone.as_ref().unwrap().lowest;
    assert!((lowest(&with).0 - lowest(&without).0).abs() < 0.05);
    assert_eq!(with.holds.samples.first().unwrap().at_s, 0.0);
    let last = with.holds.samples.last().unwrap();
    assert!((last.at_s - with.pass.trace.seconds()).abs() < 1e-9);
}

/// The limit may be met outside the pass: in a warm-up at high engine speed.
#[test]
fn a_limit_met_outside_the_pass_counts_for_the_day() {
    let mut car = demo::nettle();
    car.engine.gearbox = None;
    car.engine.shift = Some(rpm(6_000.0));
    car.course.final_drive = None;
    let study = Study::new(&car).unwrap();
    let ratio = PassStudy::new(&car, &study.tolerances, &study.on_car)
        .unwrap()
        .ratio;
    car.alternator.limits = Some(SpeedLimits {
        continuous: rpm(6_600.0 * ratio),
        short: None,
    });
    for phase in &mut car.phases {
        if phase.id == "warm_up" {
            phase.engine = crate::car::EngineState::At {
                speed: rpm(7_150.0),
            };
        }
    }
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    assert!(pass.gone.is_none());
    let day = DayStudy::new(&car, &study.tolerances, &study.on_car);
    let gone = day.gone.unwrap();
    assert!(gone.lowest_v.unwrap() < day.lowest_v().unwrap() - 0.3);
}

#[test]
fn back_to_back_counts_passes_not_rounds() {
    let mut car = runs_down();
    car.alternator.rated = Some(amps(30.0));
    car.day.steps = template(&car.day, &car.phases);
    let passes = |car: &Car| {
        let study = Study::new(car).unwrap();
        at_once(Otherwise::new(
            car,
            &study.tolerances,
            &study.on_car,
            &NoPause,
        ))
        .passes
    };
    let single = passes(&car).unwrap().unwrap().0;
    let again = car.day.steps.clone();
    car.day.steps.extend(again);
    let double = passes(&car).unwrap().unwrap().0;
    assert!(double.abs_diff(single) <= 1, "{single} {double}");
}

#[test]
fn what_settles_a_verdict_is_of_what_the_verdict_names() {
    let car = demo::nettle();
    let study = Study::new(&car).unwrap();
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car).unwrap();
    let spreads = pass.spreads(&car, &study.tolerances, &study.on_car);
    // Each end of the limit is clear by itself: only where the limit lies decides.
    let settles = pass.standing(&spreads).unwrap().settles;
    assert_eq!(
        settles,
        crate::gates::settle_limit(&study.tolerances.resolved().limits)
    );
    assert!(settles.is_some());
    let mut weak = runs_down();
    weak.battery.capacity_ah = Some(14.0);
    weak.battery.crank_a = Some(175.0);
    let study = Study::new(&weak).unwrap();
    let day = DayStudy::new(&weak, &study.tolerances, &study.on_car);
    let spreads = day.spreads(&weak, &study.tolerances, &study.on_car);
    let (round, ends) = day.ends().unwrap();
    let named = match ends {
        Ends::Start => DayAnswer::AtStart,
        Ends::Voltage => DayAnswer::Running,
        Ends::Empty => DayAnswer::Least(round),
    };
    assert_eq!(day.standings(&spreads)[0].answer, named);
}

#[test]
fn steps_of_no_time_have_no_voltage() {
    let mut car = demo::nettle();
    car.day.steps = template(&car.day, &car.phases);
    car.day.steps.retain(|step| step.phase != "pass");
    for step in &mut car.day.steps {
        step.seconds = 0.0;
        step.starts = 0;
    }
    let study = Study::new(&car).unwrap();
    let day = DayStudy::new(&car, &study.tolerances, &study.on_car);
    assert_eq!(day.lowest_v(), None);
}

#[test]
fn a_clutch_does_not_slip() {
    let mut car = demo::nettle();
    car.course.slip = None;
    let slip = |car: &Car| {
        let study = Study::new(car).unwrap();
        study.tolerances.nominal().params.supply.converter_slip
    };
    assert!(slip(&car) > 0.0);
    car.engine.gearbox = Some(crate::car::Gearbox::Manual);
    assert_eq!(slip(&car), 0.0);
}

#[test]
fn nobody_has_a_charger_who_did_not_enter_one() {
    let mut car = demo::nettle();
    let charges = |car: &Car| plan(car).steps.iter().any(|(_, step)| step.charger);
    assert!(charges(&car));
    car.day.charger_a = None;
    assert!(!charges(&car));
}

/// A day that ends too soon is saved by each change named, run again by itself.
#[test]
fn what_saves_a_day_does() {
    let mut car = demo::nettle();
    car.battery.capacity_ah = Some(20.0);
    car.battery.rested_v = Some(12.5);
    car.battery.rested_h = Some(48.0);
    car.day.steps = template(&car.day, &car.phases);
    for step in &mut car.day.steps {
        step.charger = false;
    }
    let study = Study::new(&car).unwrap();
    let judged = tried(&study);
    let day = DayStudy::new(&car, &study.tolerances, judged);
    let found = at_once(rescues(&car, &study.tolerances, judged, &NoPause));
    assert_eq!(day.ends().is_none(), found.is_none());
    for rescue in found.into_iter().flatten() {
        let mut saved = car.clone();
        match rescue {
            Rescue::Charger { step, minutes } => {
                let mut on = saved.day.steps[step].clone();
                saved.day.steps[step].seconds -= 60.0 * minutes;
                (on.seconds, on.charger) = (60.0 * minutes, true);
                saved.day.steps.insert(step, on);
            }
            // No car says that of one round: run by the plan itself.
            Rescue::ChargerOnce { round, minutes, .. } => {
                assert!(round >= 1 && round <= day.ends().unwrap().0 && minutes >= 1.0);
                continue;
            }
            Rescue::Load { place } => {
                let off: Vec<String> = saved
                    .phases
                    .iter()
                    .filter(|phase| phase.engine == crate::car::EngineState::Off)
                    .map(|phase| phase.id.clone())
                    .collect();
                let load = &mut saved.loads.as_mut().unwrap()[place];
                load.duty.retain(|duty| !off.contains(&duty.phase));
                load.duty
                    .extend(off.into_iter().map(|phase| crate::loads::Duty {
                        phase,
                        fraction: 0.0,
                    }));
            }
            Rescue::Pulley { pulley } => saved.drive.tried = Some(pulley),
        }
        let again = Study::new(&saved).unwrap();
        let day = DayStudy::new(&saved, &again.tolerances, tried(&again));
        assert_eq!(day.ends(), None, "{rescue:?}");
    }
}

#[test]
fn a_reading_anchors_the_rest_of_the_day() {
    let mut car = demo::nettle();
    let run = |car: &Car| {
        let study = Study::new(car).unwrap();
        DayStudy::new(car, &study.tolerances, &study.on_car)
    };
    let before = run(&car);
    car.day.reading = Some(DayReading {
        before_round: 4,
        volts: 12.2,
        rested_h: Some(1.0),
    });
    let after = run(&car);
    assert_eq!(before.rounds[2], after.rounds[2]);
    assert!(after.rounds[3].begin_soc < before.rounds[3].begin_soc - 0.2);
    assert_eq!(after.rounds.len(), before.rounds.len());
    let times: Vec<f64> = after.run.segments.iter().map(|one| one.until_s).collect();
    assert!(times.is_sorted());
}

#[test]
fn sizes_are_ranked_with_those_that_hold_first() {
    let car = demo::nettle();
    let study = Study::new(&car).unwrap();
    let on_hand = &car.drive.on_hand;
    let ranked = at_once(rank(
        &car,
        &study.tolerances,
        &study.window,
        on_hand,
        &NoPause,
    ));
    assert_eq!(ranked.len(), on_hand.len());
    assert!(ranked.is_sorted_by_key(|one| one.standing));
    assert_eq!(ranked[0].standing, Standing::Holds);
    assert_eq!(ranked.last().unwrap().standing, Standing::Over);
    // Of two that stand alike the one that keeps more goes first.
    let all_hold = [2.9, 3.0, 3.1].map(|size| Pulley::new(inch(size), Measure::Caliper));
    let mut small = car.clone();
    small.alternator.limits = Some(SpeedLimits {
        continuous: rpm(20_000.0),
        short: None,
    });
    small.alternator.rating_by = crate::car::RatingBy::Pair;
    small.alternator.rated = Some(amps(75.0));
    small.alternator.low = Some(amps(52.0));
    let study = Study::new(&small).unwrap();
    let ranked = at_once(rank(
        &small,
        &study.tolerances,
        &study.window,
        &all_hold,
        &NoPause,
    ));
    for pair in ranked.windows(2) {
        if pair[0].standing == pair[1].standing {
            assert!(pair[0].end_soc >= pair[1].end_soc - 0.002, "{pair:?}");
        }
    }
}
