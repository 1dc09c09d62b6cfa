//! Cars made at random. Only those that the parser accepts are handed out.

use crate::raced::raced;
use laneside_core::alternator::{Excitation, Fan, Warmth};
use laneside_core::car::entry::{Field, set, set_measured};
use laneside_core::car::{
    Car, ClampReading, EngineState, Gearbox, Nominal, Phase, RatingBy, RatioBy, demo,
};
use laneside_core::drive::{Belt, Measure};
use laneside_core::loads::{Load, LoadKind};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, amps, rpm, volts};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

/// Fields that a person types into, the listed ones at a few places.
pub fn field() -> impl Strategy<Value = Field> {
    let single: Vec<Field> = Field::singles().collect();
    prop_oneof![
        12 => select(single),
        1 => (0_usize..4).prop_map(Field::OnHand),
        1 => (0_usize..4).prop_map(Field::LoadCurrent),
        1 => (0_usize..4).prop_map(Field::LoadTolerance),
        1 => (0_usize..4).prop_map(Field::LoadVoltage),
        1 => (0_usize..4, 0_usize..9).prop_map(|(load, phase)| Field::LoadDuty(load, phase)),
        1 => (0_usize..9).prop_map(Field::PhaseSpeed),
        1 => (0_usize..9).prop_map(Field::PhaseClamp),
        1 => (0_usize..9).prop_map(Field::PhaseClampVoltage),
        1 => (0_usize..9).prop_map(Field::PhaseName),
        1 => (0_usize..4).prop_map(Field::LoadName),
        2 => (0_usize..9).prop_map(Field::Gear),
        1 => (0_usize..5).prop_map(Field::PointTime),
        1 => (0_usize..5).prop_map(Field::PointSpeed),
        1 => (0_usize..9).prop_map(Field::SegmentName),
        1 => (0_usize..9).prop_map(Field::SegmentTime),
        1 => (0_usize..9).prop_map(Field::SegmentFrom),
        1 => (0_usize..9).prop_map(Field::SegmentTo),
        1 => (0_usize..9).prop_map(Field::StepTime),
        1 => (0_usize..9).prop_map(Field::StepStarts),
        1 => (0_usize..7).prop_map(Field::CardVolts),
        1 => (0_usize..5).prop_map(Field::CardDrop),
        1 => (0_usize..3).prop_map(Field::CardAmps),
        1 => (0_usize..3).prop_map(Field::HistoryNotes),
        1 => (0_usize..5).prop_map(Field::BeltDiameter),
        1 => (0_usize..5).prop_map(Field::BeltX),
        1 => (0_usize..5).prop_map(Field::BeltY),
        1 => (0_usize..5).prop_map(Field::BeltPower),
        1 => (0_usize..4).prop_map(Field::TapeDistance),
        1 => (0_usize..2).prop_map(Field::ObstacleName),
        1 => (0_usize..2).prop_map(Field::ObstacleX),
        1 => (0_usize..2).prop_map(Field::ObstacleY),
        1 => (0_usize..2).prop_map(Field::ObstacleAcross),
    ]
}

/// Text of the kind that a field takes, mostly in its range.
pub fn likely_text(field: Field) -> BoxedStrategy<String> {
    let number = |low: f64, high: f64, unit: &'static str| {
        (low..high)
            .prop_map(move |value| format!("{value:.2} {unit}"))
            .boxed()
    };
    match field.kind() {
        Some(Kind::Length) => number(30.0, 260.0, "mm"),
        Some(Kind::Speed) => prop_oneof![
            number(300.0, 2_500.0, "rpm"),
            number(1_000.0, 20_000.0, "rpm"),
        ]
        .boxed(),
        Some(Kind::Current) => number(0.0, 200.0, "A"),
        Some(Kind::Voltage) => number(6.0, 22.0, "V"),
        Some(Kind::Temperature) => number(-30.0, 150.0, "C"),
        Some(Kind::Turns) => number(0.3, 30.0, ""),
        Some(Kind::Percent) => number(0.0, 100.0, "%"),
        Some(Kind::Capacity) => number(1.0, 150.0, "Ah"),
        Some(Kind::Resistance) => number(0.1, 40.0, "mohm"),
        Some(Kind::Ohms) => number(0.05, 9.0, "ohm"),
        Some(Kind::Distance) => number(0.0, 40.0, "m"),
        Some(Kind::Drop) => number(0.0, 5.0, "V"),
        Some(Kind::Hours) => number(0.0, 200.0, "h"),
        Some(Kind::Minutes) => prop_oneof![
            number(0.0, 120.0, "min"),
            (0_u32..600, 0_u32..60).prop_map(|(whole, rest)| format!("{whole}:{rest:02}")),
        ]
        .boxed(),
        Some(Kind::Time) => prop_oneof![
            number(0.0, 3.0, "s"),
            number(2.0, 20.0, ""),
            number(2.0, 80.0, "s"),
        ]
        .boxed(),
        Some(Kind::Milliseconds) => number(0.05, 5.0, "ms"),
        Some(Kind::RoadSpeed) => {
            prop_oneof![number(23.0, 440.0, "mph"), number(36.0, 700.0, "km/h"),].boxed()
        }
        Some(Kind::Ratio) => number(0.3, 7.0, ""),
        Some(Kind::Flow) => number(5.0, 900.0, "L/h"),
        Some(Kind::Inductance) => number(0.1, 20.0, "mH"),
        Some(Kind::Fine) => number(5.0, 60.0, "mm"),
        Some(Kind::Angle) => number(-180.0, 180.0, "deg"),
        Some(Kind::Force) => number(0.0, 2_000.0, "N"),
        Some(Kind::Power) => number(0.0, 9_000.0, "W"),
        Some(Kind::Count) => (0_u32..32).prop_map(|count| count.to_string()).boxed(),
        _ if field == Field::BeltDesignation => {
            r"(1?[0-9](PK| pk-)[0-9]{3,4}|(V )?[0-9]{3,4})".boxed()
        }
        _ if field == Field::Points => points_text().boxed(),
        _ => "[a-zA-Z0-9 ]{0,70}".boxed(),
    }
}

/// Text that may be anything at all.
pub fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        r"[-+]?[0-9]{0,6}[.,/' ]?[0-9]{0,4} ?(in|mm|m|ft|rpm|k|A|Ah|V|mV|%|C|F|''|turns|s|ms|min|h|mph|km/h|mohm|ohm|mH|L/h|lb/h)?",
        r"([0-9]{1,5} [0-9]{1,3}\n){0,6}",
        r"[0-9]{0,4}:[0-9]{0,3}(:[0-9]{0,2})?( min| h)?",
        "[0-9./ e-]{0,30}",
    ]
}

/// A bench curve, one point a line, mostly rising.
fn points_text() -> impl Strategy<Value = String> {
    (
        800.0..2_500.0,
        prop::collection::vec((100.0..4_000.0, -3.0..60.0), 2..8),
    )
        .prop_map(|(first, steps)| {
            let (mut speed, mut amps, mut text) = (first, 5.0, String::new());
            for (step, rise) in steps {
                text.push_str(&format!("{speed:.0} {amps:.1}\n"));
                speed += step;
                amps += rise;
            }
            text
        })
}

fn load() -> impl Strategy<Value = Load> {
    (
        0.0..40.0,
        prop::option::of(0.0..10.0),
        prop::option::of(10.0..18.0),
        select(LoadKind::ALL.to_vec()),
        any::<bool>(),
    )
        .prop_map(
            |(current, tolerance, rated_at, kind, follows_engine)| Load {
                name: "load".to_owned(),
                current: amps(current),
                tolerance: tolerance.map(amps),
                rated_at: rated_at.map(volts),
                kind,
                follows_engine,
                duty: Vec::new(),
            },
        )
}

/// Everything that is picked rather than typed.
fn picked(car: Car) -> impl Strategy<Value = Car> {
    let drive = (
        select(vec![Belt::VRibbed, Belt::VRibbed, Belt::Other]),
        select(vec![
            RatioBy::Sizes,
            RatioBy::Sizes,
            RatioBy::Turns,
            RatioBy::Speeds,
        ]),
    );
    let alternator = (
        select(vec![
            Nominal::TwelveVolt,
            Nominal::TwelveVolt,
            Nominal::SixteenVolt,
        ]),
        select(vec![RatingBy::OneNumber, RatingBy::Pair, RatingBy::Points]),
        prop::option::of(select(vec![Fan::Outside, Fan::Inside, Fan::HeavyDuty])),
        prop::option::of(select(vec![
            Excitation::ExciteWire,
            Excitation::SelfExciting,
        ])),
        prop::option::of(select(vec![Warmth::Stabilized, Warmth::Cold])),
    );
    let gearbox = prop::option::of(select(vec![Gearbox::Automatic, Gearbox::Manual]));
    let loads = prop::option::of(prop::collection::vec(load(), 0..5));
    let extra = prop::option::of((
        400.0..15_000.0,
        prop::option::of((0.0..120.0, prop::option::of(9.0..18.0))),
    ));
    (drive, alternator, gearbox, loads, extra).prop_map(
        move |(drive, alternator, gearbox, loads, extra)| {
            let mut car = car.clone();
            (car.drive.belt, car.drive.ratio_by) = drive;
            let (nominal, rating_by, fan, excitation, warmth) = alternator;
            car.alternator.nominal = nominal;
            car.alternator.rating_by = rating_by;
            car.alternator.fan = fan;
            car.alternator.excitation = excitation;
            car.alternator.warmth = warmth;
            car.engine.gearbox = gearbox;
            car.loads = loads;
            if let Some((speed, clamp)) = extra {
                let mut phase = Phase::new("extra", EngineState::At { speed: rpm(speed) });
                phase.clamp = clamp.map(|(current, read_at)| ClampReading {
                    current: amps(current),
                    read_at: read_at.map(volts),
                });
                car.phases.push(phase);
            }
            car
        },
    )
}

/// A car from typed text: the five entries and what they need, then other fields. Text that is refused changes nothing.
fn typed_car() -> impl Strategy<Value = Car> {
    let five = [
        "crank",
        "fitted",
        "limiter",
        "idle",
        "rated",
        "low",
        "points",
        "crank-turns",
        "alternator-turns",
        "read-engine",
        "read-alternator",
    ]
    .map(|key| Field::from_key(key).unwrap());
    let texts: Vec<BoxedStrategy<String>> = five.iter().map(|field| likely_text(*field)).collect();
    let measures = prop::collection::vec(select(Measure::ALL.to_vec()), five.len());
    let more = prop::collection::vec(
        field().prop_flat_map(|field| (Just(field), likely_text(field))),
        0..14,
    );
    let picked = picked(Car::new("Any", System::Metric))
        .boxed()
        .prop_flat_map(raced)
        .boxed();
    (picked, texts, measures, more).prop_map(move |(mut car, texts, measures, more)| {
        for ((field, text), measure) in five.iter().zip(&texts).zip(measures) {
            if let Ok(changed) = set_measured(&car, *field, text, measure) {
                car = changed;
            }
        }
        for (field, text) in more {
            if let Ok(changed) = set(&car, field, &text) {
                car = changed;
            }
        }
        car
    })
}

/// One change of a file: at the leaf of this number (counted around), a new number; or the field taken out.
#[derive(Clone, Debug)]
struct Mutation {
    leaf: usize,
    becomes: Option<f64>,
}

fn leaves<'a>(value: &'a mut Value, found: &mut Vec<&'a mut Value>) {
    match value {
        Value::Object(fields) => fields.values_mut().for_each(|value| leaves(value, found)),
        Value::Array(items) => items.iter_mut().for_each(|value| leaves(value, found)),
        leaf => found.push(leaf),
    }
}

/// A demo car's file with some of its leaves changed.
pub fn mutated_file() -> impl Strategy<Value = String> {
    let becomes = prop_oneof![
        3 => (0.5..2.0).prop_map(Some),
        1 => prop::option::of(-1e6..1e6),
        1 => Just(Some(0.0)),
    ];
    let mutation = (0_usize..400, becomes).prop_map(|(leaf, becomes)| Mutation { leaf, becomes });
    let names = prop::collection::vec((0_usize..12, 0_usize..12), 0..2);
    (0_usize..2, prop::collection::vec(mutation, 1..6), names).prop_map(
        |(which, mutations, names)| {
            let text = demo::cars()[which].to_file().unwrap();
            let mut file: Value = serde_json::from_str(&text).unwrap();
            for Mutation { leaf, becomes } in mutations {
                let mut found = Vec::new();
                leaves(&mut file["car"], &mut found);
                let place = leaf % found.len();
                let old = &mut *found[place];
                *old = match (becomes, old.as_f64()) {
                    // A factor near one keeps most numbers in their range.
                    (Some(factor), Some(number)) if (0.5..2.0).contains(&factor) => {
                        Value::from(factor * number)
                    }
                    (Some(number), _) => Value::from(number),
                    (None, _) => Value::Null,
                };
            }
            let mut text = file.to_string();
            let words = [
                "\"one_number\"",
                "\"pair\"",
                "\"points\"",
                "\"fan\"",
                "\"pump\"",
                "\"inside\"",
                "\"outside\"",
                "\"caliper\"",
                "\"called\"",
                "\"sizes\"",
                "\"turns\"",
                "\"v_ribbed\"",
            ];
            for (from, to) in names {
                text = text.replacen(words[from], words[to], 1);
            }
            text
        },
    )
}

/// Cars that the parser accepts and that have no blanks left.
pub fn car() -> impl Strategy<Value = Car> {
    let typed = typed_car().prop_filter_map("not accepted", |car| {
        Car::from_file(&car.to_file().ok()?).ok()
    });
    let mutated = mutated_file().prop_filter_map("not accepted", |text| Car::from_file(&text).ok());
    prop_oneof![3 => typed.boxed(), 1 => mutated.boxed()].prop_filter("blanks left", |car| {
        laneside_core::resolve::blanks(car).is_empty()
    })
}
