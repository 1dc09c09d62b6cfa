use super::*;
use laneside_core::car::demo;
use laneside_core::choose::Side;

#[test]
fn no_size_says_only_what_is_so() {
    let car = demo::tansy();
    let edge = |mm, limit| Edge { mm, limit };
    let speed = EdgeLimit::Gate(GateId::Continuous);
    let lanes = EdgeLimit::Gate(GateId::Phase(2));
    let said = |possible_low: Edge, possible_high: Edge| {
        let window = Window {
            side: Side::Alternator,
            sure_low: possible_low,
            sure_high: possible_high,
            possible_low,
            possible_high,
        };
        let said = none_fits(&car, &window, " (limit assumed)").replace('\u{a0}', " ");
        assert!(said.split_whitespace().count() <= 25, "{said}");
        said
    };
    assert_eq!(
        said(edge(70.0, speed), edge(60.0, lanes)),
        "Under 70.0 mm it is overspun (limit assumed); over 60.0 mm it is short of current: \
         staging lanes. Ways out are below."
    );
    assert_eq!(
        said(edge(45.0, EdgeLimit::Belt), edge(0.0, lanes)),
        "The belt takes nothing under 45.0 mm; every size is short of current: staging lanes. \
         Ways out are below."
    );
    assert_eq!(
        said(edge(30.0, EdgeLimit::Range), edge(0.0, lanes)),
        "Nothing under 30.0 mm is looked at; every size is short of current: staging lanes. \
         Ways out are below."
    );
    assert_eq!(
        said(edge(f64::INFINITY, speed), edge(250.0, EdgeLimit::Range)),
        "Every size is overspun (limit assumed); nothing over 250.0 mm is looked at. Ways out \
         are below."
    );
    assert_eq!(
        said(edge(f64::INFINITY, speed), edge(0.0, lanes)),
        "Every size is overspun (limit assumed); every size is short of current: staging \
         lanes. Ways out are below."
    );
}

#[test]
fn what_settles_it_leads_to_a_field_that_is_there() {
    let to = |car: &Car, id| settle_action(car, Settle::Input(id)).unwrap();
    let mut car = demo::nettle();
    let own = to(&car, InputId::Load(1));
    assert_eq!(
        own,
        (
            "Measure: fan".to_owned(),
            Route::Car.href_to("load-current-1")
        )
    );
    car.loads = None;
    assert_eq!(to(&car, InputId::Load(1)).1, Route::Car.href_to("loads"));
    car.drive.ratio_by = RatioBy::Turns;
    let turns = Route::Car.href_to("alternator-turns");
    assert_eq!(to(&car, InputId::Ratio).1, turns);
    car.drive.ratio_by = RatioBy::Speeds;
    let read = Route::Car.href_to("read-alternator");
    assert_eq!(to(&car, InputId::Ratio).1, read);
}

#[test]
fn one_limit_is_not_called_two() {
    use laneside_core::alternator::SpeedLimits;
    use laneside_core::quantity::rpm;
    let mut car = demo::nettle();
    let line = |car: &Car| {
        let study = Study::new(car).unwrap();
        judged(car, &study, &study.on_car).line
    };
    for (short, said) in [(None, false), (Some(rpm(18_100.0)), true)] {
        car.alternator.limits = Some(SpeedLimits {
            continuous: rpm(18_000.0),
            short,
        });
        let line = line(&car);
        assert_eq!(line.contains("for moments"), said, "{line}");
    }
}
