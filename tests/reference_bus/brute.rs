//! The bus once more, slowly: every node voltage in steps of 2 mV, from the highest down. At each one the machine's current
//! is found by itself, so that nothing of the solver's way is used.

use laneside_core::bus::Sense;

use crate::cases::Circuit;

const STEP_V: f64 = 0.002;

/// The machine's full-field current at a node voltage: `I` with `I = limit(V + I R)`, by halving.
fn full_field_a(circuit: &Circuit, node_v: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2_000.0);
    while high - low > 1e-9 {
        let amps = 0.5 * (low + high);
        if circuit.limit_a(node_v + circuit.path_ohm * amps) >= amps {
            low = amps;
        } else {
            high = amps;
        }
    }
    low
}

/// What regulator and machine together give at a node voltage.
fn supply_a(circuit: &Circuit, node_v: f64) -> f64 {
    if node_v >= circuit.set_point_v {
        return 0.0;
    }
    let most = full_field_a(circuit, node_v);
    match circuit.sense {
        Sense::Battery => most,
        Sense::Alternator if circuit.path_ohm == 0.0 => most,
        Sense::Alternator => most.min((circuit.set_point_v - node_v) / circuit.path_ohm),
    }
}

/// Whether the machine's limit falls all the way from the node's voltage to the stud's. Near its cut-in speed it may rise
/// instead, as the field does with the voltage that feeds it: then a node voltage has several currents, and the one found
/// above may be at a stud far over what the machine ever gets to.
fn falls(circuit: &Circuit, node_v: f64, amps: f64) -> bool {
    const PLACES: u32 = 64;
    let at = |place: u32| {
        let drop_v = circuit.path_ohm * amps * f64::from(place) / f64::from(PLACES);
        circuit.limit_a(node_v + drop_v)
    };
    (0..PLACES).all(|place| at(place) >= at(place + 1))
}

/// The highest node voltage at which what is left over turns from nothing to something on the way down, to 2 mV; `None`
/// if there is none above 2.2 V.
pub fn highest_v(circuit: &Circuit) -> Option<f64> {
    let open_v = circuit.terminal().map_or(0.0, |terminal| terminal.open_v());
    let mut node_v = circuit.set_point_v.max(open_v) + STEP_V;
    while node_v > 2.2 {
        let amps = supply_a(circuit, node_v);
        if amps - circuit.demand_a(node_v) > 1e-9 && falls(circuit, node_v, amps) {
            return Some(node_v);
        }
        node_v -= STEP_V;
    }
    None
}
