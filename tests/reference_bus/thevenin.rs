//! The battery against PyBaMM: `tests/fixtures/thevenin.json` names the version, `make_thevenin.py` makes it again.

use laneside_core::battery::{Battery, Chemistry, Resistance, Spec, State};
use laneside_core::data::bode_1977;
use serde::Deserialize;

use crate::support::{carry, near};

#[derive(Deserialize)]
struct Fixture {
    bode_molality_v: Vec<(f64, f64)>,
    runs: Vec<Run>,
}

#[derive(Deserialize)]
struct Run {
    name: String,
    chemistry: Chemistry,
    capacity_ah: f64,
    ohm: f64,
    tau_s: f64,
    soc: f64,
    pair_v: f64,
    segments: Vec<(f64, f64)>,
    at_s: Vec<f64>,
    volts: Vec<f64>,
    charge: Vec<f64>,
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("../fixtures/thevenin.json")).unwrap()
}

/// Validation. Source: PyBaMM's Thevenin model with the same rest voltages, resistances and currents, isothermal, without
/// entropy, without a limit on charging, all charge stored. Tolerance: 0.5 mV, and 1e-6 of charge.
#[test]
fn volts_and_charge_are_those_of_the_thevenin_model() {
    for run in fixture().runs {
        let mut battery = Battery::new(&Spec {
            capacity_ah: run.capacity_ah,
            health: 1.0,
            resistance: Resistance::Measured {
                ohm: run.ohm,
                celsius: 25.0,
            },
            ..Spec::of(run.chemistry)
        })
        .unwrap();
        battery.pair_seconds = run.tau_s;
        battery.efficiency = 1.0;
        battery.efficiency_full = 1.0;
        battery.acceptance_per_h = f64::INFINITY;

        let mut state = State {
            soc: run.soc,
            pair_v: run.pair_v,
            celsius: 25.0,
        };
        let mut samples = run.at_s.iter().zip(&run.volts).zip(&run.charge).peekable();
        let (mut now, mut end, mut widest) = (0.0, 0.0, 0.0f64);
        let mut compared = 0;
        for (amps, seconds) in run.segments {
            end += seconds;
            while let Some(((at, volts), charge)) =
                samples.next_if(|((at, _), _)| **at <= end + 1e-6)
            {
                (state, _) = carry(&battery, &state, amps, at - now);
                now = *at;
                let off = battery.terminal(&state).volts_at(amps) - volts;
                widest = widest.max(off.abs());
                assert!(off.abs() < 5e-4, "{} at {at} s: off by {off} V", run.name);
                near(state.soc, *charge, 1e-6);
                compared += 1;
            }
        }
        assert_eq!(compared, run.volts.len());
        println!(
            "{}: widest {:.1} uV over {compared}",
            run.name,
            widest * 1e6
        );
    }
}

/// Validation. Source: Bode 1977 as PyBaMM's Sulzer2019 parameters hold it, whose two electrodes are rounded to 1 mV each.
/// Tolerance: 2 mV a cell.
#[test]
fn bodes_polynomial_is_the_library_s() {
    for (molality, volts) in fixture().bode_molality_v {
        near(bode_1977::cell_v(molality), volts, 2e-3);
    }
}
