//! The times of rows: taken in as they come, put in order at the end.

use super::report::{Reason, Report};
use super::{Place, Session};

/// Rows that go back in time, beyond which a column is no time.
const MOST_BACK: usize = 1_000;
/// Rows after which a step back is no longer a stray row.
const STRAY: usize = 5;

/// Times of rows, as far as read.
#[derive(Debug, Default)]
pub(super) struct Clock {
    /// s, not yet in order.
    pub times: Vec<f64>,
    last: Option<f64>,
    /// Rows earlier than the one before, and where they are.
    back: Vec<(usize, Place)>,
    repeats: u64,
    first_repeat: Place,
    first: Place,
}

/// What the rows of a clock come to.
#[derive(Debug, Default)]
pub(super) struct Ordered {
    /// Stretches in which time does not go back: first row, row after the last, where it starts.
    pub spans: Vec<(usize, usize, Place)>,
    /// Rows left out of the spans: each is earlier than the one before, or far ahead of those after.
    pub strays: Vec<usize>,
}

impl Ordered {
    /// A row or two beside hundreds are no session.
    fn drop_crumbs(&mut self) {
        let most = self
            .spans
            .iter()
            .map(|span| span.1 - span.0)
            .max()
            .unwrap_or(0);
        let strays = &mut self.strays;
        self.spans.retain(|&(from, to, _)| {
            let crumb = (to - from) * 20 <= most && to - from <= 2;
            if crumb {
                strays.extend(from..to);
            }
            !crumb
        });
        self.strays.sort_unstable();
    }
}

impl Clock {
    pub fn reserve(&mut self, rows: usize) {
        self.times.reserve_exact(rows);
    }

    /// Adds the time of a row.
    #[inline(always)]
    pub fn push(&mut self, time: f64, line: u64) {
        match self.last {
            Some(last) if time > last => {}
            _ => self.unusual(time, line),
        }
        self.last = Some(time);
        self.times.push(time);
    }

    #[cold]
    fn unusual(&mut self, time: f64, line: u64) {
        let at = Place {
            line: line + 1,
            column: 1,
        };
        match self.last {
            None => self.first = at,
            Some(last) if time == last => {
                if self.repeats == 0 {
                    self.first_repeat = at;
                }
                self.repeats += 1;
            }
            Some(_) => {
                if self.back.len() <= MOST_BACK {
                    self.back.push((self.times.len(), at));
                }
            }
        }
    }

    /// Rows with the time of the row before, and the first of them.
    pub fn repeated(&self) -> Option<(u64, Place)> {
        (self.repeats > 0).then_some((self.repeats, self.first_repeat))
    }

    /// Where the first row is.
    pub const fn first(&self) -> Place {
        self.first
    }

    /// Whether time goes back so often that it is none.
    pub fn is_wild(&self) -> bool {
        self.back.len() > MOST_BACK || self.back.len() * 4 > self.times.len()
    }

    /// Whether all rows have the same time.
    pub fn stands_still(&self) -> bool {
        self.repeats > 0 && self.repeats + 1 == self.times.len() as u64
    }

    /// Whether most rows have the time of the row before.
    pub fn repeats_often(&self) -> bool {
        self.repeats * 2 >= self.times.len() as u64
    }

    /// Lets a clock that starts anew after so many seconds go on: one of hours after a day, one of minutes after an
    /// hour.
    pub fn unroll(&mut self, period: f64, nearly: f64) {
        let mut days = 0.0;
        let mut back = std::mem::take(&mut self.back);
        let mut from = 0;
        back.retain(|&(row, _)| {
            let before = row
                .checked_sub(1)
                .and_then(|row| self.times.get(row))
                .copied()
                .unwrap_or(0.0);
            let now = self.times.get(row).copied().unwrap_or(0.0);
            for time in self.times.get_mut(from..row).unwrap_or_default() {
                *time += days;
            }
            from = row;
            let rolls = before < period && before - now > nearly * period;
            if rolls {
                days += period;
            }
            !rolls
        });
        for time in self.times.get_mut(from..).unwrap_or_default() {
            *time += days;
        }
        self.back = back;
    }

    /// Splits the rows where time starts anew.
    pub fn order(&self) -> Ordered {
        let time = |row: usize| self.times.get(row).copied();
        let mut ordered = Ordered::default();
        let mut start = (0, self.first);
        let mut skip_to = 0;
        for &(row, at) in &self.back {
            if row < skip_to {
                continue;
            }
            let Some((before, now)) = row.checked_sub(1).and_then(time).zip(time(row)) else {
                continue;
            };
            // The row before was far ahead: without it time goes on.
            let two_before = row
                .checked_sub(2)
                .filter(|two| *two >= start.0 && *two >= skip_to);
            if let Some(earlier) = two_before.and_then(time)
                && now >= earlier
                && before - earlier > 10.0 * (now - earlier)
            {
                ordered.strays.push(row - 1);
                continue;
            }
            // Soon time is where it was: the rows until then are strays.
            let resumed = (row + 1..=row + STRAY)
                .find(|later| time(*later).is_some_and(|later| later >= before));
            if let Some(resumed) = resumed {
                ordered.strays.extend(row..resumed);
                skip_to = resumed;
                continue;
            }
            ordered.spans.push((start.0, row, start.1));
            start = (row, at);
        }
        ordered.spans.push((start.0, self.times.len(), start.1));
        ordered.drop_crumbs();
        ordered
    }

    /// What a person can tell the stretches by.
    pub fn sessions(&self, ordered: &Ordered) -> Vec<Session> {
        let session = |&(from, to, at): &(usize, usize, Place)| {
            let span = self.times.get(from..to).unwrap_or_default();
            let seconds = span
                .first()
                .zip(span.last())
                .map_or(0.0, |(first, last)| last - first);
            Session {
                at,
                rows: to - from,
                seconds,
            }
        };
        ordered.spans.iter().map(session).collect()
    }

    /// The rows to keep, in order, with their times made to follow each other. `session` tells which session a
    /// stretch that starts there is of, `shifts` what each session's times are moved by; without it is left out.
    pub fn settle(
        &mut self,
        ordered: &Ordered,
        session: impl Fn(Place) -> usize,
        shifts: &[Option<f64>],
        report: &mut Report,
    ) -> Vec<bool> {
        let mut keep = vec![false; self.times.len()];
        for &(from, to, at) in &ordered.spans {
            match shifts.get(session(at)).copied().flatten() {
                None => report.skip_many(Reason::OtherSession, (to - from) as u64, at),
                Some(shift) => {
                    keep.get_mut(from..to).unwrap_or_default().fill(true);
                    for time in self.times.get_mut(from..to).unwrap_or_default() {
                        *time += shift;
                    }
                }
            }
        }
        for &row in &ordered.strays {
            if let Some(keep) = keep.get_mut(row) {
                *keep = false;
            }
        }
        // Sessions told apart by another channel may leave rows that still go back.
        let mut strays = ordered.strays.len() as u64;
        let mut last = f64::NEG_INFINITY;
        for (keep, &time) in keep.iter_mut().zip(&self.times).filter(|(keep, _)| **keep) {
            *keep = time >= last;
            last = last.max(time);
            strays += u64::from(!*keep);
        }
        if strays > 0 {
            let first = ordered.strays.first().copied().unwrap_or(0);
            let known = self.back.iter().find(|(back, _)| *back >= first);
            let at = known.map_or(self.first, |(_, at)| *at);
            report.skip_many(Reason::Backward, strays, at);
        }
        keep
    }

    /// Spreads rows of the same time until the next time.
    pub fn spread(times: &mut [f64]) {
        let mut from = 0;
        let mut width = 0.0;
        while let Some(&now) = times.get(from) {
            let count = times
                .get(from..)
                .unwrap_or_default()
                .iter()
                .take_while(|time| **time == now)
                .count();
            let next = times.get(from + count).copied();
            // The last group lasts as long as the one before it.
            width = next.map_or(width, |next| next - now);
            for (place, time) in times
                .get_mut(from..from + count)
                .unwrap_or_default()
                .iter_mut()
                .enumerate()
            {
                *time = now + width * place as f64 / count as f64;
            }
            from += count.max(1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clock(times: &[f64]) -> Clock {
        let mut clock = Clock::default();
        for (line, &time) in times.iter().enumerate() {
            clock.push(time, line as u64);
        }
        clock
    }

    #[test]
    fn stray_rows_are_told_from_a_new_start() {
        let ordered = clock(&[0.0, 1.0, 2.0, 0.5, 3.0, 4.0]).order();
        assert_eq!((ordered.spans.len(), ordered.strays), (1, vec![3]));
        let ordered = clock(&[0.0, 1.0, 900.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0]).order();
        assert_eq!((ordered.spans.len(), ordered.strays), (1, vec![2]));
        let twice: Vec<f64> = (0..20).map(|row| f64::from(row % 10)).collect();
        let new = clock(&twice);
        let ordered = new.order();
        let spans: Vec<_> = ordered.spans.iter().map(|span| (span.0, span.1)).collect();
        assert_eq!(spans, [(0, 10), (10, 20)]);
        assert_eq!(new.sessions(&ordered)[1].at.line, 11);
    }

    #[test]
    fn midnight_is_no_new_start() {
        let mut clock = clock(&[86_398.0, 86_399.0, 0.0, 1.0]);
        clock.unroll(86_400.0, 0.5);
        assert_eq!(clock.times, [86_398.0, 86_399.0, 86_400.0, 86_401.0]);
        assert_eq!(clock.order().spans.len(), 1);
    }

    #[test]
    fn sessions_are_moved_or_left_out() {
        let times = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 0.0, 1.0, 2.0];
        let session = |at: Place| usize::from(at.line > 6);
        let mut joined = clock(&times);
        let ordered = joined.order();
        let keep = joined.settle(
            &ordered,
            session,
            &[Some(0.0), Some(65.0)],
            &mut Report::default(),
        );
        assert!(keep.iter().all(|keep| *keep));
        assert_eq!(joined.times[6..], [65.0, 66.0, 67.0]);
        let mut only = clock(&times);
        let mut report = Report::default();
        let keep = only.settle(&ordered, session, &[None, Some(0.0)], &mut report);
        assert_eq!(keep.iter().filter(|keep| **keep).count(), 3);
        assert_eq!(
            report
                .skipped(Reason::OtherSession)
                .map(|skipped| skipped.count),
            Some(6)
        );
    }

    #[test]
    fn repeats_are_spread() {
        let mut times = [0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 2.0, 2.0];
        Clock::spread(&mut times);
        assert_eq!(times, [0.0, 0.5, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5]);
    }
}
