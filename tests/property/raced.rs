//! Battery, wiring, pass and day of a car, made at random.

use laneside_core::battery::{Chemistry, CrankStandard};
use laneside_core::bus::Sense;
use laneside_core::car::{
    Age, Battery, Car, Costs, Course, CourseKind, Day, DayKind, DayReading, DayStep, LapSegment,
    Lead, Mishap, TimePoint, Tire, Wiring,
};
use laneside_core::wiring::{Place, WireSize};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

/// The car with some of what carries it and of what it does at the track.
pub fn raced(car: Car) -> impl Strategy<Value = Car> {
    let ids = car.phases.iter().map(|phase| phase.id.clone()).collect();
    // Boxed, since the trees of all of them are more than a test's stack holds.
    let parts = (
        battery().boxed(),
        wiring().boxed(),
        course().boxed(),
        day(ids).boxed(),
    );
    parts.prop_map(move |(battery, wiring, course, day)| Car {
        battery,
        wiring,
        course,
        day,
        ..car.clone()
    })
}

fn battery() -> impl Strategy<Value = Battery> {
    let chemistry = of((select(Chemistry::ALL.to_vec()), of(0_usize..2)));
    let rating = (
        of(1.0..200.0),
        of(50.0..1_500.0),
        of(select(CrankStandard::ALL.to_vec())),
    );
    let tested = (of(0.5..40.0), of(-20.0..60.0), of(1.0..200.0));
    let rested = (of(0.0..22.0), of(0.0..200.0));
    let age = of(select(vec![Age::New, Age::Used, Age::Old]));
    (chemistry, rating, tested, rested, age).prop_map(|(chemistry, rating, tested, rested, age)| {
        let cells = chemistry.and_then(|(chemistry, place)| {
            place.map(|place| chemistry.cells()[place % chemistry.cells().len()])
        });
        Battery {
            chemistry: chemistry.map(|(chemistry, _)| chemistry),
            cells,
            capacity_ah: rating.0,
            crank_a: rating.1,
            crank_standard: rating.2,
            measured_mohm: tested.0,
            measured_at_c: tested.1,
            age,
            charge_limit_a: tested.2,
            rested_v: rested.0,
            rested_h: rested.1,
        }
    })
}

fn lead() -> impl Strategy<Value = Lead> {
    let size = prop_oneof![
        (0.5..240.0).prop_map(WireSize::Mm2),
        (-3..=20).prop_map(WireSize::Awg)
    ];
    (of(size), of(0.0..40.0), of(0.0..5.0), of(1.0..1_000.0)).prop_map(
        |(size, length_m, drop_v, drop_at_a)| Lead {
            size,
            length_m,
            drop_v,
            drop_at_a,
        },
    )
}

fn wiring() -> impl Strategy<Value = Wiring> {
    let places = (
        of(select(vec![Sense::Alternator, Sense::Battery])),
        of(select(Place::ALL.to_vec())),
    );
    let readings = (of(6.0..22.0), of(6.0..22.0));
    (
        lead(),
        lead(),
        of(-30.0..150.0),
        of(1.0..1_000.0),
        places,
        readings,
    )
        .prop_map(
            |(lead, ground, hot_c, fuse_a, (sense, read_at), (meter_v, shown_v))| Wiring {
                lead,
                ground,
                hot_c,
                fuse_a,
                sense,
                read_at,
                meter_v,
                shown_v,
            },
        )
}

/// Ratios, each a part of the one before.
fn gears() -> impl Strategy<Value = Vec<f64>> {
    (2.0..6.0, prop::collection::vec(0.7..0.95, 0..7)).prop_map(
        |(first, steps): (f64, Vec<f64>)| {
            let mut gears: Vec<f64> = vec![first];
            for step in steps {
                gears.push((gears[gears.len() - 1] * step).max(0.3));
            }
            gears.dedup();
            gears
        },
    )
}

fn points() -> impl Strategy<Value = Vec<TimePoint>> {
    prop::collection::vec((0.01..5.0, 0.0..12_000.0), 0..12).prop_map(|steps| {
        let mut at = 0.0;
        let mut point = |(step, speed_rpm)| {
            at += step;
            TimePoint {
                seconds: at,
                speed_rpm,
            }
        };
        steps.into_iter().map(&mut point).collect()
    })
}

fn segments() -> impl Strategy<Value = Vec<LapSegment>> {
    let segment = ("[A-Z][a-z]{1,9}", 0.1..60.0, 0.0..12_000.0, 0.0..12_000.0);
    let segment = segment.prop_map(|(name, seconds, from_rpm, to_rpm)| LapSegment {
        name,
        seconds,
        from_rpm,
        to_rpm,
    });
    prop::collection::vec(segment, 0..9)
}

fn costs() -> impl Strategy<Value = Costs> {
    let flow = (of(5.0..500.0), of(500.0..900.0));
    let dead = (of(1.0..5.0), of(0.05..1.0));
    let coil = (of(0.1..20.0), of(0.05..9.0), of(1.0..40.0));
    (flow, dead, coil).prop_map(|(flow, dead, coil)| Costs {
        flow_12_lph: flow.0,
        flow_13_5_lph: flow.1,
        dead_12_ms: dead.0,
        dead_14_ms: dead.1,
        coil_mh: coil.0,
        coil_ohm: coil.1,
        coil_a: coil.2,
    })
}

fn course() -> impl Strategy<Value = Course> {
    let kind = select(CourseKind::ALL.to_vec());
    let slip = (of(5.0..40.0), of(10.0..200.0), of(0.7..5.0));
    let drive = (
        of(gears()),
        of(1.5..8.0),
        of(300.0..1_200.0),
        of(0.0..0.3),
        of(0.0..2.0),
    );
    let tire = of(select(vec![Tire::Radial, Tire::BiasSlick]));
    let mishap = of(select(vec![
        Mishap::MissedShift,
        Mishap::OnLimiter,
        Mishap::OverRev,
    ]));
    let lap = (points(), segments(), of(1_u32..200));
    (kind, slip, drive, tire, mishap, lap, costs().boxed()).prop_map(
        |(kind, slip, drive, tire, mishap, lap, costs)| Course {
            kind,
            elapsed_s: slip.0,
            trap_mps: slip.1,
            sixty_ft_s: slip.2,
            gears: drive.0.unwrap_or_default(),
            final_drive: drive.1,
            tire_mm: drive.2,
            tire,
            slip: drive.3,
            shift_s: drive.4,
            points: lap.0,
            segments: lap.1,
            laps: lap.2,
            mishap,
            costs,
        },
    )
}

fn day(ids: Vec<String>) -> impl Strategy<Value = Day> {
    let step = (
        select(ids),
        0.0..7_200.0,
        0_u32..4,
        any::<bool>(),
        any::<bool>(),
    );
    let step = step.prop_map(|(phase, seconds, starts, charger, off)| DayStep {
        phase,
        seconds,
        starts,
        charger,
        off,
    });
    let steps = prop::collection::vec(step, 0..24);
    let rounds = (of(4_u32..30), of(1_u32..=4), of(0.0..43_200.0));
    let charger = (of(-30.0..60.0), of(0.5..200.0), of(6.0..22.0));
    let starter = (of(20.0..1_000.0), of(0.2..20.0), of(6.0..22.0));
    let reading = of((1_u32..=4, 0.0..22.0, of(0.0..200.0)));
    (
        select(DayKind::ALL.to_vec()),
        rounds,
        steps,
        charger,
        starter,
        reading,
    )
        .prop_map(|(kind, rounds, steps, charger, starter, reading)| Day {
            kind,
            rounds: rounds.0,
            steps,
            late_from: rounds.1,
            late_pits_s: rounds.2,
            ambient_c: charger.0,
            charger_a: charger.1,
            charger_v: charger.2,
            starter_a: starter.0,
            starter_s: starter.1,
            least_v: starter.2,
            reading: reading.map(|(before_round, volts, rested_h)| DayReading {
                before_round,
                volts,
                rested_h,
            }),
        })
}
