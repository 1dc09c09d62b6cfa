//! The edges of the window of sizes.

use crate::cars::car;
use laneside_core::choose::{Edge, EdgeLimit, Side, Window, window};
use laneside_core::finding::Status;
use laneside_core::gates::{Candidate, GateId, Judged, Verdict, judge};
use laneside_core::resolve::{CrankPulley, Pulleys, Resolved};
use laneside_core::tolerance::Tolerances;
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

fn status(judged: &Judged, id: GateId) -> Status {
    match id {
        GateId::Phase(place) => {
            let phase = judged
                .phases
                .iter()
                .find(|phase| phase.phase == place)
                .unwrap();
            phase.running.as_ref().unwrap().status
        }
        _ => {
            judged
                .speeds
                .iter()
                .find(|gate| gate.id == id)
                .unwrap()
                .status
        }
    }
}

/// The gate that makes an edge changes its status there: holds inside and not outside (sure), or fails outside and not
/// inside (possible).
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
    let beside = |sign: f64| judged(tolerances, side, edge.mm + sign * outwards * BESIDE_MM);
    if let GateId::Phase(place) = id {
        // Where as much is switched off as draws, the margin is zero over a run of sizes: no edge to speak of.
        let outside = beside(1.0);
        let net = &outside.phases[place].running.as_ref().unwrap().net_a;
        if net.spread.least(net.value) == 0.0 || net.spread.most(net.value) == 0.0 {
            return Ok(());
        }
    }
    let (inside, outside) = (status(&beside(-1.0), id), status(&beside(1.0), id));
    if sure {
        prop_assert_eq!(inside, Status::Holds, "{:?} inside {:?}", id, edge);
        prop_assert_ne!(outside, Status::Holds, "{:?} outside {:?}", id, edge);
    } else {
        prop_assert_ne!(inside, Status::Fails, "{:?} inside {:?}", id, edge);
        prop_assert_eq!(outside, Status::Fails, "{:?} outside {:?}", id, edge);
    }
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

    /// Every edge is where its gate turns; a size inside the sure part holds; one outside the possible part is over or short.
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
                prop_assert_eq!(inside.verdict, Verdict::Holds, "{:?} at {} of {:?}", side, size, window);
            }
            for (edge, outwards) in [(window.possible_low, -1.0), (window.possible_high, 1.0)] {
                if let EdgeLimit::Gate(_) = edge.limit
                    && edge.mm.is_finite()
                    && edge.mm > 0.0
                {
                    let outside = judged(&tolerances, side, edge.mm + outwards * BESIDE_MM);
                    let mut running = outside.phases.iter().filter_map(|phase| phase.running.as_ref());
                    if running.any(|running| running.net_a.spread.most(running.net_a.value) == 0.0) {
                        continue;
                    }
                    let fails = matches!(outside.verdict, Verdict::Over { .. } | Verdict::Short { .. });
                    prop_assert!(fails, "{:?} beside {:?}: {:?}", side, edge, outside.verdict);
                }
            }
            prop_assert!(window.middle_mm() > 0.0, "{:?}", window);
        }
    }
}
