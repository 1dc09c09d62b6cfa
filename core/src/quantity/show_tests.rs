//! Formats, and the way back: whatever is shown is read again as the same value, to within its rounding.

use super::parse::{self, ParseError, TimeUnit};
use super::show;
use super::*;
use proptest::prelude::*;

#[test]
fn numbers_with_fixed_decimals() {
    for (value, decimals, text) in [
        (0.0, 0, "0"),
        (-0.0, 1, "0.0"),
        (-0.04, 1, "0.0"),
        (-0.05, 1, "−0.1"),
        (57.15, 1, "57.2"),
        (0.05, 2, "0.05"),
        (9.999, 2, "10.00"),
        (2.5, 0, "3"),
        (-2.5, 0, "−3"),
        (1234.5, 1, "1234.5"),
        (0.123_456_789, 9, "0.123456789"),
        (0.5, 200, "0.500000000"),
        (999_999_999_999_999.0, 0, "999999999999999"),
        (1e15, 0, "?"),
        (f64::NAN, 1, "?"),
        (f64::NEG_INFINITY, 1, "?"),
    ] {
        assert_eq!(
            show::fixed(value, decimals),
            text,
            "{value} with {decimals}"
        );
    }
    for (value, text) in [
        (7.0, "7"),
        (999.0, "999"),
        (1000.0, "1,000"),
        (-1_234_567.0, "−1,234,567"),
    ] {
        assert_eq!(show::grouped(value, 0), text);
    }
    assert_eq!(show::grouped(17_562.25, 1), "17,562.3");
}

#[test]
fn lengths() {
    for (value, inches, metric) in [
        (inch(2.25), "2 1/4 in", "57.2 mm"),
        (inch(3.5), "3 1/2 in", "88.9 mm"),
        (inch(0.75), "3/4 in", "19.1 mm"),
        (inch(6.0), "6 in", "152.4 mm"),
        (inch(2.0625), "2 1/16 in", "52.4 mm"),
        (inch(2.9375), "2 15/16 in", "74.6 mm"),
        (inch(2.253), "2 1/4 in", "57.2 mm"),
        (inch(2.247), "2 1/4 in", "57.1 mm"),
        (inch(2.255), "2.26 in", "57.3 mm"),
        // Two decimals would stand for a sixteenth that is farther away than its reach.
        (inch(543.307_086_614), "543.307 in", "13800.0 mm"),
        (inch(2.305), "2.305 in", "58.5 mm"),
        (inch(2.195), "2.195 in", "55.8 mm"),
        (inch(2.31), "2 5/16 in", "58.7 mm"),
        // Two decimals are the sixteenth itself.
        (inch(2.245), "2 1/4 in", "57.0 mm"),
        (inch(2.2549), "2 1/4 in", "57.3 mm"),
        (inch(1.997), "2 in", "50.7 mm"),
        (inch(-2.25), "−2 1/4 in", "−57.2 mm"),
        (inch(0.0), "0 in", "0.0 mm"),
        (inch(-0.003), "0 in", "−0.1 mm"),
        (mm(60.0), "2.36 in", "60.0 mm"),
        (inch(1e6), "1000000.00 in", "25400000.0 mm"),
        (inch(f64::NAN), "? in", "? mm"),
    ] {
        assert_eq!(show::length(value, System::Inch).to_string(), inches);
        assert_eq!(show::length(value, System::Metric).to_string(), metric);
    }
    assert_eq!(
        show::length_precise(inch(2.25), System::Inch).to_string(),
        "2.250 in"
    );
    assert_eq!(
        show::length_precise(inch(2.25), System::Metric).to_string(),
        "57.15 mm"
    );
}

#[test]
fn other_quantities() {
    let shown = [
        (show::speed(rpm(17_562.0)), "17,560 rpm"),
        (show::speed(rpm(995.0)), "1,000 rpm"),
        (show::speed(rpm(-17_565.0)), "−17,570 rpm"),
        (show::speed_precise(rpm(17_562.4)), "17,562 rpm"),
        (show::current(amps(86.4)), "86 A"),
        (show::current(amps(8.64)), "8.6 A"),
        (show::current(amps(9.94)), "9.9 A"),
        (show::current(amps(9.96)), "10 A"),
        (show::current(amps(-8.64)), "−8.6 A"),
        (show::voltage(volts(13.46)), "13.5 V"),
        (show::voltage_precise(volts(12.654)), "12.65 V"),
        (show::resistance(milliohms(5.24)), "5.2 mΩ"),
        (show::resistance(milliohms(999.96)), "1.00 Ω"),
        (show::resistance(ohms(1.25)), "1.25 Ω"),
        (show::power(watts(1249.6)), "1,250 W"),
        (show::time(seconds(9.84)), "9.8 s"),
        (show::time(seconds(119.96)), "2.0 min"),
        (show::time(minutes(4.5)), "4.5 min"),
        (show::time(minutes(119.96)), "2.0 h"),
        (show::time(hours(2.5)), "2.5 h"),
        (show::temperature(celsius(60.0), System::Inch), "140 °F"),
        (show::temperature(celsius(-10.4), System::Metric), "−10 °C"),
        (
            show::temperature_interval(kelvins(75.0), System::Inch),
            "135 °F",
        ),
        (
            show::temperature_interval(kelvins(75.0), System::Metric),
            "75 K",
        ),
        (show::ratio(ratio(2.406)), "2.41 : 1"),
        (show::turns(turns(12.375)), "12.38 turns"),
        (show::percent(percent(64.3)), "64 %"),
        (show::percent_precise(percent(64.34)), "64.3 %"),
    ];
    for (found, text) in shown {
        assert_eq!(found.to_string(), text);
    }
}

#[test]
fn values_are_rounded_to_their_spread() {
    for (value, spread, texts) in [
        (17_562.0, 310.0, ("17,600", "±300")),
        (17_562.0, 960.0, ("18,000", "±1,000")),
        (17_562.0, 94.0, ("17,560", "±90")),
        (17_562.0, 4.2, ("17,562", "±4")),
        (17_562.0, 9.6, ("17,560", "±10")),
        (17_562.0, 0.96, ("17,562", "±1")),
        (17_562.0, 40_000.0, ("20,000", "±40,000")),
        (86.43, 0.31, ("86.4", "±0.3")),
        (-2.4137, 0.042, ("−2.41", "±0.04")),
        (2.4137, 0.0094, ("2.414", "±0.009")),
        (2.4137, 0.0096, ("2.41", "±0.01")),
        (1.5, 1e-9, ("1.500000", "±0.000000")),
        (13.5, 0.0, ("13.500", "±0.000")),
        (13.5, f64::INFINITY, ("13.500", "±0.000")),
        (f64::NAN, 1.0, ("?", "±1")),
        (3e12, 2e12, ("3,000,000,000,000", "±2,000,000,000,000")),
    ] {
        let rounded = show::rounded_to_spread(value, spread);
        assert_eq!(
            (
                rounded.value_text().as_str(),
                rounded.spread_text().as_str()
            ),
            texts,
            "{value} ± {spread}"
        );
    }
}

/// Whether the value read back is the one shown, to within `step`, the rounding.
fn same(found: Result<f64, ParseError>, shown: f64, step: f64) -> Result<(), TestCaseError> {
    match found {
        Ok(found) => {
            let reach = step + 1e-9 * shown.abs();
            prop_assert!(
                (found - shown).abs() <= reach,
                "{shown} came back as {found}"
            );
            Ok(())
        }
        Err(error) => Err(TestCaseError::fail(format!("{shown}: {error}"))),
    }
}

fn system() -> impl Strategy<Value = System> {
    prop::sample::select(System::ALL.to_vec())
}

/// What people type, and what they do not: bits of quantities in any order.
fn scraps() -> impl Strategy<Value = String> {
    let scraps = [
        "0", "1", "2", "12", "000", "1/4", "¼", "⅞", "/", "⁄", ".", ",", " ", "\u{a0}", "'", "’",
        "\"", "”", "-", "−", "+", ":", "in", "mm", "k", "rpm", "A", "V", "mΩ", "°", "℃", "F", "%",
        "min", "h", "٣", "７", "\u{200b}", "x", "🏁", "é",
    ];
    prop::collection::vec(prop::sample::select(scraps.to_vec()), 0..9)
        .prop_map(|scraps| scraps.concat())
}

/// Reads a text as everything there is; whatever is accepted is finite.
fn read_as_everything(text: &str) -> Result<(), TestCaseError> {
    let mut numbers = vec![
        parse::speed(text).map(InRotationalSpeed::rpm),
        parse::current(text).map(InElectricCurrent::amps),
        parse::voltage(text).map(InElectricPotential::volts),
        parse::resistance(text).map(InElectricalResistance::ohms),
        parse::power(text).map(InPower::watts),
        parse::ratio(text).map(InRatio::number),
        parse::turns(text).map(InAngle::turns),
        parse::percent(text).map(InRatio::percent),
        parse::count(text).map(f64::from),
    ];
    for system in System::ALL {
        numbers.push(parse::length(text, system).map(InLength::mm));
        numbers.push(parse::temperature(text, system).map(InThermodynamicTemperature::celsius));
        numbers.push(parse::temperature_interval(text, system).map(InTemperatureInterval::kelvins));
    }
    for bare in [TimeUnit::Second, TimeUnit::Minute, TimeUnit::Hour] {
        numbers.push(parse::time(text, bare).map(InTime::seconds));
    }
    for number in numbers {
        match number {
            Ok(number) => prop_assert!(number.is_finite(), "{text:?} read as {number}"),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>(), scraps in scraps()) {
        read_as_everything(&text)?;
        read_as_everything(&scraps)?;
    }

    #[test]
    fn any_number_can_be_shown(value in any::<f64>(), spread in any::<f64>(), decimals in any::<u8>(), system in system()) {
        prop_assert!(!show::fixed(value, decimals).is_empty());
        prop_assert!(!show::grouped(value, decimals).is_empty());
        prop_assert!(!show::length(inch(value), system).number.is_empty());
        prop_assert!(!show::speed(rpm(value)).number.is_empty());
        prop_assert!(!show::rounded_to_spread(value, spread).value_text().is_empty());
    }

    /// Verification: the shared formatter against the standard library's, which rounds the exact binary value. The two
    /// may differ only where that value is a hair from a tie.
    #[test]
    fn fixed_agrees_with_the_standard_library(value in -1e6..1e6f64, decimals in 0u8..5) {
        let wanted = format!("{value:.*}", usize::from(decimals));
        let found = show::fixed(value, decimals).replace('−', "-");
        let scaled = value.abs() * 10f64.powi(i32::from(decimals));
        let is_tie = (scaled.fract() - 0.5).abs() < 1e-6;
        prop_assert!(found == wanted || is_tie || wanted.trim_start_matches('-') == found, "{found} is not {wanted}");
    }

    #[test]
    fn lengths_come_back(value in -1e3..1e5f64, system in system()) {
        let (value, step, precise) = match system {
            System::Inch => (inch(value), 0.005 * 25.4, 0.0005 * 25.4),
            System::Metric => (mm(value), 0.05, 0.005),
        };
        same(parse::length(&show::length(value, system).to_string(), system).map(InLength::mm), value.mm(), step)?;
        let text = show::length_precise(value, system).to_string();
        same(parse::length(&text, system).map(InLength::mm), value.mm(), precise)?;
        // The unit is written out, so that the other system reads the same.
        same(parse::length(&text, system.other()).map(InLength::mm), value.mm(), precise)?;
    }

    /// Around every sixteenth, where a fraction, two decimals and three meet.
    #[test]
    fn a_length_read_again_is_shown_the_same(
        sixteenths in 0..160_000i32, steps in -320..=320i32, off in -1e-3..1e-3f64, exact in any::<bool>(), system in system()
    ) {
        let steps = f64::from(steps) + if exact { 0.0 } else { off };
        let shown = show::length(inch(f64::from(sixteenths) / 16.0 + 1e-4 * steps), system).to_string();
        let again = parse::length(&shown, system).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(show::length(again, system).to_string(), shown);
    }

    #[test]
    fn every_sixteenth_comes_back_exactly(sixteenths in 0..2000i32, precise in any::<bool>()) {
        let value = inch(f64::from(sixteenths) / 16.0);
        let text = show::length(value, System::Inch).number;
        prop_assert_eq!(parse::length(&text, System::Inch), Ok(value));
        prop_assert_eq!(text.contains('/'), sixteenths % 16 != 0);
        prop_assert!(!precise || !text.contains('.'));
    }

    #[test]
    fn temperatures_come_back(value in -60.0..400.0f64, system in system()) {
        let shown = show::temperature(celsius(value), system).to_string();
        same(parse::temperature(&shown, system).map(InThermodynamicTemperature::celsius), value, 0.5)?;
        let shown = show::temperature_interval(kelvins(value), system).to_string();
        same(parse::temperature_interval(&shown, system).map(InTemperatureInterval::kelvins), value, 0.5)?;
    }

    #[test]
    fn electrical_quantities_come_back(value in -2e5..2e5f64) {
        let shown = show::current(amps(value)).to_string();
        same(parse::current(&shown).map(InElectricCurrent::amps), value, 0.5)?;
        let shown = show::voltage(volts(value)).to_string();
        same(parse::voltage(&shown).map(InElectricPotential::volts), value, 0.05)?;
        let shown = show::voltage_precise(volts(value)).to_string();
        same(parse::voltage(&shown).map(InElectricPotential::volts), value, 0.005)?;
        let shown = show::resistance(milliohms(value)).to_string();
        let step = if value.abs() < 999.0 { 0.05 } else { 5.0 };
        same(parse::resistance(&shown).map(InElectricalResistance::milliohms), value, step)?;
        let shown = show::power(watts(value)).to_string();
        same(parse::power(&shown).map(InPower::watts), value, 0.5)?;
    }

    #[test]
    fn small_currents_keep_a_decimal(value in -9.9..9.9f64) {
        let shown = show::current(amps(value)).to_string();
        same(parse::current(&shown).map(InElectricCurrent::amps), value, 0.05)?;
    }

    #[test]
    fn speeds_and_ratios_come_back(value in -1e5..1e5f64) {
        let read = |text: String| parse::speed(&text).map(InRotationalSpeed::rpm);
        same(read(show::speed(rpm(value)).to_string()), value, 5.0)?;
        same(read(show::speed_precise(rpm(value)).to_string()), value, 0.5)?;
        let shown = show::ratio(ratio(value)).to_string();
        same(parse::ratio(&shown).map(InRatio::number), value, 0.005)?;
        let shown = show::turns(turns(value)).to_string();
        same(parse::turns(&shown).map(InAngle::turns), value, 0.005)?;
        let shown = show::percent(percent(value)).to_string();
        same(parse::percent(&shown).map(InRatio::percent), value, 0.5)?;
        let shown = show::percent_precise(percent(value)).to_string();
        same(parse::percent(&shown).map(InRatio::percent), value, 0.05)?;
    }

    #[test]
    fn times_come_back(value in -1e5..1e5f64) {
        let shown = show::time(seconds(value)).to_string();
        let step = if value.abs() < 119.0 { 0.05 } else if value.abs() < 7190.0 { 3.0 } else { 180.0 };
        same(parse::time(&shown, TimeUnit::Second).map(InTime::seconds), value, step)?;
    }

    #[test]
    fn rounding_to_the_spread_moves_no_more_than_the_spread(value in -1e6..1e6f64, spread in 1e-5..1e6f64) {
        let rounded = show::rounded_to_spread(value, spread);
        // One digit of spread is at least 1, so that half a place is at most a little over half of it.
        prop_assert!((rounded.value - value).abs() <= 0.53 * spread + 1e-9);
        prop_assert!((rounded.spread - spread).abs() <= 0.34 * spread);
    }
}
