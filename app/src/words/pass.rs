//! The words of the page Pass.

use crate::pages::pass::Passes;
use crate::parts::verdict::{Status as Form, Verdict};
use crate::words::names;
use laneside_core::car::{Car, Costs, LapSegment};
use laneside_core::data::low_voltage::{COIL_A, COIL_MH, COIL_OHM};
use laneside_core::finding::Status;
use laneside_core::pass::{Cost, ProfileError, dead_time, dwell, flow};
use laneside_core::quantity::{System, show};
use laneside_core::race::{MomentKind, NoPass, PassStudy};
use laneside_core::resolve::Input;
use laneside_core::tolerance::Spread95;

pub const ANSWERS: &str =
    "Pass shows the voltage down the track with both pulleys, where you read it.";
pub const NEEDS: &str = "Needed: the car's pulleys, alternator and loads first.";
pub const ENTER: &str = "Enter what is missing";
pub const CHART: &str = "Chart of the pass";
pub const RAIL: &str = "Time";
pub const EARLIER: &str = "Earlier";
pub const LATER: &str = "Later";
pub const VOLTS: &str = "V";
pub const GONE: &str = "if gone";
pub const SPEED_AXIS: &str = "alternator rpm";
pub const VOLTAGE_AXIS: &str = "voltage where you read it, V";
pub const TIME_AXIS: &str = "seconds";
pub const STRIPE: &str = "stripe";
pub const MOMENTS: &str = "At the moments that matter";
pub const MOMENTS_HEAD: [&str; 5] = ["", "Time", "Engine rpm", "On the car, V", "To try, V"];
pub const COSTS: &str = "What the lowest voltage costs";
pub const COSTS_HEAD: [&str; 3] = ["Against 13.5 V", "On the car", "To try"];
pub const COSTS_NOTE: &str =
    "Of one published pump and injector, and a typical coil: yours differ.";
pub const OWN_DEVICES: &str = "Enter your own pump, injectors and coil";
pub const COURSE: &str = "The pass";
pub const KIND: (&str, [&str; 4]) = (
    "What you drive",
    ["Eighth mile", "Quarter mile", "Laps", "Typed rpm points"],
);
pub const TIRE: (&str, [&str; 2]) = ("Tire", ["Radial", "Bias slick"]);
pub const TIRE_NOTE: &str = "A bias slick grows 2 to 6 % by the stripe (from memory).";
pub const MISHAP: (&str, [&str; 4]) = (
    "Look at",
    [
        "A clean pass",
        "A missed shift",
        "On the limiter to the end",
        "A gear too low",
    ],
);
pub const MISHAP_NOTE: &str = "What may happen once. It counts only while it is picked here.";
pub const GEARING: &str = "Gears, axle, tire, slip";
pub const GEARING_NOTE: &str =
    "Not needed: without them the engine turns 97 % (88 to 100) of shift rpm at the stripe.";
pub const POINTS_NOTE: &str = "From a log or the tach: a few points are enough.";
pub const ADD_POINT: &str = "Add a point";
pub const REMOVE_POINT: &str = "Take out the last point";
pub const ADD_SEGMENT: &str = "Add a segment";
pub const REMOVE_SEGMENT: &str = "Take out this segment";
pub const FULL: &str = "No more than 60.";
pub const FORMULA: &str = "Battery, alternator, wiring and loads agree on one voltage at each moment; the battery's charge and the alternator's heat follow it. Spread: each input moved to both ends of its range, root sum of squares.";

/// A new segment's name.
pub fn new_segment(number: usize) -> String {
    format!("Segment {number}")
}

/// What is known of a segment.
pub fn segment_line(segment: &LapSegment) -> String {
    format!(
        "{} s, {} to {} rpm",
        show::fixed(segment.seconds, 1),
        show::grouped(segment.from_rpm, 0),
        show::grouped(segment.to_rpm, 0)
    )
}

/// Why there is no pass, and whether something entered is at fault.
pub fn no_pass(error: NoPass, units: System, has_trap: bool) -> (String, bool) {
    let speed = |mps: f64| match units {
        System::Inch => format!("{} mph", show::fixed(mps / 0.447_04, 0)),
        System::Metric => format!("{} km/h", show::fixed(mps * 3.6, 0)),
    };
    match error {
        NoPass::Elapsed if has_trap => ("Needed: elapsed time.".to_owned(), false),
        NoPass::Elapsed => ("Needed: elapsed time and trap speed.".to_owned(), false),
        NoPass::Trap => ("Needed: trap speed.".to_owned(), false),
        NoPass::Points => ("Needed: two points at least.".to_owned(), false),
        NoPass::Segments => ("Needed: one segment of a lap at least.".to_owned(), false),
        NoPass::Profile(ProfileError::Trap { found, low, high }) => (
            format!(
                "Found a trap speed of {}. Needed for this elapsed time: {} to {}.",
                speed(found),
                speed(low),
                speed(high)
            ),
            true,
        ),
        NoPass::Profile(ProfileError::SixtyFoot { found, high, .. }) => (
            format!(
                "Found {} s to 60 ft. Needed for this pass: {} s at the most.",
                show::fixed(found, 2),
                show::fixed(high, 2)
            ),
            true,
        ),
        NoPass::Trace(error) => (format!("Points: {error}."), true),
    }
}

/// A voltage to a tenth.
pub fn volts(value: f64) -> String {
    show::fixed(value, 1)
}

/// Seconds to a tenth.
pub fn seconds(value: f64) -> String {
    if value >= 120.0 {
        format!(
            "{}:{:02}",
            (value / 60.0).floor(),
            (value % 60.0).floor() as u32
        )
    } else {
        format!("{} s", show::fixed(value, 1))
    }
}

/// Engine speed to ten.
pub fn rpm(value: f64) -> String {
    show::grouped((value / 10.0).round() * 10.0, 0)
}

/// What stands before the first verdict.
pub fn no_verdict() -> Verdict {
    Verdict {
        status: Form::Blank,
        word: String::new(),
        figure: String::new(),
        line: String::new(),
        action: None,
    }
}

/// The verdict on one pulley; its spreads come a moment later.
pub fn verdict(pass: &PassStudy, spreads: Option<&[Spread95]>) -> Verdict {
    let lowest = pass.holds.lowest.1;
    let keeps = volts(pass.healthy_v);
    let Some(spreads) = spreads else {
        return Verdict {
            status: Form::Blank,
            word: "WORKING OUT".to_owned(),
            figure: format!("{} V", volts(lowest)),
            line: "How sure it is comes in a moment.".to_owned(),
            action: None,
        };
    };
    let range = |place: usize| {
        spreads.get(place).map_or((0.0, 0.0), |found| {
            (
                found.spread.least(found.value),
                found.spread.most(found.value),
            )
        })
    };
    let (status, word) = match pass.status(spreads) {
        Status::Holds => (Form::Holds, "HOLDS"),
        Status::Fails => (Form::Over, "SAGS"),
        Status::TooClose => (Form::Close, "TOO CLOSE"),
    };
    let (low, high) = (range(3).0, range(2).1);
    let line = match (&pass.gone, pass.status(spreads)) {
        (Some(gone), _) => format!(
            "Over the limit: {} V if output holds, {} V if it is gone.",
            volts(lowest),
            volts(gone.lowest.1)
        ),
        (None, Status::Holds) => format!("Stays over {keeps} V all the way."),
        (None, Status::Fails) => format!("Falls under {keeps} V."),
        (None, Status::TooClose) => format!("May fall under {keeps} V."),
    };
    Verdict {
        status,
        word: word.to_owned(),
        figure: format!("{} to {} V", volts(low), volts(high)),
        line: format!("At the lowest. {line}"),
        action: None,
    }
}

/// The voltage at a moment: one, or both ends.
pub fn volts_at(pass: &PassStudy, at_s: f64) -> String {
    let (gone, holds) = pass.shown_v(at_s);
    if holds - gone < 0.05 {
        volts(holds)
    } else {
        format!("{} to {}", volts(gone), volts(holds))
    }
}

/// The alternator's speed at a moment.
pub fn alternator_at(pass: &PassStudy, at_s: f64) -> String {
    let speed = pass.pass.trace.at(at_s) * pass.ratio;
    format!("alternator {} rpm", rpm(speed))
}

/// The moment of the readout.
pub fn at(passes: &Passes, at_s: f64) -> String {
    let engine = passes
        .each
        .first()
        .map_or(0.0, |(_, pass)| pass.pass.trace.at(at_s));
    format!("at {}, engine {} rpm", seconds(at_s), rpm(engine))
}

/// The readout in words.
pub fn readings(passes: &Passes, at_s: f64) -> String {
    let each = passes.each.iter().map(|(name, pass)| {
        format!(
            "{name}: {} V, {}",
            volts_at(pass, at_s),
            alternator_at(pass, at_s)
        )
    });
    format!(
        "{}: {}",
        at(passes, at_s),
        each.collect::<Vec<_>>().join("; ")
    )
}

/// The chart in words.
pub fn summary(passes: &Passes) -> String {
    let each = passes.each.iter().map(|(name, pass)| {
        let gone = pass.gone.as_ref().map_or_else(String::new, |gone| {
            format!(
                ", {} V if output over the limit is gone",
                volts(gone.lowest.1)
            )
        });
        format!(
            "{name}: {} V at the launch, {} V at the end, lowest {} V{gone}",
            volts(pass.holds.launch_v),
            volts(pass.holds.end_v),
            volts(pass.holds.lowest.1)
        )
    });
    format!(
        "Alternator speed and voltage over time. {}.",
        each.collect::<Vec<_>>().join("; ")
    )
}

/// The line that a healthy pass stays over.
pub fn healthy(volts_v: f64) -> String {
    format!("healthy: {} V", volts(volts_v))
}

/// What a moment is called.
pub fn moment(kind: MomentKind) -> String {
    match kind {
        MomentKind::Launch => "launch",
        MomentKind::Shift => "shift",
        MomentKind::Lowest => "lowest",
        MomentKind::End => "stripe or end",
    }
    .to_owned()
}

/// How long it is over each limit; empty where it never is.
pub fn over(name: &str, pass: &PassStudy) -> String {
    let [low, high, short_low, short_high] = pass.over_s;
    if low <= 0.0 {
        return String::new();
    }
    let range = |low: f64, high: f64| {
        if low - high < 0.05 {
            seconds(low)
        } else {
            format!("{} to {}", show::fixed(high, 1), seconds(low))
        }
    };
    let short = if short_low > 0.0 && (short_low, short_high) != (low, high) {
        format!(
            ", over the one for moments {}",
            range(short_low, short_high)
        )
    } else {
        String::new()
    };
    format!(
        "{name}: over the limit for good {}{short}.",
        range(low, high)
    )
}

/// What of the pass is assumed.
pub fn assumed(pass: &PassStudy) -> String {
    match (pass.assumed.gears, pass.assumed.gearing) {
        (true, true) => "Gears and the rpm at the stripe are assumed.".to_owned(),
        (true, false) => "Gears are assumed.".to_owned(),
        (false, true) => "The rpm at the stripe is assumed.".to_owned(),
        (false, false) => String::new(),
    }
}

/// What the lowest voltage with each pulley costs against 13.5 V.
pub fn costs(own: &Costs, lowest_v: &[f64]) -> Vec<Vec<String>> {
    let own_flow = own.flow_12_lph.zip(own.flow_13_5_lph);
    let own_dead = own.dead_12_ms.zip(own.dead_14_ms);
    let full = 13.5;
    let marked = |text: String, cost: Cost| {
        if cost.held {
            format!("{text} or worse")
        } else {
            text
        }
    };
    let mut rows = vec![
        vec!["Pump flow".to_owned()],
        vec!["Injector dead time".to_owned()],
        vec!["Coil dwell".to_owned()],
    ];
    let henry = own.coil_mh.unwrap_or(COIL_MH) / 1e3;
    let ohm = own.coil_ohm.unwrap_or(COIL_OHM);
    let amps = own.coil_a.unwrap_or(COIL_A);
    for &low in lowest_v {
        let low = low.min(full);
        let now = flow(own_flow, low);
        let lost = 100.0 * (now.value / flow(own_flow, full).value - 1.0);
        rows[0].push(marked(format!("{} %", signed(lost, 0)), now));
        let now = dead_time(own_dead, low);
        let more = now.value - dead_time(own_dead, full).value;
        rows[1].push(marked(format!("{} ms", signed(more, 2)), now));
        let dwells = dwell(henry, ohm, amps, low).zip(dwell(henry, ohm, amps, full));
        rows[2].push(dwells.map_or_else(
            || "never full".to_owned(),
            |(now, before)| format!("{} ms", signed(1e3 * (now - before), 1)),
        ));
    }
    rows
}

fn signed(value: f64, decimals: u8) -> String {
    let digits = show::fixed(value.abs(), decimals);
    let is_zero = digits.chars().all(|sign| matches!(sign, '0' | '.'));
    if is_zero {
        digits
    } else if value < 0.0 {
        format!("\u{2212}{digits}")
    } else {
        format!("+{digits}")
    }
}

/// An input with its range.
pub fn input_line(car: &Car, input: &Input) -> String {
    let value = |at: f64| names::input_value(car, input, at);
    if input.lowest < input.highest {
        format!(
            "{} ({} to {})",
            value(input.value),
            value(input.lowest),
            value(input.highest)
        )
    } else {
        value(input.value)
    }
}
