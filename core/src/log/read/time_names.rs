//! What names of columns say about time, and what plain numbers in a time column count.

use super::TimeUnit;

/// How surely a name is that of the time: 3 if it says nothing else, 2 if it says something beside, 1 if a unit of time
/// must confirm it, 0 if it says something else.
pub(super) fn name_rank(name: &str) -> u8 {
    const TIME: [&str; 34] = [
        "time",
        "timestamp",
        "timestamps",
        "elapsed",
        "datetime",
        "zeit",
        "zeitstempel",
        "uhrzeit",
        "tiempo",
        "hora",
        "temps",
        "heure",
        "horodatage",
        "tempo",
        "ora",
        "marca",
        "uptime",
        "clock",
        "millis",
        "micros",
        "seconds",
        "sekunden",
        "segundos",
        "secondes",
        "secondi",
        "ms",
        "s",
        "sec",
        "secs",
        "utc",
        "stamp",
        "timecode",
        "us",
        "t",
    ];
    const BESIDE: [&str; 24] = [
        "log", "logger", "gps", "session", "system", "local", "device", "since", "start", "run",
        "total", "relative", "rel", "abs", "absolute", "unix", "epoch", "of", "day", "in", "de",
        "the", "date", "row",
    ];
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let is_time = |word: &&str| TIME.contains(word);
    if words.is_empty() || is_other_time(name) {
        return 0;
    }
    if words.iter().all(is_time) {
        return if words == ["s"] || words == ["us"] {
            1
        } else {
            3
        };
    }
    let weak = |word: &&str| is_time(word) && !matches!(*word, "s" | "us" | "t" | "ms");
    if words.iter().any(weak) {
        let known = words
            .iter()
            .all(|word| is_time(word) || BESIDE.contains(word));
        return if known { 2 } else { 1 };
    }
    0
}

/// Whether the name is that of some duration, not of the moment of the row.
pub(super) fn is_other_time(name: &str) -> bool {
    const OTHER: [&str; 30] = [
        "lap",
        "laps",
        "sector",
        "split",
        "best",
        "delta",
        "dwell",
        "injection",
        "injector",
        "inj",
        "pulse",
        "duration",
        "open",
        "opening",
        "spark",
        "on",
        "off",
        "reaction",
        "shift",
        "cut",
        "fuel",
        "delay",
        "width",
        "runde",
        "rundenzeit",
        "vuelta",
        "tour",
        "giro",
        "gap",
        "ignition",
    ];
    let lower = name.to_lowercase();
    lower
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| OTHER.contains(&word))
}

/// Whether two columns tell the same time, though perhaps in other units.
pub(super) fn agree(one: &[f64], other: &[f64]) -> bool {
    let span = |values: &[f64]| {
        values
            .last()
            .zip(values.first())
            .map_or(0.0, |(last, first)| last - first)
    };
    let (one, other) = (span(one), span(other));
    one > 0.0
        && other > 0.0
        && [1e-6, 1e-3, 1.0, 1e3, 1e6, 60.0, 1.0 / 60.0]
            .iter()
            .any(|ratio| (one / other / ratio - 1.0).abs() < 0.02)
}

/// What plain numbers in a time column count, and what else they may.
pub(super) fn likely_unit(values: &[f64]) -> (TimeUnit, &'static [TimeUnit]) {
    use TimeUnit::{Days, Hours, Microseconds, Milliseconds, Minutes, Seconds};
    let mut steps: Vec<f64> = values
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > 0.0)
        .collect();
    steps.sort_by(f64::total_cmp);
    let step = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
    let first = values.first().copied().unwrap_or(0.0);
    // Counted from 1970: no other unit makes a year of our time of it.
    match first {
        1e9..4e9 => return (Seconds, &[]),
        1e12..4e12 => return (Milliseconds, &[]),
        1e15..4e15 => return (Microseconds, &[]),
        20_000.0..80_000.0 if step < 4e-4 && step > 0.0 => return (Days, &[]),
        _ => {}
    }
    match step {
        0.0 => (Seconds, &[]),
        // Faster than any logger: not seconds, or hardly.
        _ if step < 4e-4 => (Hours, &[Minutes, Seconds]),
        _ if step < 0.5 => (Seconds, &[]),
        _ if step <= 2.0 => (Seconds, &[Milliseconds]),
        _ if step < 400.0 => (Milliseconds, &[Seconds]),
        _ => (Microseconds, &[Milliseconds, Seconds]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_times_are_told_from_others() {
        for (name, rank) in [
            ("Time", 3),
            ("time_ms", 3),
            ("Elapsed Time", 3),
            ("Zeit", 3),
            ("t", 3),
            ("GPS Time", 2),
            ("Time since start", 2),
            ("Time of day", 2),
            ("Lap Time", 0),
            ("Dwell time", 0),
            ("Engine Speed", 0),
            ("", 0),
        ] {
            assert_eq!(name_rank(name), rank, "{name}");
        }
    }

    #[test]
    fn units_of_time_follow_from_steps_or_are_open() {
        let every = |start: f64, step: f64| {
            (0..50)
                .map(|i| start + step * f64::from(i))
                .collect::<Vec<_>>()
        };
        assert_eq!(likely_unit(&every(0.0, 0.01)), (TimeUnit::Seconds, &[][..]));
        assert_eq!(
            likely_unit(&every(1.7e9, 1.0)),
            (TimeUnit::Seconds, &[][..])
        );
        assert_eq!(
            likely_unit(&every(1.7e12, 10.0)),
            (TimeUnit::Milliseconds, &[][..])
        );
        assert_eq!(
            likely_unit(&every(45_000.5, 1e-6)),
            (TimeUnit::Days, &[][..])
        );
        assert_eq!(
            likely_unit(&every(0.0, 10.0)),
            (TimeUnit::Milliseconds, &[TimeUnit::Seconds][..])
        );
        assert_eq!(
            likely_unit(&every(0.0, 1.0)),
            (TimeUnit::Seconds, &[TimeUnit::Milliseconds][..])
        );
    }
}
