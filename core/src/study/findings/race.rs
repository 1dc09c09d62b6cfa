//! The pass and the day as findings.

use super::{Collector, Draft, input};
use crate::car::Car;
use crate::data::{
    battery_memory, common_practice, gearing, gum, iec_60228, low_voltage, race_memory,
};
use crate::finding::{Provenance, Source, Status, Unit, WorkingInput};
use crate::gates::Judged;
use crate::pass::{FULL_V, costing};
use crate::quantity::{InElectricCurrent, InLength};
use crate::race::{
    DayAnswer, DayStudy, Ends, Otherwise, PassStudy, Passes, Rescue, Swept, rank, rescues,
};
use crate::resolve::InputId;
use crate::turns::{NoPause, at_once};

/// Answers of a pass in the order of [`PassStudy`]'s spreads.
const PASS: [&str; 4] = [
    "pass_voltage_at_launch",
    "pass_voltage_at_end",
    "pass_lowest_voltage",
    "pass_lowest_voltage_if_output_is_gone",
];
impl Collector<'_> {
    /// The pass and the day with one pair of pulleys.
    pub(super) fn race(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        self.pass(car, pulley, judged);
        self.day(car, pulley, judged);
        self.otherwise(car, pulley, judged);
        self.rescues(car, pulley, judged);
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
        let round = format!("round {}", pass.which.round);
        for (place, (code, found)) in PASS.into_iter().zip(&spreads).enumerate() {
            if place == 3 && pass.gone.is_none() {
                continue;
            }
            let draft = Draft {
                phase: Some(round.clone()),
                status: (place == 2).then_some(status),
                reason: (place == 2).then_some(match status {
                    Status::Holds => "stays_healthy",
                    Status::TooClose => "may_sag",
                    Status::Fails => "sags",
                }),
                formula: "where alternator, battery, wiring and loads agree over the pass, at the place where it is read; of the day's passes the one with the lowest voltage",
                inputs: inputs.clone(),
                sources: sources.clone(),
                ..Draft::default()
            };
            self.measured(code, Some(pulley), found, Unit::Volt, draft);
        }
        let mut plain = |code, value: Option<f64>, unit, formula, sources| {
            self.push(Draft {
                code,
                pulley: Some(pulley),
                value,
                unit,
                formula,
                sources,
                ..Draft::default()
            });
        };
        plain(
            "pass_time_over_limit",
            Some(pass.over_s[0]),
            Unit::Second,
            "time that alternator speed is over the (low end of the) continuous limit",
            vec![gearing::SOURCE, gearing::PROFILE_SOURCE],
        );
        let lowest = pass.gone.as_ref().unwrap_or(&pass.holds).lowest.1;
        let cost = costing(&car.course.costs, lowest.min(FULL_V), FULL_V);
        let costs = || vec![low_voltage::SOURCE];
        plain(
            "pump_flow_at_lowest_voltage",
            Some(cost.flow_part.value),
            Unit::Ratio,
            "change of pump flow against 13.5 V",
            costs(),
        );
        plain(
            "injector_dead_time_at_lowest_voltage",
            Some(cost.dead_ms.value / 1e3),
            Unit::Second,
            "change of injector dead time against 13.5 V",
            costs(),
        );
        plain(
            "coil_dwell_at_lowest_voltage",
            cost.dwell_s,
            Unit::Second,
            "change of coil dwell against 13.5 V: t = -(L/R) ln(1 - R I/V)",
            costs(),
        );
    }

    fn day(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let tolerances = &self.study.tolerances;
        let day = DayStudy::new(car, tolerances, judged);
        let spreads = day.spreads(car, tolerances, judged);
        let status = day.status(&spreads);
        let inputs = self.race_inputs();
        let sources = sources();
        let single = [
            ("day_charge_at_end", Unit::Ratio, day.at_end()),
            ("day_lowest_voltage_running", Unit::Volt, DayAnswer::Running),
            (
                "day_lowest_voltage_at_a_start",
                Unit::Volt,
                DayAnswer::AtStart,
            ),
        ];
        for (code, unit, answer) in single {
            let Some((holds, gone)) = day.of(&spreads, answer) else {
                continue;
            };
            let is_first = answer == day.at_end();
            let draft = || Draft {
                formula: "battery, alternator, wiring and loads over all rounds",
                inputs: inputs.clone(),
                sources: sources.clone(),
                ..Draft::default()
            };
            let verdict = Draft {
                status: is_first.then_some(status),
                reason: is_first.then(|| day_reason(&day, status)),
                ..draft()
            };
            self.measured(code, Some(pulley), holds, unit, verdict);
            if day.gone.is_some() {
                let gone_draft = Draft {
                    reason: Some("output_is_gone"),
                    ..draft()
                };
                self.measured(code, Some(pulley), gone, unit, gone_draft);
            }
        }
        for number in (1..).take(day.rounds.len()) {
            let Some((holds, _)) = day.of(&spreads, DayAnswer::After(number)) else {
                continue;
            };
            let draft = Draft {
                phase: Some(format!("round {number}")),
                formula: "battery charge when the round is over",
                sources: sources.clone(),
                ..Draft::default()
            };
            self.measured(
                "day_charge_after_round",
                Some(pulley),
                holds,
                Unit::Ratio,
                draft,
            );
        }
        if let Some(reading) = day.reading {
            self.push(Draft {
                code: "reading_less_model",
                pulley: Some(pulley),
                phase: Some(format!("round {}", reading.before_round)),
                value: Some(reading.read_soc - reading.expected_soc),
                unit: Unit::Ratio,
                formula: "charge that the reading gives less charge that the day came to",
                sources,
                ..Draft::default()
            });
        }
    }

    /// The same day in other ways.
    fn otherwise(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let other = at_once(Otherwise::new(
            car,
            &self.study.tolerances,
            judged,
            &NoPause,
        ));
        let counts: [(&str, Option<Passes>); 3] = [
            ("passes_back_to_back", other.passes),
            ("passes_back_to_back_if_output_is_gone", other.passes_gone),
            ("passes_on_the_battery_alone", other.passes_on_battery),
        ];
        for (code, passes) in counts {
            let Some(passes) = passes else {
                continue;
            };
            self.push(Draft {
                code,
                pulley: Some(pulley),
                value: passes.map(|(passes, _)| f64::from(passes)),
                unit: Unit::Ratio,
                reason: Some(passes.map_or("more_than_thirty", |(_, ends)| reason(ends))),
                formula: "passes without a break until the day ends",
                sources: sources(),
                ..Draft::default()
            });
        }
        if let Some(not_revved) = other.not_revved {
            self.push(Draft {
                code: "day_charge_at_end_if_not_revved",
                pulley: Some(pulley),
                phase: not_revved.ends.map(|(round, _)| format!("round {round}")),
                value: Some(not_revved.end_soc),
                unit: Unit::Ratio,
                reason: Some(
                    not_revved
                        .ends
                        .map_or("day_lasts", |(_, ends)| reason(ends)),
                ),
                formula: "the day if nobody revs the engine past the turn-on speed after a start",
                sources: sources(),
                ..Draft::default()
            });
        }
    }

    /// What saves a day that does not last.
    fn rescues(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let found = at_once(rescues(car, &self.study.tolerances, judged, &NoPause));
        for rescue in found.into_iter().flatten() {
            let (code, value, unit, phase) = match rescue {
                Rescue::Charger { minutes, .. } => (
                    "rescue_charger_every_round",
                    Some(60.0 * minutes),
                    Unit::Second,
                    None,
                ),
                Rescue::ChargerOnce { minutes, round, .. } => (
                    "rescue_charger_once",
                    Some(60.0 * minutes),
                    Unit::Second,
                    Some(format!("round {round}")),
                ),
                Rescue::Load { place } => {
                    let load = car.loads.as_ref().and_then(|loads| loads.get(place));
                    let amps = load.map(|load| load.current.amps());
                    ("rescue_load_off_with_engine_off", amps, Unit::Ampere, None)
                }
                Rescue::Pulley { pulley } => (
                    "rescue_pulley_on_hand",
                    Some(pulley.effective(self.belt).value.mm()),
                    Unit::Millimeter,
                    None,
                ),
            };
            self.push(Draft {
                code,
                pulley: Some(pulley),
                phase,
                value,
                unit,
                formula: "the least of its kind with which the day lasts, run again",
                sources: sources(),
                ..Draft::default()
            });
        }
    }

    /// Sizes on hand, best first, by the whole day.
    pub(super) fn ranked(&mut self, car: &Car) {
        let study = self.study;
        let sizes = &car.drive.on_hand;
        let (tolerances, window) = (&study.tolerances, &study.window);
        for ranked in at_once(rank(car, tolerances, window, sizes, &NoPause)) {
            self.push(Draft {
                code: "size_on_hand_over_the_day",
                value: Some(ranked.pulley.effective(self.belt).value.mm()),
                unit: Unit::Millimeter,
                reason: Some(ranked.ends.map_or("day_lasts", |(_, ends)| reason(ends))),
                formula: "best first: how it stands at the gates, whether the day lasts, charge at its end, lowest voltage",
                inputs: std::iter::once(("charge at the end of the day", ranked.end_soc, Unit::Ratio))
                    .chain(ranked.lowest_v.map(|volts| {
                        ("lowest voltage with the engine running", volts, Unit::Volt)
                    }))
                    .map(|(name, value, unit)| input(name, value, unit, Provenance::Derived))
                    .collect(),
                sources: sources(),
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

/// Why a day is judged as it is.
fn day_reason(day: &DayStudy, status: Status) -> &'static str {
    let gone = day.gone.and_then(|gone| gone.ends);
    match (status, day.ends(), gone) {
        (Status::Holds, ..) => "day_lasts",
        (_, Some((_, ends)), _) => reason(ends),
        (_, None, Some(_)) => "may_end_if_output_is_gone",
        (_, None, None) => "day_may_end",
    }
}

fn reason(ends: Ends) -> &'static str {
    match ends {
        Ends::Start => "may_not_start",
        Ends::Voltage => "voltage_too_low",
        Ends::Empty => "battery_empty",
    }
}
