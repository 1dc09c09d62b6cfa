//! The words of the page Day.

use crate::pages::day::Days;
use crate::parts::verdict::{Status as Form, Verdict};
use crate::words::{names, pass, verdicts};
use laneside_core::bus::Regime;
use laneside_core::car::{Car, DayStep};
use laneside_core::day::Books;
use laneside_core::finding::Status;
use laneside_core::quantity::show;
use laneside_core::race::{
    DayAnswer, DayEnd, DayStudy, Ends, Otherwise, Passes, ReadingOff, Rescue, Standing, plan,
};
use laneside_core::tolerance::Spread95;

pub fn answers() -> &'static str {
    say!("Day follows the battery round after round, with both pulleys, and says whether it lasts.")
}
pub fn needs() -> &'static str {
    say!("Needed: the car's pulleys, alternator and loads first.")
}
pub fn chart() -> &'static str {
    say!("Chart of the day")
}
pub fn rail() -> &'static str {
    say!("Time of the day")
}
pub fn percent_label() -> &'static str {
    say!("% charged")
}
pub fn charge_axis() -> &'static str {
    say!("battery charge, %")
}
pub fn voltage_axis() -> &'static str {
    say!("lowest with the engine running, V")
}
pub fn time_axis() -> &'static str {
    say!("hours")
}
pub fn rounds_table() -> &'static str {
    say!("Round after round")
}
pub fn rounds_head() -> [&'static str; 5] {
    say!(["Round", "% after", "lowest, V", "start, V", "rests, V"])
}
pub fn rescues() -> &'static str {
    say!("What saves the day")
}
pub fn rescues_note() -> &'static str {
    say!("The least of each kind, by itself, with the day run again.")
}
pub fn no_rescue() -> &'static str {
    say!(
        "Nothing by itself: not more of the charger in the longest stop, not one load off, not a pulley on hand. Two together may."
    )
}
pub fn otherwise_label() -> &'static str {
    say!("And if")
}
pub fn day() -> &'static str {
    say!("The day")
}
pub const KIND: (&str, [&str; 3]) = note!((
    "Kind of day",
    ["Bracket day", "Track day, sessions", "Test and tune"],
));
pub const KIND_NOTE: &str = note!("Another kind puts its usual steps in place of yours.");
pub fn steps() -> &'static str {
    say!("One round, step by step")
}
pub fn steps_note() -> &'static str {
    say!("Times are common practice until you change them.")
}
pub fn add_step() -> &'static str {
    say!("Add a step")
}
pub fn remove_step() -> &'static str {
    say!("Take out this step")
}
pub fn full() -> &'static str {
    say!("No more than 24.")
}
pub fn phase() -> &'static str {
    say!("Phase")
}
pub fn with() -> &'static str {
    say!("In this step")
}
pub fn switches() -> [&'static str; 2] {
    say!(["Pit charger on", "All switched off"])
}
pub fn reading() -> &'static str {
    say!("A meter reading during the day")
}
pub fn reading_note() -> &'static str {
    say!("With everything off. It sets the charge from that round on.")
}
pub fn charger() -> &'static str {
    say!("Pit charger")
}
pub fn late() -> &'static str {
    say!("Shorter stays in the pits late in the day")
}
pub fn more() -> &'static str {
    say!("Weather, starter, lowest voltage")
}
pub fn sources() -> &'static str {
    say!(
        "Battery, wiring and times as their own notes say; templates of a day: common practice, no source; solved with the pair of Dormand and Prince, 1980."
    )
}

/// The verdict on one pulley's day; its spreads come a moment later.
pub fn verdict(
    car: &Car,
    day: &DayStudy,
    spreads: Option<&[Spread95]>,
    other: Option<&Otherwise>,
) -> Verdict {
    let Some(spreads) = spreads else {
        return Verdict {
            status: Form::Blank,
            word: tell!("WORKING OUT"),
            figure: format!("{}\u{a0}%", percent(day.end_soc())),
            line: tell!("Charge at the end. How sure it is comes in a moment."),
            action: None,
        };
    };
    let end = day.range(spreads, day.at_end());
    let (low, high) = end.map_or_else(Default::default, |(low, high)| {
        (percent(low.max(0.0)), percent(high.min(1.0)))
    });
    let figure = if low == high {
        format!("{low}\u{a0}%")
    } else {
        say!("{low} to {high}\u{a0}%")
    };
    let status = day.status(spreads);
    let (form, word) = match status {
        Status::Holds => (Form::Holds, say!("LASTS")),
        Status::Fails => (Form::Over, say!("RUNS OUT")),
        Status::TooClose => (Form::Close, say!("TOO CLOSE")),
    };
    let standings = day.standings(spreads);
    let worst = standings.first();
    let line = match worst {
        Some(worst) if status != Status::Holds => open(car, day, worst),
        _ => lasts(car, day, other),
    };
    let settles = worst
        .filter(|_| status == Status::TooClose)
        .and_then(|worst| worst.settles);
    let line = match settles {
        Some(settle) => format!("{line} {}", verdicts::settle_words(car, settle)),
        None => line,
    };
    Verdict {
        status: form,
        word: word.to_owned(),
        figure,
        line,
        action: settles.and_then(|settle| verdicts::settle_action(car, settle)),
    }
}

fn percent(part: f64) -> String {
    show::fixed(100.0 * part, 0)
}

/// A day that lasts, and what it asks for.
fn lasts(car: &Car, day: &DayStudy, other: Option<&Otherwise>) -> String {
    let lowest = day.lowest_v().map_or_else(String::new, |volts| {
        say!(" Lowest {} {}.", pass::v(volts), names::read_at(car))
    });
    let revs = other.and_then(|other| {
        let (round, _) = other.not_revved?.ends?;
        Some(say!(
            " Rev it past {} rpm after each start, or it ends in round {round}.",
            pass::rpm(pass::rev_past(other.turn_on_rpm))
        ))
    });
    say!("Charge at the end.{lowest}{}", revs.unwrap_or_default())
}

/// A day that does not last, or may not.
fn open(car: &Car, day: &DayStudy, worst: &Standing<DayAnswer>) -> String {
    if let Some((round, ends)) = day.ends() {
        let may = say!(if worst.status == Status::Fails {
            "In round"
        } else {
            "May end in round"
        });
        return format!("{may} {round}: {}.", self::ends(car, day, ends));
    }
    if let Some((round, ends)) = day.gone.and_then(|gone| gone.ends) {
        return say!(
            "If output over the limit is gone, it ends in round {round}: {}.",
            self::ends(car, day, ends)
        );
    }
    let volts = |what: String| {
        say!(
            "{what} {} to {}, needed {}.",
            pass::volts(worst.least),
            pass::v(worst.most),
            pass::v(worst.line)
        )
    };
    match worst.answer {
        DayAnswer::Running => volts(say!("Lowest running, {}:", names::read_at(car))),
        DayAnswer::AtStart => volts(tell!("At a start, at the battery:")),
        DayAnswer::After(round) | DayAnswer::Least(round) => say!(
            "In round {round} the battery is at {} to {}\u{a0}%.",
            percent(worst.least.max(0.0)),
            percent(worst.most.min(1.0))
        ),
    }
}

fn ends(car: &Car, day: &DayStudy, ends: Ends) -> String {
    match ends {
        Ends::Start => say!(
            "under {} at a start, it may not turn over",
            pass::v(day.cranks_v)
        ),
        Ends::Voltage => say!(
            "under {} {} with the engine running",
            pass::v(day.least_v),
            names::read_at(car)
        ),
        Ends::Empty => tell!("the battery is empty"),
    }
}

/// What a reading during the day says of the model.
pub fn reading_off(reading: &ReadingOff) -> String {
    say!(
        "Before round {}: the reading says {}\u{a0}% charged, worked out was {}\u{a0}%. From there on the day follows the reading.",
        reading.before_round,
        percent(reading.read_soc),
        percent(reading.expected_soc)
    )
}

/// The charge at a time (h).
pub fn charge_at(day: &DayStudy, hours: f64) -> String {
    day.at(hours * 3_600.0)
        .map_or_else(String::new, |(_, sample)| {
            show::fixed(100.0 * sample.soc, 0)
        })
}

/// The voltage at the posts at a time (h).
pub fn volts_at(day: &DayStudy, hours: f64) -> String {
    day.at(hours * 3_600.0)
        .map_or_else(String::new, |(_, sample)| {
            if sample.settled.regime == Regime::Collapsed {
                tell!("nothing left for the loads")
            } else {
                say!("{} at the battery", pass::v(sample.settled.node_v))
            }
        })
}

/// Hours and minutes.
fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    format!(
        "{}:{:02} h",
        (minutes / 60.0).floor(),
        (minutes % 60.0) as u32
    )
}

/// The moment of the readout.
pub fn at(days: &Days, hours: f64) -> String {
    let car = &days.answer.car;
    let here = days
        .each
        .first()
        .and_then(|(_, day)| day.at(hours * 3_600.0));
    here.map_or_else(String::new, |(segment, _)| {
        say!(
            "after {}, round {}, {}",
            clock(hours),
            segment.round,
            names::phase(car, segment.place)
        )
    })
}

/// The readout in words.
pub fn readings(days: &Days, hours: f64, at: &str) -> String {
    let each = days.each.iter().map(|(name, day)| {
        say!(
            "{name}: {} % charged, {}",
            charge_at(day, hours),
            volts_at(day, hours)
        )
    });
    format!("{at}: {}", each.collect::<Vec<_>>().join("; "))
}

/// The chart in words.
pub fn summary(days: &Days) -> String {
    let each = days.each.iter().map(|(name, day)| {
        let lowest = day.lowest_v().map_or_else(String::new, |volts| {
            say!(", lowest {} V with the engine running", pass::volts(volts))
        });
        say!(
            "{name}: {} % charged at the end{lowest}",
            percent(day.end_soc())
        )
    });
    say!(
        "Battery charge and lowest voltage over the day. {}.",
        each.collect::<Vec<_>>().join("; ")
    )
}

/// The line that the person will not race under.
pub fn least(volts_v: f64) -> String {
    say!("least: {}", pass::v(volts_v))
}

/// The rounds as rows.
pub fn rounds(day: &DayStudy) -> Vec<Vec<String>> {
    let volts = |value: Option<f64>| value.map_or_else(|| tell!("none"), pass::volts);
    (1..)
        .zip(&day.rounds)
        .map(|(number, round): (u32, _)| {
            let mark = say!(if round.ends.is_some() { ": ends" } else { "" });
            vec![
                format!("{number}{mark}"),
                percent(round.end_soc),
                volts(round.lowest.map(|(_, volts)| volts)),
                volts(round.crank_v),
                show::fixed(round.rest_v, 2),
            ]
        })
        .collect()
}

/// What saves a day, as an instruction.
pub fn rescue(car: &Car, rescue: &Rescue) -> String {
    let where_ = |step: usize| {
        let plan = plan(car);
        let place = plan.steps.get(step).map(|(place, _)| *place);
        place.map_or_else(String::new, |place| names::phase(car, place))
    };
    match rescue {
        Rescue::Charger { step, minutes } => say!(
            "The charger on for {}\u{a0}min of every {}.",
            show::fixed(*minutes, 0),
            stay(&where_(*step))
        ),
        Rescue::ChargerOnce {
            step,
            minutes,
            round,
        } => say!(
            "Or once only: {}\u{a0}min in the {} of round {round}.",
            show::fixed(*minutes, 0),
            where_(*step)
        ),
        Rescue::Load { place } => {
            let id = laneside_core::resolve::InputId::Load(*place);
            let load = verdicts::capital(&names::input(car, id));
            say!("{load} off while the engine is off.")
        }
        Rescue::Pulley { pulley } => say!("The {} pulley.", names::size(car, pulley)),
    }
}

fn stay(phase: &str) -> String {
    if phase == names::phase_id("pits") {
        tell!("stay in the pits")
    } else {
        phase.to_owned()
    }
}

/// The same day in other ways, line by line.
pub fn otherwise(other: &Otherwise, day: &DayStudy) -> Vec<String> {
    let stops = |ends: Ends| match ends {
        Ends::Start => say!("it may not turn over, under {}", pass::v(day.cranks_v)),
        Ends::Voltage => say!("the voltage is too low, under {}", pass::v(day.least_v)),
        Ends::Empty => tell!("the battery is empty"),
    };
    let count = |passes: Passes| match passes {
        None => tell!("more than 30 passes"),
        Some((0, ends)) => say!("not one pass, {}", stops(ends)),
        Some((1, ends)) => say!("1 pass, then {}", stops(ends)),
        Some((passes, ends)) => say!("{passes} passes, then {}", stops(ends)),
    };
    let mut lines = Vec::new();
    lines.extend(other.passes.map(|passes| {
        let gone = other.passes_gone.filter(|gone| *gone != passes);
        match gone {
            Some(gone) => say!(
                "Back to back, no break: {} if output over the limit holds; {} if it is gone.",
                count(passes),
                count(gone)
            ),
            None => say!("Back to back, no break: {}.", count(passes)),
        }
    }));
    lines.extend(other.passes_on_battery.map(|passes| {
        say!(
            "With a dead alternator, on the battery alone: {}.",
            count(passes)
        )
    }));
    let other_day = |end: DayEnd| {
        let lowest = end
            .lowest_v
            .map_or_else(String::new, |volts| say!(", lowest {}", pass::v(volts)));
        let soc = percent(end.end_soc);
        match end.ends {
            Some((round, ends)) => {
                say!(
                    "it ends in round {round} at {soc}\u{a0}%{lowest}: {}",
                    stops(ends)
                )
            }
            None => say!("{soc}\u{a0}% at the end{lowest}"),
        }
    };
    lines.extend(
        day.gone
            .map(|end| say!("If output over the limit is gone: {}.", other_day(end))),
    );
    lines.extend(other.not_revved.map(|end| {
        say!(
            "If nobody revs it past {} rpm after a start, so that it never turns on at idle: {}.",
            pass::rpm(pass::rev_past(other.turn_on_rpm)),
            other_day(end)
        )
    }));
    lines
}

/// What is known of a step.
pub fn step(step: &DayStep, is_pass: bool) -> String {
    let mut line = if is_pass {
        tell!("as long as the pass")
    } else if step.seconds < 90.0 {
        format!("{} s", show::fixed(step.seconds, 0))
    } else {
        format!("{} min", show::fixed(step.seconds / 60.0, 0))
    };
    if step.off {
        line.push_str(say!(", all off"));
    }
    match step.starts {
        0 => {}
        1 => line.push_str(say!(", 1 start")),
        more => line.push_str(&say!(", {more} starts")),
    }
    if step.charger {
        line.push_str(say!(", charger on"));
    }
    line
}

/// The energy books in words.
pub fn books(books: &Books) -> String {
    let wh = |joules: f64| show::fixed(joules / 3_600.0, 0);
    let lost = books.path_j + books.ohmic_j + books.pair_j + books.unstored_j;
    say!(
        "{} Wh made, {} into loads, {} lost, {} stored",
        wh(books.generated_j),
        wh(books.loads_j),
        wh(lost),
        wh(books.stored_j)
    )
}
