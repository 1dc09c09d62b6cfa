//! Whether the charge cable and its fuse stand a new output.
//!
//! Common figures, partly from memory: the rule book, the wire's own data sheet and local
//! codes come first.

use super::WireSize;
use crate::data::wiring_memory::FUSE_OVER_OUTPUT;
use crate::finding::Status;

/// A fuse against the output it carries and the cable it protects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fuse {
    /// None is known.
    Unknown,
    /// It will blow: smaller than the output.
    Blows,
    /// It may blow when hot: under 1.25 times the output.
    Tight,
    /// It suits the output, and the cable carries more.
    Suits,
    /// The cable may burn before it blows: bigger than the most that the cable carries.
    OverCable,
}

/// A cable and its fuse against an output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CableCheck {
    /// What the cable carries for as long as one likes, lowest and highest, A.
    pub carries_a: (f64, f64),
    /// The cable against the output.
    pub cable: Status,
    /// The fuse.
    pub fuse: Fuse,
    /// The usual fuse for this output, smallest and largest, A.
    pub usual_fuse_a: (f64, f64),
    /// The thinnest size of its list that surely carries the output.
    pub size_that_carries: Option<WireSize>,
}

/// Checks a cable and its fuse (A, if known) against the output that the alternator can
/// give (A).
pub fn cable_check(size: WireSize, fuse_a: Option<f64>, output_a: f64) -> CableCheck {
    let carries_a = size.carries_a();
    let cable = if output_a <= carries_a.0 {
        Status::Holds
    } else if output_a <= carries_a.1 {
        Status::TooClose
    } else {
        Status::Fails
    };
    let usual_fuse_a = (FUSE_OVER_OUTPUT.0 * output_a, FUSE_OVER_OUTPUT.1 * output_a);
    let fuse = match fuse_a {
        None => Fuse::Unknown,
        Some(fuse_a) if fuse_a < output_a => Fuse::Blows,
        Some(fuse_a) if fuse_a > carries_a.1 => Fuse::OverCable,
        Some(fuse_a) if fuse_a < usual_fuse_a.0 => Fuse::Tight,
        Some(_) => Fuse::Suits,
    };
    let carries = |size: &WireSize| size.carries_a().0 >= output_a;
    let size_that_carries = match size {
        WireSize::Mm2(_) => crate::data::iec_60228::MM2_OHM_PER_KM
            .iter()
            .map(|row| WireSize::Mm2(row.0))
            .find(carries),
        WireSize::Awg(_) => WireSize::GAUGES
            .iter()
            .map(|gauge| WireSize::Awg(*gauge))
            .find(carries),
    };
    CableCheck {
        carries_a,
        cable,
        fuse,
        usual_fuse_a,
        size_that_carries,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thin_cable_fails_a_thick_one_holds() {
        let check = |gauge, fuse_a, output_a| cable_check(WireSize::Awg(gauge), fuse_a, output_a);
        assert_eq!(check(10, None, 120.0).cable, Status::Fails);
        assert_eq!(check(4, None, 100.0).cable, Status::TooClose);
        assert_eq!(check(-1, None, 120.0).cable, Status::Holds);
        assert_eq!(
            check(4, None, 100.0).size_that_carries,
            Some(WireSize::Awg(0))
        );
        assert_eq!(check(4, None, 10_000.0).size_that_carries, None);
    }

    #[test]
    fn fuses_are_told_apart() {
        let fuse = |fuse_a, output_a| cable_check(WireSize::Awg(2), fuse_a, output_a).fuse;
        assert_eq!(fuse(None, 80.0), Fuse::Unknown);
        assert_eq!(fuse(Some(60.0), 80.0), Fuse::Blows);
        assert_eq!(fuse(Some(90.0), 80.0), Fuse::Tight);
        assert_eq!(fuse(Some(110.0), 80.0), Fuse::Suits);
        assert_eq!(fuse(Some(250.0), 80.0), Fuse::OverCable);
    }
}
