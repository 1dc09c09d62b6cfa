//! The voltage of a phase as findings.

use super::{Collector, Draft, input};
use crate::balance::PhaseBalance;
use crate::bus::Regime;
use crate::data::{battery_memory, gum, iec_60228};
use crate::finding::{Provenance, Unit};
use crate::gates::Judged;
use crate::resolve::InputId;
use crate::study::phase_voltage;

impl Collector<'_> {
    /// Where a phase settles, and what the battery gives or takes there.
    pub(super) fn voltage(
        &mut self,
        pulley: &'static str,
        judged: &Judged,
        balance: &PhaseBalance,
    ) {
        let tolerances = &self.study.tolerances;
        let Some(found) = phase_voltage(tolerances, judged, balance) else {
            return;
        };
        let phase = tolerances
            .resolved()
            .phases
            .get(balance.phase)
            .map(crate::resolve::PhaseModel::called);
        let supply = self.params().supply;
        let inputs = vec![
            input(
                "set-point",
                self.params().set_point_v,
                Unit::Volt,
                self.provenance(InputId::SetPoint),
            ),
            input(
                "charge path",
                supply.path_ohm(),
                Unit::Ohm,
                self.provenance(InputId::LeadResistance),
            ),
            input(
                "battery charge",
                supply.start_soc,
                Unit::Ratio,
                self.provenance(InputId::StartCharge),
            ),
            input(
                "load",
                found.settled.load_a,
                Unit::Ampere,
                Provenance::Derived,
            ),
        ];
        let reason = match found.settled.regime {
            Regime::Regulated => "regulator_holds",
            Regime::MachineLimited => "machine_gives_all_it_can",
            Regime::BatteryOnly if found.settled.held_off => "battery_over_set_point",
            Regime::BatteryOnly => "battery_alone",
            Regime::Unexcited => "not_turned_on",
            Regime::Collapsed => "no_voltage_carries_the_loads",
        };
        let draft = |formula| Draft {
            phase: phase.clone(),
            reason: Some(reason),
            formula,
            inputs: inputs.clone(),
            sources: vec![iec_60228::SOURCE, battery_memory::SOURCE, gum::SOURCE],
            ..Draft::default()
        };
        self.measured(
            "voltage",
            Some(pulley),
            &found.node_v,
            Unit::Volt,
            draft("battery node where alternator, battery and loads agree, charging counted"),
        );
        self.measured(
            "voltage_shown",
            Some(pulley),
            &found.shown_v,
            Unit::Volt,
            draft(
                "the same where the person reads it: node less load x path to it, with its offset",
            ),
        );
        self.measured(
            "battery_current",
            Some(pulley),
            &found.battery_a,
            Unit::Ampere,
            draft("into the battery; negative when it gives"),
        );
    }
}
