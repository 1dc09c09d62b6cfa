//! Words that headers use for channels: English, Spanish, German, French and Italian.

use super::Role;

const ENGINE: &[&str] = &[
    "engine",
    "eng",
    "motor",
    "moteur",
    "motore",
    "crank",
    "crankshaft",
    "kurbelwelle",
];
const ALTERNATOR: &[&str] = &[
    "alternator",
    "alt",
    "altern",
    "generator",
    "gen",
    "lichtmaschine",
    "lima",
    "alternador",
    "alternateur",
    "alternatore",
    "dynamo",
];
const BATTERY: &[&str] = &[
    "battery", "batt", "bat", "batterie", "bateria", "batería", "batteria", "akku", "shunt", "accu",
];
const REVS: &[&str] = &[
    "rpm",
    "rpms",
    "revs",
    "rev",
    "revolutions",
    "tach",
    "tacho",
    "tachometer",
    "drehzahl",
    "revoluciones",
    "régimen",
    "regimen",
    "régime",
    "regime",
    "giri",
    "tours",
    "upm",
    "rotation",
    "rotational",
];
const ENGINE_REVS: &[&str] = &[
    "nmot",
    "motordrehzahl",
    "enginespeed",
    "enginerpm",
    "rpmengine",
    "tachometer",
    "engrpm",
    "rpmmotor",
];
const SPEED: &[&str] = &[
    "speed",
    "spd",
    "geschwindigkeit",
    "velocidad",
    "vitesse",
    "velocità",
    "velocita",
    "tempo",
];
const ROAD_SPEED: &[&str] = &[
    "vss",
    "kph",
    "mph",
    "kmh",
    "groundspeed",
    "vehiclespeed",
    "gpsspeed",
    "fahrgeschwindigkeit",
    "roadspeed",
    "wheelspeed",
];
const VOLTS: &[&str] = &[
    "volt", "volts", "voltage", "vdc", "spannung", "tensión", "tension", "tensione", "voltaje",
    "voltios", "voltagem",
];
const BATTERY_VOLTS: &[&str] = &[
    "vbat",
    "vbatt",
    "ubat",
    "ubatt",
    "batv",
    "battv",
    "batvolt",
    "batvolts",
    "battvolt",
    "battvolts",
    "batteriespannung",
    "bordspannung",
    "bordnetzspannung",
    "batteryvoltage",
    "batteryvolts",
    "vbattery",
    "ub",
    "battvoltage",
    "batvoltage",
];
const AMPS: &[&str] = &[
    "amp",
    "amps",
    "ampere",
    "amperes",
    "amperage",
    "current",
    "strom",
    "corriente",
    "courant",
    "corrente",
    "amperios",
    "ladestrom",
    "intensité",
];
const THROTTLE: &[&str] = &[
    "throttle",
    "tps",
    "pedal",
    "accelerator",
    "accel",
    "drosselklappe",
    "gaspedal",
    "fahrpedal",
    "acelerador",
    "mariposa",
    "papillon",
    "accélérateur",
    "accelerateur",
    "pédale",
    "pedale",
    "farfalla",
    "acceleratore",
    "gas",
    "throttleposition",
    "app",
];
const TEMPERATURE: &[&str] = &[
    "temp",
    "temperature",
    "temperatur",
    "temperatura",
    "température",
    "clt",
    "ect",
    "iat",
    "coolant",
    "cht",
    "kühlwassertemperatur",
    "öltemperatur",
    "act",
    "mat",
];
const NO_ENGINE: &[&str] = &[
    "wheel",
    "wheels",
    "shaft",
    "driveshaft",
    "prop",
    "propshaft",
    "converter",
    "turbine",
    "input",
    "output",
    "trans",
    "transmission",
    "gearbox",
    "turbo",
    "pump",
    "fan",
    "dyno",
    "target",
    "limit",
    "limiter",
    "desired",
    "cam",
    "roll",
    "roller",
    "rad",
    "rueda",
    "roue",
    "ruota",
    "kardan",
    "kardanwelle",
    "getriebe",
    "axle",
    "tire",
    "tyre",
    "clutch",
    "max",
    "min",
    "peak",
    "delta",
    "error",
    "setpoint",
    "rate",
    "slip",
    "line",
    "driven",
    "secondary",
];
const NO_SUPPLY: &[&str] = &[
    "sensor",
    "ref",
    "reference",
    "vref",
    "tps",
    "map",
    "o2",
    "lambda",
    "throttle",
    "aux",
    "analog",
    "analogue",
    "knock",
    "wideband",
    "oil",
    "fuel",
    "boost",
    "pedal",
    "coil",
    "target",
    "iat",
    "clt",
    "ect",
    "maf",
    "raw",
    "egt",
    "ain",
    "setpoint",
    "pressure",
    "error",
    "drop",
    "ripple",
    "5v",
    "min",
    "max",
    "peak",
    "comp",
    "correction",
];
const SUPPLY: &[&str] = &[
    "system", "sys", "supply", "main", "ecu", "charging", "charge", "logger", "device", "bordnetz",
    "bus", "ignition", "external", "power",
];
const NO_ROAD: &[&str] = &[
    "engine",
    "motor",
    "eng",
    "turbine",
    "shaft",
    "driveshaft",
    "fan",
    "wind",
    "pump",
    "turbo",
    "cam",
    "converter",
    "idle",
    "data",
    "sample",
    "input",
    "output",
    "limit",
    "target",
    "max",
    "min",
    "avg",
    "accuracy",
    "spark",
    "rotational",
];
const NO_TEMPERATURE: &[&str] = &[
    "egt",
    "exhaust",
    "brake",
    "tire",
    "tyre",
    "disc",
    "rotor",
    "correction",
    "comp",
    "enrichment",
    "target",
    "fuel",
    "trans",
    "gearbox",
    "diff",
];

/// What a name says about a role.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Said {
    /// From 3 for one that can hardly be another to -3 for one that says something else.
    pub score: i32,
    /// The word that speaks for it.
    pub by: Option<String>,
    /// The word that speaks against it.
    pub against: Option<String>,
}

/// The words of a name: letters apart from others, and apart where small ones are followed by a capital.
pub(super) fn words(name: &str) -> Vec<String> {
    let mut words = vec![];
    let mut word = String::new();
    let mut before = ' ';
    for c in name.chars() {
        let starts = c.is_uppercase() && before.is_lowercase();
        if starts || !c.is_alphanumeric() {
            words.push(std::mem::take(&mut word));
        }
        if c.is_alphanumeric() {
            word.extend(c.to_lowercase());
        }
        before = c;
    }
    words.push(word);
    words.retain(|word| !word.is_empty());
    // A number behind a word is that of a second such channel.
    for word in &mut words {
        let bare = word.trim_end_matches(|c: char| c.is_ascii_digit());
        if bare.len() > 2 && bare.len() < word.len() {
            word.truncate(bare.len());
        }
    }
    words
}

/// What the name says about the role.
pub(super) fn said(name: &str, role: Role) -> Said {
    let words = words(name);
    let joined = words.concat();
    let find = |list: &[&str]| {
        words
            .iter()
            .find(|word| list.contains(&word.as_str()))
            .cloned()
    };
    let whole = |list: &[&str]| list.contains(&joined.as_str()).then(|| joined.clone());
    let alternator = find(ALTERNATOR);
    let battery = find(BATTERY);
    let engine = find(ENGINE);
    let (by, score) = match role {
        Role::EngineSpeed => match (
            whole(ENGINE_REVS).or_else(|| find(ENGINE_REVS)),
            find(REVS),
            find(SPEED),
        ) {
            (Some(word), _, _) => (Some(word), 3),
            (None, Some(word), _) => (Some(word), if engine.is_some() { 3 } else { 2 }),
            (None, None, Some(_)) if engine.is_some() => (engine.clone(), 3),
            _ => (None, 0),
        },
        Role::AlternatorSpeed => match (&alternator, find(REVS).or_else(|| find(SPEED))) {
            (Some(word), Some(_)) => (Some(word.clone()), 3),
            _ => (None, 0),
        },
        Role::Voltage => {
            let strong = whole(BATTERY_VOLTS).or_else(|| find(BATTERY_VOLTS));
            match (strong, find(VOLTS), &battery) {
                (Some(word), _, _) => (Some(word), 3),
                (None, Some(word), Some(_)) => (Some(word), 3),
                (None, Some(word), None) => (
                    Some(word),
                    if find(SUPPLY).is_some() || alternator.is_some() {
                        3
                    } else {
                        2
                    },
                ),
                (None, None, Some(word)) => (Some(word.clone()), 2),
                _ => (None, 0),
            }
        }
        Role::AlternatorCurrent => match (&alternator, find(AMPS)) {
            (Some(word), Some(_)) => (Some(word.clone()), 3),
            (None, Some(word)) if battery.is_none() => (Some(word), 1),
            _ => (None, 0),
        },
        Role::BatteryCurrent => match (&battery, find(AMPS)) {
            (Some(word), Some(_)) => (Some(word.clone()), 3),
            (None, Some(word)) if alternator.is_none() => (Some(word), 1),
            _ => (None, 0),
        },
        Role::Throttle => find(THROTTLE).map_or((None, 0), |word| (Some(word), 3)),
        Role::RoadSpeed => match (whole(ROAD_SPEED).or_else(|| find(ROAD_SPEED)), find(SPEED)) {
            (Some(word), _) => (Some(word), 3),
            (None, Some(word)) => (Some(word), 2),
            _ => (None, 0),
        },
        Role::Temperature => find(TEMPERATURE).map_or((None, 0), |word| (Some(word), 2)),
    };
    let against = match role {
        Role::EngineSpeed => find(NO_ENGINE).or(alternator),
        Role::AlternatorSpeed => find(&["target", "limit", "max", "ratio"]),
        Role::Voltage => find(NO_SUPPLY)
            .or_else(|| find(AMPS))
            .or_else(|| find(&["soc", "charge_state", "temp", "temperature"])),
        Role::AlternatorCurrent | Role::BatteryCurrent => find(&[
            "lap", "gear", "fuel", "pump", "fan", "ignition", "coil", "sector", "time", "injector",
            "target", "limit",
        ]),
        Role::Throttle => find(&[
            "brake", "clutch", "bremse", "frein", "freno", "freio", "target", "volts", "voltage",
            "temp", "sweep", "rate",
        ]),
        Role::RoadSpeed => find(NO_ROAD).or(alternator),
        Role::Temperature => find(NO_TEMPERATURE),
    };
    let score = if against.is_some() { score - 3 } else { score };
    Said { score, by, against }
}

/// Whether a name says that the column is one of these channels, and so not the time.
#[must_use]
pub(in crate::log) fn is_channel(name: &str) -> bool {
    Role::ALL
        .into_iter()
        .any(|role| said(name, role).by.is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_split_into_words() {
        assert_eq!(words("EngineSpeed_2"), ["engine", "speed", "2"]);
        assert_eq!(words("RPM"), ["rpm"]);
        assert_eq!(words("Batt Volts (raw)"), ["batt", "volts", "raw"]);
        assert_eq!(words("rpm2"), ["rpm"]);
        assert_eq!(words("Régime moteur"), ["régime", "moteur"]);
    }

    #[test]
    fn names_speak_for_their_role_in_five_languages() {
        for (name, role) in [
            ("RPM", Role::EngineSpeed),
            ("Engine Speed", Role::EngineSpeed),
            ("EngineRPM", Role::EngineSpeed),
            ("Motordrehzahl", Role::EngineSpeed),
            ("Régime moteur", Role::EngineSpeed),
            ("Giri motore", Role::EngineSpeed),
            ("Revoluciones motor", Role::EngineSpeed),
            ("Battery Voltage", Role::Voltage),
            ("VBatt", Role::Voltage),
            ("Batteriespannung", Role::Voltage),
            ("Tensión batería", Role::Voltage),
            ("Tension batterie", Role::Voltage),
            ("Tensione batteria", Role::Voltage),
            ("Alternator RPM", Role::AlternatorSpeed),
            ("Alternator Current", Role::AlternatorCurrent),
            ("Courant alternateur", Role::AlternatorCurrent),
            ("Battery Amps", Role::BatteryCurrent),
            ("Corriente batería", Role::BatteryCurrent),
            ("TPS", Role::Throttle),
            ("Drosselklappe", Role::Throttle),
            ("Papillon", Role::Throttle),
            ("Vehicle Speed", Role::RoadSpeed),
            ("Geschwindigkeit", Role::RoadSpeed),
            ("Vitesse", Role::RoadSpeed),
            ("Coolant Temp", Role::Temperature),
            ("Temperatura agua", Role::Temperature),
        ] {
            let best = Role::ALL
                .into_iter()
                .max_by_key(|one| (said(name, *one).score, *one == role));
            assert_eq!(best, Some(role), "{name}");
            assert!(said(name, role).score > 0, "{name}");
        }
        for (name, role) in [
            ("Driveshaft RPM", Role::EngineSpeed),
            ("Wheel RPM", Role::EngineSpeed),
            ("Sensor 5V Volts", Role::Voltage),
            ("TPS Volts", Role::Voltage),
            ("Battery Temp", Role::Voltage),
            ("Engine Speed", Role::RoadSpeed),
            ("Lap", Role::EngineSpeed),
        ] {
            assert!(said(name, role).score <= 0, "{name}");
        }
    }
}
