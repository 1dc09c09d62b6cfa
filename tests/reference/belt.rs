//! The belt: lengths, wraps, grip, places and span frequency.

use std::f64::consts::PI;

use crate::support::{near, within};
use laneside_core::belt::{
    BeltKind, BeltPulley, Grip, Laid, Layout, Moment, Path, Placed, Places, Point, Role, Section,
    Side, SideAnswer, Taken, Tape, Turning, Wheel, grip, place, pluck,
};

const INCH: f64 = 25.4;
const POUND_FORCE: f64 = 4.448_221_615;

fn wheel(x_mm: f64, y_mm: f64, radius_mm: f64, side: Side) -> Wheel {
    Wheel {
        at: Point::new(x_mm, y_mm),
        radius_mm,
        side,
    }
}

/// Two pulleys of these diameters at this distance, the first drives.
fn open(first_mm: f64, second_mm: f64, apart_mm: f64) -> [Wheel; 2] {
    [
        wheel(0.0, 0.0, first_mm / 2.0, Side::Ribs),
        wheel(apart_mm, 0.0, second_mm / 2.0, Side::Ribs),
    ]
}

/// Validation. Source: Shigley's Mechanical Engineering Design, chapter 17, example: pulleys of 18 and 6 in, centers 96 in
/// apart; wraps 3.016 511 and 3.266 674 rad, length 230.074 in. Tolerance: half of the last digit printed.
#[test]
fn open_belt_of_shigley() {
    let path = Path::new(&open(6.0 * INCH, 18.0 * INCH, 96.0 * INCH)).unwrap();
    near(path.arcs[0].wrap, 3.016_511, 5e-7);
    near(path.arcs[1].wrap, 3.266_674, 5e-7);
    near(path.length_mm / INCH, 230.074, 5e-4);
}

/// Validation. Source: Hamrock, Fundamentals of Machine Elements, example 19.1: pulleys of 16 and 36 in, centers 180 in
/// apart, length 442.2 in. Tolerance: half of the last digit printed.
#[test]
fn open_belt_of_hamrock() {
    let path = Path::new(&open(16.0 * INCH, 36.0 * INCH, 180.0 * INCH)).unwrap();
    near(path.length_mm / INCH, 442.2, 0.05);
}

/// Verification, derived by hand: a crank pulley of 150 mm, centers 300 mm apart. Tolerance: half of the last digit.
#[test]
fn crank_of_150_mm_with_a_small_and_a_large_alternator_pulley() {
    for (alternator, length, wrap) in [(60.0, 936.63, 162.75), (75.0, 958.12, 165.64)] {
        let path = Path::new(&open(150.0, alternator, 300.0)).unwrap();
        near(path.length_mm, length, 0.005);
        near(path.arcs[1].wrap.to_degrees(), wrap, 0.005);
    }
}

/// Validation. Source: Machinery's Handbook, "length of belt traversing three pulleys", a belt that touches three pulleys
/// on one side: spans sqrt(c^2 - dr^2) and, on each pulley, a turn less the angle of the triangle of centers, less what the
/// tangents take. Worked here from triangles alone, without directions. Tolerance: rounding.
#[test]
fn three_pulleys_touched_on_one_side() {
    let (r, c) = ([75.0_f64, 30.0, 60.0], [310.0_f64, 260.0, 330.0]);
    let [c12, c23, c31] = c;
    let angle = |a: f64, b: f64, opposite: f64| {
        ((a * a + b * b - opposite * opposite) / (2.0 * a * b)).acos()
    };
    let third = Point::new(
        c31 * angle(c12, c31, c23).cos(),
        c31 * angle(c12, c31, c23).sin(),
    );
    let path = Path::new(&[
        wheel(0.0, 0.0, r[0], Side::Ribs),
        wheel(c12, 0.0, r[1], Side::Ribs),
        wheel(third.x_mm, third.y_mm, r[2], Side::Ribs),
    ])
    .unwrap();
    let span = |c: f64, a: f64, b: f64| (c * c - (a - b) * (a - b)).sqrt();
    let lean = |c: f64, own: f64, other: f64| ((own - other) / c).asin();
    let wrap = |own: f64, one: (f64, f64), two: (f64, f64), between: f64| {
        PI - between + lean(one.0, own, one.1) + lean(two.0, own, two.1)
    };
    let wraps = [
        wrap(r[0], (c12, r[1]), (c31, r[2]), angle(c12, c31, c23)),
        wrap(r[1], (c12, r[0]), (c23, r[2]), angle(c12, c23, c31)),
        wrap(r[2], (c31, r[0]), (c23, r[1]), angle(c31, c23, c12)),
    ];
    let length = span(c12, r[0], r[1])
        + span(c23, r[1], r[2])
        + span(c31, r[2], r[0])
        + r.iter().zip(wraps).map(|(r, wrap)| r * wrap).sum::<f64>();
    for (arc, wanted) in path.arcs.iter().zip(wraps) {
        near(arc.wrap, wanted, 1e-12);
    }
    within(path.length_mm, length, 1e-12);
}

/// A three-pulley drive with a backside tensioner from the literature, in mm and in a belt's order as seen there:
/// Beikmann, Perkins and Ulsoy, "Free vibration of serpentine belt drive systems", Journal of Vibration and Acoustics
/// 118(3), 1996, 406-413. Radii and centers are from memory, not read again.
fn beikmann() -> [Wheel; 3] {
    [
        wheel(0.0, 0.0, 97.0, Side::Ribs),
        wheel(552.5, 55.6, 88.9, Side::Ribs),
        wheel(347.7, 57.15, 45.2, Side::Back),
    ]
}

/// Validation, from memory: the span from the driving pulley to the tensioner of that drive is 0.1548 m long. Tolerance:
/// half of the last digit. The other spans are checked against `sqrt(c^2 - (r1 +- r2)^2)` worked here (verification).
#[test]
fn backside_tensioner_of_the_literature() {
    let path = Path::new(&beikmann()).unwrap();
    near(path.spans[1].length_mm, 154.8, 0.05);
    let flat = |dx: f64, dy: f64, k: f64| (dx * dx + dy * dy - k * k).sqrt();
    near(
        path.spans[0].length_mm,
        flat(552.5, 55.6, 97.0 - 88.9),
        1e-9,
    );
    near(
        path.spans[2].length_mm,
        flat(347.7, 57.15, 97.0 + 45.2),
        1e-9,
    );
    let around = path.arcs[0].wrap + path.arcs[1].wrap - path.arcs[2].wrap;
    near(around, 2.0 * PI, 1e-12);
    within(polyline_mm(&beikmann()), path.length_mm, 1e-6);
}

/// Length of the shortest closed loop that keeps every pulley on its side, found without tangents: the touching angles of
/// each span come from maximizing the distance of its line from the centers, the arcs are polylines of 10,000 segments.
fn polyline_mm(wheels: &[Wheel]) -> f64 {
    const SEGMENTS: usize = 10_000;
    let count = wheels.len();
    // The line that both circles touch: its direction by bisection on the signed distance of the second circle.
    let direction = |a: &Wheel, b: &Wheel| {
        let (dx, dy) = (b.at.x_mm - a.at.x_mm, b.at.y_mm - a.at.y_mm);
        let middle = dy.atan2(dx);
        // Distance to the left of a line in direction t: both centers must lie their signed radius to its left.
        let off = |t: f64| {
            let left = |x: f64, y: f64| -t.sin() * x + t.cos() * y;
            left(dx, dy) - (b.side.sign() * b.radius_mm - a.side.sign() * a.radius_mm)
        };
        let (mut low, mut high) = (middle - PI / 2.0, middle + PI / 2.0);
        for _ in 0..200 {
            let half = 0.5 * (low + high);
            if off(low) * off(half) <= 0.0 {
                high = half;
            } else {
                low = half;
            }
        }
        0.5 * (low + high)
    };
    let on = |wheel: &Wheel, t: f64| {
        let angle = t - wheel.side.sign() * PI / 2.0;
        Point::new(
            wheel.at.x_mm + wheel.radius_mm * angle.cos(),
            wheel.at.y_mm + wheel.radius_mm * angle.sin(),
        )
    };
    let mut points = Vec::new();
    for at in 0..count {
        let (before, own, after) = (
            &wheels[(at + count - 1) % count],
            &wheels[at],
            &wheels[(at + 1) % count],
        );
        let (arriving, leaving) = (direction(before, own), direction(own, after));
        let sign = own.side.sign();
        let wrap = (sign * (leaving - arriving)).rem_euclid(2.0 * PI);
        for step in 0..=SEGMENTS {
            points.push(on(
                own,
                arriving + sign * wrap * step as f64 / SEGMENTS as f64,
            ));
        }
    }
    let next = |at: usize| points[(at + 1) % points.len()];
    points
        .iter()
        .enumerate()
        .map(|(at, point)| point.distance_mm(next(at)))
        .sum()
}

/// Verification: lengths against a polyline of 10,000 segments on each pulley, to 1e-6 of the length.
#[test]
fn length_is_that_of_a_fine_polyline() {
    let drives: [&[Wheel]; 3] = [
        &open(150.0, 60.0, 300.0),
        &beikmann(),
        &[
            wheel(0.0, 0.0, 75.0, Side::Ribs),
            wheel(260.0, 40.0, 32.0, Side::Ribs),
            wheel(130.0, 130.0, 36.0, Side::Back),
            wheel(180.0, 330.0, 30.0, Side::Ribs),
            wheel(-60.0, 240.0, 60.0, Side::Ribs),
        ],
    ];
    for wheels in drives {
        let path = Path::new(wheels).unwrap();
        within(polyline_mm(wheels), path.length_mm, 1e-6);
    }
}

/// A two-pulley drive whose first pulley drives, turning with the belt's order; sizes are pitch diameters.
fn two(first_mm: f64, second_mm: f64, apart_mm: f64) -> Laid {
    let pulley = |role, diameter_mm| BeltPulley {
        role,
        side: Side::Ribs,
        diameter_mm,
        half_width_mm: 0.0,
    };
    Laid::new(&Layout {
        pulleys: vec![
            pulley(Role::Crank, first_mm),
            pulley(Role::Other, second_mm),
        ],
        places: Places::Coordinates {
            centers: vec![Point::default(), Point::new(apart_mm, 0.0)],
            half_width_mm: 0.0,
        },
        mover: None,
        turning: Turning::CounterClockwise,
        section: Section::V,
        belt: None,
        obstacles: Vec::new(),
        back_line_mm: None,
    })
    .unwrap()
}

fn moment(crank_mm: f64, mps: f64, watts: f64) -> Moment {
    Moment {
        crank_rpm: mps / (PI * crank_mm * 1e-3) * 60.0,
        crank_rpm_per_s: 0.0,
        taken: vec![Taken::default(), Taken { watts, kg_m2: 0.0 }],
    }
}

/// Validation. Source: Hamrock, Fundamentals of Machine Elements, example 19.1: belt 10 x 0.13 in of 0.042 lb/in3 at 3600
/// ft/min, friction 0.8, both sides together 2000 lb (g = 32.2 ft/s2): centrifugal 73.25 lb, tight 1776, slack 224 lb, 169
/// hp. Asked the other way round: the power that just holds gives the sides. Tolerance: half of the last digit printed; the
/// tension needed to 0.1 %, since 169 hp is rounded.
#[test]
fn flat_belt_of_hamrock() {
    let mps = 3600.0 * 0.3048 / 60.0;
    // Mass for each length: the printed centrifugal tension is with g = 32.2.
    let kg_per_m = 10.0 * 0.13 * 0.042 * 0.453_592_37 / 0.0254 * (32.174_05 / 32.2);
    let belt = BeltKind {
        friction_ribs: 0.8,
        friction_back: 0.8,
        kg_per_m,
    };
    let laid = two(16.0 * INCH, 36.0 * INCH, 180.0 * INCH);
    let watts = (1776.0 - 224.0) * POUND_FORCE * mps;
    near(watts / 745.699_9, 169.0, 0.5);
    let moment = moment(16.0 * INCH, mps, watts);
    let found = grip(&laid, &belt, &moment, Some(1000.0 * POUND_FORCE)).unwrap();
    near(found.centrifugal_n / POUND_FORCE, 73.25, 0.005);
    near(found.spans_n[0] / POUND_FORCE, 224.0, 0.5);
    near(found.spans_n[1] / POUND_FORCE, 1776.0, 0.5);
    within(found.needed_n / POUND_FORCE, 1000.0, 1e-3);
    assert_eq!(found.critical, 0, "the small pulley slips first");
    near(found.pulleys[0].used, 1.0, 1e-3);
    assert!(found.pulleys[1].used < 1.0);
    near(found.margin(), 1.0, 1e-3);
}

/// Validation. Source: Shigley's Mechanical Engineering Design, chapter 17, V belt with a ratio of 5 : 1 at half a turn
/// (friction 0.5123): centrifugal 25.9, initial 169.3, tight 308.1, slack 82.3 lbf. Fixed centers need initial and
/// centrifugal tension together. Tolerance: half of the last digit printed, for the initial tension 0.2 lbf.
#[test]
fn v_belt_of_shigley() {
    let mps = 20.0;
    let belt = BeltKind {
        friction_ribs: 0.5123,
        friction_back: 0.3,
        kg_per_m: 25.9 * POUND_FORCE / (mps * mps),
    };
    let laid = two(200.0, 200.0, 800.0);
    let moment = moment(200.0, mps, (308.1 - 82.3) * POUND_FORCE * mps);
    let found = grip(&laid, &belt, &moment, None).unwrap();
    near(found.needed_n / POUND_FORCE, 169.3 + 25.9, 0.2);
    let as_printed = grip(&laid, &belt, &moment, Some((169.3 + 25.9) * POUND_FORCE)).unwrap();
    near(as_printed.spans_n[1] / POUND_FORCE, 308.1, 0.05);
    near(as_printed.spans_n[0] / POUND_FORCE, 82.3, 0.05);
}

/// Verification, derived by hand: a crank pulley of 150 mm (effective; pitch 154) at 7,000 rpm runs its belt at 55 to 57 m/s.
#[test]
fn belt_speed_is_set_by_the_crank() {
    let mut layout = two(150.0, 60.0, 300.0).layout;
    layout.section = Section::VRibbed { ribs: 6 };
    let laid = Laid::new(&layout).unwrap();
    let at_7000 = Moment {
        crank_rpm: 7000.0,
        crank_rpm_per_s: 0.0,
        taken: vec![Taken::default(); 2],
    };
    let found = grip(&laid, &BeltKind::usual(layout.section), &at_7000, None).unwrap();
    near(found.belt_mps, 7000.0 / 60.0 * PI * 0.154, 1e-9);
    near(found.belt_mps * 150.0 / 154.0, 55.0, 0.05);
}

/// Verification, derived by hand: an upshift from 7,000 to 4,177 rpm in 0.15 s with a rotor of 0.0042 kg m2 behind 150 : 60
/// mm asks -20 N m of the belt against 3 N m of load, so the slack side becomes the tight one.
#[test]
fn an_upshift_turns_tight_and_slack_round() {
    let mut layout = two(150.0, 60.0, 300.0).layout;
    layout.section = Section::VRibbed { ribs: 6 };
    let laid = Laid::new(&layout).unwrap();
    let belt = BeltKind::usual(layout.section);
    let alternator_rpm: f64 = 7000.0 * 154.0 / 64.0;
    let watts = 3.0 * alternator_rpm * PI / 30.0;
    let with = |crank_rpm_per_s, kg_m2| Moment {
        crank_rpm: 7000.0,
        crank_rpm_per_s,
        taken: vec![Taken::default(), Taken { watts, kg_m2 }],
    };
    let steady = grip(&laid, &belt, &with(0.0, 0.0042), None).unwrap();
    near(steady.pulleys[1].torque_nm, 3.0, 1e-9);
    let shift = grip(&laid, &belt, &with((4177.0 - 7000.0) / 0.15, 0.0042), None).unwrap();
    near(shift.pulleys[1].torque_nm, 3.0 - 20.0, 0.1);
    assert_eq!(
        (steady.tightest, steady.slackest),
        (shift.slackest, shift.tightest)
    );
    // Besides the centrifugal tension, which is the same.
    let pressing = |found: &Grip| found.needed_n - found.centrifugal_n;
    assert!(pressing(&shift) > 4.0 * pressing(&steady));
}

/// Validation. Source: the wave equation of a string (any textbook of vibration): f = sqrt(T/m)/(2 L). Tolerance: rounding.
#[test]
fn span_frequency() {
    let hz = pluck::frequency_hz(0.117, 0.25, 421.2);
    near(hz, (421.2_f64 / 0.117).sqrt() / 0.5, 1e-9);
    within(pluck::tension_n(0.117, 0.25, hz), 421.2, 1e-12);
}

/// Verification: five pulleys at places that the solver does not know, all distances exact: places to 0.1 mm. Over-measured
/// by three distances.
#[test]
fn places_come_back_from_exact_distances() {
    let places = [
        Point::new(0.0, 0.0),
        Point::new(262.0, 0.0),
        Point::new(310.0, 205.0),
        Point::new(120.0, 380.0),
        Point::new(-85.0, 190.0),
    ];
    let pairs = [
        (0, 1),
        (0, 2),
        (1, 2),
        (0, 3),
        (2, 3),
        (0, 4),
        (3, 4),
        (1, 3),
        (1, 4),
        (2, 4),
    ];
    let tapes: Vec<Tape> = pairs
        .iter()
        .map(|&(from, to)| Tape {
            from,
            to,
            distance_mm: places[from].distance_mm(places[to]),
            half_width_mm: 1.5,
        })
        .collect();
    let left = SideAnswer {
        pulley: 2,
        from: 0,
        to: 1,
        left: true,
    };
    let Placed::Solved(found) = place(5, &tapes, &[left]).unwrap() else {
        panic!("not solved")
    };
    assert_eq!(found.over_measured, 3);
    assert!(found.condition < 20.0 && found.shaky.is_empty());
    for (center, wanted) in found.centers.iter().zip(places) {
        assert!(center.distance_mm(wanted) < 0.1, "{center:?}");
    }
    // Without the answer, the mirror image is asked for, and only that.
    let Placed::Ask { answers, questions } = place(5, &tapes, &[]).unwrap() else {
        panic!("not asked")
    };
    assert_eq!(answers.len(), 2);
    assert!(!questions.is_empty());
}

/// Verification: the standard errors that are shown are those of many draws of the tape. Tolerance: 15 %, the draws' own.
#[test]
fn standard_errors_are_those_of_draws() {
    let places = [
        Point::new(0.0, 0.0),
        Point::new(300.0, 0.0),
        Point::new(180.0, 240.0),
    ];
    let tapes: Vec<Tape> = [(0, 1), (0, 2), (1, 2)]
        .iter()
        .map(|&(from, to)| Tape {
            from,
            to,
            distance_mm: places[from].distance_mm(places[to]),
            half_width_mm: 2.0,
        })
        .collect();
    let left = [SideAnswer {
        pulley: 2,
        from: 0,
        to: 1,
        left: true,
    }];
    let solved = |tapes: &[Tape]| match place(3, tapes, &left).unwrap() {
        Placed::Solved(found) => *found,
        Placed::Ask { .. } => panic!("asked"),
    };
    let shown = solved(&tapes).covariances[2];
    let mut state = 88_172_645_463_325_252_u64;
    let mut uniform = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut sums = [0.0; 3];
    const DRAWS: usize = 3000;
    for _ in 0..DRAWS {
        let mut drawn = tapes.clone();
        for tape in &mut drawn {
            let normal = (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
            tape.distance_mm += normal;
        }
        let at = solved(&drawn).centers[2];
        let (dx, dy) = (at.x_mm - places[2].x_mm, at.y_mm - places[2].y_mm);
        sums = [sums[0] + dx * dx, sums[1] + dx * dy, sums[2] + dy * dy];
    }
    for (sum, wanted) in sums.into_iter().zip(shown) {
        near(sum / DRAWS as f64, wanted, 0.15 * shown[0].max(shown[2]));
    }
}
