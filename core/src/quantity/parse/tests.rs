use super::*;
use crate::quantity::{
    InAngle, InElectricCurrent, InElectricPotential, InElectricalResistance, InLength, InPower,
    InRatio, InRotationalSpeed, InTemperatureInterval, InThermodynamicTemperature, InTime,
};

/// Asserts that each text reads as its number, to the last digits that a conversion may cost.
fn reads<Q>(
    read: impl Fn(&str) -> Result<Q, ParseError>,
    number: impl Fn(Q) -> f64,
    cases: &[(&str, f64)],
) {
    for &(text, wanted) in cases {
        match read(text) {
            Ok(quantity) => {
                let found = number(quantity);
                assert!(
                    (found - wanted).abs() <= 1e-12 * wanted.abs().max(300.0),
                    "{text:?} read as {found}"
                );
            }
            Err(error) => panic!("{text:?}: {error}"),
        }
    }
}

#[test]
fn lengths_in_inches() {
    let cases = [
        ("2.25", 2.25),
        ("2 1/4\"", 2.25),
        ("2-1/4 in", 2.25),
        ("2 - 1/4 in.", 2.25),
        ("2¼", 2.25),
        ("2 ¼”", 2.25),
        ("2‑¼ in", 2.25),
        ("3 1/2 in", 3.5),
        ("3 1 / 2 inches", 3.5),
        ("9/4", 2.25),
        ("3⁄8 in", 0.375),
        ("¾", 0.75),
        (".5", 0.5),
        (",5", 0.5),
        ("7.", 7.0),
        ("7,", 7.0),
        ("+2.25", 2.25),
        ("-2 1/4", -2.25),
        ("2,25 IN", 2.25),
        ("２．２５″", 2.25),
        ("2.25 ''", 2.25),
        ("57.15 mm", 2.25),
        ("57,150 mm", 2.25),
        ("5.715cm", 2.25),
        ("2 ft", 24.0),
        ("6'", 72.0),
        ("0.254 m", 10.0),
        ("1 254 mm", 1254.0 / 25.4),
        ("1,254.5 mm", 1254.5 / 25.4),
        ("1.254,5 mm", 1254.5 / 25.4),
        ("1 254,5 mm", 1254.5 / 25.4),
        ("0", 0.0),
        ("0,125", 0.125),
        ("02.50", 2.5),
        ("2 125/500", 2.25),
        ("0.33333333333333333333333333333333333333", 1.0 / 3.0),
        (".00000000000000000000000000000000000001", 0.0),
    ];
    reads(|text| length(text, System::Inch), Length::inches, &cases);
}

#[test]
fn minus_nothing_is_nothing() {
    assert!(
        length("-0", System::Inch)
            .unwrap()
            .inches()
            .is_sign_positive()
    );
}

#[test]
fn a_bare_length_is_in_the_persons_unit() {
    reads(
        |text| length(text, System::Metric),
        Length::mm,
        &[("57,2", 57.2), ("150", 150.0), ("2¼\"", 57.15)],
    );
    assert_eq!(length("2", System::Inch), Ok(inch(2.0)));
    assert_eq!(length("2", System::Metric), Ok(mm(2.0)));
}

#[test]
fn speeds_take_thousands() {
    let cases = [
        ("7000", 7000.0),
        ("7,000", 7000.0),
        ("7 000", 7000.0),
        ("7\u{202f}000 rpm", 7000.0),
        ("7'000", 7000.0),
        ("7’000 r/min", 7000.0),
        ("7k", 7000.0),
        ("7.2k rpm", 7200.0),
        ("7,2K", 7200.0),
        ("7.2 krpm", 7200.0),
        ("17,562.5 RPM", 17_562.5),
        ("1,234,567", 1_234_567.0),
        ("7000 R.P.M.", 7000.0),
        ("7000/min", 7000.0),
        ("7000 1/min", 7000.0),
        ("7000 min⁻¹", 7000.0),
        ("7,25", 7.25),
        ("0,125", 0.125),
        ("7.000", 7.0),
    ];
    reads(speed, RotationalSpeed::rpm, &cases);
}

#[test]
fn electrical_kinds() {
    reads(
        current,
        ElectricCurrent::amps,
        &[("120A", 120.0), ("8,5 amps", 8.5), ("120", 120.0)],
    );
    reads(
        voltage,
        ElectricPotential::volts,
        &[
            ("14.2 V", 14.2),
            ("13,8", 13.8),
            ("300 mV", 0.3),
            ("0,300", 0.3),
        ],
    );
    reads(
        resistance,
        ElectricalResistance::milliohms,
        &[
            ("5.2 mΩ", 5.2),
            ("5.2", 5.2),
            ("5 M\u{3a9}", 5.0),
            ("5 mOhm", 5.0),
            ("0.9 \u{2126}", 900.0),
        ],
    );
    reads(
        power,
        Power::watts,
        &[
            ("1,250 W", 1250.0),
            ("1.25 kW", 1250.0),
            ("600", 600.0),
            ("2 hp", 1491.3998),
        ],
    );
}

#[test]
fn times_and_clocks() {
    let cases = [
        ("9.85", 9.85),
        ("9.85 s", 9.85),
        ("150 ms", 0.15),
        ("20 min", 1200.0),
        ("1.5 h", 5400.0),
        ("4:30", 270.0),
        ("1:05:00", 3900.0),
        ("0:09.85", 9.85),
    ];
    reads(|text| time(text, TimeUnit::Second), Time::seconds, &cases);
    reads(
        |text| time(text, TimeUnit::Minute),
        Time::seconds,
        &[("20", 1200.0), ("20 s", 20.0)],
    );
    reads(
        |text| time(text, TimeUnit::Hour),
        Time::seconds,
        &[("2", 7200.0)],
    );
    for text in [
        "4:75", "4.5:30", "1:2:3:4", ":30", "4:", "-4:30", "4:30 pm", "4:-3",
    ] {
        let found = text.to_owned();
        assert_eq!(
            time(text, TimeUnit::Minute),
            Err(ParseError::NotANumber { found })
        );
    }
}

#[test]
fn temperatures() {
    let cases = [
        ("-10 C", -10.0),
        ("−10 °C", -10.0),
        ("140 °F", 60.0),
        ("140F", 60.0),
        ("60℃", 60.0),
        ("300 K", 26.85),
    ];
    reads(
        |text| temperature(text, System::Metric),
        ThermodynamicTemperature::celsius,
        &cases,
    );
    let bare = [
        ("60", 60.0),
        ("60°", 60.0),
        ("60 deg", 60.0),
        ("60 º C", 60.0),
        ("60 deg C", 60.0),
    ];
    reads(
        |text| temperature(text, System::Metric),
        ThermodynamicTemperature::celsius,
        &bare,
    );
    let bare = [("140", 60.0), ("140°", 60.0), ("60 C", 60.0)];
    reads(
        |text| temperature(text, System::Inch),
        ThermodynamicTemperature::celsius,
        &bare,
    );
    let differences = [
        ("75 K", 75.0),
        ("75 °C", 75.0),
        ("135 F", 75.0),
        ("75", 75.0),
    ];
    reads(
        |text| temperature_interval(text, System::Metric),
        TemperatureInterval::kelvins,
        &differences,
    );
    reads(
        |text| temperature_interval(text, System::Inch),
        TemperatureInterval::kelvins,
        &[("135", 75.0)],
    );
}

#[test]
fn ratios_read_the_same_from_either_side() {
    let cases = [
        ("2.4", 2.4),
        ("2.4 : 1", 2.4),
        ("2.4:1", 2.4),
        ("1 : 2.4", 2.4),
        ("1:2,4", 2.4),
        ("2 1/2 : 1", 2.5),
        ("1 : 1", 1.0),
        ("1 ∶ 0.9", 0.9),
        ("1.0 : 3", 3.0),
    ];
    reads(ratio, Ratio::number, &cases);
    assert_eq!(
        ratio("5 : 2"),
        Err(ParseError::RatioWithoutOne {
            found: "5 : 2".to_owned()
        })
    );
    assert_eq!(
        ratio("2.4 :"),
        Err(ParseError::NotANumber {
            found: "2.4 :".to_owned()
        })
    );
    assert_eq!(
        ratio("2 : 1 : 1"),
        Err(ParseError::Trailing {
            found: ": 1".to_owned()
        })
    );
}

#[test]
fn turns_percents_and_counts() {
    reads(
        turns,
        Angle::turns,
        &[
            ("12.5 turns", 12.5),
            ("12 3/8", 12.375),
            ("12,375", 12.375),
            ("3 rev", 3.0),
        ],
    );
    reads(
        percent,
        Ratio::percent,
        &[("64.3 %", 64.3), ("90", 90.0), ("12½%", 12.5)],
    );
    assert_eq!(count("6"), Ok(6));
    assert_eq!(count("0"), Ok(0));
    assert_eq!(count("4294967295"), Ok(u32::MAX));
    for text in ["6.5", "-6", "4294967296", "6 1/2"] {
        assert_eq!(
            count(text),
            Err(ParseError::NotWhole {
                found: text.to_owned()
            })
        );
    }
    assert_eq!(
        count("6 ribs"),
        Err(ParseError::UnknownUnit {
            found: "ribs".to_owned(),
            needed: Kind::Count
        })
    );
}

#[test]
fn each_cause_has_its_error() {
    let inches = |text: &str| length(text, System::Inch).unwrap_err();
    assert_eq!(inches("   "), ParseError::Empty);
    assert_eq!(
        inches(&"2".repeat(41)),
        ParseError::TooLong {
            found: 41,
            most: 40
        }
    );
    for text in [
        "abc",
        "-",
        "in",
        "/4",
        "1.2.3",
        "1,5,5",
        "12,34.5",
        "1,2345.6",
        "1.2,3.4",
        "nan",
        "inf",
        ".",
        "0,123,456",
        "1 234,567.8",
        "1,234.567,890",
    ] {
        assert_eq!(
            inches(text),
            ParseError::NotANumber {
                found: text.to_owned()
            },
            "{text}"
        );
    }
    let sixteen = "1234567890123456";
    assert_eq!(
        inches(sixteen),
        ParseError::TooManyDigits {
            found: sixteen.to_owned(),
            most: 15
        }
    );
    assert_eq!(
        inches("2 1/0"),
        ParseError::ZeroDenominator {
            found: "1/0".to_owned()
        }
    );
    assert_eq!(
        inches("3/0 in"),
        ParseError::ZeroDenominator {
            found: "3/0".to_owned()
        }
    );
    assert_eq!(
        inches("2 9/4"),
        ParseError::ImproperFraction {
            found: "9/4".to_owned()
        }
    );
    assert_eq!(
        inches("2 4/4"),
        ParseError::ImproperFraction {
            found: "4/4".to_owned()
        }
    );
    assert_eq!(
        inches("2.25 bananas"),
        ParseError::UnknownUnit {
            found: "bananas".to_owned(),
            needed: Kind::Length
        }
    );
    assert_eq!(
        inches("2.25 V"),
        ParseError::WrongUnit {
            found: "V".to_owned(),
            measures: Kind::Voltage,
            needed: Kind::Length
        }
    );
    // A name that only differences of temperatures have.
    assert_eq!(
        voltage("3 kelvins").unwrap_err(),
        ParseError::WrongUnit {
            found: "kelvins".to_owned(),
            measures: Kind::TemperatureInterval,
            needed: Kind::Voltage
        }
    );
    for (text, found) in [
        ("2 1/4 in each", "each"),
        ("2.5 1/4", "1/4"),
        ("2 1/4 1/4", "1/4"),
        ("2 1/4.5", ".5"),
        ("1/2/3", "/3"),
        ("2.5 125", "125"),
        ("0 250", "250"),
        ("5'125", "125"),
        ("2 x 3", "x 3"),
        ("2 #", "#"),
    ] {
        let error = inches(text);
        let said = match &error {
            ParseError::Trailing { found } | ParseError::UnknownUnit { found, .. } => found,
            other => panic!("{text}: {other:?}"),
        };
        assert_eq!(said, found, "{text}");
    }
}

#[test]
fn every_unit_offered_is_read_and_every_other_kind_refuses_it() {
    type Reader = fn(&str) -> Result<(), ParseError>;
    let readers: [(Kind, Reader); 11] = [
        (Kind::Length, |text| length(text, System::Inch).map(drop)),
        (Kind::Speed, |text| speed(text).map(drop)),
        (Kind::Current, |text| current(text).map(drop)),
        (Kind::Voltage, |text| voltage(text).map(drop)),
        (Kind::Resistance, |text| resistance(text).map(drop)),
        (Kind::Power, |text| power(text).map(drop)),
        (Kind::Time, |text| time(text, TimeUnit::Second).map(drop)),
        (Kind::Temperature, |text| {
            temperature(text, System::Inch).map(drop)
        }),
        (Kind::TemperatureInterval, |text| {
            temperature_interval(text, System::Inch).map(drop)
        }),
        (Kind::Turns, |text| turns(text).map(drop)),
        (Kind::Percent, |text| percent(text).map(drop)),
    ];
    for (kind, _) in readers {
        for unit in kind.units() {
            let text = format!("1.5 {unit}");
            for (needed, read) in readers {
                let shared = unit.eq_ignore_ascii_case("k") || needed.units().contains(unit);
                match read(&text) {
                    Ok(()) => assert!(needed == kind || shared, "{text} read as {needed:?}"),
                    Err(ParseError::WrongUnit { needed: said, .. }) => {
                        assert!(
                            needed != kind && said == needed,
                            "{text} refused by {needed:?}"
                        );
                    }
                    Err(error) => panic!("{text} for {needed:?}: {error}"),
                }
            }
        }
    }
    assert_eq!(ratio("1.5 : 1"), Ok(ratio_of(1.5)));
}

#[test]
fn messages_name_what_was_found_and_what_is_needed() {
    let said = |error: ParseError| error.to_string();
    assert_eq!(
        said(voltage("12 A").unwrap_err()),
        "found \"A\", need V or mV"
    );
    assert_eq!(said(count("6 A").unwrap_err()), "found \"A\", need no unit");
    assert_eq!(
        said(current("lots").unwrap_err()),
        "found \"lots\", need a number"
    );
}
