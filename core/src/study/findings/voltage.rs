//! The voltage of a phase as findings.

use super::{Collector, Draft, input};
use crate::balance::PhaseBalance;
use crate::bus::Regime;
use crate::car::Car;
use crate::data::{battery_memory, gum, iec_60228};
use crate::finding::{Provenance, Unit};
use crate::gates::Judged;
use crate::resolve::InputId;
use crate::study::{WiringStudy, phase_voltage};
use crate::wiring::Fuse;

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

    /// The charge wiring: what it loses, and whether cable and fuse suit.
    pub(super) fn wiring(&mut self, car: &Car, pulley: &'static str, judged: &Judged) {
        let wiring = WiringStudy::new(car, &self.study.tolerances, judged);
        let supply = self.params().supply;
        let inputs = vec![
            input(
                "current in the pass",
                wiring.pass_a,
                Unit::Ampere,
                Provenance::Derived,
            ),
            input(
                "charge lead",
                supply.lead_ohm,
                Unit::Ohm,
                self.provenance(InputId::LeadResistance),
            ),
            input(
                "ground side",
                supply.ground_ohm,
                Unit::Ohm,
                self.provenance(InputId::GroundResistance),
            ),
        ];
        let draft = |code, value, unit, formula| Draft {
            code,
            pulley: Some(pulley),
            value: Some(value),
            unit,
            formula,
            inputs: inputs.clone(),
            sources: vec![iec_60228::SOURCE],
            ..Draft::default()
        };
        self.push(draft(
            "charge_path_drop",
            wiring.drop_v(wiring.pass_a),
            Unit::Volt,
            "current x (lead + ground)",
        ));
        self.push(draft(
            "charge_path_waste",
            wiring.waste_w(wiring.pass_a),
            Unit::Watt,
            "current^2 x (lead + ground)",
        ));
        if let Some(cable) = wiring.cable {
            self.push(Draft {
                status: Some(cable.cable),
                reason: Some(match cable.fuse {
                    Fuse::Unknown => "fuse_not_entered",
                    Fuse::Blows => "fuse_under_output",
                    Fuse::Tight => "fuse_may_blow_when_hot",
                    Fuse::OverCable => "fuse_over_cable",
                    Fuse::Suits => "fuse_suits",
                }),
                ..draft(
                    "charge_lead_carries",
                    cable.carries_a.0,
                    Unit::Ampere,
                    "what the cable carries against output, cold at the limiter",
                )
            });
        }
    }
}
