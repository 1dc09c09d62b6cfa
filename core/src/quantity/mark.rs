//! What stands before decimals: a habit of the person's country, for typed and shown numbers alike. Files, links and
//! logs never follow it.

use std::cell::Cell;

/// What stands before decimals, and between thousands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mark {
    /// `1,234.5`.
    #[default]
    Point,
    /// `1 234,5`: a blank between thousands, since a point there reads as the other mark.
    Comma,
}

impl Mark {
    /// The mark before decimals.
    #[must_use]
    pub const fn decimal(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }

    /// What stands between thousands.
    pub(super) const fn thousands(self) -> char {
        match self {
            Self::Point => ',',
            Self::Comma => '\u{a0}',
        }
    }
}

thread_local! {
    // Of a thread: a phone has one, and tests run side by side.
    static MARK: Cell<Mark> = const { Cell::new(Mark::Point) };
}

/// The mark in force on this thread.
#[must_use]
pub fn mark() -> Mark {
    MARK.get()
}

/// Puts a mark in force on this thread, for all numbers typed and shown from now on.
pub fn set_mark(mark: Mark) {
    MARK.set(mark);
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::quantity::parse::{self, Kind};
    use crate::quantity::{InRotationalSpeed, System, inch, plain, rpm, show};

    #[test]
    fn what_is_shown_behind_a_comma_is_read_back() {
        set_mark(Mark::Comma);
        assert_eq!(show::fixed(13.5, 1), "13,5");
        assert_eq!(show::grouped(1_234_567.25, 2), "1\u{a0}234\u{a0}567,25");
        let speed = show::speed(rpm(17_562.0)).to_string();
        assert_eq!(speed, "17\u{a0}560 rpm");
        assert_eq!(parse::speed(&speed).unwrap().rpm().round(), 17_560.0);
        assert_eq!(
            show::length_precise(inch(2.25), System::Inch).to_string(),
            "2,250 in"
        );
        for kind in Kind::ALL {
            for value in [0.125, 1.25, 6.604] {
                let shown = plain::show(value, kind, System::Metric).to_string();
                let read = plain::read(&shown, kind, System::Metric).unwrap();
                assert_eq!(
                    plain::show(read, kind, System::Metric).to_string(),
                    shown,
                    "{kind:?}"
                );
            }
        }
        // Trailing zeros go as they do behind a point.
        assert_eq!(
            plain::show(48.0, Kind::Capacity, System::Metric).to_string(),
            "48 Ah"
        );
        set_mark(Mark::Point);
        assert_eq!(show::grouped(1_234.5, 1), "1,234.5");
    }

    #[test]
    fn units_are_read_in_spanish_too() {
        let read = |text, kind| plain::read(text, kind, System::Metric).unwrap();
        assert!((read("2 1/4 pulg", Kind::Length) - 57.15).abs() < 1e-9);
        assert!((read("660 pies", Kind::Distance) - 201.168).abs() < 1e-9);
        assert_eq!(read("12,5 vueltas", Kind::Turns), 12.5);
        assert_eq!(read("2 horas", Kind::Hours), 2.0);
    }

    #[test]
    fn thousands_of_a_speed_are_parted_as_the_country_does() {
        let read = |text| parse::speed(text).map(|speed| speed.rpm().round()).ok();
        assert_eq!(read("7,200"), Some(7_200.0));
        assert_eq!(read("7.200"), Some(7.0));
        set_mark(Mark::Comma);
        for text in ["7.200", "7 200", "7200", "7,200", "7,2k", "7.2k"] {
            assert_eq!(read(text), Some(7_200.0), "{text}");
        }
        set_mark(Mark::Point);
    }
}
