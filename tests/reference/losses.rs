//! Heat, drag and loads.

use crate::support::{near, within};
use laneside_core::alternator::{Curve, Field, Machine, Warmth, drag};
use laneside_core::data::{common_practice, memory, sarafianos_2015};
use laneside_core::loads::{LoadKind, current_a};

const FIELD: Field = Field {
    scale: 1.0,
    low_form: 1.0,
    exponent: 0.4,
};

fn machine(warmth: Warmth) -> Machine {
    Machine {
        curve: Curve::pair((1_500.0, 50.0), (6_000.0, 120.0)).unwrap(),
        test_v: 13.5,
        warmth,
    }
}

/// Validation. Source: derived from two published hot and cold pairs: 0.2 % a kelvin; a stabilized rating is already warm,
/// `1 - 0.002 (T - 23 - 75)`, a cold or swept curve is not, `1 - 0.002 (T - 23)`; rise 75 K and under-hood air 60 degC
/// from memory. Tolerance: 1e-12.
#[test]
fn heat_factors() {
    for (machine_c, stabilized, cold) in [
        (23.0, 1.15, 1.0),
        (60.0, 1.076, 0.926),
        (98.0, 1.0, 0.85),
        (135.0, 0.926, 0.776),
    ] {
        near(
            machine(Warmth::Stabilized).heat_factor(machine_c),
            stabilized,
            1e-12,
        );
        near(machine(Warmth::Cold).heat_factor(machine_c), cold, 1e-12);
    }
    assert_eq!(memory::RATED_RISE_K, 75.0);
    assert_eq!(
        (memory::UNDER_HOOD_C.value, memory::OUTPUT_LOSS_PER_K),
        (60.0, 0.002)
    );
}

/// Verification: the settled temperature `T = T_air + 75 K x loss/loss_R` and output are each other's, found here by
/// stepping the heat equation `tau dT/dt = T_air + dT_R loss/loss_R - T` to its end. Tolerance: 1e-6.
#[test]
fn settled_output_is_where_heating_ends() {
    for (warmth, rpm, bus_v, air_c) in [
        (Warmth::Stabilized, 6_000.0, 13.5, 23.0),
        (Warmth::Stabilized, 2_500.0, 14.2, 60.0),
        (Warmth::Cold, 12_000.0, 13.9, 75.0),
    ] {
        let machine = machine(warmth);
        let (efficiency, tau_s) = (sarafianos_2015::BASELINE_EFFICIENCY, 300.0);
        let loss = |volts: f64, amps: f64| volts * amps * (1.0 / efficiency - 1.0);
        let mut temperature = air_c;
        for _ in 0..10_000 {
            let amps = machine.output_a(rpm, bus_v, &FIELD) * machine.heat_factor(temperature);
            let rise = 75.0 * loss(bus_v, amps) / loss(13.5, 120.0);
            temperature += 1.0 / tau_s * (air_c + rise - temperature);
        }
        let hot = machine.hot_output_a(rpm, bus_v, air_c, &FIELD);
        within(
            hot,
            machine.output_a(rpm, bus_v, &FIELD) * machine.heat_factor(temperature),
            1e-6,
        );
        within(machine.settled_c(hot, bus_v, air_c), temperature, 1e-6);
    }
}

/// Validation. Source: Sarafianos et al. 2015, friction and windage: 23/39/56/71/91/116/159 W at
/// 2,000/3,000/4,050/5,010/6,010/7,010/7,970 rpm; the fit 10.8 N + 0.134 N^3 is derived. Tolerance: 8 % of each row (the fit
/// is 7.7 % low at 3,000 rpm), and the coefficients within half of their last digit of the least squares found here.
#[test]
fn friction_fit() {
    let table = [
        (2_000.0, 23.0),
        (3_000.0, 39.0),
        (4_050.0, 56.0),
        (5_010.0, 71.0),
        (6_010.0, 91.0),
        (7_010.0, 116.0),
        (7_970.0, 159.0),
    ];
    assert_eq!(sarafianos_2015::FRICTION_RPM_W, table);
    for (rpm, watts) in table {
        let found = drag(0.0, 13.5, rpm);
        within(found.friction_w, watts, 0.08);
        assert!(!found.extrapolated);
    }
    assert!(drag(0.0, 13.5, 8_100.0).extrapolated);

    // Least squares of W = a N + b N^3 by its two normal equations.
    let sum = |of: fn(f64, f64) -> f64| {
        table
            .iter()
            .map(|(rpm, watts)| of(rpm / 1_000.0, *watts))
            .sum::<f64>()
    };
    let (n2, n4, n6) = (
        sum(|n, _| n.powi(2)),
        sum(|n, _| n.powi(4)),
        sum(|n, _| n.powi(6)),
    );
    let (wn, wn3) = (sum(|n, w| w * n), sum(|n, w| w * n.powi(3)));
    let determinant = n2 * n6 - n4 * n4;
    near((wn * n6 - wn3 * n4) / determinant, 10.8, 0.05);
    near((n2 * wn3 - n4 * wn) / determinant, 0.134, 0.0005);
}

/// Validation. Source: Commission Implementing Decision (EU) 2017/785, 0.67 all in, against the derived V I / 0.694 plus
/// friction, for the 180 A machine at its rated point. Tolerance: 2 %.
#[test]
fn drag_agrees_with_the_all_in_efficiency() {
    let rated = drag(180.0, 13.5, 6_000.0);
    within(rated.total_w(), 180.0 * 13.5 / 0.67, 0.02);
    near(rated.electrical_w, 180.0 * 13.5 / 0.694, 1e-9);
    near(rated.friction_w, 10.8 * 6.0 + 0.134 * 216.0, 1e-9);
    // Without output only friction is left.
    assert_eq!(drag(0.0, 13.5, 6_000.0).total_w(), rated.friction_w);
}

/// Validation. Source: exponents from memory: 1 resistive, 1.5 fan, 0 positive-displacement pump, -1 regulated electronics; by
/// hand for 10 A at 13.5 V. Tolerance: 1e-9.
#[test]
fn load_exponents() {
    for (kind, exponent) in [
        (LoadKind::Resistive, 1.0),
        (LoadKind::Fan, 1.5),
        (LoadKind::Pump, 0.0),
        (LoadKind::Electronics, -1.0),
    ] {
        for bus_v in [9.0_f64, 11.0, 12.6, 13.5, 14.4, 16.0] {
            let wanted = 10.0 * (bus_v / 13.5).powf(exponent);
            within(current_a(10.0, 13.5, kind, bus_v, 9.0), wanted, 1e-9);
        }
    }
    // Twelve volts, by hand: 8.889, 8.381, 10 and 11.25 A.
    for (kind, amps) in [
        (LoadKind::Resistive, 8.889),
        (LoadKind::Fan, 8.381),
        (LoadKind::Pump, 10.0),
        (LoadKind::Electronics, 11.25),
    ] {
        near(current_a(10.0, 13.5, kind, 12.0, 9.0), amps, 0.0005);
    }
}

/// Validation. Source: from memory: under 9 V on 12 V every load becomes I(9 V) V / 9 V, also a pump and regulated electronics.
/// Tolerance: 1e-9.
#[test]
fn loads_fade_under_nine_volts() {
    assert_eq!(memory::UNDER_VOLTAGE_V, 9.0);
    for kind in LoadKind::ALL {
        let at_nine = current_a(10.0, 13.5, kind, 9.0, 9.0);
        for bus_v in [0.0, 1.0, 4.5, 8.0, 8.999] {
            near(
                current_a(10.0, 13.5, kind, bus_v, 9.0),
                at_nine * bus_v / 9.0,
                1e-9,
            );
        }
    }
}

/// Validation. Source: common practice, no source: typical amperes for the picker with their ranges (fuel pump 7 to 15, large
/// 12 to 18, fan 6 to 30, water pump 4 to 10, discharge ignition 6 to 40, inductive 6 to 10, engine control 2 to 5,
/// logger and dash 1 to 3, transbrake 3 to 8, nitrous solenoid 5 to 20, brake lamps 3 to 8; injectors 0.5 to 1 each, here
/// eight of them). Tolerance: exact.
#[test]
fn typical_loads_keep_to_their_ranges() {
    let wanted = [
        ("fuel_pump", 7.0, 15.0),
        ("fuel_pump_large", 12.0, 18.0),
        ("fan", 6.0, 30.0),
        ("water_pump", 4.0, 10.0),
        ("ignition_discharge", 6.0, 40.0),
        ("ignition_inductive", 6.0, 10.0),
        ("engine_control", 2.0, 5.0),
        ("injectors", 8.0 * 0.5, 8.0 * 1.0),
        ("logger_dash", 1.0, 3.0),
        ("transbrake", 3.0, 8.0),
        ("nitrous_solenoid", 5.0, 20.0),
        ("brake_lamps", 3.0, 8.0),
    ];
    for (code, lowest, highest) in wanted {
        let load = common_practice::LOADS
            .iter()
            .find(|load| load.code == code)
            .unwrap();
        assert_eq!((load.lowest_a, load.highest_a), (lowest, highest), "{code}");
        assert!(
            load.typical_a > lowest && load.typical_a < highest,
            "{code}"
        );
    }
}
