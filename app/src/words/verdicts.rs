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
pub const OLD: &str = " (old)";
/// After a figure of a car that is not so, while a way out is being tried.
pub const TRYING: &str = " (trying)";

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

fn limit_words(car: &Car, study: &Study, gate: &SpeedGate) -> String {
    // One limit for good, entered alone, holds for moments too.
    let limits = &car.alternator.limits;
    let is_one = limits.is_some_and(|limits| limits.short.is_none());
    let what = match gate.id {
        GateId::Short if !is_one => "limit for moments ",
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
                    limit_words(car, study, gate)
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
            let limit = top
                .map(|gate| limit_words(car, study, gate))
                .unwrap_or_default();
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
        Settle::Fan => "Look whether the fan is inside or outside the case.".to_owned(),
        Settle::MakersLimit => "Ask its maker for the highest speed.".to_owned(),
        Settle::Input(id) => format!("What settles it: {}.", names::input(car, id)),
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
            format!("Enter: {}", fields::label(field)),
            route.href_to(&field.key()),
        )
    };
    Some(match settle {
        Settle::Fan => ("Where is the fan?".to_owned(), Route::Car.href_to("fan")),
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
            InputId::Load(place) => {
                // A typical load has no field of its own yet.
                let href = match car.loads {
                    Some(_) => Route::Car.href_to(&Field::LoadCurrent(place).key()),
                    None => Route::Car.href_to("loads"),
                };
                (format!("Measure: {}", names::input(car, id)), href)
            }
            InputId::Clamp(place) => field(Field::PhaseClamp(place)),
            InputId::BatteryCapacity => field(Field::BatteryCapacity),
            InputId::BatteryResistance => field(Field::BatteryMilliohms),
            InputId::StartCharge => field(Field::RestedVolts),
            InputId::LeadResistance => field(Field::LeadDrop),
            InputId::GroundResistance => field(Field::GroundDrop),
            InputId::ReaderPath | InputId::ReaderOffset => field(Field::MeterVolts),
            InputId::BatteryHealth => (
                "How old is the battery?".to_owned(),
                Route::Car.href_to("battery"),
            ),
            InputId::FieldDraw => (
                "How does it turn on?".to_owned(),
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
            InputId::TireGrowth => ("Which tire?".to_owned(), Route::Pass.href_to("tire-kind")),
            InputId::StepTimes => (
                "Change the steps to your day".to_owned(),
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
        word: "NO VERDICT YET".to_owned(),
        figure: format!("Enter {missing}"),
        line: String::new(),
        action: Some((String::new(), href)),
    }
}

/// The verdict when no alternator pulley can pass every gate.
pub fn no_size(car: &Car, study: &Study) -> Words {
    Words {
        status: Status::NoneFits,
        word: "NO SIZE DOES BOTH".to_owned(),
        figure: String::new(),
        line: none_fits(car, &study.window, assumed(study)),
        action: None,
    }
}

fn none_fits(car: &Car, window: &Window, assumed: &str) -> String {
    let (low, high) = (window.possible_low, window.possible_high);
    let size = |edge: Edge| names::effective(edge.mm, car.units);
    let fails = |edge: Edge| match edge.limit {
        EdgeLimit::Gate(GateId::Continuous | GateId::Short) => format!("overspun{assumed}"),
        limit => edge_words(car, limit),
    };
    let under = match low.limit {
        EdgeLimit::Gate(_) if low.mm.is_infinite() => format!("Every size is {}", fails(low)),
        EdgeLimit::Gate(_) => format!("Under {} it is {}", size(low), fails(low)),
        EdgeLimit::Belt => format!("The belt takes nothing under {}", size(low)),
        EdgeLimit::Range => format!("Nothing under {} is looked at", size(low)),
    };
    let over = match high.limit {
        EdgeLimit::Gate(_) if high.mm <= 0.0 => format!("every size is {}", fails(high)),
        EdgeLimit::Gate(_) => format!("over {} it is {}", size(high), fails(high)),
        EdgeLimit::Belt | EdgeLimit::Range => format!("nothing over {} is looked at", size(high)),
    };
    format!("{under}; {over}. Ways out are below.")
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

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::car::demo;
    use laneside_core::choose::Side;

    #[test]
    fn no_size_says_only_what_is_so() {
        let car = demo::tansy();
        let edge = |mm, limit| Edge { mm, limit };
        let speed = EdgeLimit::Gate(GateId::Continuous);
        let lanes = EdgeLimit::Gate(GateId::Phase(2));
        let said = |possible_low: Edge, possible_high: Edge| {
            let window = Window {
                side: Side::Alternator,
                sure_low: possible_low,
                sure_high: possible_high,
                possible_low,
                possible_high,
            };
            let said = none_fits(&car, &window, " (limit assumed)").replace('\u{a0}', " ");
            assert!(said.split_whitespace().count() <= 25, "{said}");
            said
        };
        assert_eq!(
            said(edge(70.0, speed), edge(60.0, lanes)),
            "Under 70.0 mm it is overspun (limit assumed); over 60.0 mm it is short of current: \
             staging lanes. Ways out are below."
        );
        assert_eq!(
            said(edge(45.0, EdgeLimit::Belt), edge(0.0, lanes)),
            "The belt takes nothing under 45.0 mm; every size is short of current: staging lanes. \
             Ways out are below."
        );
        assert_eq!(
            said(edge(30.0, EdgeLimit::Range), edge(0.0, lanes)),
            "Nothing under 30.0 mm is looked at; every size is short of current: staging lanes. \
             Ways out are below."
        );
        assert_eq!(
            said(edge(f64::INFINITY, speed), edge(250.0, EdgeLimit::Range)),
            "Every size is overspun (limit assumed); nothing over 250.0 mm is looked at. Ways out \
             are below."
        );
        assert_eq!(
            said(edge(f64::INFINITY, speed), edge(0.0, lanes)),
            "Every size is overspun (limit assumed); every size is short of current: staging \
             lanes. Ways out are below."
        );
    }

    #[test]
    fn what_settles_it_leads_to_a_field_that_is_there() {
        let to = |car: &Car, id| settle_action(car, Settle::Input(id)).unwrap();
        let mut car = demo::nettle();
        let own = to(&car, InputId::Load(1));
        assert_eq!(
            own,
            (
                "Measure: fan".to_owned(),
                Route::Car.href_to("load-current-1")
            )
        );
        car.loads = None;
        assert_eq!(to(&car, InputId::Load(1)).1, Route::Car.href_to("loads"));
        car.drive.ratio_by = RatioBy::Turns;
        let turns = Route::Car.href_to("alternator-turns");
        assert_eq!(to(&car, InputId::Ratio).1, turns);
        car.drive.ratio_by = RatioBy::Speeds;
        let read = Route::Car.href_to("read-alternator");
        assert_eq!(to(&car, InputId::Ratio).1, read);
    }

    #[test]
    fn one_limit_is_not_called_two() {
        use laneside_core::alternator::SpeedLimits;
        use laneside_core::quantity::rpm;
        let mut car = demo::nettle();
        let line = |car: &Car| {
            let study = Study::new(car).unwrap();
            judged(car, &study, &study.on_car).line
        };
        for (short, said) in [(None, false), (Some(rpm(18_100.0)), true)] {
            car.alternator.limits = Some(SpeedLimits {
                continuous: rpm(18_000.0),
                short,
            });
            let line = line(&car);
            assert_eq!(line.contains("for moments"), said, "{line}");
        }
    }
}
