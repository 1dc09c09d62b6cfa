//! Belts over pulleys made at random.

use std::f64::consts::{PI, TAU};

use laneside_core::belt::{
    BeltPulley, BeltSize, Comparison, Hold, Laid, LayError, Layout, Motion, Mover, Obstacle, Path,
    PathError, PlaceError, Placed, Places, Point, Ranges, Role, Section, Settled, Side, SideAnswer,
    Tape, TriedPulley, Turning, Wheel, clearances, place, settle,
};
use proptest::prelude::*;

/// Pulleys on a ring, counter-clockwise, that do not touch each other: all under ribs.
fn ring() -> impl Strategy<Value = Vec<Wheel>> {
    ring_of(3..8)
}

/// So many of them.
fn ring_of(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Wheel>> {
    prop::collection::vec((0.0..1.0_f64, 0.85..1.15_f64, 0.3..0.9_f64), count).prop_map(|list| {
        let count = list.len() as f64;
        let ring_mm = 300.0;
        // Half the room between neighbors, when they are turned towards each other.
        let room = ring_mm * 0.85 * (0.55 * PI / count).sin();
        list.iter()
            .enumerate()
            .map(|(at, &(turn, out, size))| {
                let angle = TAU * (at as f64 + 0.4 * (turn - 0.5)) / count;
                Wheel {
                    at: Point::new(ring_mm * out * angle.cos(), ring_mm * out * angle.sin()),
                    radius_mm: (room * size).min(120.0),
                    side: Side::Ribs,
                }
            })
            .collect()
    })
}

fn reversed(wheels: &[Wheel]) -> Vec<Wheel> {
    wheels.iter().rev().copied().collect()
}

fn layout(wheels: &[Wheel]) -> Layout {
    let role = |at| if at == 0 { Role::Crank } else { Role::Other };
    Layout {
        pulleys: wheels
            .iter()
            .enumerate()
            .map(|(at, wheel)| BeltPulley {
                role: role(at),
                side: wheel.side,
                diameter_mm: 2.0 * wheel.radius_mm,
                half_width_mm: 0.0,
            })
            .collect(),
        places: Places::Coordinates {
            centers: wheels.iter().map(|wheel| wheel.at).collect(),
            half_width_mm: 0.0,
        },
        mover: None,
        turning: Turning::Clockwise,
        section: Section::default(),
        belt: None,
        obstacles: Vec::new(),
        back_line_mm: Some(0.0),
    }
}

proptest! {
    /// A belt that there is goes around once, keeps its length when turned, shifted or begun elsewhere, and is entered
    /// clockwise the other way round.
    #[test]
    fn belts_go_around_once(wheels in ring(), turn in 0.0..TAU, dx in -500.0..500.0, dy in -500.0..500.0, first in 0..8_usize) {
        let Ok(path) = Path::new(&wheels) else { return Ok(()) };
        let around: f64 = path.arcs.iter().map(|arc| arc.wheel.side.sign() * arc.wrap).sum();
        prop_assert!((around - TAU).abs() < 1e-9);
        let (sin, cos) = turn.sin_cos();
        let mut moved: Vec<Wheel> = wheels
            .iter()
            .map(|wheel| Wheel {
                at: Point::new(
                    dx + cos * wheel.at.x_mm - sin * wheel.at.y_mm,
                    dy + sin * wheel.at.x_mm + cos * wheel.at.y_mm,
                ),
                ..*wheel
            })
            .collect();
        moved.rotate_left(first % wheels.len());
        prop_assert!((Path::new(&moved).unwrap().length_mm - path.length_mm).abs() < 1e-6);
        prop_assert_eq!(Path::new(&reversed(&wheels)), Err(PathError::Clockwise));
        for span in &path.spans {
            prop_assert!((span.from.distance_mm(span.to) - span.length_mm).abs() < 1e-9 * span.length_mm.max(1.0) + 1e-6);
        }
    }

    /// Mirrored, the order is clockwise.
    #[test]
    fn mirrored_layouts_are_clockwise(wheels in ring()) {
        prop_assume!(Path::new(&wheels).is_ok());
        let mirrored: Vec<Wheel> = wheels
            .iter()
            .map(|wheel| Wheel { at: Point::new(-wheel.at.x_mm, wheel.at.y_mm), ..*wheel })
            .collect();
        prop_assert_eq!(Path::new(&mirrored), Err(PathError::Clockwise));
    }

    /// Two pulleys in each other overlap, whichever they are.
    #[test]
    fn overlapping_pulleys_are_named(wheels in ring(), one in 0..8_usize, other in 0..8_usize, share in 0.0..0.9) {
        let (one, other) = (one % wheels.len(), other % wheels.len());
        prop_assume!(one != other);
        let mut wheels = wheels;
        let apart = share * (wheels[one].radius_mm + wheels[other].radius_mm);
        wheels[other].at = Point::new(wheels[one].at.x_mm + apart, wheels[one].at.y_mm);
        // With others in the way those may be named instead, but an overlap it is.
        let is_overlap = matches!(Path::new(&wheels), Err(PathError::Overlap { .. }));
        prop_assert!(is_overlap, "{:?}", Path::new(&wheels));
    }

    /// A pulley pulled far inside the loop is not touched, or its order is wrong; never is there a belt.
    #[test]
    fn a_pulley_inside_the_loop_is_not_touched(
        big in 60.0..90.0_f64, small in 15.0..30.0_f64, apart in 500.0..900.0_f64, inside in 0.3..0.7_f64,
    ) {
        let wheel = |x_mm, y_mm, radius_mm| Wheel { at: Point::new(x_mm, y_mm), radius_mm, side: Side::Ribs };
        // Between two spans, clear of both: the belt from the right to the left passes over it.
        let wheels = [wheel(0.0, 0.0, big), wheel(apart, 0.0, big), wheel(inside * apart, 0.9 * (big - small) - 5.0, small)];
        prop_assert_eq!(Path::new(&wheels), Err(PathError::Untouched { pulley: 2 }));
    }

    /// A backside pulley away from the belt, outside the loop, is not touched.
    #[test]
    fn a_backside_pulley_away_from_the_belt_is_not_touched(
        radius in 50.0..90.0_f64, small in 15.0..30.0_f64, apart in 500.0..900.0_f64, off in 2.0..60.0_f64,
    ) {
        let wheel = |x_mm, y_mm, radius_mm, side| Wheel { at: Point::new(x_mm, y_mm), radius_mm, side };
        let wheels = [
            wheel(0.0, 0.0, radius, Side::Ribs),
            wheel(apart, 0.0, radius, Side::Ribs),
            wheel(0.5 * apart, radius + small + off, small, Side::Back),
        ];
        prop_assert_eq!(Path::new(&wheels), Err(PathError::Untouched { pulley: 2 }));
    }

    /// A pair with one under the ribs and one under the back would need a crossed belt.
    #[test]
    fn crossed_belts_are_refused(first in 20.0..100.0_f64, second in 20.0..100.0_f64, room in 5.0..500.0_f64) {
        let wheel = |x_mm, radius_mm, side| Wheel { at: Point::new(x_mm, 0.0), radius_mm, side };
        let wheels = [wheel(0.0, first, Side::Ribs), wheel(first + second + room, second, Side::Back)];
        let found = Path::new(&wheels);
        prop_assert!(matches!(found, Err(PathError::Crossed { .. } | PathError::WrongOrder { turns: 0 })), "{found:?}");
    }

    /// Two neighbors of the order exchanged: no belt, and the reason is the order, a pulley that is missed or passed, or a
    /// crossing; never an overlap or a size.
    #[test]
    fn a_wrong_order_is_no_belt(wheels in ring(), at in 0..8_usize) {
        prop_assume!(wheels.len() > 3 && Path::new(&wheels).is_ok());
        let mut wrong = wheels.clone();
        let at = at % wrong.len();
        let next = (at + 1) % wrong.len();
        wrong.swap(at, next);
        let found = Path::new(&wrong);
        let is_order = matches!(
            found,
            Err(PathError::WrongOrder { .. } | PathError::Crossed { .. } | PathError::Through { .. } | PathError::Untouched { .. })
        );
        prop_assert!(is_order, "{found:?}");
    }

    /// Whatever the numbers, there is an answer or an error, never a length that is none.
    #[test]
    fn any_circles_at_all_end_in_an_answer(list in prop::collection::vec(
        (-400.0..400.0_f64, -400.0..400.0_f64, -5.0..200.0_f64, any::<bool>()), 0..7,
    )) {
        let wheels: Vec<Wheel> = list
            .iter()
            .map(|&(x, y, radius_mm, back)| Wheel {
                at: Point::new(x, y),
                radius_mm,
                side: if back { Side::Back } else { Side::Ribs },
            })
            .collect();
        if let Ok(path) = Path::new(&wheels) {
            prop_assert!(path.length_mm.is_finite() && path.length_mm > 0.0);
            prop_assert!(path.arcs.iter().all(|arc| arc.wrap > 0.0 && arc.wrap <= 1.5 * PI + 1e-9));
        }
    }

    /// Places come back from exact distances to 0.1 mm where they are well conditioned; where they are not, they are
    /// called shaky or are as uncertain as said.
    #[test]
    fn places_come_back(wheels in ring(), over in 0..4_usize) {
        let centers: Vec<Point> = wheels.iter().map(|wheel| wheel.at).collect();
        let count = centers.len();
        let mut pairs = vec![(0, 1)];
        for pulley in 2..count {
            pairs.push((0, pulley));
            pairs.push((pulley - 1, pulley));
        }
        for extra in 0..over {
            let (a, b) = (1 + extra % (count - 1), (extra + 2) % count);
            if a != b && !pairs.contains(&(a, b)) && !pairs.contains(&(b, a)) {
                pairs.push((a, b));
            }
        }
        let tapes: Vec<Tape> = pairs
            .iter()
            .map(|&(from, to)| Tape { from, to, distance_mm: centers[from].distance_mm(centers[to]), half_width_mm: 1.5 })
            .collect();
        let left = |pulley: usize, from: usize, to: usize| {
            let (a, b, c) = (centers[from], centers[to], centers[pulley]);
            (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (c.x_mm - a.x_mm) > 0.0
        };
        let mut sides = Vec::new();
        for pulley in 2..count {
            for (from, to) in [(0, pulley - 1), (0, 1), (1, 2)] {
                if from != pulley && to != pulley {
                    sides.push(SideAnswer { pulley, from, to, left: left(pulley, from, to) });
                }
            }
        }
        let Ok(Placed::Solved(found)) = place(count, &tapes, &sides) else { return Ok(()) };
        if found.shaky.is_empty() && found.condition < 30.0 {
            // Compared as distances, which no turning changes.
            for a in 0..count {
                for b in 0..a {
                    let off = found.centers[a].distance_mm(found.centers[b]) - centers[a].distance_mm(centers[b]);
                    prop_assert!(off.abs() < 0.1, "{a} {b} {off}");
                }
            }
        }
    }

    /// A third pulley nearly in line with two is called shaky.
    #[test]
    fn nearly_in_line_is_said(apart in 300.0..600.0_f64, share in 0.3..0.7_f64, across in 0.5..12.0_f64) {
        let centers = [Point::new(0.0, 0.0), Point::new(apart, 0.0), Point::new(share * apart, across)];
        let tapes: Vec<Tape> = [(0, 1), (0, 2), (1, 2)]
            .iter()
            .map(|&(from, to)| Tape { from, to, distance_mm: centers[from].distance_mm(centers[to]), half_width_mm: 1.5 })
            .collect();
        let side = SideAnswer { pulley: 2, from: 0, to: 1, left: true };
        match place(3, &tapes, &[side]) {
            Ok(Placed::Solved(found)) => prop_assert!(found.shaky.contains(&2), "{found:?}"),
            Ok(Placed::Ask { answers, .. }) => prop_assert!(answers.iter().all(|one| one.shaky.contains(&2))),
            Err(error) => prop_assert!(false, "{error}"),
        }
    }

    /// Distances that cannot all be are refused, and one of the wrong pulley's is named.
    #[test]
    fn contradictions_are_named(wheels in ring_of(4..5), off in 60.0..120.0_f64) {
        let centers: Vec<Point> = wheels.iter().map(|wheel| wheel.at).collect();
        let mut tapes: Vec<Tape> = [(0, 1), (0, 2), (1, 2), (0, 3), (1, 3), (2, 3)]
            .iter()
            .map(|&(from, to)| Tape { from, to, distance_mm: centers[from].distance_mm(centers[to]), half_width_mm: 1.0 })
            .collect();
        tapes[5].distance_mm += off;
        let found = place(4, &tapes, &[]);
        prop_assert!(matches!(found, Err(PlaceError::Contradicts { .. })), "{found:?}");
    }

    /// By tape or by coordinates, the belt is as long; the belt's own order rules the mirror image out.
    #[test]
    fn tape_and_coordinates_give_one_length(wheels in ring_of(3..4)) {
        let by_places = layout(&wheels);
        let Ok(laid) = Laid::new(&by_places) else { return Ok(()) };
        let distances = [(0, 1), (0, 2), (1, 2)]
            .iter()
            .map(|&(from, to)| Tape {
                from,
                to,
                distance_mm: wheels[from].at.distance_mm(wheels[to].at),
                half_width_mm: 1.5,
            })
            .collect();
        let by_tape = Layout { places: Places::Tape { distances, sides: Vec::new(), turned_deg: 30.0 }, ..by_places };
        match Laid::new(&by_tape) {
            Ok(found) => {
                prop_assert!((found.path.length_mm - laid.path.length_mm).abs() < 1e-4);
                prop_assert!(found.by_order);
            }
            Err(LayError::Ask(_)) => prop_assert!(false, "the order tells"),
            Err(error) => prop_assert!(false, "{error}"),
        }
    }

    /// Where the mover settles, the belt is as long as it was told; a larger driven pulley wants a longer belt.
    #[test]
    fn the_mover_settles_where_the_belt_fits(wheels in ring(), at in 1..8_usize, larger in 1.0..20.0_f64, off in -30.0..30.0_f64) {
        let mut drive = layout(&wheels);
        let pulley = 1 + at % (wheels.len() - 1);
        let angle = wheels[pulley].at.y_mm.atan2(wheels[pulley].at.x_mm);
        drive.mover = Some(Mover {
            pulley,
            motion: Motion::Slide { direction_deg: angle.to_degrees() },
            travel: (-10.0, 25.0),
            hold: Hold::Bolted,
        });
        let Ok(laid) = Laid::new(&drive) else { return Ok(()) };
        let length = laid.path.length_mm + off;
        match settle(&laid, length) {
            Settled::At(travel) => {
                prop_assert!((-10.0..=25.0).contains(&travel));
                prop_assert!((laid.path_at(travel).unwrap().length_mm - length).abs() < 1e-6);
            }
            Settled::TooShort { by_mm } => prop_assert!(by_mm > 0.0 && off < 0.0),
            Settled::TooLong { by_mm } => prop_assert!(by_mm > 0.0 && off > 0.0),
            Settled::Never => {}
        }
        let tried = TriedPulley { pulley, diameter_mm: drive.pulleys[pulley].diameter_mm + larger, half_width_mm: 0.5 };
        if let Ok(both) = Comparison::new(&drive, &[tried]) {
            let change = both.change_mm().unwrap();
            prop_assert!(change.value > 0.0 && change.spread.widest() > 0.0);
        }
    }

    /// A clearance's spread is at least that of the obstacle's own place, and the smallest over the travel is no larger than
    /// the gap at rest.
    #[test]
    fn clearances_are_consistent(wheels in ring(), x_mm in -450.0..450.0_f64, y_mm in -450.0..450.0_f64, half_width_mm in 0.0..5.0_f64) {
        let mut drive = layout(&wheels);
        drive.obstacles.push(Obstacle { name: "bolt".to_owned(), at: Point::new(x_mm, y_mm), radius_mm: 8.0, half_width_mm });
        let Ok(ranges) = Ranges::new(&drive) else { return Ok(()) };
        for rims in [false, true] {
            for found in clearances(&ranges, 0.0, rims) {
                prop_assert!(found.gap_mm.spread.widest() >= half_width_mm);
                prop_assert!(found.least_in_travel_mm <= found.gap_mm.value);
            }
        }
    }

    /// Every text is a belt or a reason; a designation reads back.
    #[test]
    fn designations_read_back(ribs in 2..=12_u8, length in 300..=4000_u32, text in ".{0,12}") {
        let size = BeltSize::ribbed(ribs, f64::from(length));
        prop_assert_eq!(BeltSize::parse(&size.designation()), Ok(size));
        if let Ok(found) = BeltSize::parse(&text) {
            prop_assert!((300.0..=4000.0).contains(&found.length_mm));
        }
    }
}

/// The rings above are belts often enough for their properties to mean something.
#[test]
fn rings_are_mostly_belts() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut belts = 0;
    for _ in 0..400 {
        let wheels = ring().new_tree(&mut runner).unwrap().current();
        belts += usize::from(Path::new(&wheels).is_ok());
    }
    assert!(belts > 200, "{belts} of 400");
}

/// A backside pulley so near to its neighbor that the belt has no room between them: no span reaches.
#[test]
fn unreachable_neighbors_are_named() {
    let wheel = |x_mm, y_mm, radius_mm, side| Wheel {
        at: Point::new(x_mm, y_mm),
        radius_mm,
        side,
    };
    for (apart, wanted) in [
        (89.0, PathError::Unreachable { from: 0, to: 1 }),
        (
            87.0,
            PathError::Overlap {
                first: 0,
                second: 1,
            },
        ),
    ] {
        let wheels = [
            wheel(0.0, 0.0, 60.0, Side::Ribs),
            wheel(apart, 0.0, 30.0, Side::Back),
            wheel(300.0, 200.0, 30.0, Side::Ribs),
        ];
        assert_eq!(Path::new(&wheels), Err(wanted));
    }
}
