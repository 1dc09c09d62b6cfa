//! What the charge wiring costs, and whether cable, fuse and set-point suit.

use crate::balance::cold_a;
use crate::battery::ChargeFit;
use crate::car::{Car, Lead};
use crate::gates::Judged;
use crate::resolve::PhaseSpeed;
use crate::tolerance::Tolerances;
use crate::wiring::{CableCheck, WireSize, cable_check};

/// The charge wiring with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct WiringStudy {
    /// The most that the alternator gives, cold at the limiter, A.
    pub most_a: f64,
    /// What it gives in the pass once everything has settled, A.
    pub pass_a: f64,
    /// Resistance of lead and ground, ohm.
    pub ohm: (f64, f64),
    /// The next sizes of lead and ground that would halve each, where they are known by size.
    pub halving: (Option<WireSize>, Option<WireSize>),
    /// The lead's cable and fuse against the most; `None` where its size is not known.
    pub cable: Option<CableCheck>,
    /// What the set-point does to the battery in the long run; `None` while nobody said what battery it is.
    pub charge_fit: Option<ChargeFit>,
}

impl WiringStudy {
    /// Studies it.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Self {
        let (resolved, state) = (tolerances.resolved(), tolerances.nominal());
        let params = &state.params;
        let most_a = cold_a(state, judged.pulleys, params.limiter_rpm);
        let in_pass = judged.phases.iter().find(|balance| {
            let phase = resolved.phases.get(balance.phase);
            phase.is_some_and(|phase| phase.speed == PhaseSpeed::Pass)
        });
        let halving = |lead: &Lead| {
            let is_measured = lead.drop_v.is_some() && lead.drop_at_a.is_some();
            lead.size
                .filter(|_| !is_measured)
                .and_then(WireSize::halving)
        };
        Self {
            most_a,
            pass_a: in_pass.map_or(0.0, |balance| balance.settled.alternator_a),
            ohm: (params.supply.lead_ohm, params.supply.ground_ohm),
            halving: (halving(&car.wiring.lead), halving(&car.wiring.ground)),
            cable: car
                .wiring
                .lead
                .size
                .map(|size| cable_check(size, car.wiring.fuse_a, most_a)),
            charge_fit: resolved
                .supply
                .as_ref()
                .filter(|_| car.battery.chemistry.is_some())
                .map(|known| known.printed().charge_fit(params.set_point_v)),
        }
    }

    /// Drop over both at a current (A), V.
    pub fn drop_v(&self, amps: f64) -> f64 {
        amps * (self.ohm.0 + self.ohm.1)
    }

    /// Heat in both at a current (A), W.
    pub fn waste_w(&self, amps: f64) -> f64 {
        amps * self.drop_v(amps)
    }
}
