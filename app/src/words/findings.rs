//! Findings in words: what each is, its value, and where it is from.

use crate::words::names;
use crate::words::tongue::look;
use laneside_core::car::Car;
use laneside_core::finding::{Finding, Mark, Provenance, Source, Status, WorkingInput};
use laneside_core::quantity::System;

/// What a finding is about.
pub fn title(car: &Car, finding: &Finding) -> String {
    let mut title = code(finding.code).to_owned();
    if let Some(pulley) = finding.pulley {
        title.push_str(say!(if pulley == "on_car" {
            ", on the car"
        } else {
            ", to try"
        }));
    }
    if let Some(phase) = &finding.phase {
        let own = car
            .phases
            .iter()
            .any(|known| known.name.as_deref() == Some(phase));
        title.push_str(", ");
        title.push_str(if own { phase } else { names::phase_id(phase) });
    }
    title
}

fn code(code: &str) -> &str {
    say!(match code {
        "speed_ratio" => "Speed ratio",
        "speed_at_limiter" => "Alternator speed at the limiter",
        "speed_at_overshoot" => "Alternator speed past the limiter",
        "pulley_speed" => "Speed against the pulley's own limit",
        "speed_margin" => "Margin under the limit",
        "stress_over_limit" => "Stress over that at the limit",
        "limit_met_continuous" | "limit_met_short" | "limit_met_pulley" => {
            "Engine rpm at which the limit is met"
        }
        "voltage" => "Voltage at the battery",
        "voltage_shown" => "Voltage where you read it",
        "battery_current" => "Into the battery",
        "cut_in_engine_speed" => "Engine rpm at which output begins",
        "turn_on_engine_speed" => "Engine rpm at which it turns on",
        "output_known_up_to_engine_speed" => "Engine rpm up to which output is known",
        "output_at_last_point_over_highest" => "Output at the last point over the highest",
        "load" => "Load",
        "output_hot" => "Output, hot",
        "output_cold" => "Output, cold",
        "net_current" => "Output less load",
        "net_current_if_not_turned_on" => "The same before it was turned on",
        "break_even_engine_speed" => "Engine rpm that breaks even",
        "drag_at_shift" => "Taken from the engine at shift rpm",
        "verdict" => "Verdict",
        "pulley_to_try" => "Pulley to try",
        "window_sure_from" => "Works for certain from",
        "window_sure_to" => "Works for certain up to",
        "window_possible_from" => "May work from",
        "window_possible_to" => "May work up to",
        "crank_window_sure_from" => "Crank pulley works for certain from",
        "crank_window_sure_to" => "Crank pulley works for certain up to",
        "crank_window_possible_from" => "Crank pulley may work from",
        "crank_window_possible_to" => "Crank pulley may work up to",
        "accessory_speed_ratio" => "Speed of the other accessories over now",
        other => return other,
    })
}

/// The value of a finding with its spread; the judgment where it has no value.
pub fn value(finding: &Finding, units: System) -> String {
    let Some(value) = finding.value else {
        return match finding.status {
            Some(Status::Holds) => tell!("holds"),
            Some(Status::TooClose) => tell!("too close to call"),
            Some(Status::Fails) => tell!("fails"),
            None => tell!("none"),
        };
    };
    let mut said = names::quantity(value, finding.unit, units);
    if let Some(spread) = finding.spread.filter(|spread| spread.widest() > 0.0) {
        let side = |by: f64| names::quantity(value + by, finding.unit, units);
        said.push_str(&say!(" ({} to {})", side(-spread.down), side(spread.up)));
    }
    said
}

/// An input of a working, with what it rests on where that is not the person.
pub fn input(input: &WorkingInput, units: System) -> String {
    let value = names::quantity(input.value, input.unit, units);
    match input.provenance {
        Provenance::Assumed => say!("{value}, assumed"),
        Provenance::Suggested => say!("{value}, suggested"),
        Provenance::Entered | Provenance::Derived => value,
    }
}

/// The sources with how well each is known.
pub fn sources(sources: &[Source]) -> String {
    let said: Vec<String> = sources
        .iter()
        .map(|source| {
            let mark = say!(match source.mark {
                Mark::Published => "published",
                Mark::PublishedSummary => "published, read in a summary",
                Mark::Memory => "from memory",
                Mark::CommonPractice => "common practice",
                Mark::Derived => "derived",
                Mark::Entered => return look(source.citation).to_owned(),
            });
            format!("{} [{mark}]", look(source.citation))
        })
        .collect();
    said.join("; ")
}
