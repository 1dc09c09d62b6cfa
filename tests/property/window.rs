//! The edges of the window of sizes.

use crate::cars::car;
use laneside_core::choose::{Edge, EdgeLimit, Side, Window, window};
use laneside_core::gates::{Candidate, GateId, Judged, judge};
use laneside_core::resolve::{CrankPulley, Pulleys, Resolved};
use laneside_core::tolerance::{Spread95, Tolerances};
use proptest::prelude::*;

/// How far from an edge a size is looked at, mm: what a caliper tells apart. Closer than that a spread may swing where an
/// input's end just reaches cut-in.
const BESIDE_MM: f64 = 0.5;

/// A size of the pulley that is chosen, judged as if it were known exactly.
fn judged(tolerances: &Tolerances, side: Side, effective_mm: f64) -> Judged {
    let resolved = tolerances.resolved();
    let pitch = effective_mm + resolved.pitch_over_effective_mm;
    let candidate = match side {
        Side::Alternator => Candidate {
            pulleys: Pulleys::with_alternator(pitch),
            own: None,
            rated_rpm: None,
        },
        Side::Crank => Candidate {
            pulleys: Pulleys::with_crank(pitch),
            own: None,
            rated_rpm: resolved.fitted_rated_rpm,
        },
    };
    judge(tolerances, &candidate)
}

/// Margin of a gate with its spread taken off (sure) or added (possible), and what is no difference to it: a twentieth of
/// the spread of a phase, which is how well that spread is known near cut-in; nothing for a speed.
fn counted(judged: &Judged, id: GateId, sure: bool) -> (f64, f64) {
    let count = |margin: &Spread95, slack: f64| {
        if sure {
            margin.spread.least(margin.value)
        } else {
            margin.spread.most(margin.value + slack)
        }
    };
    if let GateId::Phase(place) = id {
        let net = &judged.phases[place].running.as_ref().unwrap().net_a;
        let side = if sure { net.spread.down } else { net.spread.up };
        (count(net, 0.0), side / 20.0)
    } else {
        let gate = judged.speeds.iter().find(|gate| gate.id == id).unwrap();
        (count(&gate.margin_rpm, gate.slack_rpm()), 0.0)
    }
}

/// The counted margin of the gate that makes an edge is zero there: not below zero inside, not above zero outside.
fn edge_is_where_its_gate_turns(
    tolerances: &Tolerances,
    side: Side,
    edge: Edge,
    outwards: f64,
    sure: bool,
) -> Result<(), TestCaseError> {
    let EdgeLimit::Gate(id) = edge.limit else {
        return Ok(());
    };
    if !edge.mm.is_finite() || edge.mm == 0.0 {
        return Ok(());
    }
    let beside = |sign: f64| {
        let judged = judged(tolerances, side, edge.mm + sign * outwards * BESIDE_MM);
        counted(&judged, id, sure)
    };
    let (inside, tie) = beside(-1.0);
    prop_assert!(inside >= -tie, "{:?} inside {:?}: {}", id, edge, inside);
    let (outside, tie) = beside(1.0);
    prop_assert!(outside <= tie, "{:?} outside {:?}: {}", id, edge, outside);
    Ok(())
}

fn edges(window: &Window) -> [(Edge, f64, bool); 4] {
    [
        (window.sure_low, -1.0, true),
        (window.sure_high, 1.0, true),
        (window.possible_low, -1.0, false),
        (window.possible_high, 1.0, false),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Every edge is where its gate turns, and a size inside the sure part holds.
    #[test]
    fn edges_are_where_limits_are_met(car in car(), part in 0.0..1.0) {
        let tolerances = Tolerances::new(Resolved::new(&car).unwrap());
        for side in [Side::Alternator, Side::Crank] {
            let window = window(&tolerances, side, CrankPulley::OnCar);
            for (edge, outwards, sure) in edges(&window) {
                edge_is_where_its_gate_turns(&tolerances, side, edge, outwards, sure)?;
            }
            if let Some((low, high)) = window.sure()
                && high - low > 2.0 * BESIDE_MM
            {
                let size = low + BESIDE_MM + part * (high - low - 2.0 * BESIDE_MM);
                let inside = judged(&tolerances, side, size);
                let speeds = inside.speeds.iter().map(|gate| gate.id);
                let running = inside.phases.iter().filter(|phase| phase.running.is_some());
                for id in speeds.chain(running.map(|phase| GateId::Phase(phase.phase))) {
                    let (margin, tie) = counted(&inside, id, true);
                    prop_assert!(margin >= -tie, "{:?} at {} of {:?}: {}", id, size, window, margin);
                }
            }
            prop_assert!(window.middle_mm() > 0.0, "{:?}", window);
        }
    }
}
