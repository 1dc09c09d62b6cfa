//! Invented example cars: "Nettle", an eighth-mile bracket coupe, and "Tansy", a six-speed
//! time-attack hatchback. No real car stands behind either.

use super::{
    Age, Battery, BeltDrive, Car, Course, CourseKind, Day, DayKind, DriveMover, DriveObstacle,
    DrivePulley, Gearbox, LapSegment, Lead, PlacesBy, Shaft, Tire, Wiring,
};
use crate::alternator::{Excitation, Fan};
use crate::battery::{Chemistry, CrankStandard};
use crate::belt::{Role, Side, Tape, Template};
use crate::bus::Sense;
use crate::data::belt_memory::TAPE_CENTERS_MM;
use crate::drive::{Measure, Pulley};
use crate::loads::{Duty, Load, LoadKind};
use crate::quantity::{System, amps, inch, mm, rpm, volts};
use crate::wiring::{Place, WireSize};

/// Both of them.
pub fn cars() -> [Car; 2] {
    [nettle(), tansy()]
}

/// The bracket coupe: a small pulley called two and a quarter spins its alternator past
/// what a fan inside the case stands.
pub fn nettle() -> Car {
    let mut car = Car::new("Nettle", System::Inch);
    car.invented = true;
    car.engine.limiter = Some(rpm(7_200.0));
    car.engine.idle = Some(rpm(950.0));
    car.engine.launch = Some(rpm(4_200.0));
    car.engine.shift = Some(rpm(6_900.0));
    car.engine.gearbox = Some(Gearbox::Automatic);
    car.drive.crank = Some(Pulley::new(inch(6.5), Measure::Caliper));
    car.drive.fitted = Some(Pulley::called(inch(2.25)));
    car.drive.on_hand = [2.25, 2.5, 2.75, 3.0, 3.125, 3.5]
        .map(|size| Pulley::new(inch(size), Measure::Caliper))
        .to_vec();
    car.drive.accessories = vec!["water pump".to_owned()];
    car.alternator.rated = Some(amps(120.0));
    car.alternator.fan = Some(Fan::Inside);
    car.alternator.excitation = Some(Excitation::SelfExciting);
    car.loads = Some(vec![
        load(
            "fuel_pump",
            10.0,
            LoadKind::Pump,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "fan",
            14.0,
            LoadKind::Fan,
            &[
                ("pits", 0.0),
                ("stage", 0.0),
                ("pass", 0.0),
                ("burnout", 0.0),
            ],
        ),
        load("water_pump", 6.0, LoadKind::Pump, &[("pits", 0.0)]),
        load(
            "ignition_inductive",
            7.0,
            LoadKind::Resistive,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "engine_control",
            3.0,
            LoadKind::Electronics,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "logger_dash",
            1.5,
            LoadKind::Electronics,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "transbrake",
            5.0,
            LoadKind::Resistive,
            &[
                ("pits", 0.0),
                ("warm_up", 0.0),
                ("lanes", 0.0),
                ("burnout", 0.0),
                ("pass", 0.0),
                ("return_road", 0.0),
                ("cool_down", 0.0),
            ],
        ),
    ]);
    car.battery = Battery {
        chemistry: Some(Chemistry::Agm),
        cells: Some(6),
        capacity_ah: Some(48.0),
        crank_a: Some(600.0),
        crank_standard: Some(CrankStandard::Sae),
        age: Some(Age::Used),
        rested_v: Some(12.7),
        rested_h: Some(12.0),
        ..Battery::default()
    };
    car.wiring = Wiring {
        lead: lead(WireSize::Awg(4), 5.0),
        ground: Lead {
            drop_v: Some(0.08),
            drop_at_a: Some(40.0),
            ..Lead::default()
        },
        sense: Some(Sense::Alternator),
        read_at: Some(Place::Dash),
        ..Wiring::default()
    };
    car.course = Course {
        kind: CourseKind::Eighth,
        elapsed_s: Some(6.6),
        trap_mps: Some(46.045_12),
        sixty_ft_s: Some(1.48),
        gears: vec![2.48, 1.48, 1.0],
        final_drive: Some(4.1),
        tire_mm: Some(711.2),
        tire: Some(Tire::BiasSlick),
        slip: Some(0.05),
        ..Course::default()
    };
    car.day = Day {
        kind: DayKind::Bracket,
        rounds: Some(6),
        charger_a: Some(10.0),
        ..Day::default()
    };
    car.belt_drive = swung();
    car
}

/// The time-attack hatchback: a long rev range, everything electric, and an alternator of
/// which two figures are known.
pub fn tansy() -> Car {
    let mut car = Car::new("Tansy", System::Metric);
    car.invented = true;
    car.engine.limiter = Some(rpm(8_600.0));
    car.engine.idle = Some(rpm(1_050.0));
    car.engine.shift = Some(rpm(8_300.0));
    car.engine.gearbox = Some(Gearbox::Manual);
    car.drive.crank = Some(Pulley::new(mm(139.5), Measure::Caliper));
    car.drive.fitted = Some(Pulley::new(mm(57.5), Measure::Caliper));
    car.alternator.rating_by = super::RatingBy::Pair;
    car.alternator.rated = Some(amps(110.0));
    car.alternator.low = Some(amps(55.0));
    car.alternator.fan = Some(Fan::Inside);
    car.alternator.excitation = Some(Excitation::ExciteWire);
    car.alternator.set_point = Some(volts(14.1));
    car.loads = Some(vec![
        load(
            "fuel_pump",
            12.0,
            LoadKind::Pump,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load("fan", 16.0, LoadKind::Fan, &[("pits", 0.0), ("pass", 0.0)]),
        load(
            "ignition_inductive",
            7.0,
            LoadKind::Resistive,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "engine_control",
            4.0,
            LoadKind::Electronics,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "logger_dash",
            2.5,
            LoadKind::Electronics,
            &[("pits", 0.0), ("cool_down", 0.0)],
        ),
        load(
            "brake_lamps",
            4.0,
            LoadKind::Resistive,
            &[("pits", 0.0), ("warm_up", 0.0), ("cool_down", 0.0)],
        ),
    ]);
    car.battery = Battery {
        chemistry: Some(Chemistry::Agm),
        cells: Some(6),
        capacity_ah: Some(44.0),
        crank_a: Some(520.0),
        crank_standard: Some(CrankStandard::En),
        age: Some(Age::New),
        ..Battery::default()
    };
    car.wiring = Wiring {
        lead: lead(WireSize::Mm2(25.0), 0.9),
        ground: lead(WireSize::Mm2(25.0), 0.6),
        read_at: Some(Place::EngineComputer),
        ..Wiring::default()
    };
    car.course = Course {
        kind: CourseKind::Lap,
        gears: vec![3.46, 2.05, 1.45, 1.12, 0.93, 0.78],
        final_drive: Some(4.06),
        tire_mm: Some(620.0),
        tire: Some(Tire::Radial),
        segments: [
            ("Main straight", 17.5, 5_800.0, 8_200.0),
            ("Hairpin", 9.0, 6_900.0, 4_300.0),
            ("Climb", 14.0, 4_300.0, 7_900.0),
            ("Chicane", 11.5, 6_400.0, 5_200.0),
            ("Back straight", 16.0, 5_200.0, 8_300.0),
            ("Long right", 15.0, 7_000.0, 6_300.0),
            ("Last corner", 12.0, 6_300.0, 5_800.0),
        ]
        .map(|(name, seconds, from_rpm, to_rpm)| LapSegment {
            name: name.to_owned(),
            seconds,
            from_rpm,
            to_rpm,
        })
        .to_vec(),
        laps: Some(12),
        ..Course::default()
    };
    car.day = Day {
        kind: DayKind::TrackDay,
        rounds: Some(5),
        ..Day::default()
    };
    car.belt_drive = sprung();
    car
}

/// The hatchback on a machine of a quarter of the output, slowed down: nothing is overspun
/// any more, and a session is not carried. The cure fails here.
pub fn tansy_short() -> Car {
    let mut car = tansy();
    car.name = "Tansy, 24 A".to_owned();
    car.alternator.rated = Some(amps(24.0));
    car.alternator.low = Some(amps(12.0));
    car.drive.tried = Some(Pulley::new(mm(85.0), Measure::Caliper));
    car
}

/// The coupe's drive: three pulleys measured by tape in inches, the alternator swung on its
/// bracket, and a bracket bolt behind the belt that the small pulley clears.
fn swung() -> BeltDrive {
    let tape = |from, to, distance_mm| Tape {
        from,
        to,
        distance_mm,
        half_width_mm: TAPE_CENTERS_MM,
    };
    BeltDrive {
        pulleys: vec![
            at(Role::Crank, Side::Ribs, None, (0.0, 0.0)),
            at(Role::Alternator, Side::Ribs, None, (229.0, 220.0)),
            at(Role::WaterPump, Side::Ribs, Some(139.7), (0.0, 251.0)),
        ],
        places_by: PlacesBy::Tape,
        tapes: vec![tape(0, 1, 317.5), tape(0, 2, 250.825), tape(1, 2, 231.775)],
        turned_deg: Some(43.8),
        mover: DriveMover {
            pulley: Some(1),
            pivot_x_mm: Some(250.0),
            pivot_y_mm: Some(130.0),
            from_deg: Some(-14.0),
            to_deg: Some(6.0),
            ..DriveMover::default()
        },
        ribs: Some(6),
        belt_mm: Some(1_185.0),
        obstacles: vec![DriveObstacle {
            name: "bracket bolt".to_owned(),
            x_mm: 222.0,
            y_mm: 128.0,
            across_mm: 19.0,
        }],
        tension_n: Some(800.0),
        shaft: Shaft {
            bore_mm: Some(17.0),
            nut: Some("M16 x 1.5".to_owned()),
            ..Shaft::default()
        },
        ..BeltDrive::default()
    }
}

/// The hatchback's drive: a spring tensioner on the belt's back, places by x and y.
fn sprung() -> BeltDrive {
    let mut drive = BeltDrive::default();
    drive.begin_with(Template::WithTensioner);
    drive.places_half_width_mm = Some(2.0);
    drive.ribs = Some(6);
    drive.belt_mm = Some(1_295.0);
    drive
}

fn at(role: Role, side: Side, diameter_mm: Option<f64>, (x_mm, y_mm): (f64, f64)) -> DrivePulley {
    DrivePulley {
        role,
        side,
        diameter_mm,
        half_width_mm: None,
        x_mm,
        y_mm,
        power_w: None,
    }
}

fn lead(size: WireSize, length_m: f64) -> Lead {
    Lead {
        size: Some(size),
        length_m: Some(length_m),
        ..Lead::default()
    }
}

fn load(name: &str, current_a: f64, kind: LoadKind, off: &[(&str, f64)]) -> Load {
    Load {
        name: name.to_owned(),
        current: amps(current_a),
        tolerance: None,
        rated_at: None,
        kind,
        follows_engine: false,
        duty: off
            .iter()
            .map(|(phase, fraction)| Duty {
                phase: (*phase).to_owned(),
                fraction: *fraction,
            })
            .collect(),
    }
}
