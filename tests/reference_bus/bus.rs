//! The bus against the worked examples, and in each of its regimes.

use laneside_core::battery::{Battery, Chemistry, Spec, State, Terminal};
use laneside_core::bus::{Alternator, Bus, Loads, Regime, Sense, Settled};
use laneside_core::loads::LoadKind;

use crate::support::{constant_power, field, machine_50_120, near, new_battery};

fn resistive(amps: f64) -> Loads {
    let mut loads = Loads::new(9.0);
    loads.add(amps, 13.5, LoadKind::Resistive);
    loads
}

fn excited<'a>(limit_a: &'a dyn Fn(f64) -> f64, set_point_v: f64, sense: Sense) -> Alternator<'a> {
    Alternator::Excited {
        limit_a,
        set_point_v,
        sense,
    }
}

/// Worked example (derived): rating 50/120 A, 1,500 rpm, no battery, 600 W of constant power, field and fading left out:
/// 5.41 and 13.88 V. The upper one is stable, and the bus runs to it from above and from between the two.
#[test]
fn constant_power_without_battery_has_two_voltages() {
    let machine = machine_50_120();
    let limit = |volts: f64| machine.output_a(1_500.0, volts, &field(0.0));
    let left_over = |volts: f64| limit(volts) - 600.0 / volts;
    for (volts, tolerance) in [(5.41, 0.01), (13.88, 0.01)] {
        let (below, above) = (left_over(volts - tolerance), left_over(volts + tolerance));
        assert!(below * above < 0.0, "no zero near {volts}");
    }
    let bus = Bus {
        alternator: excited(&limit, 14.2, Sense::Alternator),
        charge_path_ohm: 0.0,
        loads: constant_power(600.0, 0.0),
        battery: None,
    };
    let first = bus.settle(None);
    assert_eq!(first.regime, Regime::MachineLimited);
    near(first.node_v, 13.88, 0.005);
    near(first.node_v * first.load_a, 600.0, 1e-6);
    let between = Settled {
        alternator_v: 7.0,
        node_v: 7.0,
        ..first
    };
    near(bus.settle(Some(&between)).node_v, first.node_v, 1e-9);
}

/// Worked example (derived): engine off, 11.6 V behind 40 mOhm: nothing above 11.6^2/(4 x 0.04) = 841 W.
#[test]
fn a_battery_alone_has_a_most_power() {
    let bus = |watts| Bus {
        alternator: Alternator::Off,
        charge_path_ohm: 0.005,
        loads: constant_power(watts, 0.0),
        battery: Some(Terminal::plain(11.6, 0.04)),
    };
    assert_eq!(bus(841.1).settle(None), Settled::COLLAPSED);
    let edge = bus(840.9).settle(None);
    assert_eq!(edge.regime, Regime::BatteryOnly);
    near(edge.node_v, 5.8, 0.1);
    // The upper of the two voltages in closed form.
    let half = bus(400.0).settle(None);
    near(
        half.node_v,
        0.5 * (11.6 + (11.6f64 * 11.6 - 4.0 * 0.04 * 400.0).sqrt()),
        1e-12,
    );
}

#[test]
fn the_regulator_holds_its_own_stud_or_the_battery() {
    let battery = new_battery(Chemistry::Agm).terminal(&State::rested(0.7, 25.0));
    let settle = |sense| {
        Bus {
            alternator: excited(&|_| 120.0, 14.2, sense),
            charge_path_ohm: 0.008,
            loads: resistive(45.0),
            battery: Some(battery),
        }
        .settle(None)
    };
    let own = settle(Sense::Alternator);
    near(own.alternator_v, 14.2, 1e-12);
    near(own.node_v, 14.2 - 0.008 * own.alternator_a, 1e-9);
    let remote = settle(Sense::Battery);
    near(remote.node_v, 14.2, 1e-12);
    near(
        remote.alternator_v,
        14.2 + 0.008 * remote.alternator_a,
        1e-9,
    );
    assert!(remote.battery_a > own.battery_a && own.battery_a > 0.0);
    for settled in [own, remote] {
        assert_eq!(settled.regime, Regime::Regulated);
        near(
            settled.path_loss_w(),
            0.008 * settled.alternator_a.powi(2),
            1e-9,
        );
    }
}

/// At idle the machine gives 30 A against 45 of load: the battery carries the rest.
#[test]
fn a_machine_at_its_limit_is_helped_by_the_battery() {
    let battery = new_battery(Chemistry::Flooded).terminal(&State::rested(0.9, 25.0));
    for sense in [Sense::Alternator, Sense::Battery] {
        let settled = Bus {
            alternator: excited(&|_| 30.0, 14.2, sense),
            charge_path_ohm: 0.006,
            loads: resistive(45.0),
            battery: Some(battery),
        }
        .settle(None);
        assert_eq!(settled.regime, Regime::MachineLimited);
        near(settled.alternator_a, 30.0, 1e-12);
        assert!(settled.battery_a < 0.0 && settled.node_v < 12.6);
    }
}

#[test]
fn off_and_unexcited_leave_it_to_the_battery() {
    let settle = |alternator| {
        Bus {
            alternator,
            charge_path_ohm: 0.005,
            loads: resistive(20.0),
            battery: Some(Terminal::plain(12.6, 0.01)),
        }
        .settle(None)
    };
    let off = settle(Alternator::Off);
    assert_eq!((off.regime, off.alternator_a), (Regime::BatteryOnly, 0.0));
    let turning = settle(Alternator::Unexcited { field_a: 4.0 });
    assert_eq!(turning.regime, Regime::Unexcited);
    near(turning.load_a - off.load_a, 4.0, 0.1);
    assert!(turning.battery_a < off.battery_a);
    // Under its cut-in speed an excited machine gives nothing.
    let slow = settle(excited(&|_| 0.0, 14.2, Sense::Alternator));
    assert_eq!(slow.regime, Regime::BatteryOnly);
    near(slow.node_v, off.node_v, 1e-9);
}

/// Surface charge, a full lithium battery over a low set-point, 16 V on a 12 V set-point: the alternator gives nothing until
/// the loads have pulled the battery down to the set-point.
#[test]
fn a_battery_over_the_set_point_holds_the_alternator_off() {
    let sixteen = Battery::new(&Spec {
        cells: 8,
        ..Spec::of(Chemistry::Agm)
    })
    .unwrap();
    let lithium = new_battery(Chemistry::LithiumIronPhosphate);
    let charged = State {
        pair_v: 0.9,
        ..State::rested(1.0, 25.0)
    };
    let cases = [
        (sixteen.terminal(&State::rested(0.3, 25.0)), 14.2, 20.0),
        (lithium.terminal(&State::rested(0.9, 25.0)), 13.0, 20.0),
        (new_battery(Chemistry::Agm).terminal(&charged), 13.6, 5.0),
    ];
    for (battery, set_point_v, load_a) in cases {
        let bus = |load_a| Bus {
            alternator: excited(&|_| 120.0, set_point_v, Sense::Alternator),
            charge_path_ohm: 0.005,
            loads: resistive(load_a),
            battery: Some(battery),
        };
        let settled = bus(load_a).settle(None);
        assert!(settled.held_off, "{settled:?}");
        assert_eq!(
            (settled.regime, settled.alternator_a),
            (Regime::BatteryOnly, 0.0)
        );
        assert!(settled.node_v > set_point_v && settled.battery_a < 0.0);
        let heavy = bus(600.0).settle(None);
        assert!(!heavy.held_off && heavy.alternator_a > 0.0, "{heavy:?}");
    }
}

#[test]
fn without_anything_to_carry_them_loads_collapse() {
    let empty = new_battery(Chemistry::Agm).terminal(&State::rested(0.0, 25.0));
    for battery in [None, Some(empty)] {
        for alternator in [
            Alternator::Off,
            Alternator::Unexcited { field_a: 4.0 },
            excited(&|_| 0.0, 14.2, Sense::Alternator),
        ] {
            let settled = Bus {
                alternator,
                charge_path_ohm: 0.005,
                loads: resistive(20.0),
                battery,
            }
            .settle(None);
            assert_eq!(settled, Settled::COLLAPSED);
        }
    }
    // Constant power larger than everything there is.
    let settled = Bus {
        alternator: excited(&|_| 100.0, 14.2, Sense::Alternator),
        charge_path_ohm: 0.005,
        loads: constant_power(5_000.0, 0.0),
        battery: Some(Terminal::plain(12.0, 0.02)),
    }
    .settle(None);
    assert_eq!(settled, Settled::COLLAPSED);
}

#[test]
fn no_battery_is_regulated_too() {
    let settled = Bus {
        alternator: excited(&|_| 100.0, 14.2, Sense::Battery),
        charge_path_ohm: 0.01,
        loads: resistive(50.0),
        battery: None,
    }
    .settle(None);
    assert_eq!(settled.regime, Regime::Regulated);
    near(settled.alternator_a, 50.0 * 14.2 / 13.5, 1e-9);
    assert_eq!(settled.battery_a, 0.0);
}

/// With a weak battery, much constant power and a machine whose output a lower voltage raises there are two stable
/// voltages. The bus stays at the one it came from.
#[test]
fn of_two_stable_voltages_the_one_before_is_kept() {
    let limit = |volts: f64| {
        if volts > 11.0 {
            80.0
        } else {
            80.0 - 30.0 * (11.0 - volts).min(1.0)
        }
    };
    let mut loads = constant_power(900.0, 9.0);
    loads.add(2.0, 12.0, LoadKind::Pump);
    let bus = Bus {
        alternator: excited(&limit, 14.2, Sense::Alternator),
        charge_path_ohm: 0.0,
        loads,
        battery: Some(Terminal::plain(11.5, 0.1)),
    };
    let high = bus.settle(None);
    let fallen = Settled {
        alternator_v: 8.0,
        node_v: 8.0,
        ..high
    };
    let low = bus.settle(Some(&fallen));
    assert!(high.node_v > 11.0 && low.node_v < 10.0, "{high:?} {low:?}");
    near(bus.settle(Some(&low)).node_v, low.node_v, 1e-9);
    near(bus.settle(Some(&high)).node_v, high.node_v, 1e-9);
    // The lower one does not depend on where below the ridge it came from.
    let lower = Settled {
        alternator_v: 4.0,
        node_v: 4.0,
        ..high
    };
    near(bus.settle(Some(&lower)).node_v, low.node_v, 1e-9);
}
