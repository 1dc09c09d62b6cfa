//! What must hold for every circuit. All of these are verification.

use laneside_core::battery::{Acceptance, State, Terminal};
use laneside_core::bus::{Alternator, Bus, Loads, Regime, Sense, Settled};
use laneside_core::loads::LoadKind;
use proptest::prelude::*;
use std::cell::Cell;

use crate::brute::highest_v;
use crate::cases::{Circuit, any_circuit};
use crate::support::carry;

/// What the laws hold to, A and V.
const CLOSE: f64 = 1e-9;
/// How far from the zero looked for a voltage may be found, V: 1e-14 V or four spacings of the numbers at up to 20 V.
const FOUND_V: f64 = 2e-14;

/// How far the current at the node may be off, A, because no number lies nearer to the zero of what is left over.
///
/// At full field output is `I^2 = a - b/n^2` with a speed that is read by the voltage: just over cut-in it is infinitely
/// steep. A machine of 240 A that gives 0.8 A changes by 16,000 A/V, 1e-10 A in a few of the numbers next to 7 V, and by ten
/// times that at 0.08 A. Behind a resistance `R` a battery of the conductance `G` makes it `1 + R G` times as much, up to 150.
/// Everything else is at most as steep as a battery, some hundred A/V: there a voltage found so well stays far under [`CLOSE`].
fn steep_a(circuit: &Circuit, settled: &Settled) -> f64 {
    let is_searched = match settled.regime {
        Regime::MachineLimited => true,
        // Where the machine just gives nothing, it may give something one number further.
        Regime::BatteryOnly => !settled.held_off,
        Regime::Regulated | Regime::Unexcited | Regime::Collapsed => false,
    };
    let left_over_a = |stud_v: f64| {
        let amps = circuit.limit_a(stud_v);
        amps - circuit.demand_a(stud_v - circuit.path_ohm * amps)
    };
    let [below, above] = [-FOUND_V, FOUND_V].map(|off| left_over_a(settled.alternator_v + off));
    if is_searched {
        (above - below).abs()
    } else {
        0.0
    }
}

/// Every law of the circuit at a solution.
fn check_laws(circuit: &Circuit, settled: &Settled) -> Result<(), TestCaseError> {
    if settled.regime == Regime::Collapsed {
        prop_assert_eq!(*settled, Settled::COLLAPSED);
        return Ok(());
    }
    let Settled {
        node_v,
        alternator_v,
        alternator_a,
        battery_a,
        load_a,
        ..
    } = *settled;
    let steep_a = steep_a(circuit, settled);
    prop_assert!(
        (alternator_a - load_a - battery_a).abs() <= CLOSE.max(steep_a),
        "KCL: {settled:?}"
    );
    prop_assert!((alternator_v - node_v - circuit.path_ohm * alternator_a).abs() <= CLOSE);
    prop_assert!((load_a - circuit.loads.current_a(node_v)).abs() <= CLOSE);
    let taken = circuit
        .terminal()
        .map_or(0.0, |terminal| terminal.current_a(node_v));
    prop_assert!((battery_a - taken).abs() <= CLOSE);
    prop_assert!(alternator_a >= 0.0);

    let sensed = match circuit.sense {
        Sense::Alternator => alternator_v,
        Sense::Battery => node_v,
    };
    let limit_a = circuit.limit_a(alternator_v);
    match settled.regime {
        Regime::Regulated => {
            prop_assert!((sensed - circuit.set_point_v).abs() <= CLOSE);
            prop_assert!(alternator_a <= limit_a + CLOSE);
        }
        Regime::MachineLimited => {
            prop_assert!((alternator_a - limit_a).abs() <= CLOSE);
            prop_assert!(sensed <= circuit.set_point_v + CLOSE);
        }
        Regime::BatteryOnly => {
            prop_assert_eq!(alternator_a, 0.0);
            if !settled.held_off {
                prop_assert!(sensed <= circuit.set_point_v + CLOSE && limit_a == 0.0);
            }
        }
        Regime::Unexcited | Regime::Collapsed => unreachable!(),
    }
    // What the alternator gives is what the others take and the path turns to heat.
    let given = alternator_v * alternator_a;
    let taken = node_v * (load_a + battery_a) + settled.path_loss_w();
    prop_assert!((given - taken).abs() <= 1e-7 + node_v * steep_a);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4_000, ..ProptestConfig::default() })]

    #[test]
    fn every_solution_obeys_every_law(circuit in any_circuit(), from in 0.5..16.0f64) {
        let limit = |volts| circuit.limit_a(volts);
        let bus = circuit.bus(&limit);
        let first = bus.settle(None);
        check_laws(&circuit, &first)?;
        let before = Settled { node_v: from, alternator_v: from, regime: Regime::MachineLimited, ..Settled::COLLAPSED };
        check_laws(&circuit, &bus.settle(Some(&before)))?;
        // Settled is settled.
        let again = bus.settle(Some(&first));
        prop_assert_eq!(again.regime, first.regime);
        let moved_v = CLOSE + circuit.path_ohm * steep_a(&circuit, &first);
        prop_assert!((again.node_v - first.node_v).abs() < moved_v, "{:?} {:?}", first, again);
    }

    /// From a state before, the bus runs the way that the current left over pushes it.
    #[test]
    fn it_runs_where_the_current_left_over_pushes(circuit in any_circuit(), from in 0.5..16.0f64) {
        let limit = |volts| circuit.limit_a(volts);
        let bus = circuit.bus(&limit);
        let before = Settled { node_v: from, alternator_v: from, regime: Regime::MachineLimited, ..Settled::COLLAPSED };
        let found = bus.settle(Some(&before));
        if found.regime == Regime::MachineLimited && from < circuit.set_point_v {
            let amps = circuit.limit_a(from);
            let left_over = amps - circuit.demand_a(from - circuit.path_ohm * amps);
            if left_over > 1e-6 {
                prop_assert!(found.alternator_v >= from - 1e-9);
            }
        }
    }

    /// At any moment what the alternator gives is in loads, wire, battery heat and battery store.
    #[test]
    fn power_is_kept(circuit in any_circuit()) {
        let limit = |volts| circuit.limit_a(volts);
        let settled = circuit.bus(&limit).settle(None);
        if let (Some((battery, state)), true) = (&circuit.battery, settled.regime != Regime::Collapsed) {
            let flow = battery.flow(state, settled.node_v, settled.battery_a);
            let width_s = 1e-3;
            let later = |seconds: f64| battery.stored_j(&State {
                soc: state.soc + flow.soc_per_s * seconds,
                pair_v: state.pair_v + flow.pair_v_per_s * seconds,
                celsius: state.celsius,
            });
            let stored_w = (later(width_s) - later(0.0)) / width_s;
            let given_w = settled.alternator_v * settled.alternator_a;
            let taken_w = settled.node_v * settled.load_a + settled.path_loss_w() + flow.heat_w() + stored_w;
            let through = given_w + settled.node_v * settled.load_a;
            prop_assert!((given_w - taken_w).abs() <= 1e-3 * through + 1e-2, "{given_w} {taken_w}");
            prop_assert!(flow.ohmic_w >= -1e-9 && flow.unstored_w >= -1e-9);
        }
    }

    /// Any finite numbers at all end in numbers.
    #[test]
    fn any_numbers_end_in_numbers(
        at in prop::array::uniform12(prop_oneof![any::<f64>(), -20.0..20.0f64, Just(0.0)]),
        remote in any::<bool>(), with_battery in any::<bool>(), kind in 0..4usize,
    ) {
        let [rest_v, pair_v, ohm, giving, most_a, absorb_v, rated_a, rated_v, fading_v, limit, set_point_v, path] = at;
        let mut loads = Loads::new(fading_v);
        loads.add(rated_a, rated_v, LoadKind::ALL[kind]);
        let terminal = Terminal::new(rest_v, pair_v, ohm, giving, Acceptance { most_a, absorb_v });
        for alternator in [
            Alternator::Off,
            Alternator::Unexcited { field_a: limit },
            Alternator::Excited {
                limit_a: &|volts| limit - volts * path,
                set_point_v,
                sense: if remote { Sense::Battery } else { Sense::Alternator },
            },
        ] {
            let bus = Bus { alternator, charge_path_ohm: path, loads, battery: with_battery.then_some(terminal) };
            let first = bus.settle(None);
            for settled in [first, bus.settle(Some(&first))] {
                let Settled { node_v, alternator_v, alternator_a, battery_a, load_a, .. } = settled;
                for number in [node_v, alternator_v, alternator_a, battery_a, load_a] {
                    prop_assert!(number.is_finite(), "{settled:?}");
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn the_highest_voltage_is_found(circuit in any_circuit()) {
        let limit = |volts| circuit.limit_a(volts);
        let found = circuit.bus(&limit).settle(None);
        let slow = highest_v(&circuit);
        let found_v = (found.regime != Regime::Collapsed).then_some(found.node_v);
        match (found_v, slow) {
            // The slow way can step over a pair of voltages that nearly touch; a solution higher than its own has
            // passed every law in the test above.
            (Some(found_v), Some(slow)) => prop_assert!(found_v >= slow - 0.004, "{found:?}, slowly {slow}"),
            (None, Some(slow)) => prop_assert!(false, "collapsed, slowly {slow}"),
            (Some(_) | None, None) => {}
        }
    }
}

/// From the state before, a small change costs few evaluations of the machine.
#[test]
fn a_small_change_is_followed_cheaply() {
    let machine = crate::support::machine_50_120();
    let field = crate::support::field(0.4);
    let battery = crate::support::new_battery(laneside_core::battery::Chemistry::Agm);
    let mut state = State::rested(0.8, 25.0);
    let mut loads = Loads::new(9.0);
    for (amps, kind) in [
        (30.0, LoadKind::Resistive),
        (25.0, LoadKind::Fan),
        (12.0, LoadKind::Electronics),
    ] {
        loads.add(amps, 13.5, kind);
    }
    let calls = Cell::new(0);
    let mut before = None;
    let (mut steps, mut most) = (0, 0);
    for tenth in 0..600 {
        let rpm = 1_450.0 + 3.0 * f64::from(tenth);
        let limit = |volts: f64| {
            calls.set(calls.get() + 1);
            machine.output_a(rpm, volts, &field)
        };
        calls.set(0);
        let settled = Bus {
            alternator: Alternator::Excited {
                limit_a: &limit,
                set_point_v: 14.2,
                sense: Sense::Alternator,
            },
            charge_path_ohm: 0.006,
            loads,
            battery: Some(battery.terminal(&state)),
        }
        .settle(before.as_ref());
        (state, _) = carry(&battery, &state, settled.battery_a, 0.1);
        if settled.regime == Regime::MachineLimited {
            steps += 1;
            most = most.max(if before.is_some() { calls.get() } else { 0 });
        }
        before = Some(settled);
    }
    assert!(steps > 100, "{steps}");
    assert!(most <= 16, "{most} evaluations");
}
