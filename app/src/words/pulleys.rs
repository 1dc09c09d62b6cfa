//! The words of the page Pulleys.

use crate::pages::{Reading, Readings};
use crate::words::{names, pass, verdicts};
use laneside_core::car::Car;
use laneside_core::choose::{Standing, WayKind};
use laneside_core::quantity::{System, show};
use laneside_core::race::Ranked;
use laneside_core::study::Study;

pub fn chart() -> &'static str {
    say!("Chart")
}
pub const RPM: &str = "rpm";
pub fn rail() -> &'static str {
    say!("Engine speed")
}
pub fn slower() -> &'static str {
    say!("Slower")
}
pub fn faster() -> &'static str {
    say!("Faster")
}
pub fn load_shown() -> &'static str {
    say!("Also draw the load of")
}
pub fn another_load() -> &'static str {
    say!("Draw another phase's load")
}
pub fn engine_axis() -> &'static str {
    say!("engine rpm")
}
pub fn speed_axis() -> &'static str {
    say!("alternator rpm")
}
pub fn output_axis() -> &'static str {
    say!("output, A (hot)")
}
pub fn marks() -> [&'static str; 3] {
    say!(["idle", "shift", "limiter"])
}
pub fn on_car_label() -> &'static str {
    say!("On the car")
}
pub fn to_try_label() -> &'static str {
    say!("To try")
}
pub fn to_compare() -> &'static str {
    say!("Only to compare: the pulley on the car holds already.")
}

pub fn suggest_again() -> &'static str {
    say!("Take the suggested size")
}
pub fn fan_question() -> &'static str {
    say!("Where is the fan?")
}
pub fn fans() -> [&'static str; 3] {
    say!([
        "Inside the case",
        "Outside, behind the pulley",
        "Large heavy-duty machine",
    ])
}
pub fn settles() -> &'static str {
    say!("What settles it")
}
pub fn needs_car() -> &'static str {
    say!("Needed: a car.")
}
pub fn answers() -> &'static str {
    say!(
        "Holds the pulley on the car against another one: alternator speed, output, and whether it keeps up at idle."
    )
}
pub fn enter() -> &'static str {
    say!("Enter what is missing")
}
pub fn table() -> &'static str {
    say!("At the speeds that matter")
}
pub fn table_head() -> [&'static str; 3] {
    say!(["Engine", "On the car", "To try"])
}
pub fn rows() -> [&'static str; 6] {
    say!([
        "idle in gear",
        "idle",
        "launch",
        "shift",
        "limiter",
        "past the limiter",
    ])
}
pub fn balance() -> &'static str {
    say!("Output less load in every phase")
}
pub fn balance_note() -> &'static str {
    say!(
        "Engine running, alternator hot, loads at the set-point voltage, so their sum differs from the list. What is left over charges the battery."
    )
}
pub fn net_head() -> [&'static str; 4] {
    say!(["Phase", "Load", "On the car", "To try"])
}
pub fn net() -> &'static str {
    say!("Output less load")
}
pub fn all_figures() -> &'static str {
    say!("All figures of every phase")
}
pub fn balance_head() -> [&'static str; 10] {
    say!([
        "Phase",
        "engine rpm",
        "load, A",
        "output hot, A",
        "cold, A",
        "net, A",
        "breaks even, rpm",
        "turns on, rpm",
        "settles at, V",
        "into the battery, A",
    ])
}
pub fn window() -> &'static str {
    say!("Sizes that work")
}
pub fn on_hand() -> &'static str {
    say!("Sizes, best first")
}
pub fn by_day_label() -> &'static str {
    say!(
        "Then by the whole day: whether it lasts, charge at its end, lowest voltage. Of those too close to call, the one with most room both ways."
    )
}
pub fn try_it() -> &'static str {
    say!("Try")
}
pub fn ways() -> &'static str {
    say!("Ways out")
}
pub fn ways_note() -> &'static str {
    say!("Each by itself, studied again: with it there is a size that works for certain.")
}
pub fn no_way() -> &'static str {
    say!("No single change cures it. Two together may: raise the idle first, then look here again.")
}
pub fn take_back() -> &'static str {
    say!("Take back")
}
pub fn keep() -> &'static str {
    say!("Keep it")
}
pub fn marked() -> &'static str {
    say!("A speed marked on it")
}
pub fn crank() -> &'static str {
    say!("Try another crank pulley")
}
pub fn crank_note() -> &'static str {
    say!(
        "A crank pulley turns everything on its belt faster or slower with it: water pump, steering, blower. It sets belt speed too."
    )
}
pub fn crank_drop() -> &'static str {
    say!("Keep the crank pulley on the car")
}
pub fn working() -> &'static str {
    say!("How this is worked out")
}
pub fn more() -> &'static str {
    say!("What else changes")
}
pub fn not_counted() -> &'static str {
    say!(
        "Not counted here: belt slip under load, the pulley's own speed limit unless it is entered. Battery and wiring are counted at Race day."
    )
}
pub fn caution() -> &'static str {
    say!(
        "A spinning belt takes fingers, and an overspun rotor can come apart. Makers' limits, the rule book and licensed practice come before this tool."
    )
}
pub fn overruns() -> &'static str {
    say!(
        "The pulley overruns: when the engine slows, the rotor coasts on, and its speed is at most what is shown."
    )
}

pub fn on_car(size: &str) -> String {
    say!("on car {size}")
}

pub fn to_try(size: &str) -> String {
    say!("try {size}")
}

pub fn at_engine(rpm: f64) -> String {
    say!("At {} engine rpm", show::grouped(rpm, 0))
}

/// Output over the limit: anything between nothing and this.
pub fn fading(amps: &str) -> String {
    say!("0 to {amps} A, over the limit")
}

pub fn load_label(phase: &str) -> String {
    say!("load, {phase}")
}

pub fn limit_label(lo: f64, hi: f64, assumed: bool) -> String {
    let low = show::grouped(lo, 0);
    let figure = if hi > lo {
        say!("{low} to {}", show::grouped(hi, 0))
    } else {
        low
    };
    let assumed = say!(if assumed { ", assumed" } else { "" });
    say!("limit {figure}{assumed}")
}

/// The readout in words, for who does not see the chart.
pub fn readings(readings: &Readings) -> String {
    let say = |label: String, reading: &Reading| {
        format!("{label}: {} rpm, {}", reading.speed, reading.output)
    };
    let tried = readings
        .tried
        .as_ref()
        .map(|reading| format!("; {}", say(to_try(&reading.size), reading)));
    format!(
        "{}: {}{}",
        at_engine(readings.engine_rpm),
        say(on_car(&readings.on_car.size), &readings.on_car),
        tried.unwrap_or_default()
    )
}

/// What the chart shows, in words.
pub fn chart_summary(car: &Car, study: &Study) -> String {
    let top = |judged: &laneside_core::gates::Judged| {
        judged.speeds.first().map_or_else(String::new, |gate| {
            verdicts::speed(gate.speed_rpm, gate.margin_rpm.spread.widest())
        })
    };
    let tried = study.tried.as_ref().map(|tried| {
        format!(
            "; {}, {}",
            to_try(&names::tried(car, &tried.pulley)),
            top(&tried.judged)
        )
    });
    say!(
        "Alternator speed and output over engine rpm. At the limiter: {}, {}{}. Numbers are in the tables below.",
        on_car(&names::fitted(car)),
        top(&study.on_car),
        tried.unwrap_or_default()
    )
}

pub fn standing(standing: Standing) -> &'static str {
    say!(match standing {
        Standing::Holds => "holds",
        Standing::TooClose => "too close to call",
        Standing::Short => "short of current",
        Standing::Over => "over the limit",
    })
}

/// How a size comes through the day.
pub fn by_day(ranked: &Ranked) -> String {
    let percent = show::fixed(100.0 * ranked.end_soc, 0);
    let lowest = ranked.lowest_v.map_or_else(String::new, |volts| {
        say!(", lowest {}\u{a0}V", show::fixed(volts, 1))
    });
    match ranked.ends {
        None => say!("{percent}\u{a0}% at the day's end{lowest}"),
        Some((round, _)) => say!("the day ends in round {round}{lowest}"),
    }
}

fn rpm(value: f64) -> String {
    format!("{}\u{a0}rpm", show::grouped(value, 0))
}

/// The figure of a way out with its unit.
fn way_figure(kind: WayKind, value: f64, units: System) -> String {
    match kind {
        WayKind::Idle | WayKind::SpeedLimit | WayKind::Limiter => rpm(value),
        WayKind::Shed => format!("{}\u{a0}A", show::fixed(value, 1)),
        WayKind::Output => format!("{}\u{a0}A", show::fixed(value, 0)),
        WayKind::Crank => names::effective(value, units),
    }
}

/// What a way out changes, and to what.
pub fn way_change(kind: WayKind, to: f64, units: System) -> String {
    let to = way_figure(kind, to, units);
    match kind {
        WayKind::Idle => say!("Idle at {to}"),
        WayKind::Shed => say!("Switch off {to} while idling and cruising"),
        WayKind::Output => say!("An alternator rated {to}"),
        WayKind::SpeedLimit => say!("An alternator that stands {to}"),
        WayKind::Limiter => say!("Limiter at {to}"),
        WayKind::Crank => say!("Crank pulley {to}"),
    }
}

/// A way out as an instruction; with both ends of the speed limit where that is assumed.
pub fn way(
    kind: WayKind,
    from: f64,
    to: f64,
    units: System,
    needed: Option<(f64, f64)>,
    assumed: Option<(f64, f64)>,
) -> String {
    let change = way_change(kind, to, units);
    let now = match (kind, assumed) {
        (WayKind::SpeedLimit, Some((low, high))) => say!(
            "assumed {} to {} now",
            show::grouped(low, 0),
            show::grouped(high, 0)
        ),
        _ => say!("now {}", way_figure(kind, from, units)),
    };
    let at = needed.map(|(amps, speed)| {
        say!(
            " It has to make {}\u{a0}A at {} of its own.",
            show::fixed(amps, 0),
            rpm((speed / 10.0).round() * 10.0)
        )
    });
    format!("{change} ({now}).{}", at.unwrap_or_default())
}

/// What is being tried.
pub fn trying(what: &str) -> String {
    say!("Trying: {what}. The car is not so yet.")
}

/// What the window becomes with a way out.
pub fn way_window(low_mm: f64, high_mm: f64, units: System) -> String {
    say!(
        "Then {} to {} works.",
        names::effective(low_mm, units),
        names::effective(high_mm, units)
    )
}

pub const NONE: &str = "\u{2013}";
pub fn never() -> &'static str {
    say!("never")
}
pub fn engine_off() -> &'static str {
    say!("off")
}
pub fn histories() -> &'static str {
    say!(
        "Where two figures stand: the second is what happens until the engine has once been revved to the turn-on speed."
    )
}

/// A row's name with its engine speed.
pub fn row(name: &str, engine_rpm: f64) -> String {
    format!("{name} {}", show::grouped(engine_rpm, 0))
}

/// Speed and output of one pulley in one cell.
pub fn cell(speed: &str, amps: &str) -> String {
    format!("{speed}\u{a0}rpm, {amps}\u{a0}A")
}

/// Output that may hold or be gone.
pub fn maybe(amps: &str) -> String {
    format!("0\u{2013}{amps}")
}

/// Net current with the alternator turned on, and without.
pub fn either(on: &str, off: &str) -> String {
    say!("{on}, or {off}")
}

pub fn crank_none() -> &'static str {
    say!("With the alternator pulley on the car no crank pulley does both.")
}

pub fn crank_sure(low: &str, high: &str) -> String {
    say!(
        "With the alternator pulley on the car, a crank pulley of {low} to {high} works for certain."
    )
}

pub fn crank_possible(low: &str, high: &str) -> String {
    say!(
        "With the alternator pulley on the car, a crank pulley of {low} to {high} may work; none does for certain."
    )
}

/// What the pulleys take from the engine at shift speed.
pub fn drag(now_w: f64, then_w: f64, extrapolated: bool) -> String {
    let round = |watts: f64| show::grouped((watts / 50.0).round() * 50.0, 0);
    let rough = say!(if extrapolated {
        " A rough figure: friction is measured up to 8,000 alternator rpm."
    } else {
        ""
    });
    let change = now_w - then_w;
    let gives = say!(if change >= 0.0 {
        "gives back"
    } else {
        "takes another"
    });
    say!(
        "At shift rpm the alternator takes {} W from the engine now; the pulley to try {gives} {} W.{rough}",
        round(now_w),
        round(change.abs()),
    )
}

/// What a different crank pulley does to everything else on its belt.
pub fn accessories(names: &[String], ratio: f64) -> String {
    let what = if names.is_empty() {
        tell!("Everything else on the crank pulley's belt")
    } else {
        verdicts::capital(&names.join(", "))
    };
    let change = ratio - 1.0;
    let direction = say!(if change < 0.0 { "slower" } else { "faster" });
    say!(
        "{what} will turn {} % {direction}.",
        show::fixed(change.abs() * 100.0, 1)
    )
}

/// What is needed before the page can answer.
pub fn needs(missing: &[&str]) -> String {
    say!("Needed: {}.", missing.join(", "))
}

/// A current with its unit.
pub fn amps(amps: f64) -> String {
    format!("{} A", show::fixed(amps, 0))
}

/// Which crank pulley the one to try is judged on, where that is another than the car's.
pub fn on_crank(size: &str) -> String {
    say!("on crank {size}")
}

/// That it has to be revved once before it charges.
pub fn turns_on(engine_rpm: f64) -> String {
    say!(
        "Rev to {} once after starting, or it does not charge.",
        rpm(pass::rev_past(engine_rpm))
    )
}

/// How a pulley was measured, asked.
pub fn measured_question(pulley: &str) -> String {
    say!("{pulley}: how was it measured?")
}
