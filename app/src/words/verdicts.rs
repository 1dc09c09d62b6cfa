//! Verdicts in words: at most 25 of them, rounded to what is sure.

use crate::parts::verdict::{Status, Verdict as Words};
use crate::shell::route::Route;
use crate::words::{fields, names};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::choose::EdgeLimit;
use laneside_core::gates::{GateId, Judged, Settle, SpeedGate, Verdict};
use laneside_core::quantity::show;
use laneside_core::resolve::InputId;
use laneside_core::study::Study;

/// After a figure that is from before a text that was not taken.
pub const OLD: &str = " (old)";

/// A speed rounded to its spread, with its unit.
pub fn speed(value: f64, half_width: f64) -> String {
    format!("{} rpm", rounded_speed(value, half_width))
}

/// A speed rounded to its spread.
pub fn rounded_speed(value: f64, half_width: f64) -> String {
    // Finer than ten nobody reads a speed.
    show::rounded_to_spread(value, half_width.max(10.0)).value_text()
}

/// A current rounded to its spread, with its sign and unit.
pub fn net(value: f64, half_width: f64) -> String {
    let rounded = show::rounded_to_spread(value, half_width.max(1.0)).value_text();
    let (sign, digits) = match rounded.strip_prefix('\u{2212}') {
        Some(digits) => ("\u{2212}", digits),
        None => ("+", rounded.as_str()),
    };
    format!("{sign}{digits}\u{a0}A")
}

fn assumed(study: &Study) -> &'static str {
    if study.tolerances.resolved().limits.assumed {
        " (limit assumed)"
    } else {
        ""
    }
}

/// A limit as it is known: one figure, or both ends.
pub fn limit(gate: &SpeedGate) -> String {
    let low = show::grouped(gate.limit_rpm, 0);
    if gate.slack_rpm() > 0.0 {
        format!("{low} to {}", show::grouped(gate.generous_rpm, 0))
    } else {
        low
    }
}

fn limit_words(study: &Study, gate: &SpeedGate) -> String {
    let what = match gate.id {
        GateId::Short => "limit for moments ",
        GateId::PulleyRating => "the pulley's own limit ",
        _ => "limit ",
    };
    let assumed = if gate.id == GateId::PulleyRating {
        ""
    } else {
        assumed(study)
    };
    format!("{what}{}{assumed}", limit(gate))
}

/// The verdict on one pair of pulleys, to stand beside its size.
pub fn judged(car: &Car, study: &Study, judged: &Judged) -> Words {
    let gate = |id: GateId| judged.speeds.iter().find(|gate| gate.id == id);
    let top = judged.speeds.first();
    let speed_of = |gate: &SpeedGate| speed(gate.speed_rpm, gate.margin_rpm.spread.widest());
    let (status, word, figure, line, action) = match judged.verdict {
        Verdict::Over { gate: id } => {
            let at = gate(id).or(top);
            let figure = at.map(&speed_of).unwrap_or_default();
            let line = at.map(|gate| {
                let when = if gate.id == GateId::Continuous {
                    "At the limiter"
                } else {
                    "Past the limiter"
                };
                format!(
                    "{when}; {}. Overspun: brushes float, rotors come apart.",
                    limit_words(study, gate)
                )
            });
            (
                Status::Over,
                "OVER".to_owned(),
                figure,
                line.unwrap_or_default(),
                None,
            )
        }
        Verdict::Holds => {
            let figure = top.map(&speed_of).unwrap_or_default();
            let limit = top.map(|gate| limit_words(study, gate)).unwrap_or_default();
            let least = least_net(judged).map(|(place, net)| {
                format!(" Least to spare: {net}, {}.", names::phase(car, place))
            });
            let line = format!("At the limiter; {limit}.{}", least.unwrap_or_default());
            (Status::Holds, "HOLDS".to_owned(), figure, line, None)
        }
        Verdict::Short { phase } => {
            let running = judged
                .phases
                .iter()
                .find(|balance| balance.phase == phase)
                .and_then(|balance| balance.running.as_ref());
            let load = judged
                .phases
                .iter()
                .find(|balance| balance.phase == phase)
                .map_or(0.0, |balance| balance.load_a);
            let name = names::phase(car, phase);
            let idles = car.phases.get(phase).is_some_and(|phase| {
                use laneside_core::car::EngineState::{Idle, IdleInGear};
                matches!(phase.engine, Idle | IdleInGear)
            });
            let word = if idles {
                "SHORT AT IDLE".to_owned()
            } else {
                format!("SHORT: {}", name.to_uppercase())
            };
            let figure = running
                .map(|running| net(running.net_a.value, running.net_a.spread.widest()))
                .unwrap_or_default();
            let line = running.map(|running| {
                let breaks = running.break_even_rpm.map_or_else(
                    || " It never breaks even.".to_owned(),
                    |rpm| {
                        format!(
                            " Breaks even at {} rpm.",
                            show::grouped((rpm / 10.0).ceil() * 10.0, 0)
                        )
                    },
                );
                format!(
                    "{name}, {} rpm: {} A made, {} A drawn.{breaks}",
                    show::grouped(running.engine_rpm, 0),
                    show::fixed(running.hot_a, 0),
                    show::fixed(load, 0),
                )
            });
            (Status::Short, word, figure, line.unwrap_or_default(), None)
        }
        Verdict::TooClose { gate: id, settle } => {
            let (figure, line) = match gate(id) {
                Some(gate) => (
                    speed_of(gate),
                    format!(
                        "{}. {}",
                        capital(&limit_words(study, gate)),
                        settle_words(car, settle)
                    ),
                ),
                None => {
                    let phase = judged
                        .phases
                        .iter()
                        .find(|balance| GateId::Phase(balance.phase) == id);
                    let running = phase.and_then(|balance| balance.running.as_ref());
                    let figure = running
                        .map(|running| net(running.net_a.value, running.net_a.spread.widest()));
                    let name = phase
                        .map(|balance| names::phase(car, balance.phase))
                        .unwrap_or_default();
                    let spread = running.map_or(0.0, |running| running.net_a.spread.widest());
                    let line = format!(
                        "{}: give or take {} A. {}",
                        capital(&name),
                        show::fixed(spread, 0),
                        settle_words(car, settle)
                    );
                    (figure.unwrap_or_default(), line)
                }
            };
            (
                Status::Close,
                "TOO CLOSE TO CALL".to_owned(),
                figure,
                line,
                Some(settle_action(settle)),
            )
        }
    };
    Words {
        status,
        word,
        figure,
        line,
        action,
    }
}

/// The lowest net current of all running phases, with its phase.
pub fn least_net(judged: &Judged) -> Option<(usize, String)> {
    judged
        .phases
        .iter()
        .filter_map(|balance| Some((balance.phase, &balance.running.as_ref()?.net_a)))
        .min_by(|a, b| a.1.value.total_cmp(&b.1.value))
        .map(|(place, margin)| (place, net(margin.value, margin.spread.widest())))
}

/// The sentence that names the one measurement that settles it.
pub fn settle_words(car: &Car, settle: Settle) -> String {
    match settle {
        Settle::Fan => "Look whether the fan is inside or outside the case.".to_owned(),
        Settle::MakersLimit => "Ask its maker for the highest speed.".to_owned(),
        Settle::Input(id) => format!("What settles it: {}.", names::input(car, id)),
    }
}

/// The words and the link of what would settle it.
pub fn settle_action(settle: Settle) -> (String, String) {
    let field = |field: Field| {
        let route = match field {
            Field::Tried | Field::TriedCrank => Route::Pulleys,
            _ => Route::Car,
        };
        (
            format!("Enter: {}", fields::label(field)),
            route.href_to(&field.key()),
        )
    };
    match settle {
        Settle::Fan => ("Where is the fan?".to_owned(), Route::Car.href_to("fan")),
        Settle::MakersLimit => field(Field::Continuous),
        Settle::Input(id) => match id {
            InputId::Crank => field(Field::Crank),
            InputId::FittedPulley => field(Field::Fitted),
            InputId::TriedPulley => field(Field::Tried),
            InputId::TriedCrank => field(Field::TriedCrank),
            InputId::StageDriven => field(Field::StageDriven),
            InputId::StageDriving => field(Field::StageDriving),
            InputId::Ratio => field(Field::AlternatorTurns),
            InputId::Idle => field(Field::Idle),
            InputId::InGearDrop => field(Field::IdleInGear),
            InputId::Launch => field(Field::Launch),
            InputId::Shift => field(Field::Shift),
            InputId::Overshoot => field(Field::Overshoot),
            InputId::LowFraction
            | InputId::LowForm
            | InputId::OutputScale
            | InputId::FieldExponent => (
                "What more is known of its output?".to_owned(),
                Route::Car.href_to("rating-by"),
            ),
            InputId::ExciteFactor => (
                "How does it turn on?".to_owned(),
                Route::Car.href_to("excitation"),
            ),
            InputId::SetPoint => field(Field::SetPoint),
            InputId::TestVoltage => field(Field::TestVoltage),
            InputId::UnderHood => field(Field::UnderHood),
            InputId::Slip => field(Field::Fitted),
            InputId::LoadsScale => ("Clamp the loads".to_owned(), Route::Car.href_to("phases")),
            InputId::Load(place) => field(Field::LoadCurrent(place)),
            InputId::Clamp(place) => field(Field::PhaseClamp(place)),
        },
    }
}

/// The verdict when no alternator pulley can pass every gate.
pub fn no_size(car: &Car, study: &Study) -> Words {
    let window = &study.window;
    let line = format!(
        "Under {} it is overspun{}; over {} it is {}. Ways out are below.",
        names::effective(window.possible_low.mm, car.units),
        assumed(study),
        names::effective(window.possible_high.mm, car.units),
        edge_words(car, window.possible_high.limit),
    );
    Words {
        status: Status::NoneFits,
        word: "NO SIZE DOES BOTH".to_owned(),
        figure: String::new(),
        line,
        action: None,
    }
}

/// What happens beyond an edge of the window.
pub fn edge_words(car: &Car, limit: EdgeLimit) -> String {
    match limit {
        EdgeLimit::Gate(GateId::Continuous) => "over the limit at the limiter".to_owned(),
        EdgeLimit::Gate(GateId::Short) => "over the limit past the limiter".to_owned(),
        EdgeLimit::Gate(GateId::PulleyRating) => "over the pulley's own limit".to_owned(),
        EdgeLimit::Gate(GateId::Phase(place)) => {
            format!("short of current: {}", names::phase(car, place))
        }
        EdgeLimit::Belt => "under the belt's smallest diameter".to_owned(),
        EdgeLimit::Range => "beyond the sizes looked at".to_owned(),
    }
}

/// The same text with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
