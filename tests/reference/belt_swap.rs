//! Another pulley on the same places: length, travel, clearance, grip, and the answers as findings.

use crate::support::{car, near, within};
use laneside_core::belt::{
    BeltKind, BeltSize, Caution, Comparison, Engine, Face, Hold, Laid, Layout, MomentKind, Motion,
    Mover, Nearest, Obstacle, Places, Point, Role, Section, Settled, Side, Template, TriedPulley,
    Upshift, cautions, clearance_findings, clearances, give, grip, grip_findings, length_findings,
    reach, settle, shaft_power_w, tension_from_arm, worst_moments,
};
use laneside_core::finding::Status;
use laneside_core::resolve::Resolved;
use laneside_core::tolerance::Tolerances;

fn template(kind: Template) -> Layout {
    let mut layout = kind.layout((150.0, 0.6), (60.0, 0.6));
    if let Places::Coordinates { half_width_mm, .. } = &mut layout.places {
        *half_width_mm = 1.0;
    }
    layout
}

fn larger(layout: &Layout) -> TriedPulley {
    TriedPulley {
        pulley: layout.find(Role::Alternator).unwrap(),
        diameter_mm: 85.0,
        half_width_mm: 0.6,
    }
}

/// Common practice, no source: the larger pulley wants a longer belt, moves the span outward, and can meet a bolt that the
/// small one cleared. Tolerance: none, each must be so.
#[test]
fn a_larger_pulley_wants_a_longer_belt_and_can_meet_a_bolt() {
    for kind in Template::ALL {
        let mut layout = template(kind);
        let alternator = layout.find(Role::Alternator).unwrap();
        let laid = Laid::new(&layout).unwrap();
        // A bolt outside, 12 mm off the small pulley's belt, a tenth of the way along a span from the alternator.
        let to_ribs = |at: usize| layout.pulleys[at].side == Side::Ribs;
        let count = layout.pulleys.len();
        let after = (alternator + 1) % count;
        let before = (alternator + count - 1) % count;
        let (span, share) = if to_ribs(after) {
            (laid.path.spans[alternator], 0.1)
        } else {
            (laid.path.spans[before], 0.9)
        };
        let (dx, dy) = (span.to.x_mm - span.from.x_mm, span.to.y_mm - span.from.y_mm);
        let outward = (dy / span.length_mm, -dx / span.length_mm);
        layout.obstacles.push(Obstacle {
            name: "bolt".to_owned(),
            at: Point::new(
                span.from.x_mm + share * dx + 22.0 * outward.0,
                span.from.y_mm + share * dy + 22.0 * outward.1,
            ),
            radius_mm: 8.0,
            half_width_mm: 1.0,
        });
        // The mover is bolted where it is; the belt is bought to fit.
        let both = Comparison::new(&layout, &[larger(&layout)]).unwrap();
        let change = both.change_mm().unwrap();
        assert!(
            change.spread.least(change.value) > 5.0,
            "{kind:?}: {change:?}"
        );
        let with = |ranges| clearances(ranges, 0.0, false)[0].clone();
        let (small, large) = (with(&both.on_car), with(&both.tried));
        assert_eq!(small.nearest.face, Some(Face::Back));
        assert!(
            matches!(small.nearest.nearest, Nearest::Span(_) | Nearest::Arc(_)),
            "{kind:?}"
        );
        assert_eq!(small.status, Status::Holds, "{kind:?}: {small:?}");
        assert_eq!(large.status, Status::Fails, "{kind:?}: {large:?}");
        assert!(large.gap_mm.value < small.gap_mm.value - 8.0);
    }
}

/// Verification: with the belt on the car the tensioner gives what the larger pulley wants; its place is where the length is
/// the belt's, and the spread of the travel contains what moved inputs give.
#[test]
fn the_tensioner_gives_what_the_larger_pulley_wants() {
    let layout = template(Template::WithTensioner);
    let both = Comparison::new(&layout, &[larger(&layout)]).unwrap();
    let ending = both.ending(None);
    let Settled::At(travel) = ending.settled else {
        panic!("{ending:?}")
    };
    let wanted = both.on_car.nominal.path.length_mm;
    near(
        both.tried.nominal.path_at(travel).unwrap().length_mm,
        wanted,
        1e-6,
    );
    assert!(travel < 0.0, "the tensioner gives way outward");
    let spread = ending.travel.unwrap();
    assert!(
        spread.spread.widest() > 0.1 && spread.spread.widest() < 5.0,
        "{spread:?}"
    );
    // Too large a pulley, and the belt is too short.
    let huge = TriedPulley {
        diameter_mm: 120.0,
        ..larger(&layout)
    };
    let too_short = Comparison::new(&layout, &[huge]).unwrap().ending(None);
    assert!(
        matches!(too_short.settled, Settled::TooShort { .. }),
        "{too_short:?}"
    );
}

/// Verification: offers within the reach are possible, those that fit with their tolerance sure, those outside not; and each
/// settles within the travel. With the belt known by its designation, wrongly measured places hardly matter.
#[test]
fn lengths_to_bring() {
    let mut layout = template(Template::AlternatorAndPump);
    let now = Laid::new(&layout).unwrap().path.length_mm;
    let designated = (now / 5.0).round() * 5.0;
    layout.belt = Some(BeltSize::ribbed(6, designated));
    let both = Comparison::new(&layout, &[larger(&layout)]).unwrap();
    let offers = both.offers(None);
    let reached = reach(&both.tried.nominal).unwrap();
    let add = designated - now;
    let mut seen = [0; 3];
    for offer in &offers {
        let length = offer.belt.length_mm;
        let inside = (reached.shortest_mm + add..=reached.longest_mm + add).contains(&length);
        assert_eq!(matches!(offer.settled, Settled::At(_)), inside, "{offer:?}");
        match offer.status {
            Status::Holds => {
                assert!(inside && offer.room_mm.value >= offer.belt.tolerance_mm());
                assert!(
                    offer
                        .of_travel
                        .is_some_and(|part| (0.0..=1.0).contains(&part))
                );
                seen[0] += 1;
            }
            Status::TooClose => seen[1] += 1,
            Status::Fails => {
                assert!(!inside);
                seen[2] += 1;
            }
        }
    }
    assert!(seen[0] >= 3 && seen[1] >= 2, "{seen:?}");
    // Places measured 4 mm off change what is measured, but not which belts fit.
    let Places::Coordinates { centers, .. } = &mut layout.places else {
        panic!("coordinates")
    };
    centers[2].y_mm += 4.0;
    let off = Comparison::new(&layout, &[larger(&layout)]).unwrap();
    assert!((off.length_now_mm().unwrap().value - now).abs() > 5.0);
    let wanted = |both: &Comparison| both.length_wanted_mm().unwrap().value;
    near(wanted(&off), wanted(&both), 0.5);
    let list = off.offers(Some(&[designated]));
    assert_eq!(list.len(), 1);
}

/// Verification by a balance of forces: an arm's moment is carried by both spans at the tensioner's center, `M = T |(a x u1) +
/// (a x u2)|`, against the work done as length is given. Tolerance: the difference quotient's 1e-6.
#[test]
fn a_spring_arm_sets_the_tension() {
    let layout = template(Template::WithTensioner);
    let laid = Laid::new(&layout).unwrap();
    let Motion::Arm { pivot } = layout.mover.unwrap().motion else {
        panic!("an arm")
    };
    let center = laid.wheels[3].at;
    let arm = (center.x_mm - pivot.x_mm, center.y_mm - pivot.y_mm);
    // The belt pulls the pulley back along the span that arrives and on along the one that leaves.
    let pull = |direction: f64| (direction.cos(), direction.sin());
    let (back, on) = (
        pull(laid.path.spans[2].direction),
        pull(laid.path.spans[3].direction),
    );
    let both = (on.0 - back.0, on.1 - back.1);
    let meters = (arm.0 * both.1 - arm.1 * both.0).abs() * 1e-3;
    within(
        tension_from_arm(&laid, 0.0, 25.0).unwrap(),
        25.0 / meters,
        1e-6,
    );
    assert!(give(&laid, 0.0).unwrap() > 0.0, "inward takes belt");
}

/// Verification: a slide along the line of centers of two pulleys gives twice its travel times the cosine of the lean.
#[test]
fn a_slide_gives_twice_its_travel() {
    let mut layout = template(Template::AlternatorAndPump);
    layout.pulleys.truncate(2);
    layout.places = Places::Coordinates {
        centers: vec![Point::default(), Point::new(300.0, 0.0)],
        half_width_mm: 0.0,
    };
    layout.mover = Some(Mover {
        pulley: 1,
        motion: Motion::Slide { direction_deg: 0.0 },
        travel: (-5.0, 30.0),
        hold: Hold::Bolted,
    });
    let laid = Laid::new(&layout).unwrap();
    let lean = ((150.0 - 60.0) / 2.0 / 300.0_f64).asin();
    within(give(&laid, 0.0).unwrap(), 2.0 * lean.cos(), 1e-6);
    let Settled::At(travel) = settle(&laid, laid.path.length_mm + 20.0) else {
        panic!("settles")
    };
    near(
        laid.path_at(travel).unwrap().length_mm,
        laid.path.length_mm + 20.0,
        1e-6,
    );
}

fn with_engine<T>(use_it: impl FnOnce(&Engine) -> T) -> T {
    let tolerances = Tolerances::new(Resolved::new(&car(60.0)).unwrap());
    let watts = |rpm| shaft_power_w(tolerances.nominal(), rpm);
    use_it(&Engine {
        idle_rpm: 900.0,
        top_rpm: 7300.0,
        upshift: Some(Upshift::between(7000.0, 2.48, 1.48)),
        alternator_w: &watts,
        power_part: 0.15,
        rotor_kg_m2: Some(0.0042),
        one_way: false,
        others_w: Vec::new(),
    })
}

/// Verification: peak output asks for the alternator's highest force, which lies at low speed; the upshift puts the sprung
/// span on the tight side and asks for more than steady running at that speed; a one-way pulley spares it that.
#[test]
fn worst_moments_of_a_drive() {
    with_engine(|engine| {
        let laid = Laid::new(&template(Template::WithTensioner)).unwrap();
        let found = worst_moments(&laid, engine, Some((350.0, 35.0)));
        let kinds: Vec<MomentKind> = found.iter().map(|worst| worst.kind).collect();
        assert_eq!(
            kinds,
            [
                MomentKind::PeakOutput,
                MomentKind::Upshift,
                MomentKind::TopSpeed
            ]
        );
        let [peak, shift, top] = &found[..] else {
            panic!("three")
        };
        assert!(peak.crank_rpm < 2500.0, "{}", peak.crank_rpm);
        let alternator = laid.layout.find(Role::Alternator).unwrap();
        let force = |worst: &laneside_core::belt::Worst| worst.grip.pulleys[alternator].force_n;
        assert!(force(peak) > force(top) && force(top) > 0.0 && force(shift) < 0.0);
        // The rotor: J a r/r^2, with a = 2823 rpm in 0.15 s at the crank.
        let slowing = 2823.0 / 0.15 * std::f64::consts::PI / 30.0 * 0.077;
        let inertia = 0.0042 * slowing / 0.032_f64.powi(2);
        let steady = shaft_power_w(
            Tolerances::new(Resolved::new(&car(60.0)).unwrap()).nominal(),
            7000.0 * 154.0 / 64.0,
        ) / shift.grip.belt_mps;
        within(force(shift), steady - inertia, 1e-3);
        assert!(shift.needed_n.value > top.needed_n.value);
        assert!(shift.grip.tensioner_on_tight && !peak.grip.tensioner_on_tight);
        for worst in &found {
            let margin = worst.margin.as_ref().unwrap();
            within(margin.value, 350.0 / worst.needed_n.value, 1e-9);
            assert!(worst.needed_n.spread.up > 0.0 && margin.spread.down > 0.1 * margin.value);
            // With just the tension needed, exactly one pulley is at its limit and none over.
            let just = worst_moments(&laid, engine, Some((worst.needed_n.value, 0.0)));
            let same = just.iter().find(|one| one.kind == worst.kind).unwrap();
            let used: Vec<f64> = same.grip.pulleys.iter().map(|one| one.used).collect();
            near(used[worst.grip.critical], 1.0, 1e-6);
            assert!(used.iter().all(|part| *part <= 1.0 + 1e-6), "{used:?}");
        }
        let spared = Engine {
            one_way: true,
            others_w: Vec::new(),
            ..*engine
        };
        let spared = worst_moments(&laid, &spared, None);
        assert!(spared[1].needed_n.value < shift.needed_n.value);
    });
}

/// Verification: tensions around the loop close, and forces sum to none, in either direction of turning.
#[test]
fn tensions_close_around_the_loop() {
    with_engine(|engine| {
        for kind in Template::ALL {
            let mut layout = template(kind);
            for turning in [
                laneside_core::belt::Turning::Clockwise,
                laneside_core::belt::Turning::CounterClockwise,
            ] {
                layout.turning = turning;
                let laid = Laid::new(&layout).unwrap();
                for worst in worst_moments(&laid, engine, Some((400.0, 0.0))) {
                    let sum: f64 = worst.grip.pulleys.iter().map(|one| one.force_n).sum();
                    near(sum, 0.0, 1e-6);
                    let spans = &worst.grip.spans_n;
                    for (at, one) in worst.grip.pulleys.iter().enumerate() {
                        let before = spans[(at + spans.len() - 1) % spans.len()];
                        let gained = match turning {
                            laneside_core::belt::Turning::Clockwise => before - spans[at],
                            laneside_core::belt::Turning::CounterClockwise => spans[at] - before,
                        };
                        near(gained, one.force_n, 1e-6);
                    }
                    if layout.mover.unwrap().hold == Hold::Spring {
                        let sprung = layout.mover.unwrap().pulley;
                        near(spans[sprung] - worst.grip.centrifugal_n, 400.0, 1e-6);
                    }
                }
            }
        }
    });
}

/// Validation, from memory: 50 m/s is the usual ceiling of belt speed, 45 mm the smallest effective diameter of PK pulleys
/// (ISO 9981:2020 5.2).
#[test]
fn cautions_name_what_is_out_of_the_ordinary() {
    let layout = Template::AlternatorAndPump.layout((150.0, 0.6), (42.0, 0.6));
    let found = cautions(&Laid::new(&layout).unwrap(), 7000.0);
    assert!(
        found
            .iter()
            .any(|one| matches!(one, Caution::FastBelt { belt_mps, .. } if *belt_mps > 55.0))
    );
    assert!(found.iter().any(
        |one| matches!(one, Caution::SmallPulley { pulley: 1, least_mm, .. } if *least_mm == 45.0)
    ));
    let slow = cautions(
        &Laid::new(&template(Template::AlternatorAndPump)).unwrap(),
        5000.0,
    );
    assert!(
        !slow
            .iter()
            .any(|one| matches!(one, Caution::FastBelt { .. } | Caution::SmallPulley { .. }))
    );
}

/// Verification: every finding has a formula and a source, and the ones with tolerance a spread.
#[test]
fn answers_are_findings() {
    with_engine(|engine| {
        let mut layout = template(Template::WithTensioner);
        layout.belt = Some(BeltSize::ribbed(6, 1320.0));
        layout.obstacles.push(Obstacle {
            name: "bracket".to_owned(),
            at: Point::new(-150.0, 40.0),
            radius_mm: 6.0,
            half_width_mm: 2.0,
        });
        let both = Comparison::new(&layout, &[larger(&layout)]).unwrap();
        let ending = both.ending(None);
        let mut findings = length_findings(&both, &ending);
        let at = both.tried_at(&ending).unwrap();
        findings.extend(grip_findings(
            "to_try",
            &worst_moments(&at, engine, Some((350.0, 30.0))),
        ));
        let gaps = clearances(&both.tried, 0.0, false);
        findings.extend(clearance_findings(
            "to_try",
            &|at| layout.obstacles[at].name.clone(),
            &gaps,
        ));
        assert!(findings.len() > 20);
        for finding in &findings {
            assert!(!finding.working.formula.is_empty() && !finding.working.sources.is_empty());
            assert!(finding.value.is_some_and(f64::is_finite), "{finding:?}");
        }
        let with_spread = [
            "belt_length_now",
            "belt_length_change",
            "mover_travel",
            "static_tension_needed",
            "slip_margin",
            "clearance",
        ];
        for code in with_spread {
            let finding = findings.iter().find(|one| one.code == code).unwrap();
            assert!(
                finding.spread.is_some_and(|spread| spread.widest() > 0.0),
                "{code}"
            );
        }
    });
}

/// Verification: a grip asked without a crank pulley is none, and a belt at rest needs nothing.
#[test]
fn nothing_taken_needs_nothing() {
    let mut layout = template(Template::AlternatorAndPump);
    let laid = Laid::new(&layout).unwrap();
    let rest = laneside_core::belt::Moment {
        crank_rpm: 0.0,
        crank_rpm_per_s: 0.0,
        taken: Vec::new(),
    };
    let kind = BeltKind::usual(Section::VRibbed { ribs: 6 });
    assert_eq!(grip(&laid, &kind, &rest, None).unwrap().needed_n, 0.0);
    layout.pulleys[0].role = Role::Other;
    assert_eq!(grip(&Laid::new(&layout).unwrap(), &kind, &rest, None), None);
}
