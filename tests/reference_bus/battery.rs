//! The battery against published tables, worked examples and the standards' own tests.

use laneside_core::battery::{
    Battery, ChargeFit, Chemistry, Condition, CrankStandard, Resistance, Spec, State,
    peukert_exponent, peukert_hours,
};
use laneside_core::data::cold_crank::{SAE_END_V, SAE_SECONDS, TEST_C};
use laneside_core::data::{bode_1977, peukert, rest_agm, rest_flooded};

use crate::support::{carry, near, new_battery};

/// Validation. Source: published rest-voltage tables (flooded and AGM 12 V batteries near 25 degC; one measured four-cell
/// LiFePO4 battery); 16 V is eight cells of the same. Tolerance: none, the curve goes through the points.
#[test]
fn rest_voltages_are_the_published_ones() {
    let flooded = [
        (1.0, 12.65),
        (0.75, 12.45),
        (0.5, 12.24),
        (0.25, 12.06),
        (0.0, 11.89),
    ];
    let agm = [(0.75, 12.6), (0.5, 12.3), (0.25, 12.0)];
    let lithium = [
        (0.957, 13.28),
        (0.785, 13.22),
        (0.527, 13.09),
        (0.269, 12.92),
        (0.096, 12.68),
        (0.01, 11.60),
    ];
    let tables: [(Chemistry, &[(f64, f64)]); 4] = [
        (Chemistry::Flooded, &flooded),
        (Chemistry::Agm, &agm),
        (Chemistry::Gel, &agm),
        (Chemistry::LithiumIronPhosphate, &lithium),
    ];
    for (chemistry, table) in tables {
        let battery = new_battery(chemistry);
        for &(soc, volts) in table {
            near(battery.rest_v(soc, 25.0), volts, 1e-12);
            near(battery.soc_at_rest(volts, 25.0), soc, 1e-9);
        }
    }
    let agm = new_battery(Chemistry::Agm);
    let (least, most) = rest_agm::FULL_V;
    assert!((least..=most).contains(&agm.rest_v(1.0, 25.0)) && agm.rest_v(0.0, 25.0) <= 11.8);
    let sixteen = Battery::new(&Spec {
        cells: 8,
        ..Spec::of(Chemistry::Flooded)
    })
    .unwrap();
    for (soc, volts) in flooded {
        near(sixteen.rest_v(soc, 25.0), volts * 8.0 / 6.0, 1e-12);
    }
}

/// Validation. Source: H. Bode, Lead-Acid Batteries, 1977, cell voltage over molality, at the acid densities that go with
/// the flooded table (1.265, 1.225, 1.190, 1.155, 1.120; common practice) turned to molality by the acid's mass fraction
/// (35.6, 30.5, 26.4, 22.1, 17.4 %; density tables of sulfuric acid, from memory). Tolerance: 0.02 V a battery, and 0.02 V
/// for what the densities leave open.
#[test]
fn bodes_cells_agree_with_the_flooded_table() {
    let mass_fractions = [0.174, 0.221, 0.264, 0.305, 0.356];
    for ((_, volts), fraction) in rest_flooded::SOC_V.into_iter().zip(mass_fractions) {
        let molality = fraction / (1.0 - fraction) / 0.098_079;
        near(6.0 * bode_1977::cell_v(molality), volts, 0.02);
    }
}

/// Common practice from memory: +0.2 mV/K a cell.
#[test]
fn rest_voltage_rises_with_temperature() {
    let battery = new_battery(Chemistry::Flooded);
    let rise = battery.rest_v(0.7, 45.0) - battery.rest_v(0.7, 25.0);
    near(rise, 6.0 * 0.000_2 * 20.0, 1e-12);
}

/// Validation. Source: SAE J537: a new full battery holds 7.2 V for 30 s at -18 degC at its rating. Tolerance: 0.05 V. The
/// model's resistance, its fall with temperature and its RC pair are from memory: this is what ties them together.
#[test]
fn a_new_battery_passes_its_own_cold_crank_test() {
    for rated_a in [350.0, 600.0, 950.0] {
        let battery = Battery::new(&Spec {
            health: 1.0,
            resistance: Resistance::ColdCrank {
                rated_a,
                standard: CrankStandard::Sae,
            },
            ..Spec::of(Chemistry::Flooded)
        })
        .unwrap();
        near(battery.ohmic_25_ohm, 2.8 / rated_a, 1e-12);
        let rested = State::rested(1.0, TEST_C);
        let first_v = battery.terminal(&rested).volts_at(-rated_a);
        let (after, _) = carry(&battery, &rested, -rated_a, SAE_SECONDS);
        let last_v = battery.terminal(&after).volts_at(-rated_a);
        // The charge that 30 s take is counted too: 8 % of 50 Ah at 500 A.
        let charge_v = battery.rest_v(1.0, TEST_C) - battery.rest_v(after.soc, TEST_C);
        near(last_v + charge_v, SAE_END_V, 0.05);
        assert!(first_v > last_v);
    }
}

/// Validation. Source: published guidance, 12 V starter batteries: under 5 mOhm excellent, 5 to 10 acceptable.
#[test]
fn resistance_is_judged_as_published() {
    let condition = |ohm| {
        Battery::new(&Spec {
            resistance: Resistance::Measured { ohm, celsius: 25.0 },
            ..Spec::of(Chemistry::Agm)
        })
        .unwrap()
        .condition()
    };
    assert_eq!(condition(0.004), Condition::Excellent);
    assert_eq!(condition(0.007), Condition::Acceptable);
    assert_eq!(condition(0.012), Condition::Poor);
}

/// Validation. Source: published worked Peukert exponents, and the law itself. Tolerance: half of the last digit printed.
#[test]
fn peukert_is_as_worked() {
    for (capacity_ah, reserve_minutes, exponent) in peukert::EXPONENTS {
        near(
            peukert_exponent(capacity_ah, reserve_minutes).unwrap(),
            exponent,
            5e-4,
        );
    }
    near(peukert_hours(100.0, 20.0, 1.2, 10.0), 8.706, 5e-4);
    near(peukert_hours(100.0, 20.0, 1.2, 50.0), 1.262, 5e-4);
    assert_eq!(peukert_hours(100.0, 20.0, 1.2, 0.0), f64::INFINITY);
}

/// Validation. Source: published charging voltages, flooded 13.8-14.4 V, AGM 14.4-14.7 V; eight cells 8/6 of it. LiFePO4 to
/// 14.6 V, its management may open above: from memory.
#[test]
fn charging_bands_are_the_published_ones() {
    assert_eq!(
        new_battery(Chemistry::Flooded).absorb_band_v(),
        (13.8, 14.4)
    );
    assert_eq!(new_battery(Chemistry::Agm).absorb_band_v(), (14.4, 14.7));
    let lithium = new_battery(Chemistry::LithiumIronPhosphate);
    assert_eq!(lithium.charge_fit(14.6), ChargeFit::Suits);
    assert_eq!(lithium.charge_fit(14.61), ChargeFit::ManagementMayOpen);
    let sixteen = Battery::new(&Spec {
        cells: 8,
        ..Spec::of(Chemistry::Agm)
    })
    .unwrap();
    near(sixteen.absorb_band_v().0, 19.2, 1e-12);
    assert_eq!(sixteen.charge_fit(14.7), ChargeFit::CannotCharge);
}

/// Verification of the acceptance formula by hand: 50 Ah half full, flooded, at its absorb voltage: 25 A missing times 1/h
/// against what 5 mOhm would let through.
#[test]
fn acceptance_is_as_the_formula_says() {
    let battery = new_battery(Chemistry::Flooded);
    let terminal = battery.terminal(&State::rested(0.5, 25.0));
    let ohmic = (battery.absorb_v - 12.24) / 0.005;
    near(
        terminal.current_a(battery.absorb_v),
        ohmic / (1.0 + ohmic / 25.0),
        1e-9,
    );
    let agm = new_battery(Chemistry::Agm);
    let more = agm.terminal(&State::rested(0.5, 25.0));
    assert!(more.current_a(agm.absorb_v) > 2.5 * terminal.current_a(battery.absorb_v));
    for chemistry in Chemistry::ALL {
        let full = new_battery(chemistry).terminal(&State::rested(1.0, 25.0));
        assert_eq!(full.current_a(15.0), 0.0);
    }
    // Lithium: 1C where the maker says nothing, or what the maker says.
    let lithium = Spec {
        capacity_ah: 20.0,
        ..Spec::of(Chemistry::LithiumIronPhosphate)
    };
    assert_eq!(Battery::new(&lithium).unwrap().charge_limit_a, 20.0);
    let limited = Spec {
        charge_limit_a: Some(8.0),
        ..lithium
    };
    let limited = Battery::new(&limited).unwrap();
    assert!(limited.terminal(&State::rested(0.3, 25.0)).current_a(14.6) < 8.0);
}

/// Validation. Source: published, about 85 % of the energy of a charge comes back over a whole cycle of a lead-acid battery.
/// Tolerance: 5 points. Down to a fifth at a fifth of its capacity an hour, back to full at the middle of its band.
#[test]
fn a_whole_cycle_gives_back_about_85_percent() {
    let battery = new_battery(Chemistry::Flooded);
    let mut state = State::rested(1.0, 25.0);
    let (mut out_j, mut in_j) = (0.0, 0.0);
    while state.soc > 0.2 {
        let amps = -0.2 * battery.capacity_ah;
        let (after, terminal_j) = carry(&battery, &state, amps, 10.0);
        out_j -= terminal_j;
        state = after;
    }
    while state.soc < 0.995 {
        let amps = battery.terminal(&state).current_a(battery.absorb_v);
        state = carry(&battery, &state, amps, 10.0).0;
        in_j += battery.absorb_v * amps * 10.0;
    }
    near(out_j / in_j, 0.85, 0.05);
}

/// Common practice, no source: a battery that has just come off the charger reads full whatever its charge, and one that
/// gave current a minute ago reads low.
#[test]
fn a_reading_soon_after_charging_is_high() {
    let battery = new_battery(Chemistry::Flooded);
    let mut state = State::rested(0.6, 25.0);
    for _ in 0..600 {
        let amps = battery.terminal(&state).current_a(14.2);
        state = carry(&battery, &state, amps, 1.0).0;
    }
    let open_v = battery.terminal(&state).open_v();
    assert!(open_v > battery.rest_v(state.soc, 25.0) + 0.05);
    let (given, _) = carry(&battery, &state, -60.0, 120.0);
    assert!(battery.terminal(&given).open_v() < battery.rest_v(given.soc, 25.0) - 0.1);
}
