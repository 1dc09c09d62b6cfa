//! Verdicts in words: at most 25 of them, rounded to what is sure.

mod others;

pub use others::instruction;

use crate::parts::verdict::{Status, Verdict as Words};
use crate::shell::route::Route;
use crate::words::pulleys::on_crank;
use crate::words::{fields, names};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, RatioBy};
use laneside_core::choose::{Edge, EdgeLimit, Window};
use laneside_core::gates::{GateId, Judged, Settle, SpeedGate, Verdict};
use laneside_core::quantity::show;
use laneside_core::resolve::{CrankPulley, InputId};
use laneside_core::study::Study;

/// After a figure that is from before a text that was not taken.
pub fn old() -> &'static str {
    say!(" (old)")
}
/// After a figure of a car that is not so, while a way out is being tried.
pub fn trying() -> &'static str {
    say!(" (trying)")
}

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
    say!(if study.tolerances.resolved().limits.assumed {
        " (limit assumed)"
    } else {
        ""
    })
}

/// A limit as it is known: one figure, or both ends.
pub fn limit(gate: &SpeedGate) -> String {
    let low = show::grouped(gate.limit_rpm, 0);
    if gate.slack_rpm() > 0.0 {
        say!("{low} to {}", show::grouped(gate.generous_rpm, 0))
    } else {
        low
    }
}

fn limit_words(car: &Car, study: &Study, gate: &SpeedGate) -> String {
    // One limit for good, entered alone, holds for moments too.
    let limits = &car.alternator.limits;
    let is_one = limits.is_some_and(|limits| limits.short.is_none());
    let what = say!(match gate.id {
        GateId::Short if !is_one => "limit for moments ",
        GateId::PulleyRating => "the pulley's own limit ",
        _ => "limit ",
    });
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
                let when = say!(if gate.id == GateId::Continuous {
                    "At the limiter"
                } else {
                    "Past the limiter"
                });
                say!(
                    "{when}; {}. Overspun: brushes float, rotors come apart.",
                    limit_words(car, study, gate)
                )
            });
            (
                Status::Over,
                tell!("OVER"),
                figure,
                line.unwrap_or_default(),
                None,
            )
        }
        Verdict::Holds => {
            let figure = top.map(&speed_of).unwrap_or_default();
            let limit = top
                .map(|gate| limit_words(car, study, gate))
                .unwrap_or_default();
            let least = least_net(judged)
                .map(|(place, net)| say!(" Least to spare: {net}, {}.", names::phase(car, place)));
            let line = say!("At the limiter; {limit}.{}", least.unwrap_or_default());
            (Status::Holds, tell!("HOLDS"), figure, line, None)
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
                tell!("SHORT AT IDLE")
            } else {
                say!("SHORT: {}", name.to_uppercase())
            };
            let figure = running
                .map(|running| net(running.net_a.value, running.net_a.spread.widest()))
                .unwrap_or_default();
            let line = running.map(|running| {
                let breaks = running.break_even_rpm.map_or_else(
                    || tell!(" It never breaks even."),
                    |rpm| {
                        say!(
                            " Breaks even at {} rpm.",
                            show::grouped((rpm / 10.0).ceil() * 10.0, 0)
                        )
                    },
                );
                say!(
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
                        capital(&limit_words(car, study, gate)),
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
                    let line = say!(
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
                tell!("TOO CLOSE TO CALL"),
                figure,
                line,
                settle_action(car, settle),
            )
        }
    };
    let crank = names::crank_to_try(car).filter(|_| judged.pulleys.crank == CrankPulley::ToTry);
    let line = match crank {
        Some(crank) => format!("{}. {}", capital(&on_crank(&crank)), capital(&line)),
        None => line,
    };
    let line = match judged.verdict {
        Verdict::TooClose { gate, .. } => {
            let room = others::MOST_WORDS.saturating_sub(figure.split_whitespace().count());
            others::with_others(car, judged, gate, line, room)
        }
        _ => line,
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
        Settle::Fan => tell!("Look whether the fan is inside or outside the case."),
        Settle::MakersLimit => tell!("Ask its maker for the highest speed."),
        Settle::Input(id) => say!("What settles it: {}.", names::input(car, id)),
    }
}

/// The words and the link of what would settle it; none where nothing can be entered for it.
pub fn settle_action(car: &Car, settle: Settle) -> Option<(String, String)> {
    let field = |field: Field| {
        let route = match field {
            Field::Tried | Field::TriedCrank => Route::Pulleys,
            Field::ConverterSlip | Field::ShiftTime | Field::FinalDrive => Route::Pass,
            Field::Ambient
            | Field::StarterCurrent
            | Field::StarterTime
            | Field::ChargerCurrent
            | Field::ChargerVolts
            | Field::ReadingVolts => Route::Day,
            _ => Route::Car,
        };
        (
            say!("Enter: {}", fields::label(field)),
            route.href_to(&field.key()),
        )
    };
    Some(match settle {
        Settle::Fan => (tell!("Where is the fan?"), Route::Car.href_to("fan")),
        Settle::MakersLimit => field(Field::Continuous),
        Settle::Input(id) => match id {
            InputId::Crank => field(Field::Crank),
            InputId::FittedPulley => field(Field::Fitted),
            InputId::TriedPulley => field(Field::Tried),
            InputId::TriedCrank => field(Field::TriedCrank),
            InputId::StageDriven => field(Field::StageDriven),
            InputId::StageDriving => field(Field::StageDriving),
            InputId::Ratio if car.drive.ratio_by == RatioBy::Speeds => field(Field::ReadAlternator),
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
                tell!("What more is known of its output?"),
                Route::Car.href_to("rating-by"),
            ),
            InputId::ExciteFactor => (
                tell!("How does it turn on?"),
                Route::Car.href_to("excitation"),
            ),
            InputId::SetPoint => field(Field::SetPoint),
            InputId::TestVoltage => field(Field::TestVoltage),
            InputId::UnderHood => field(Field::UnderHood),
            InputId::Slip => field(Field::Fitted),
            InputId::LoadsScale => (tell!("Clamp the loads"), Route::Car.href_to("phases")),
            InputId::Load(place) => {
                // A typical load has no field of its own yet.
                let href = match car.loads {
                    Some(_) => Route::Car.href_to(&Field::LoadCurrent(place).key()),
                    None => Route::Car.href_to("loads"),
                };
                (say!("Measure: {}", names::input(car, id)), href)
            }
            InputId::Clamp(place) => field(Field::PhaseClamp(place)),
            InputId::BatteryCapacity => field(Field::BatteryCapacity),
            InputId::BatteryResistance => field(Field::BatteryMilliohms),
            InputId::StartCharge => field(Field::RestedVolts),
            InputId::LeadResistance => field(Field::LeadDrop),
            InputId::GroundResistance => field(Field::GroundDrop),
            InputId::ReaderPath | InputId::ReaderOffset => field(Field::MeterVolts),
            InputId::BatteryHealth => (
                tell!("How old is the battery?"),
                Route::Car.href_to("battery"),
            ),
            InputId::FieldDraw => (
                tell!("How does it turn on?"),
                Route::Car.href_to("excitation"),
            ),
            InputId::Ambient => field(Field::Ambient),
            InputId::Starter => field(Field::StarterCurrent),
            InputId::StarterTime => field(Field::StarterTime),
            InputId::ChargerCurrent => field(Field::ChargerCurrent),
            InputId::ChargerVoltage => field(Field::ChargerVolts),
            InputId::ReadCharge => field(Field::ReadingVolts),
            InputId::ConverterSlip => field(Field::ConverterSlip),
            InputId::ShiftTime => field(Field::ShiftTime),
            InputId::StripeSpeed => field(Field::FinalDrive),
            InputId::TireGrowth => (tell!("Which tire?"), Route::Pass.href_to("tire-kind")),
            InputId::StepTimes => (
                tell!("Change the steps to your day"),
                Route::Day.href_to("day"),
            ),
            // Only a log shows these.
            InputId::AlternatorWarming | InputId::Recovery => return None,
        },
    })
}

/// That there is no verdict while this is missing, which the link leads to.
pub fn none_yet(missing: &str, href: String) -> Words {
    Words {
        status: Status::Blank,
        word: tell!("NO VERDICT YET"),
        figure: say!("Enter {missing}"),
        line: String::new(),
        action: Some((String::new(), href)),
    }
}

/// The verdict when no alternator pulley can pass every gate.
pub fn no_size(car: &Car, study: &Study) -> Words {
    Words {
        status: Status::NoneFits,
        word: tell!("NO SIZE DOES BOTH"),
        figure: String::new(),
        line: none_fits(car, &study.window, assumed(study)),
        action: None,
    }
}

fn none_fits(car: &Car, window: &Window, assumed: &str) -> String {
    let (low, high) = (window.possible_low, window.possible_high);
    let size = |edge: Edge| names::effective(edge.mm, car.units);
    let fails = |edge: Edge| match edge.limit {
        EdgeLimit::Gate(GateId::Continuous | GateId::Short) => say!("overspun{assumed}"),
        limit => edge_words(car, limit),
    };
    let under = match low.limit {
        EdgeLimit::Gate(_) if low.mm.is_infinite() => say!("Every size is {}", fails(low)),
        EdgeLimit::Gate(_) => say!("Under {} it is {}", size(low), fails(low)),
        EdgeLimit::Belt => say!("The belt takes nothing under {}", size(low)),
        EdgeLimit::Range => say!("Nothing under {} is looked at", size(low)),
    };
    let over = match high.limit {
        EdgeLimit::Gate(_) if high.mm <= 0.0 => say!("every size is {}", fails(high)),
        EdgeLimit::Gate(_) => say!("over {} it is {}", size(high), fails(high)),
        EdgeLimit::Belt | EdgeLimit::Range => say!("nothing over {} is looked at", size(high)),
    };
    say!("{under}; {over}. Ways out are below.")
}

/// What happens beyond an edge of the window.
pub fn edge_words(car: &Car, limit: EdgeLimit) -> String {
    match limit {
        EdgeLimit::Gate(GateId::Continuous) => tell!("over the limit at the limiter"),
        EdgeLimit::Gate(GateId::Short) => tell!("over the limit past the limiter"),
        EdgeLimit::Gate(GateId::PulleyRating) => tell!("over the pulley's own limit"),
        EdgeLimit::Gate(GateId::Phase(place)) => {
            say!("short of current: {}", names::phase(car, place))
        }
        EdgeLimit::Belt => tell!("under the belt's smallest diameter"),
        EdgeLimit::Range => tell!("beyond the sizes looked at"),
    }
}

/// The same text with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests;
