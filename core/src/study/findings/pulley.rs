//! Findings about one pair of pulleys: speed, turn-on, the balance of each phase, drag and
//! verdict.

use super::{Collector, Draft, input};
use crate::alternator::{self, Drag};
use crate::balance::{hot_a, slipping_rpm, turn_on_rpm};
use crate::data::{
    common_practice, gum, iso_8854, iso_9981, memory, perreault_2004, sarafianos_2015, tm_9_2320,
};
use crate::drive::{Belt, stress_ratio};
use crate::finding::{Mark, Provenance, Source, Spread, Status, Unit, WorkingInput};
use crate::gates::{GateId, Judged, SpeedGate, Verdict};
use crate::quantity::rpm;
use crate::resolve::{
    AlternatorPulley, CrankPulley, ENTERED, InputId, Params, PhaseSpeed, RatioFrom,
};
use crate::study::Study;

impl Collector<'_> {
    pub(super) fn pulleys(&mut self, pulley: &'static str, judged: &Judged) {
        let params = self.params().clone();
        let ratio_sources = match self.belt {
            Belt::VRibbed => vec![iso_9981::SOURCE, iso_9981::TIP_SOURCE],
            Belt::Other => vec![common_practice::SOURCE],
        };
        self.measured(
            "speed_ratio",
            Some(pulley),
            &judged.ratio,
            Unit::Ratio,
            Draft {
                formula: match params.ratio_from {
                    RatioFrom::Sizes => {
                        "pitch diameter of crank pulley / pitch diameter of alternator pulley, times driving / driven on a jackshaft; on V-ribbed belts d_p = d_e + 2 b_e, b_e = 2.0 mm, and d_e = reading + 0.45 mm by caliper, reading / pi + 0.45 mm by tape"
                    }
                    _ => {
                        "ratio read at the car, times the pitch diameters of the pulleys it was read with over those asked about"
                    }
                },
                inputs: self.ratio_inputs(&params, judged),
                sources: ratio_sources,
                ..Draft::default()
            },
        );
        for gate in &judged.speeds {
            self.speed(pulley, gate, &params, judged.ratio.value);
        }
        self.turn_on(pulley, judged);
        self.known_output(pulley, judged);
        for place in 0..judged.phases.len() {
            self.phase(pulley, judged, place);
        }
        self.drag(pulley, judged);
        let (reason, status) = match judged.verdict {
            Verdict::Over { .. } => ("over", Status::Fails),
            Verdict::Holds => ("holds", Status::Holds),
            Verdict::Short { .. } => ("short", Status::Fails),
            Verdict::TooClose { .. } => ("too_close_to_call", Status::TooClose),
        };
        self.push(Draft {
            code: "verdict",
            pulley: Some(pulley),
            status: Some(status),
            reason: Some(reason),
            formula: "the worst of all gates, each with its spread; belt grip not counted; battery and wiring are in the pass and the day",
            sources: vec![gum::SOURCE, gum::DRAWS_SOURCE],
            ..Draft::default()
        });
    }

    /// The numbers that make the speed ratio of a pair of pulleys.
    fn ratio_inputs(&self, params: &Params, judged: &Judged) -> Vec<WorkingInput> {
        let size = |name, mm, id| input(name, mm, Unit::Millimeter, self.provenance(id));
        let (crank_mm, crank) = match judged.pulleys.crank {
            CrankPulley::OnCar => (params.crank_mm(), InputId::Crank),
            CrankPulley::ToTry => (params.tried_crank_mm, InputId::TriedCrank),
            CrankPulley::Pitch(mm) => (mm, InputId::TriedCrank),
        };
        let (alternator_mm, alternator) = match judged.pulleys.alternator {
            AlternatorPulley::OnCar => (params.fitted_mm(), InputId::FittedPulley),
            AlternatorPulley::Pitch(mm) => (mm, InputId::TriedPulley),
        };
        let mut inputs = vec![
            size("crank pitch diameter", crank_mm, crank),
            size("alternator pitch diameter", alternator_mm, alternator),
        ];
        if params.stage_driven_mm > 0.0 {
            let (driven, driving) = (params.stage_driven_mm, params.stage_driving_mm);
            inputs.push(size("jackshaft, driven", driven, InputId::StageDriven));
            inputs.push(size("jackshaft, driving", driving, InputId::StageDriving));
        }
        if params.ratio_from != RatioFrom::Sizes {
            let ratio = params.ratio;
            inputs.push(input("ratio read", ratio, Unit::Ratio, Provenance::Entered));
            inputs.push(size("with crank", params.crank_mm(), InputId::Crank));
            inputs.push(size(
                "with alternator",
                params.fitted_mm(),
                InputId::FittedPulley,
            ));
        }
        let b_e = self.study.tolerances.resolved().pitch_over_effective_mm / 2.0;
        inputs.push(input("b_e", b_e, Unit::Millimeter, Provenance::Derived));
        inputs
    }

    fn speed(&mut self, pulley: &'static str, gate: &SpeedGate, params: &Params, ratio: f64) {
        let (code, limit_code, engine) = match gate.id {
            GateId::Continuous => (
                "speed_at_limiter",
                "limit_met_continuous",
                params.limiter_rpm,
            ),
            GateId::Short => (
                "speed_at_overshoot",
                "limit_met_short",
                params.limiter_rpm + params.overshoot_rpm,
            ),
            _ => (
                "pulley_speed",
                "limit_met_pulley",
                params.limiter_rpm + params.overshoot_rpm,
            ),
        };
        let engine_provenance = match gate.id {
            GateId::Continuous => Provenance::Entered,
            _ => self.provenance(InputId::Overshoot),
        };
        let assumed =
            self.study.tolerances.resolved().limits.assumed && gate.id != GateId::PulleyRating;
        let limit_source = if assumed { memory::SOURCE } else { ENTERED };
        let provenance = if assumed {
            Provenance::Assumed
        } else {
            Provenance::Entered
        };
        let limit_inputs = vec![
            input("limit, low end", gate.limit_rpm, Unit::Rpm, provenance),
            input("limit, high end", gate.generous_rpm, Unit::Rpm, provenance),
        ];
        // Speed is limit less margin: its sides are the margin's, the other way round.
        let margin = gate.margin_rpm.spread;
        self.push(Draft {
            code,
            pulley: Some(pulley),
            value: Some(gate.speed_rpm),
            unit: Unit::Rpm,
            spread: Some(Spread {
                down: margin.up,
                up: margin.down,
            }),
            status: Some(gate.status),
            reason: Some(if gate.limit_decides() {
                "assumed_limit_decides"
            } else {
                match gate.status {
                    Status::Holds => "under_limit",
                    Status::TooClose => "spread_straddles_limit",
                    Status::Fails => "over_limit",
                }
            }),
            formula: "engine speed x speed ratio, without slip (the safe side)",
            inputs: [
                vec![
                    input("engine speed", engine, Unit::Rpm, engine_provenance),
                    input("speed ratio", ratio, Unit::Ratio, Provenance::Derived),
                ],
                limit_inputs.clone(),
            ]
            .concat(),
            sources: vec![iso_9981::SOURCE, limit_source],
            ..Draft::default()
        });
        self.measured(
            "speed_margin",
            Some(pulley),
            &gate.margin_rpm,
            Unit::Rpm,
            Draft {
                status: Some(gate.status),
                formula: "limit (its low end where assumed) less alternator speed",
                inputs: limit_inputs,
                sources: vec![limit_source, gum::SOURCE],
                ..Draft::default()
            },
        );
        self.push(Draft {
            code: "stress_over_limit",
            pulley: Some(pulley),
            value: Some(stress_ratio(rpm(gate.limit_rpm), rpm(gate.speed_rpm))),
            unit: Unit::Ratio,
            formula: "(alternator speed / limit)^2",
            sources: vec![Source {
                citation: "stress from rotation goes with speed squared",
                mark: Mark::Derived,
            }],
            ..Draft::default()
        });
        self.push(Draft {
            code: limit_code,
            pulley: Some(pulley),
            value: Some(gate.limit_rpm / ratio),
            unit: Unit::Rpm,
            formula: "engine speed at which the limit is met: limit / speed ratio",
            sources: vec![limit_source],
            ..Draft::default()
        });
    }

    fn turn_on(&mut self, pulley: &'static str, judged: &Judged) {
        let tolerances = &self.study.tolerances;
        let state = tolerances.nominal();
        let cut_in = state.cut_in_rpm();
        let per_engine = slipping_rpm(state, judged.pulleys, 1.0);
        let turn_on = tolerances.of(judged.own, |state| turn_on_rpm(state, judged.pulleys));
        self.push(Draft {
            code: "cut_in_engine_speed",
            pulley: Some(pulley),
            value: Some(cut_in / per_engine),
            unit: Unit::Rpm,
            formula: "n0 (V + 2 V_d) / ((V_t + 2 V_d) q) / speed ratio less slip",
            inputs: vec![input(
                "n0",
                state.machine.curve.cut_in_rpm(),
                Unit::Rpm,
                Provenance::Derived,
            )],
            sources: vec![perreault_2004::SOURCE, iso_8854::SOURCE],
            ..Draft::default()
        });
        self.measured(
            "turn_on_engine_speed",
            Some(pulley),
            &turn_on,
            Unit::Rpm,
            Draft {
                formula: "cut-in speed x turn-on factor / speed ratio less slip",
                inputs: vec![input(
                    "turn-on factor",
                    self.params().excite_factor,
                    Unit::Ratio,
                    self.provenance(InputId::ExciteFactor),
                )],
                sources: vec![tm_9_2320::SELF_EXCITE_SOURCE, memory::SOURCE],
                ..Draft::default()
            },
        );
    }

    /// How far up the output is known, and whether its curve falls towards the top.
    fn known_output(&mut self, pulley: &'static str, judged: &Judged) {
        let state = self.study.tolerances.nominal();
        let params = &state.params;
        let known = state.known_up_to_rpm() / slipping_rpm(state, judged.pulleys, 1.0);
        let curve = &state.machine.curve;
        let top = params.limiter_rpm + params.overshoot_rpm;
        self.push(Draft {
            code: "output_known_up_to_engine_speed",
            pulley: Some(pulley),
            value: Some(known),
            unit: Unit::Rpm,
            reason: (known < top).then_some("output_held_beyond"),
            formula: "highest speed rated or measured x (V + 2 V_d) / ((V_t + 2 V_d) q) / speed ratio less slip; beyond it output is held",
            inputs: vec![input(
                "highest speed rated or measured",
                curve.highest_known_rpm(),
                Unit::Rpm,
                Provenance::Entered,
            )],
            sources: vec![perreault_2004::PCHIP_SOURCE, iso_8854::SOURCE],
            ..Draft::default()
        });
        if curve.droops() {
            self.push(Draft {
                code: "output_at_last_point_over_highest",
                pulley: Some(pulley),
                value: Some(curve.at(curve.highest_known_rpm()) / curve.peak_a()),
                reason: Some("curve_droops"),
                formula: "output at the last point / the highest output; up to a tenth is accepted",
                sources: vec![ENTERED],
                ..Draft::default()
            });
        }
    }

    fn phase(&mut self, pulley: &'static str, judged: &Judged, place: usize) {
        let balance = &judged.phases[place];
        let resolved = self.study.tolerances.resolved();
        let phase = &resolved.phases[balance.phase];
        let id = Some(phase.called());
        let set_point = input(
            "set-point",
            self.params().set_point_v,
            Unit::Volt,
            self.provenance(InputId::SetPoint),
        );
        let amps = |code, value: Option<f64>, formula, sources| Draft {
            code,
            pulley: Some(pulley),
            phase: id.clone(),
            value,
            unit: Unit::Ampere,
            formula,
            inputs: vec![set_point.clone()],
            sources,
            ..Draft::default()
        };
        let output_sources = vec![
            perreault_2004::SOURCE,
            perreault_2004::PCHIP_SOURCE,
            iso_8854::SOURCE,
            iso_8854::RATED_SPEED_SOURCE,
        ];
        self.push(amps(
            "load",
            Some(balance.load_a),
            "sum of duty x I_rated (V/V_rated)^a at the set-point",
            vec![common_practice::SOURCE, memory::SOURCE],
        ));
        self.voltage(pulley, judged, balance);
        let Some(running) = &balance.running else {
            return;
        };
        self.push(amps(
            "output_hot",
            Some(running.hot_a),
            "q I_test(n q (V_t + 2 V_d)/(V + 2 V_d)) h, settled at full output in hot air",
            output_sources.clone(),
        ));
        self.push(amps(
            "output_cold",
            Some(running.cold_a),
            "the same with the machine at 23 degC",
            output_sources,
        ));
        self.measured(
            "net_current",
            Some(pulley),
            &running.net_a,
            Unit::Ampere,
            Draft {
                status: Some(running.status),
                reason: Some(match running.status {
                    Status::Holds => "output_covers_load",
                    Status::TooClose => "spread_straddles_load",
                    Status::Fails => "output_short_of_load",
                }),
                inputs: vec![
                    input(
                        "hot output",
                        running.hot_a,
                        Unit::Ampere,
                        Provenance::Derived,
                    ),
                    input("load", balance.load_a, Unit::Ampere, Provenance::Derived),
                ],
                ..amps(
                    "net_current",
                    None,
                    "hot output less load at the set-point; what is left over charges the battery",
                    vec![gum::SOURCE, gum::DRAWS_SOURCE],
                )
            },
        );
        if let Some(unexcited) = running.unexcited_net_a {
            self.push(amps(
                "net_current_if_not_turned_on",
                Some(unexcited),
                "no output, load and field draw: the engine was not revved to the turn-on speed",
                vec![memory::SOURCE],
            ));
        }
        self.push(Draft {
            unit: Unit::Rpm,
            ..amps(
                "break_even_engine_speed",
                running.break_even_rpm,
                "lowest engine speed from which hot output covers the load",
                vec![perreault_2004::SOURCE],
            )
        });
    }

    fn drag(&mut self, pulley: &'static str, judged: &Judged) {
        let Some(drag) = drag_at_shift(self.study, judged) else {
            return;
        };
        self.push(Draft {
            code: "drag_at_shift",
            pulley: Some(pulley),
            value: Some(drag.total_w()),
            unit: Unit::Watt,
            reason: drag.extrapolated.then_some("friction_extrapolated"),
            formula: "V I / 0.694 + 10.8 N + 0.134 N^3, N in krpm",
            sources: vec![
                sarafianos_2015::SOURCE,
                sarafianos_2015::EFFICIENCY_SOURCE,
                sarafianos_2015::BASELINE_SOURCE,
                sarafianos_2015::FRICTION_FIT_SOURCE,
            ],
            ..Draft::default()
        });
    }
}

/// Drag on the engine at shift speed with the load of the pass (of the first phase where there is no
/// pass): the alternator gives what the loads take.
pub fn drag_at_shift(study: &Study, judged: &Judged) -> Option<Drag> {
    let tolerances = &study.tolerances;
    let (state, resolved) = (tolerances.nominal(), tolerances.resolved());
    let params = &state.params;
    let phase = resolved
        .phases
        .iter()
        .find(|phase| phase.speed == PhaseSpeed::Pass)
        .or_else(|| resolved.phases.first())?;
    let output = hot_a(state, judged.pulleys, params.shift_rpm);
    let load = state.load_a(phase, params.shift_rpm);
    let speed = slipping_rpm(state, judged.pulleys, params.shift_rpm);
    Some(alternator::drag(
        output.min(load),
        params.set_point_v,
        speed,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::drive::{Measure, Pulley};
    use crate::quantity::mm;
    use crate::study::findings;

    /// Verification: what the working says of what a caliper or a tape reads is what is computed with, from reading to ratio.
    #[test]
    fn the_working_leads_from_the_reading_to_the_ratio() {
        let mut car = demo::nettle();
        car.drive.fitted = Some(Pulley::new(mm(180.0), Measure::Tape));
        let found = findings(&car, &Study::new(&car).unwrap());
        let ratio = found.iter().find(|one| one.code == "speed_ratio").unwrap();
        let (tip, line) = (
            iso_9981::TIP_OFFSET_MM,
            iso_9981::EFFECTIVE_LINE_DIFFERENTIAL_MM,
        );
        let formula = ratio.working.formula;
        assert!(formula.contains(&format!("b_e = {line:.1} mm")));
        assert!(formula.contains(&format!("reading + {tip} mm by caliper")));
        assert!(formula.contains(&format!("reading / pi + {tip} mm by tape")));
        // 6 1/2 in by caliper, 180 mm around.
        let around = 180.0 / std::f64::consts::PI;
        let wanted = (25.4 * 6.5 + tip + 2.0 * line) / (around + tip + 2.0 * line);
        assert!((ratio.value.unwrap() - wanted).abs() < 1e-9 * wanted);
    }
}
