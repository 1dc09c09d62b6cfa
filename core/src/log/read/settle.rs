//! What the rows come to once all are read: times in order, columns with numbers, the questions left.

use super::body::{Body, Dates, Shape};
use super::clock::{Clock, Ordered};
use super::lane::Lane;
use super::plan::Stamp;
use super::report::Report;
use super::{
    About, Answer, DateOrder, Options, Place, Question, Read, ReadError, Repeats, SESSION_GAP_S,
    Sessions, Table, TimeColumn, TimeSource, moment,
};

/// Makes a table of the rows read.
pub(super) fn settle(
    body: Body,
    options: &Options,
    mut questions: Vec<Question>,
    bytes: u64,
) -> Result<Read, ReadError> {
    let mut report = body.frame.report;
    report.bytes = bytes;
    report.lines = body.frame.line;
    let stamp = match &body.shape {
        Shape::Wide(wide) => wide.time,
        Shape::Long(long) => Some(long.time),
    };
    let (source, mut groups, rows) = match body.shape {
        Shape::Wide(wide) => {
            let name = wide
                .time
                .and_then(|(column, _)| wide.lanes.get(column))
                .map(|lane| lane.name.clone());
            let time = wide.time.map(|(column, _)| column);
            let lanes = wide.lanes.into_iter().enumerate();
            let lanes = lanes
                .filter(|(column, _)| Some(*column) != time)
                .map(|(_, lane)| lane)
                .collect();
            let source = source(wide.time, name.unwrap_or_default());
            let rows = wide.rows;
            (source, vec![(wide.clock, lanes)], rows)
        }
        Shape::Long(long) => {
            let groups = long
                .channels
                .into_iter()
                .map(|(lane, clock)| (clock, vec![lane]))
                .collect();
            (source(Some(long.time), long.time_name), groups, long.rows)
        }
    };
    for (clock, _) in &mut groups {
        match stamp {
            Some((_, Stamp::Clock { hours: true })) => clock.unroll(86_400.0, 0.5),
            // Minutes may also start anew with a session: only from the very end to the very start they go on.
            Some((_, Stamp::Clock { hours: false })) => clock.unroll(3_600.0, 0.99),
            _ => {}
        }
    }
    report.rows = rows as u64;
    // What is read as no number may be one once that is answered.
    let open = !questions.is_empty();
    match rows {
        _ if open => {}
        0 => {
            return Err(ReadError::NoNumbers {
                lines: report.lines,
            });
        }
        1 => {
            let first = groups
                .iter()
                .map(|(clock, _)| clock.first())
                .max()
                .unwrap_or_default();
            let at = if first.line > 0 {
                first
            } else {
                Place {
                    line: report.lines.max(1),
                    column: 1,
                }
            };
            return Err(ReadError::OneRow { at });
        }
        _ => {}
    }
    let source = settle_times(
        &mut groups,
        source,
        rows,
        options,
        &mut questions,
        &mut report,
    );
    ask_date(&body.frame.dates, options, &mut questions);
    let mut table = Table {
        time: source,
        ..Table::default()
    };
    for (clock, lanes) in groups {
        for lane in lanes {
            lane.report(&mut report);
            if lane.values.is_empty() {
                if lane.text.count > 0 || !lane.name.starts_with("Column ") {
                    report.left_out.push(lane.name);
                }
                continue;
            }
            table.columns.push(lane.finish(table.clocks.len()));
        }
        table.clocks.push(clock.times);
    }
    if table.columns.is_empty() && !open {
        return Err(ReadError::NoNumbers {
            lines: report.lines,
        });
    }
    report.skipped.sort_by_key(|skipped| skipped.first);
    Ok(Read {
        table,
        report,
        questions,
    })
}

fn source(time: Option<(usize, Stamp)>, column: String) -> TimeSource {
    match time.map(|(_, stamp)| stamp) {
        None => TimeSource::Unknown,
        Some(Stamp::Number(unit)) => TimeSource::Number { column, unit },
        Some(Stamp::Clock { .. }) => TimeSource::Clock { column },
        Some(Stamp::Date(_)) => TimeSource::Date { column },
    }
}

type Group = (Clock, Vec<Lane>);

/// Makes times that never fall and start at zero, and asks where that is not sure.
fn settle_times(
    groups: &mut [Group],
    source: TimeSource,
    rows: usize,
    options: &Options,
    questions: &mut Vec<Question>,
    report: &mut Report,
) -> TimeSource {
    let first = groups
        .iter()
        .map(|(clock, _)| clock.first())
        .min()
        .unwrap_or_default();
    let stands = source == TimeSource::Unknown
        || groups
            .iter()
            .all(|(clock, _)| clock.times.len() < 2 || clock.stands_still());
    if stands {
        let by_rate = options.rate();
        if by_rate.is_none() {
            ask(questions, About::Rate, first, vec![]);
        }
        let rate = by_rate.unwrap_or(1.0);
        for (clock, lanes) in groups {
            let count = if source == TimeSource::Unknown {
                rows
            } else {
                clock.times.len()
            };
            clock.times.clear();
            clock.times.extend((0..count).map(|row| row as f64 / rate));
            debug_assert!(
                lanes
                    .iter()
                    .all(|lane| lane.values.is_empty() || lane.values.len() == count)
            );
        }
        return by_rate.map_or(TimeSource::Unknown, TimeSource::Rate);
    }
    if options.time_column.is_none() && groups.iter().any(|(clock, _)| clock.is_wild()) {
        ask(
            questions,
            About::TimeColumn,
            first,
            vec![Answer::TimeColumn(TimeColumn::Absent)],
        );
    }
    for (clock, _) in groups.iter() {
        if let Some((count, at)) = clock.repeated() {
            let (before, first) = report.repeated.unwrap_or((0, at));
            report.repeated = Some((before + count, first.min(at)));
        }
    }
    let coarse = groups
        .iter()
        .any(|(clock, _)| clock.times.len() > 3 && clock.repeats_often());
    if coarse && options.repeats.is_none() {
        let at = report.repeated.map_or(first, |(_, at)| at);
        ask(
            questions,
            About::Repeats,
            at,
            [Repeats::Spread, Repeats::Keep]
                .map(Answer::Repeats)
                .to_vec(),
        );
    }
    put_in_order(groups, options, questions, report);
    if coarse && options.repeats != Some(Repeats::Keep) {
        groups
            .iter_mut()
            .for_each(|(clock, _)| Clock::spread(&mut clock.times));
    }
    let start = groups
        .iter()
        .filter_map(|(clock, _)| clock.times.first().copied())
        .fold(f64::INFINITY, f64::min);
    if start.is_finite() && start != 0.0 {
        for (clock, _) in groups.iter_mut() {
            clock.times.iter_mut().for_each(|time| *time -= start);
        }
    }
    source
}

/// Leaves stray rows out, and joins or picks sessions.
fn put_in_order(
    groups: &mut [Group],
    options: &Options,
    questions: &mut Vec<Question>,
    report: &mut Report,
) {
    let ordered: Vec<Ordered> = groups.iter().map(|(clock, _)| clock.order()).collect();
    let most = ordered
        .iter()
        .map(|ordered| ordered.spans.len())
        .max()
        .unwrap_or(1);
    // Where each session starts: channels of a long table start it within a few lines.
    let mut starts = vec![u64::MAX; most];
    for ordered in ordered.iter().filter(|ordered| ordered.spans.len() == most) {
        for (start, span) in starts.iter_mut().zip(&ordered.spans) {
            *start = (*start).min(span.2.line);
        }
    }
    let session = |at: Place| {
        starts
            .iter()
            .filter(|start| **start <= at.line)
            .count()
            .saturating_sub(1)
    };
    let mut spans = vec![(f64::INFINITY, f64::NEG_INFINITY); most];
    for ((clock, _), ordered) in groups.iter().zip(&ordered) {
        for &(from, to, at) in &ordered.spans {
            let times = clock.times.get(from..to).unwrap_or_default();
            if let Some((start, end)) = spans.get_mut(session(at)) {
                *start = times.first().map_or(*start, |first| start.min(*first));
                *end = times.iter().copied().fold(*end, f64::max);
            }
        }
    }
    let answer = match options.sessions {
        Some(Sessions::Only(only)) if only < most => Some(Sessions::Only(only)),
        Some(Sessions::Joined) => Some(Sessions::Joined),
        _ => None,
    };
    if most > 1 && answer.is_none() {
        let longest = groups
            .iter()
            .zip(&ordered)
            .filter(|(_, ordered)| ordered.spans.len() == most);
        if let Some(((clock, _), ordered)) = longest.max_by_key(|((clock, _), _)| clock.times.len())
        {
            let sessions = clock.sessions(ordered);
            let at = sessions
                .get(1)
                .map_or(Place::default(), |session| session.at);
            let mut answers = vec![Answer::Sessions(Sessions::Joined)];
            answers.extend((0..sessions.len()).map(|one| Answer::Sessions(Sessions::Only(one))));
            ask(questions, About::Sessions(sessions), at, answers);
        }
    }
    let mut end = f64::NEG_INFINITY;
    let mut shifts = vec![];
    for (number, (start, last)) in spans.into_iter().enumerate() {
        shifts.push(match answer {
            Some(Sessions::Only(only)) if only != number => None,
            _ if end.is_finite() && start.is_finite() => Some(end + SESSION_GAP_S - start),
            _ => Some(0.0),
        });
        if let Some(Some(shift)) = shifts.last()
            && last.is_finite()
        {
            end = last + shift;
        }
    }
    let simple = most == 1 && ordered.iter().all(|ordered| ordered.strays.is_empty());
    if simple {
        return;
    }
    report.rows = 0;
    for ((clock, lanes), ordered) in groups.iter_mut().zip(&ordered) {
        let keep = clock.settle(ordered, session, &shifts, report);
        let mut rows = keep.iter();
        clock
            .times
            .retain(|_| rows.next().copied().unwrap_or(false));
        for lane in lanes.iter_mut().filter(|lane| !lane.values.is_empty()) {
            let mut rows = keep.iter();
            lane.values
                .retain(|_| rows.next().copied().unwrap_or(false));
        }
        report.rows += clock.times.len() as u64;
    }
}

fn ask(questions: &mut Vec<Question>, about: About, at: Place, answers: Vec<Answer>) {
    if questions.iter().all(|question| question.about != about) {
        questions.push(Question {
            about,
            at,
            example: String::new(),
            answers,
        });
    }
}

/// Asks for the order of dates where several days make a difference of it.
fn ask_date(dates: &Dates, options: &Options, questions: &mut Vec<Question>) {
    let Some((date, at, text)) = dates
        .first
        .as_ref()
        .filter(|_| options.date_order.is_none())
    else {
        return;
    };
    let separator = text.bytes().find(|byte| !byte.is_ascii_alphanumeric());
    let mut orders = moment::orders(*date, separator);
    orders.sort_by_key(|order| *order == DateOrder::YearMonthDay);
    if dates.impossible || (dates.differ && orders.len() > 1) {
        questions.push(Question {
            about: About::DateOrder,
            at: *at,
            example: text.clone(),
            answers: orders.into_iter().map(Answer::DateOrder).collect(),
        });
    }
}
