//! The words of the page Pass.

use crate::pages::pass::Passes;
use crate::parts::verdict::{Status as Form, Verdict};
use crate::words::{names, verdicts};
use laneside_core::car::{Car, Costs, CourseKind, LapSegment};
use laneside_core::data::gearing::{EIGHTH_M, QUARTER_M};
use laneside_core::finding::Status;
use laneside_core::pass::{Cost, FULL_V, Profile, ProfileError, costing};
use laneside_core::quantity::{System, show};
use laneside_core::race::{MomentKind, NoPass, PassStudy, Which};
use laneside_core::resolve::Input;
use laneside_core::tolerance::Spread95;

pub fn answers() -> &'static str {
    say!("Pass shows the voltage down the track with both pulleys, where you read it.")
}
pub fn needs() -> &'static str {
    say!("Needed: the car's pulleys, alternator and loads first.")
}
pub fn enter() -> &'static str {
    say!("Enter what is missing")
}
pub fn chart() -> &'static str {
    say!("Chart of the pass")
}
pub fn rail() -> &'static str {
    say!("Time")
}
pub fn earlier() -> &'static str {
    say!("Earlier")
}
pub fn later() -> &'static str {
    say!("Later")
}
pub const VOLTS: &str = "V";
pub fn gone() -> &'static str {
    say!("if gone")
}
pub fn speed_axis() -> &'static str {
    say!("alternator rpm")
}
pub fn voltage_axis() -> &'static str {
    say!("voltage where you read it, V")
}
pub fn stripe() -> &'static str {
    say!("stripe")
}
pub fn moments() -> &'static str {
    say!("At the moments that matter")
}
pub fn moments_head() -> [&'static str; 5] {
    say!(["", "Time", "Engine rpm", "On the car, V", "To try, V"])
}
pub fn costs_label() -> &'static str {
    say!("What the lowest voltage costs")
}
pub fn costs_head() -> [&'static str; 3] {
    say!(["Against 13.5 V", "On the car", "To try"])
}
pub fn costs_note() -> &'static str {
    say!("Of one published pump and injector, and a typical coil: yours differ.")
}
pub fn own_devices() -> &'static str {
    say!("Enter your own pump, injectors and coil")
}
pub fn course() -> &'static str {
    say!("The pass")
}
pub const KIND: (&str, [&str; 4]) = note!((
    "What you drive",
    ["Eighth mile", "Quarter mile", "Laps", "Typed rpm points"],
));
pub const TIRE: (&str, [&str; 2]) = note!(("Tire", ["Radial", "Bias slick"]));
pub const TIRE_NOTE: &str = note!("A bias slick grows 2 to 6 % by the stripe (from memory).");
pub const MISHAP: (&str, [&str; 4]) = note!((
    "Look at",
    [
        "A clean pass",
        "A missed shift",
        "On the limiter to the end",
        "A gear too low",
    ],
));
pub const MISHAP_NOTE: &str =
    note!("What may happen once. It counts only while it is picked here.");
pub fn gearing() -> &'static str {
    say!("Gears, axle, tire, slip")
}
pub fn gearing_note() -> &'static str {
    say!("Not needed: without them the engine turns 97 % (88 to 100) of shift rpm at the stripe.")
}
pub fn points_note() -> &'static str {
    say!("From a log or the tach: a few points are enough.")
}
pub fn add_point() -> &'static str {
    say!("Add a point")
}
pub fn remove_point() -> &'static str {
    say!("Take out the last point")
}
pub fn add_segment() -> &'static str {
    say!("Add a segment")
}
pub fn remove_segment() -> &'static str {
    say!("Take out this segment")
}
pub fn full() -> &'static str {
    say!("No more than 60.")
}
pub fn sources() -> &'static str {
    say!(
        "Engine rpm: mph x gear x final drive x 336.135 / tire inches; speed from elapsed time, trap speed and distance (derived). Battery, wiring and times as their own notes say."
    )
}
pub fn formula() -> &'static str {
    say!(
        "Battery, alternator, wiring and loads agree on one voltage at each moment; the battery's charge and the alternator's heat follow it. Of the day's passes the one with the lowest voltage is shown. Spread: each input moved to both ends of its range, root sum of squares, and all at once where they are worst together."
    )
}

/// What the time axis counts, from so many seconds on.
pub fn time_axis(from_s: f64) -> &'static str {
    say!(if from_s > 0.0 {
        "seconds of the session, last lap"
    } else {
        "seconds"
    })
}

/// A new segment's name.
pub fn new_segment(number: usize) -> String {
    say!("Segment {number}")
}

/// What is known of a segment.
pub fn segment_line(segment: &LapSegment) -> String {
    say!(
        "{} s, {} to {} rpm",
        show::fixed(segment.seconds, 1),
        show::grouped(segment.from_rpm, 0),
        show::grouped(segment.to_rpm, 0)
    )
}

/// Why there is no pass, and whether something entered is at fault.
pub fn no_pass(error: NoPass, car: &Car) -> (String, bool) {
    let (units, has_trap) = (car.units, car.course.trap_mps.is_some());
    let speed = |mps: f64| match units {
        System::Inch => format!("{} mph", show::fixed(mps / 0.447_04, 0)),
        System::Metric => format!("{} km/h", show::fixed(mps * 3.6, 0)),
    };
    match error {
        NoPass::Elapsed if has_trap => (tell!("Needed: elapsed time."), false),
        NoPass::Elapsed => (tell!("Needed: elapsed time and trap speed."), false),
        NoPass::Trap => (tell!("Needed: trap speed."), false),
        NoPass::NoStep => (
            tell!(
                "Needed: the pass as a step of the round, not switched off. Its steps are on the page Day."
            ),
            true,
        ),
        NoPass::Points => (tell!("Needed: two points at least."), false),
        NoPass::Segments => (tell!("Needed: one segment of a lap at least."), false),
        NoPass::Profile(ProfileError::Trap { found, low, high }) => {
            let hint = other_distance(car).unwrap_or_default();
            let text = say!(
                "Found a trap speed of {}. Needed for this elapsed time: {} to {}.{hint}",
                speed(found),
                speed(low),
                speed(high)
            );
            (text, true)
        }
        NoPass::Profile(ProfileError::SixtyFoot { found, high, .. }) => (
            say!(
                "Found {} s to 60 ft. Needed for this pass: {} s at the most.",
                show::fixed(found, 2),
                show::fixed(high, 2)
            ),
            true,
        ),
        NoPass::Trace(error) => (say!("Points: {error}."), true),
    }
}

/// That the figures are those of the other distance, if they are.
fn other_distance(car: &Car) -> Option<&'static str> {
    let course = &car.course;
    let (elapsed_s, trap_mps) = course.elapsed_s.zip(course.trap_mps)?;
    let (other_m, hint) = match course.kind {
        CourseKind::Quarter => (EIGHTH_M, say!(" They fit an eighth mile: pick it below.")),
        _ => (QUARTER_M, say!(" They fit a quarter mile: pick it below.")),
    };
    let fits = Profile::new(other_m, elapsed_s, trap_mps, course.sixty_ft_s).is_ok();
    fits.then_some(hint)
}

/// A voltage to a tenth.
pub fn volts(value: f64) -> String {
    show::fixed(value, 1)
}

/// A voltage to a tenth with its unit, which never stands alone in a line.
pub fn v(value: f64) -> String {
    format!("{}\u{a0}V", volts(value))
}

/// Seconds to a tenth.
pub fn seconds(value: f64) -> String {
    if value >= 120.0 {
        minutes(value)
    } else {
        format!("{}\u{a0}s", show::fixed(value, 1))
    }
}

/// Minutes and seconds.
fn minutes(seconds: f64) -> String {
    let whole = seconds.floor();
    format!("{}:{:02}", (whole / 60.0).floor(), (whole % 60.0) as u32)
}

/// Engine speed to ten.
pub fn rpm(value: f64) -> String {
    show::grouped((value / 10.0).round() * 10.0, 0)
}

/// An engine speed to rev past, rpm: what was worked out (its spread stands among the findings), not rounded down to where
/// it is not enough, and the same on every page.
pub fn rev_past(engine_rpm: f64) -> f64 {
    (engine_rpm / 10.0).ceil() * 10.0
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
pub fn verdict(car: &Car, pass: &PassStudy, spreads: Option<&[Spread95]>) -> Verdict {
    let lowest = pass.holds.lowest.1;
    let keeps = v(pass.healthy_v);
    let Some(spreads) = spreads else {
        return Verdict {
            status: Form::Blank,
            word: tell!("WORKING OUT"),
            figure: v(lowest),
            line: tell!("How sure it is comes in a moment."),
            action: None,
        };
    };
    let status = pass.status(spreads);
    let standing = pass.standing(spreads);
    let (form, word) = match status {
        Status::Holds => (Form::Holds, say!("HOLDS")),
        Status::Fails => (Form::Over, say!("SAGS")),
        Status::TooClose => (Form::Close, say!("TOO CLOSE")),
    };
    let line = match (&pass.gone, status) {
        (Some(gone), _) => say!(
            "Over the limit: {} if output holds, {} if it is gone.",
            v(lowest),
            v(gone.lowest.1)
        ),
        (None, Status::Holds) => say!("Stays over {keeps} all the way."),
        (None, Status::Fails) => say!("Falls under {keeps}."),
        (None, Status::TooClose) => say!("May fall under {keeps}."),
    };
    let settles = standing
        .as_ref()
        .filter(|_| status == Status::TooClose)
        .and_then(|standing| standing.settles);
    let settle = settles.map_or_else(String::new, |settle| {
        format!(" {}", verdicts::settle_words(car, settle))
    });
    let figure = standing.map_or_else(String::new, |standing| {
        say!("{} to {}", volts(standing.least), v(standing.most))
    });
    Verdict {
        status: form,
        word: word.to_owned(),
        figure,
        line: format!("{} {line}{settle}", which(car, pass)),
        action: settles.and_then(|settle| verdicts::settle_action(car, settle)),
    }
}

/// Which pass of the day it is, and where the voltage is read.
fn which(car: &Car, pass: &PassStudy) -> String {
    let Which { round, of } = pass.which;
    let read_at = names::read_at(car);
    if of > 1 {
        say!("Lowest, {read_at}, in round {round}, the worst of {of}.")
    } else {
        say!("Lowest, {read_at}.")
    }
}

/// The voltage at a moment: one, or both ends.
pub fn volts_at(pass: &PassStudy, at_s: f64) -> String {
    let (gone, holds) = pass.shown_v(at_s);
    if holds - gone < 0.05 {
        volts(holds)
    } else {
        say!("{} to {}", volts(gone), volts(holds))
    }
}

/// The alternator's speed at a moment.
pub fn alternator_at(pass: &PassStudy, at_s: f64) -> String {
    let speed = pass.pass.trace.at(at_s) * pass.ratio;
    say!("alternator {} rpm", rpm(speed))
}

/// The moment of the readout.
pub fn at(passes: &Passes, at_s: f64) -> String {
    let engine = passes
        .each
        .first()
        .map_or(0.0, |(_, pass)| pass.pass.trace.at(at_s));
    say!("at {}, engine {} rpm", seconds(at_s), rpm(engine))
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
            say!(
                ", {} V if output over the limit is gone",
                volts(gone.lowest.1)
            )
        });
        say!(
            "{name}: {} V at the launch, {} V at the end, lowest {} V{gone}",
            volts(pass.holds.launch_v),
            volts(pass.holds.end_v),
            volts(pass.holds.lowest.1)
        )
    });
    say!(
        "Alternator speed and voltage over time. {}.",
        each.collect::<Vec<_>>().join("; ")
    )
}

/// The line that a healthy pass stays over.
pub fn healthy(volts_v: f64) -> String {
    say!("healthy: {}", v(volts_v))
}

/// What a moment is called.
pub fn moment(kind: MomentKind) -> String {
    say!(match kind {
        MomentKind::Launch => "launch",
        MomentKind::Shift => "shift",
        MomentKind::Lowest => "lowest",
        MomentKind::End => "stripe or end",
    })
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
        } else if low >= 120.0 {
            say!("{} to {}", minutes(high), minutes(low))
        } else {
            say!("{} to {}", show::fixed(high, 1), seconds(low))
        }
    };
    let short = if short_low > 0.0 && (short_low, short_high) != (low, high) {
        say!(
            ", over the one for moments for {}",
            range(short_low, short_high)
        )
    } else {
        String::new()
    };
    say!(
        "{name}: over the continuous limit for {}{short}.",
        range(low, high)
    )
}

/// What of the pass is assumed.
pub fn assumed(pass: &PassStudy) -> String {
    match (pass.assumed.gears, pass.assumed.gearing) {
        (true, true) => tell!("Gears and the rpm at the stripe are assumed."),
        (true, false) => tell!("Gears are assumed."),
        (false, true) => tell!("The rpm at the stripe is assumed."),
        (false, false) => String::new(),
    }
}

/// What the lowest voltage with each pulley costs against 13.5 V.
pub fn costs(own: &Costs, lowest_v: &[f64]) -> Vec<Vec<String>> {
    let marked = |text: String, cost: Cost| {
        if cost.held {
            say!("{text} or worse")
        } else {
            text
        }
    };
    let mut rows = vec![
        vec![tell!("Pump flow")],
        vec![tell!("Injector dead time")],
        vec![tell!("Coil dwell")],
    ];
    for &low in lowest_v {
        let found = costing(own, low.min(FULL_V), FULL_V);
        let lost = format!("{}\u{a0}%", signed(100.0 * found.flow_part.value, 0));
        rows[0].push(marked(lost, found.flow_part));
        let more = say!("{}\u{a0}ms", signed(found.dead_ms.value, 2));
        rows[1].push(marked(more, found.dead_ms));
        rows[2].push(found.dwell_s.map_or_else(
            || tell!("never full"),
            |more_s| say!("{}\u{a0}ms", signed(1e3 * more_s, 1)),
        ));
    }
    rows
}

fn signed(value: f64, decimals: u8) -> String {
    let digits = show::fixed(value.abs(), decimals);
    let is_zero = digits.chars().all(|sign| matches!(sign, '0' | '.' | ','));
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
        say!(
            "{} ({} to {})",
            value(input.value),
            value(input.lowest),
            value(input.highest)
        )
    } else {
        value(input.value)
    }
}
