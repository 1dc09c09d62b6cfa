//! The pass and the day as findings.

use super::{Collector, Draft, input};
use crate::car::Car;
use crate::data::{battery_memory, common_practice, gearing, gum, iec_60228, race_memory};
use crate::finding::{Source, Status, Unit, WorkingInput};
use crate::gates::Judged;
use crate::race::{DayStudy, Ends, Otherwise, PassStudy};
use crate::resolve::InputId;

/// Answers of a pass in the order of [`PassStudy::spreads`].
const PASS: [&str; 4] = [
    "pass_voltage_at_launch",
    "pass_voltage_at_end",
    "pass_lowest_voltage",
    "pass_lowest_voltage_if_output_is_gone",
];
/// Answers of a day in the order of [`DayStudy::spreads`].
const DAY: [(&str, Unit); 3] = [
    ("day_charge_at_end", Unit::Ratio),
    ("day_lowest_voltage_running", Unit::Volt),
    ("day_lowest_voltage_at_a_start", Unit::Volt),
];

impl Collector<'_> {
    /// The pass and the day with one pair of pulleys.
    pub(super) fn race(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        self.pass(car, pulley, judged);
        self.day(car, pulley, judged);
    }

    fn pass(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let tolerances = &self.study.tolerances;
        let Ok(pass) = PassStudy::new(car, tolerances, judged) else {
            return;
        };
        let spreads = pass.spreads(car, tolerances, judged);
        let status = pass.status(&spreads);
        let inputs = self.race_inputs();
        let sources = sources();
        for (place, (code, found)) in PASS.into_iter().zip(&spreads).enumerate() {
            if place == 3 && pass.gone.is_none() {
                continue;
            }
            let draft = Draft {
                status: (place == 2).then_some(status),
                reason: (place == 2).then_some(match status {
                    Status::Holds => "stays_healthy",
                    Status::TooClose => "may_sag",
                    Status::Fails => "sags",
                }),
                formula: "where alternator, battery, wiring and loads agree over the pass, at the place where it is read",
                inputs: inputs.clone(),
                sources: sources.clone(),
                ..Draft::default()
            };
            self.measured(code, Some(pulley), found, Unit::Volt, draft);
        }
        self.push(Draft {
            code: "pass_time_over_limit",
            pulley: Some(pulley),
            value: Some(pass.over_s[0]),
            unit: Unit::Second,
            formula: "time that alternator speed is over the (low end of the) limit for good",
            sources: vec![gearing::SOURCE, gearing::PROFILE_SOURCE],
            ..Draft::default()
        });
    }

    fn day(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let tolerances = &self.study.tolerances;
        let day = DayStudy::new(car, tolerances, judged);
        let spreads = day.spreads(car, tolerances, judged);
        let status = day.status(&spreads);
        let inputs = self.race_inputs();
        let sources = sources();
        for ((code, unit), found) in DAY.into_iter().zip(&spreads) {
            let is_first = unit == Unit::Ratio;
            let draft = Draft {
                status: is_first.then_some(status),
                reason: is_first.then(|| match day.ends() {
                    None => "day_lasts",
                    Some((_, ends)) => reason(ends),
                }),
                formula: "battery, alternator, wiring and loads over all rounds",
                inputs: inputs.clone(),
                sources: sources.clone(),
                ..Draft::default()
            };
            self.measured(code, Some(pulley), found, unit, draft);
        }
        for (number, found) in (1..).zip(spreads.iter().skip(DAY.len())) {
            let draft = Draft {
                phase: Some(format!("round {number}")),
                formula: "battery charge when the round is over",
                sources: sources.clone(),
                ..Draft::default()
            };
            self.measured(
                "day_charge_after_round",
                Some(pulley),
                found,
                Unit::Ratio,
                draft,
            );
        }
        let other = Otherwise::new(car, tolerances, judged);
        for (code, passes) in [
            ("passes_back_to_back", other.passes),
            ("passes_on_the_battery_alone", other.passes_on_battery),
        ] {
            self.push(Draft {
                code,
                pulley: Some(pulley),
                value: passes.map(|(passes, _)| f64::from(passes)),
                unit: Unit::Ratio,
                reason: Some(passes.map_or("more_than_thirty", |(_, ends)| reason(ends))),
                formula: "passes without a break until the day ends",
                sources: sources.clone(),
                ..Draft::default()
            });
        }
    }

    fn race_inputs(&self) -> Vec<WorkingInput> {
        let supply = self.params().supply;
        vec![
            input(
                "capacity when new",
                supply.capacity_ah,
                Unit::AmpereHour,
                self.provenance(InputId::BatteryCapacity),
            ),
            input(
                "charge in the morning",
                supply.start_soc,
                Unit::Ratio,
                self.provenance(InputId::StartCharge),
            ),
            input(
                "charge path",
                supply.path_ohm(),
                Unit::Ohm,
                self.provenance(InputId::LeadResistance),
            ),
            input(
                "set-point",
                self.params().set_point_v,
                Unit::Volt,
                self.provenance(InputId::SetPoint),
            ),
            input(
                "air of the day",
                supply.ambient_c,
                Unit::Celsius,
                self.provenance(InputId::Ambient),
            ),
        ]
    }
}

fn sources() -> Vec<Source> {
    vec![
        iec_60228::SOURCE,
        battery_memory::SOURCE,
        race_memory::SOURCE,
        common_practice::SOURCE,
        gum::SOURCE,
    ]
}

fn reason(ends: Ends) -> &'static str {
    match ends {
        Ends::Start => "may_not_start",
        Ends::Voltage => "voltage_too_low",
        Ends::Empty => "battery_empty",
    }
}
