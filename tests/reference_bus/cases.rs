//! Circuits made at random.

use laneside_core::alternator::{Curve, Field, Machine, Warmth};
use laneside_core::battery::{Battery, Chemistry, Resistance, Spec, State, Terminal};
use laneside_core::bus::{Alternator, Bus, Loads, Sense};
use laneside_core::loads::LoadKind;
use proptest::prelude::*;

/// A circuit that owns what a [`Bus`] borrows.
#[derive(Clone, Debug)]
pub struct Circuit {
    pub machine: Machine,
    pub rpm: f64,
    pub field: Field,
    pub set_point_v: f64,
    pub sense: Sense,
    pub path_ohm: f64,
    pub loads: Loads,
    pub battery: Option<(Battery, State)>,
}

impl Circuit {
    pub fn limit_a(&self, volts: f64) -> f64 {
        self.machine.output_a(self.rpm, volts, &self.field)
    }

    pub fn terminal(&self) -> Option<Terminal> {
        self.battery
            .as_ref()
            .map(|(battery, state)| battery.terminal(state))
    }

    /// What loads and battery take at the node, A.
    pub fn demand_a(&self, node_v: f64) -> f64 {
        self.loads.current_a(node_v)
            + self
                .terminal()
                .map_or(0.0, |terminal| terminal.current_a(node_v))
    }

    pub fn bus<'a>(&self, limit_a: &'a dyn Fn(f64) -> f64) -> Bus<'a> {
        Bus {
            alternator: Alternator::Excited {
                limit_a,
                set_point_v: self.set_point_v,
                sense: self.sense,
            },
            charge_path_ohm: self.path_ohm,
            loads: self.loads,
            battery: self.terminal(),
        }
    }
}

pub fn any_battery() -> impl Strategy<Value = (Battery, State)> {
    let spec = (0..4usize, any::<bool>(), 8.0..120.0f64, 0.002..0.15f64).prop_map(
        |(chemistry, second, capacity_ah, ohm)| {
            let chemistry = Chemistry::ALL[chemistry];
            let cells = chemistry.cells();
            Spec {
                cells: cells[usize::from(second) % cells.len()],
                capacity_ah,
                resistance: Resistance::Measured { ohm, celsius: 25.0 },
                ..Spec::of(chemistry)
            }
        },
    );
    let state =
        (0.0..=1.0f64, -1.0..1.0f64, -10.0..50.0f64).prop_map(|(soc, pair_v, celsius)| State {
            soc,
            pair_v,
            celsius,
        });
    (spec, state).prop_map(|(spec, state)| (Battery::new(&spec).unwrap(), state))
}

pub fn any_loads() -> impl Strategy<Value = Loads> {
    let list = prop::collection::vec((0.0..35.0f64, 0..4usize), 0..6);
    // Fading left out, or somewhere; much constant power now and then.
    let fading = prop_oneof![Just(0.0), 6.0..11.0f64];
    let power = prop_oneof![Just(0.0), 0.0..1_500.0f64];
    (list, fading, power).prop_map(|(list, fading_v, power_w)| {
        let mut loads = Loads::new(fading_v);
        for (amps, kind) in list {
            loads.add(amps, 13.5, LoadKind::ALL[kind]);
        }
        loads.add(power_w / 13.5, 13.5, LoadKind::Electronics);
        loads
    })
}

pub fn any_circuit() -> impl Strategy<Value = Circuit> {
    let machine = (20.0..120.0f64, 1.1..3.0f64).prop_map(|(low, over)| Machine {
        curve: Curve::pair((1_500.0, low), (6_000.0, low * over)).unwrap(),
        test_v: 13.5,
        warmth: Warmth::Stabilized,
    });
    let path = prop_oneof![Just(0.0), 0.001..0.02f64, 0.02..0.3f64];
    (
        (machine, 800.0..15_000.0f64, 0.0..=1.0f64),
        (12.5..16.0f64, any::<bool>(), path),
        any_loads(),
        prop::option::weighted(0.7, any_battery()),
    )
        .prop_map(
            |((machine, rpm, exponent), (set_point_v, remote, path_ohm), loads, battery)| Circuit {
                machine,
                rpm,
                field: Field {
                    scale: 1.0,
                    low_form: 1.0,
                    exponent,
                },
                set_point_v,
                sense: if remote {
                    Sense::Battery
                } else {
                    Sense::Alternator
                },
                path_ohm,
                loads,
                battery,
            },
        )
}
