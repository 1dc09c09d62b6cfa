//! Every finding of a study, each with its working and its sources.

use crate::car::Car;
use crate::choose::{self, EdgeLimit, Side, Window};
use crate::data::{common_practice, gum, iso_9981};
use crate::drive::Belt;
use crate::finding::{Draft, Finding, Provenance, Spread, Unit, input};
use crate::gates::GateId;
use crate::quantity::InLength;
use crate::resolve::{CrankPulley, InputId, Params, PhaseModel};
use crate::study::{Study, accessory_speed_ratio};
use crate::tolerance::Spread95;

mod pulley;
mod race;
mod voltage;

pub use pulley::drag_at_shift;

/// Which pulleys a finding is about, as its code.
const ON_CAR: &str = "on_car";
const TO_TRY: &str = "to_try";

/// All findings of a study, in the order of the questions: speed, output, balance, choice.
pub fn findings(car: &Car, study: &Study) -> Vec<Finding> {
    let mut all = Collector {
        study,
        belt: car.drive.belt,
        found: Vec::new(),
    };
    all.pulleys(ON_CAR, &study.on_car);
    if let Some(tried) = &study.tried {
        let effective = tried.pulley.effective(car.drive.belt);
        let half = effective.half_width.mm();
        let reason = if tried.suggested {
            "suggested"
        } else {
            "chosen"
        };
        all.push(Draft {
            code: "pulley_to_try",
            pulley: Some(TO_TRY),
            value: Some(effective.value.mm()),
            unit: Unit::Millimeter,
            spread: Some(Spread { down: half, up: half }),
            reason: Some(reason),
            formula: "effective diameter; suggested: of the sizes on hand the one nearest to the middle of the window",
            sources: vec![common_practice::SOURCE],
            ..Draft::default()
        });
        all.pulleys(TO_TRY, &tried.judged);
    }
    all.window("alternator", &study.window);
    if car.drive.crank.is_some() {
        all.window(
            "crank",
            &choose::window(&study.tolerances, Side::Crank, CrankPulley::OnCar),
        );
    }
    if let Some(ratio) = accessory_speed_ratio(&study.tolerances) {
        all.measured(
            "accessory_speed_ratio",
            Some(TO_TRY),
            &ratio,
            Unit::Ratio,
            Draft {
                formula: "pitch diameter of the crank pulley to try / of the one on the car",
                sources: vec![iso_9981::SOURCE],
                ..Draft::default()
            },
        );
    }
    all.found
}

/// All findings of the pass and the day with both pulleys: apart from [`findings`], since they
/// take longer.
pub fn race_findings(car: &Car, study: &Study) -> Vec<Finding> {
    let mut all = Collector {
        study,
        belt: car.drive.belt,
        found: Vec::new(),
    };
    all.wiring(car, ON_CAR, &study.on_car);
    all.race(car, ON_CAR, &study.on_car);
    if let Some(tried) = &study.tried {
        all.wiring(car, TO_TRY, &tried.judged);
        all.race(car, TO_TRY, &tried.judged);
    }
    all.ranked(car);
    all.found
}

struct Collector<'a> {
    study: &'a Study,
    belt: Belt,
    found: Vec<Finding>,
}

impl Collector<'_> {
    fn push(&mut self, draft: Draft) {
        self.found.push(draft.finished());
    }

    fn measured(
        &mut self,
        code: &'static str,
        pulley: Option<&'static str>,
        value: &Spread95,
        unit: Unit,
        draft: Draft,
    ) {
        self.push(Draft {
            code,
            pulley,
            value: Some(value.value),
            spread: Some(value.spread),
            unit,
            ..draft
        });
    }

    fn params(&self) -> &Params {
        &self.study.tolerances.nominal().params
    }

    fn provenance(&self, id: InputId) -> Provenance {
        let resolved = self.study.tolerances.resolved();
        resolved
            .inputs
            .iter()
            .chain(&resolved.supply_inputs)
            .find(|input| input.id == id)
            .map_or(Provenance::Entered, |input| input.provenance)
    }

    fn window(&mut self, which: &'static str, window: &Window) {
        let names: [(&'static str, choose::Edge); 4] = match which {
            "crank" => [
                ("crank_window_sure_from", window.sure_low),
                ("crank_window_sure_to", window.sure_high),
                ("crank_window_possible_from", window.possible_low),
                ("crank_window_possible_to", window.possible_high),
            ],
            _ => [
                ("window_sure_from", window.sure_low),
                ("window_sure_to", window.sure_high),
                ("window_possible_from", window.possible_low),
                ("window_possible_to", window.possible_high),
            ],
        };
        for (code, edge) in names {
            let phase = match edge.limit {
                EdgeLimit::Gate(GateId::Phase(place)) => self
                    .study
                    .tolerances
                    .resolved()
                    .phases
                    .get(place)
                    .map(PhaseModel::called),
                _ => None,
            };
            self.push(Draft {
                code,
                phase,
                value: (edge.mm > 0.0).then_some(edge.mm),
                unit: Unit::Millimeter,
                reason: Some(match edge.limit {
                    EdgeLimit::Gate(GateId::Continuous) => "continuous_limit",
                    EdgeLimit::Gate(GateId::Short) => "short_limit",
                    EdgeLimit::Gate(GateId::PulleyRating) => "pulley_limit",
                    EdgeLimit::Gate(GateId::Phase(_)) => "phase_balance",
                    EdgeLimit::Belt => "smallest_recommended_diameter",
                    EdgeLimit::Range => "sizes_looked_at",
                }),
                formula: "effective diameter at which a margin less (sure) or plus (possible) its spread is zero",
                sources: vec![gum::SOURCE],
                ..Draft::default()
            });
        }
    }
}
