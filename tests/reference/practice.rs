//! What the trade sees down the track, held against the demo car.
//!
//! Common practice, no source: with the alternator's output gone at high rpm a race car's pass runs into the mid 11s; cured,
//! it stays at 13 V or better with a small drop from idle. The demo car is invented and not tuned to that: AGM, 48 Ah of
//! which age leaves 85 %, 600 A SAE, rested at 12.7 V, read at the dash; about 34 A of loads in the pass.

use laneside_core::car::{Car, demo};
use laneside_core::finding::Status;
use laneside_core::gates::Judged;
use laneside_core::race::{PassStudy, Swept};
use laneside_core::study::Study;

fn pass(car: &Car, of: fn(&Study) -> &Judged) -> (PassStudy, Status) {
    let study = Study::new(car).unwrap();
    let judged = of(&study);
    let pass = PassStudy::new(car, &study.tolerances, judged).unwrap();
    let status = pass.status(&pass.spreads(car, &study.tolerances, judged));
    (pass, status)
}

fn on_car(study: &Study) -> &Judged {
    &study.on_car
}

fn to_try(study: &Study) -> &Judged {
    &study.tried.as_ref().unwrap().judged
}

/// Validation: gone, the demo car falls to 12.5 V at the dash in three seconds over the limit, half a volt to a volt above
/// what the trade calls usual, since its battery is healthy; cured, it stays over 13 V.
#[test]
fn the_demo_car_lands_near_what_the_trade_sees() {
    let car = demo::nettle();
    let (before, _) = pass(&car, on_car);
    let gone = before.gone.as_ref().unwrap();
    assert!((11.3..12.8).contains(&gone.lowest.1), "{:?}", gone.lowest);
    assert!(gone.lowest.1 < before.holds.lowest.1 - 0.8);
    let (cured, status) = pass(&car, to_try);
    assert_eq!(status, Status::Holds);
    assert!(cured.gone.is_none() && cured.holds.lowest.1 >= 13.0);
    // A small drop from idle: regulated at both.
    assert!((cured.holds.launch_v - cured.holds.end_v).abs() < 0.3);
}

/// The same car with a tired battery falls further, though not into the mid 11s: three seconds are short against the minute
/// in which the model's battery sags, and the lanes have just charged it.
#[test]
fn with_a_tired_battery_it_falls_further() {
    let lowest = |car: &Car| pass(car, on_car).0.gone.unwrap().lowest.1;
    let mut car = demo::nettle();
    let healthy = lowest(&car);
    car.battery.age = Some(laneside_core::car::Age::Old);
    car.battery.rested_v = Some(12.2);
    let tired = lowest(&car);
    assert!((11.9..healthy - 0.2).contains(&tired), "{tired} {healthy}");
}

/// A second demo state: the hatchback on a machine of a quarter of the output. Slowed down it is not overspun any more, does not
/// carry a session, and the pass says so.
#[test]
fn where_the_cure_fails_it_says_so() {
    let car = demo::tansy_short();
    let (slow, status) = pass(&car, to_try);
    println!("slow {:?} {status:?}", slow.holds.lowest);
    assert!(slow.gone.is_none());
    assert_eq!(status, Status::Fails);
}
