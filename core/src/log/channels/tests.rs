//! Tables whose columns are known, guessed and recorded.

use super::{Channels, Choice, RecordError, Role, Standing, Why, guess};
use crate::log::read::{Options, Read, Reader};
use crate::log::unit::Unit;

fn read(text: &str) -> Read {
    let mut reader = Reader::new(Options::default());
    reader.feed(text.as_bytes()).unwrap();
    reader.finish().unwrap()
}

/// A column's name, and its value over engine speed (thousands of rpm) and row.
type Named<'a> = (&'a str, &'a dyn Fn(f64, usize) -> f64);

/// A pass with two shifts, with these columns: name, and value over engine rpm (thousands) and row.
fn log(columns: &[Named]) -> Read {
    let mut text = String::from("Time [s]");
    for (name, _) in columns {
        text += &format!(";{name}");
    }
    for row in 0..200 {
        let krpm = match row {
            0..40 => 0.9 + 0.01 * (row % 3) as f64,
            40..90 => 4.0 + 0.06 * (row - 40) as f64,
            90..140 => 4.8 + 0.05 * (row - 90) as f64,
            _ => 5.0 + 0.03 * (row - 140) as f64,
        };
        text += &format!("\n{:.2}", row as f64 / 20.0);
        for (_, value) in columns {
            text += &format!(";{:.4}", value(krpm, row));
        }
    }
    let read = read(&text);
    assert_eq!(read.questions, vec![]);
    read
}

fn first(channels: &Channels, read: &Read, role: Role) -> Option<(String, Unit, Standing)> {
    let one = channels.role(role)?;
    let guess = one.guesses.first()?;
    Some((
        read.table.columns()[guess.column].name().to_owned(),
        guess.unit,
        one.standing,
    ))
}

fn clear(name: &str, unit: Unit) -> Option<(String, Unit, Standing)> {
    Some((name.to_owned(), unit, Standing::Clear))
}

#[test]
fn channels_are_found_by_name_unit_and_values() {
    let found = log(&[
        ("Engine speed [1/min]", &|krpm, _| krpm * 1_000.0),
        ("Battery [V]", &|krpm, _| 14.0 - krpm * 0.1),
        ("Alternator current [A]", &|krpm, _| 30.0 + 5.0 * krpm),
        ("Battery current [mA]", &|krpm, _| 4_000.0 - 1_000.0 * krpm),
        ("TPS [%]", &|krpm, _| 100.0 * (krpm - 0.9) / 7.0),
        ("Vehicle speed [mph]", &|_, row| row as f64 * 0.5),
        ("Alternator RPM", &|krpm, _| krpm * 2_400.0),
        ("Coolant temp [°F]", &|_, row| 180.0 + row as f64 * 0.01),
    ]);
    let channels = guess(&found.table, None);
    for (role, name, unit) in [
        (Role::EngineSpeed, "Engine speed", Unit::Rpm),
        (Role::Voltage, "Battery", Unit::Volt),
        (Role::AlternatorCurrent, "Alternator current", Unit::Ampere),
        (Role::BatteryCurrent, "Battery current", Unit::Milliampere),
        (Role::Throttle, "TPS", Unit::Percent),
        (Role::RoadSpeed, "Vehicle speed", Unit::MilePerHour),
        (Role::AlternatorSpeed, "Alternator RPM", Unit::Rpm),
        (Role::Temperature, "Coolant temp", Unit::Fahrenheit),
    ] {
        assert_eq!(
            first(&channels, &found, role),
            clear(name, unit),
            "{role:?}"
        );
    }
    assert!(channels.is_clear());
    let why = &channels.role(Role::AlternatorSpeed).unwrap().guesses[0].why;
    assert!(
        why.iter()
            .any(|why| matches!(why, Why::Ratio(ratio) if (ratio - 2.4).abs() < 0.01)),
        "{why:?}"
    );
    let why = &channels.role(Role::EngineSpeed).unwrap().guesses[0].why;
    assert!(why.contains(&Why::Shifts(2)), "{why:?}");

    let recording = channels.choice(&found.table).record(&found).unwrap();
    assert!((recording.rpm.values()[0] - 900.0).abs() < 0.01);
    assert!((recording.speed.unwrap().values()[100] - 50.0 * 0.447_04).abs() < 1e-3);
    assert!((recording.battery_amps.unwrap().values()[0] - 3.1).abs() < 1e-3);
    assert!((recording.celsius.unwrap().values()[0] - 82.222).abs() < 1e-2);
    assert!((recording.throttle.unwrap().values()[199] - 0.8386).abs() < 1e-3);
    assert_eq!(recording.volts.time()[199], 9.95);
}

#[test]
fn scales_follow_from_values_where_no_unit_is_written() {
    for (scale, unit) in [
        (1.0, Unit::Volt),
        (10.0, Unit::Decivolt),
        (100.0, Unit::Centivolt),
        (1_000.0, Unit::Millivolt),
    ] {
        let found = log(&[
            ("Drehzahl", &|krpm, _| krpm),
            ("Batteriespannung", &move |krpm, _| {
                scale * (14.0 - krpm * 0.1)
            }),
        ]);
        let channels = guess(&found.table, None);
        assert_eq!(
            first(&channels, &found, Role::Voltage),
            clear("Batteriespannung", unit)
        );
        let recording = channels.choice(&found.table).record(&found).unwrap();
        assert!(
            (recording.volts.values()[0] - 13.91).abs() < 1e-3,
            "{unit:?}"
        );
    }
}

#[test]
fn two_that_may_be_it_are_asked_about() {
    let found = log(&[
        ("RPM", &|krpm, _| krpm * 1_000.0),
        ("RPM 2", &|krpm, _| krpm * 990.0),
        ("Supply volts", &|krpm, _| 14.0 - krpm * 0.1),
        ("System volts", &|krpm, _| 13.9 - krpm * 0.1),
    ]);
    let channels = guess(&found.table, None);
    for (role, both) in [(Role::EngineSpeed, [0, 1]), (Role::Voltage, [2, 3])] {
        let one = channels.role(role).unwrap();
        let mut first: Vec<usize> = one
            .guesses
            .iter()
            .take(2)
            .map(|guess| guess.column)
            .collect();
        first.sort_unstable();
        assert_eq!(
            (one.standing, first.as_slice()),
            (Standing::Open, &both[..]),
            "{role:?}"
        );
    }
    // The wheel's speed and the sensors' supply are told from them.
    let found = log(&[
        ("Driveshaft RPM", &|_, row| row as f64 * 10.0),
        ("Engine RPM", &|krpm, _| krpm * 1_000.0),
        ("Sensor supply [V]", &|_, row| {
            5.0 + 0.001 * (row % 3) as f64
        }),
        ("Battery [V]", &|krpm, _| 14.0 - krpm * 0.1),
    ]);
    let channels = guess(&found.table, None);
    assert_eq!(
        first(&channels, &found, Role::EngineSpeed),
        clear("Engine RPM", Unit::Rpm)
    );
    assert_eq!(
        first(&channels, &found, Role::Voltage),
        clear("Battery", Unit::Volt)
    );
}

#[test]
fn doubt_is_asked_about() {
    // Five volts all along is no car's supply, whatever its name.
    let found = log(&[
        ("RPM", &|krpm, _| krpm * 1_000.0),
        ("Volts", &|_, row| 5.0 + 0.01 * (row % 2) as f64),
    ]);
    let channels = guess(&found.table, None);
    assert_ne!(
        channels.role(Role::Voltage).unwrap().standing,
        Standing::Clear
    );
    // Miles or kilometers an hour: the values do not tell.
    let found = log(&[
        ("RPM", &|krpm, _| krpm * 1_000.0),
        ("Vehicle Speed", &|_, row| row as f64 * 0.5),
    ]);
    let one = guess(&found.table, None);
    let speed = one.role(Role::RoadSpeed).unwrap();
    assert_eq!(speed.standing, Standing::Open);
    assert!(
        speed.guesses[0]
            .why
            .iter()
            .any(|why| matches!(why, Why::OpenUnit(units) if units.len() > 2))
    );
}

#[test]
fn what_is_missing_is_said() {
    let found = log(&[
        ("Lap", &|_, row| row as f64),
        ("Oil pressure [bar]", &|krpm, _| krpm),
    ]);
    let channels = guess(&found.table, None);
    assert_eq!(channels.missing(), [Role::EngineSpeed, Role::Voltage]);
    let choice = channels.choice(&found.table);
    assert_eq!(
        choice.record(&found),
        Err(RecordError::NoColumn(Role::EngineSpeed))
    );
    let found = log(&[
        ("RPM", &|krpm, _| krpm * 1_000.0),
        ("Boost [kPa]", &|krpm, _| krpm),
    ]);
    let channels = guess(&found.table, None);
    assert_eq!(channels.missing(), [Role::Voltage]);
    assert_eq!(
        channels.choice(&found.table).record(&found),
        Err(RecordError::NoColumn(Role::Voltage))
    );
}

#[test]
fn a_choice_is_used_again_where_its_names_come_back() {
    let columns: [Named; 3] = [
        ("A", &|krpm, _| krpm),
        ("B", &|krpm, _| 140.0 - krpm),
        ("B", &|krpm, _| 139.0 - krpm),
    ];
    let found = log(&columns);
    let mut choice = Choice::default();
    choice.set(&found.table, Role::EngineSpeed, Some((0, Unit::KiloRpm)));
    choice.set(&found.table, Role::Voltage, Some((1, Unit::Volt)));
    choice.set(&found.table, Role::Voltage, Some((2, Unit::Decivolt)));
    let kept: Choice = serde_json::from_str(&serde_json::to_string(&choice).unwrap()).unwrap();
    assert_eq!(kept, choice);
    let channels = guess(&found.table, Some(&kept));
    assert_eq!(
        first(&channels, &found, Role::Voltage),
        Some(("B".to_owned(), Unit::Decivolt, Standing::Remembered))
    );
    assert!(channels.is_clear());
    assert_eq!(channels.choice(&found.table), choice);
    let recording = choice.record(&found).unwrap();
    assert!((recording.volts.values()[0] - 13.81).abs() < 1e-3);
    // Another file's names.
    let other = log(&columns[..2]);
    assert!(!kept.fits(&other.table));
    assert!(
        guess(&other.table, Some(&kept))
            .roles
            .iter()
            .all(|one| one.standing != Standing::Remembered)
    );
    assert_eq!(
        kept.record(&other),
        Err(RecordError::Unknown {
            role: Role::Voltage,
            column: "B".to_owned()
        })
    );
}

#[test]
fn nothing_is_recorded_from_what_is_open_or_empty() {
    let open = read("RPM,Volts\n900,13.9\n901,13.8\n905,13.7\n890,13.7\n");
    let choice = guess(&open.table, None).choice(&open.table);
    assert_eq!(
        choice.record(&open),
        Err(RecordError::Open(open.questions.len()))
    );
    let sparse =
        read("Time [s],RPM,Volts,Amps\n0.1,900,13.9,\n0.2,901,,\n0.3,,13.8,5\n0.4,902,13.7,\n");
    let mut choice = Choice::default();
    choice.set(&sparse.table, Role::EngineSpeed, Some((0, Unit::Rpm)));
    choice.set(&sparse.table, Role::Voltage, Some((1, Unit::Volt)));
    choice.set(&sparse.table, Role::BatteryCurrent, Some((2, Unit::Ampere)));
    let recording = choice.record(&sparse).unwrap();
    assert_eq!(recording.rpm.len(), 3);
    assert_eq!(recording.volts.values(), [13.9, 13.8, 13.7]);
    let times: Vec<f64> = recording
        .volts
        .time()
        .iter()
        .map(|time| (time * 10.0).round())
        .collect();
    assert_eq!(times, [0.0, 2.0, 3.0]);
    assert_eq!(recording.battery_amps, None);
    choice.set(&sparse.table, Role::Voltage, Some((2, Unit::Volt)));
    assert_eq!(
        choice.record(&sparse),
        Err(RecordError::TooFew {
            role: Role::Voltage,
            column: "Amps".to_owned(),
            found: 1
        })
    );
    choice.set(&sparse.table, Role::Voltage, Some((1, Unit::Rpm)));
    assert_eq!(
        choice.record(&sparse),
        Err(RecordError::Unit {
            role: Role::Voltage,
            unit: Unit::Rpm
        })
    );
}
