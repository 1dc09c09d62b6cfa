//! The figures of a pass in words, and what the log holds besides.

use super::{rpm, seconds, tenths, volts};
use laneside_core::log::figures::{Between, Crank, Figures, Gear, Over, Overspeed, Read};
use laneside_core::log::passes::{Aside, Pass, PassKind, Span};
use laneside_core::log::{Missing, Seen, Within};
use laneside_core::quantity::show;

pub fn figures() -> &'static str {
    say!("Figures of this pass")
}
pub fn head() -> [&'static str; 3] {
    say!(["", "Voltage", "Engine rpm"])
}
pub fn gears_label() -> &'static str {
    say!("Gear by gear")
}
pub fn gears_head() -> [&'static str; 3] {
    say!(["Gear, rpm", "V per 1,000 rpm", "After the shift"])
}
pub fn of_alternator_label() -> &'static str {
    say!("V per 1,000 rpm of the alternator.")
}
pub fn of_engine() -> &'static str {
    say!("V per 1,000 rpm of the engine: the ratio is not known.")
}
pub fn over_label() -> &'static str {
    say!("Over the alternator's limit")
}
pub fn over_head() -> [&'static str; 3] {
    say!(["", "On the car", "To try"])
}
fn time_over_label() -> &'static str {
    say!("Time over it, s")
}
fn peak_over_label() -> &'static str {
    say!("Peak over it, rpm")
}
pub fn between_label() -> &'static str {
    say!("Between the passes")
}
pub fn no_ratio() -> &'static str {
    say!("Needed: both pulleys. Then the log says how long the alternator was over its limit.")
}
pub fn enter() -> &'static str {
    say!("Enter the pulleys")
}

/// Why something is not there.
pub fn absent<T>(seen: &Seen<T>) -> String {
    match seen {
        Seen::Found(_) => String::new(),
        Seen::TooSlow { hz, needs_hz } => say!(
            "log too slow: {}, needs {}\u{a0}Hz",
            show::fixed(*hz, if *hz < 10.0 { 1 } else { 0 }),
            show::fixed(*needs_hz, 0)
        ),
        Seen::Missing(Missing::Channel) => tell!("not recorded"),
        Seen::Missing(Missing::Moment) => tell!("not in this log"),
        Seen::Missing(Missing::Short) => tell!("too short for it"),
        Seen::Missing(Missing::Samples) => tell!("too few samples"),
        Seen::Missing(Missing::Entry) => tell!("the car does not say"),
    }
}

/// A number with how far off it may be.
fn within(value: Within, decimals: u8) -> String {
    let number = show::fixed(value.value, decimals);
    let off = show::fixed(value.half_width, decimals);
    let is_zero = off.chars().all(|sign| matches!(sign, '0' | '.' | ','));
    if is_zero {
        number
    } else {
        format!("{number}\u{a0}±\u{a0}{off}")
    }
}

fn read_row(name: &str, read: &Seen<Read>) -> Vec<String> {
    match read {
        Seen::Found(read) => vec![
            name.to_owned(),
            within(read.volts, 2),
            show::grouped((read.rpm / 10.0).round() * 10.0, 0),
        ],
        absent_ => vec![name.to_owned(), absent(absent_), String::new()],
    }
}

/// Idle, launch, lowest, stripe, after.
pub fn rows(figures: &Figures) -> Vec<Vec<String>> {
    let lowest = match &figures.lowest {
        Seen::Found(lowest) => vec![
            tell!("Lowest"),
            show::fixed(lowest.volts, 2),
            show::grouped((lowest.rpm / 10.0).round() * 10.0, 0),
        ],
        other => vec![tell!("Lowest"), absent(other), String::new()],
    };
    vec![
        read_row(say!("Idle before it"), &figures.idle),
        read_row(say!("Launch"), &figures.launch),
        lowest,
        read_row(say!("Stripe"), &figures.stripe),
        read_row(say!("After it"), &figures.after),
    ]
}

/// Each gear: its slope, and what the shift out of it does.
pub fn gears(gears: &[Gear]) -> Vec<Vec<String>> {
    let row = |(place, gear): (usize, &Gear)| {
        let slope = match &gear.slope {
            Seen::Found(slope) => within(slope.per_1000_rpm, 2),
            other => absent(other),
        };
        let recovery = match &gear.recovery {
            Seen::Found(recovery) => {
                let time = recovery.within_s.map_or_else(String::new, |time| {
                    if time < 0.1 {
                        tell!(" at once")
                    } else {
                        say!(" within {}", seconds(time))
                    }
                });
                format!("{}\u{a0}V{time}", within(recovery.volts, 2))
            }
            Seen::Missing(Missing::Moment) => tell!("none"),
            other => absent(other),
        };
        let ends = say!(
            "{}: {} to\u{a0}{}",
            place + 1,
            show::grouped((gear.rpm.0 / 10.0).round() * 10.0, 0),
            show::grouped((gear.rpm.1 / 10.0).round() * 10.0, 0)
        );
        vec![ends, slope, recovery]
    };
    gears.iter().enumerate().map(row).collect()
}

/// Whether slopes are of alternator speed.
pub fn of_alternator(gears: &[Gear]) -> Option<&'static str> {
    let slope = gears.iter().find_map(|gear| gear.slope.found())?;
    Some(if slope.of_alternator {
        of_alternator_label()
    } else {
        of_engine()
    })
}

/// Two ends of a range in one unit, or the one number that they are.
pub fn ends(one: f64, other: f64, number: fn(f64) -> String) -> String {
    let (low, high) = (one.min(other), one.max(other));
    if number(low) == number(high) {
        number(high)
    } else {
        say!("{} to {}", number(low), number(high))
    }
}

/// Seconds as a plain number.
pub fn plain_s(value: f64) -> String {
    if value <= 0.0 {
        "0".to_owned()
    } else {
        show::fixed(value, 1)
    }
}

fn plain_rpm(value: f64) -> String {
    show::grouped((value / 10.0).round() * 10.0, 0)
}

fn time_over((one, other): (Over, Over)) -> String {
    ends(one.seconds, other.seconds, plain_s)
}

/// How far the peak is over a limit; nothing where it stays under.
fn peak_over((one, other): (Over, Over)) -> String {
    let over = |over: Over| over.by_rpm.max(0.0);
    ends(over(one), over(other), plain_rpm)
}

fn limit_of((one, other): (Over, Over)) -> String {
    ends(one.limit_rpm, other.limit_rpm, plain_rpm)
}

/// What each pulley did or would have done to the alternator; the one to try only where there is one.
pub fn over(figures: &Figures) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    let both = [&figures.fitted, &figures.tried];
    let named = over_head().into_iter().skip(1).zip(both);
    let (names, known): (Vec<&str>, Vec<&Overspeed>) = named
        .filter_map(|(name, seen)| Some((name, seen.found()?)))
        .unzip();
    let first = known.first()?;
    let assumed = say!(if first.assumed { ", assumed" } else { "" });
    let row = |name: String, read: fn(&Overspeed) -> String| {
        let cells = known.iter().map(|over| read(over));
        [name].into_iter().chain(cells).collect::<Vec<String>>()
    };
    let head = [over_head()[0]].into_iter().chain(names);
    let rows = vec![
        row(tell!("Highest speed, rpm"), |over| {
            plain_rpm(over.highest_rpm)
        }),
        row(say!("Limit for good, rpm{assumed}"), |over| {
            limit_of(over.continuous)
        }),
        row(time_over_label().to_owned(), |over| {
            time_over(over.continuous)
        }),
        row(peak_over_label().to_owned(), |over| {
            peak_over(over.continuous)
        }),
        row(say!("Limit for moments, rpm{assumed}"), |over| {
            limit_of(over.short)
        }),
        row(time_over_label().to_owned(), |over| time_over(over.short)),
        row(peak_over_label().to_owned(), |over| peak_over(over.short)),
    ];
    Some((head.map(str::to_owned).collect(), rows))
}

/// What a pass is called until the person says otherwise.
pub fn pass_name(place: usize, pass: &Pass) -> String {
    let kind = say!(match pass.kind {
        PassKind::Drag => "Pass",
        PassKind::Session => "Session",
    });
    format!("{kind} {}", place + 1)
}

/// A pass in one line.
pub fn pass_line(pass: &Pass) -> String {
    let shifts = match &pass.shifts {
        Seen::Found(shifts) => match shifts.len() {
            0 => String::new(),
            1 => tell!(", 1 shift"),
            count => say!(", {count} shifts"),
        },
        other => say!("; shifts: {}", absent(other)),
    };
    say!(
        "{} from {} on, up to {}{shifts}",
        seconds(pass.span.to_s - pass.span.from_s),
        seconds(pass.span.from_s),
        rpm(pass.highest_rpm)
    )
}

/// High rpm that is no pass.
pub fn aside((span, why): &(Span, Aside)) -> String {
    let why = say!(match why {
        Aside::Short => "a blip",
        Aside::Burnout => "a burnout",
        Aside::Standing => "the car stood",
    });
    say!("At {}: {why}, no pass.", seconds(span.from_s))
}

/// What stood between two passes.
pub fn between(between: &Between) -> String {
    let off = between
        .off
        .map(|read| say!("{} with the engine off", volts(read.volts.value)));
    let running = between
        .running
        .map(|read| say!("{} running at {}", volts(read.volts.value), rpm(read.rpm)));
    let both: Vec<String> = [off, running].into_iter().flatten().collect();
    let what = if both.is_empty() {
        tell!("nothing to read")
    } else {
        both.join(", ")
    };
    say!(
        "{} between, from {} on: {what}.",
        seconds(between.span.to_s - between.span.from_s),
        seconds(between.span.from_s)
    )
}

/// Time of a pass of which nothing was recorded; none where that is not worth a word.
pub fn unknown(seconds_unknown: f64) -> Option<String> {
    (seconds_unknown > 0.0).then(|| {
        say!(
            "{} of it were not recorded: what the alternator did then is not counted.",
            seconds(seconds_unknown)
        )
    })
}

/// Why the starts of the engine do not show; none where there is none.
pub fn no_cranks(cranks: &Seen<Vec<Crank>>) -> Option<String> {
    matches!(cranks, Seen::TooSlow { .. }).then(|| say!("Starts: {}.", absent(cranks)))
}

/// A start of the engine.
pub fn crank(crank: &Crank) -> String {
    say!(
        "Start at {}: from {} down to {} for {}.",
        seconds(crank.at_s),
        tenths(crank.rested_v),
        tenths(crank.lowest_v),
        seconds(crank.seconds)
    )
}
