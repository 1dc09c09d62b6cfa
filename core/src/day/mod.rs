//! The car over time: battery, alternator, wiring and loads, segment after segment.
//!
//! Unknowns are the battery's charge, the voltage over its RC pair, and the temperatures of
//! alternator and battery; the voltage between them is where everything agrees at each
//! moment ([`crate::bus`]). Every energy is integrated on its own, so that the books can be
//! checked: what alternator and charger give is what the loads take, what is lost, and what
//! is stored. Steps end where something switches: turn-on, a limit, the regulator.
//!
//! ```
//! use laneside_core::battery::{Battery, Chemistry, Spec, State};
//! use laneside_core::bus::Loads;
//! use laneside_core::day::{Accuracy, Segment, Start, Supplied, simulate};
//! use laneside_core::loads::LoadKind;
//!
//! let battery = Battery::new(&Spec::of(Chemistry::Agm))?;
//! let mut loads = Loads::new(9.0);
//! loads.add(20.0, 12.6, LoadKind::Pump);
//! let parked = Segment::off(3_600.0, loads);
//! let start = Start { battery: State::rested(0.9, 25.0), alternator_c: 25.0 };
//! let day = simulate(&Supplied::by(&battery), start, &[parked], Accuracy::FINE);
//! // An hour of 20 A takes 20 Ah.
//! let left = 0.9 - 20.0 / battery.capacity_ah;
//! assert!((day.end.battery.soc - left).abs() < 1e-6);
//! # Ok::<(), laneside_core::battery::BatteryError>(())
//! ```

mod books;
mod extreme;
mod passed;
mod pieces;
mod run;
mod slope;
#[cfg(test)]
mod tests;

pub use books::Books;
pub use passed::{Passed, Run, Sample};
pub use run::simulate;

use crate::alternator::{Field, Machine};
use crate::battery::{Battery, State};
use crate::bus::{Loads, Sense, Settled};
use crate::data::memory;
use crate::trace::Trace;
use crate::wiring::Reader;

/// An alternator with its pulleys.
#[derive(Clone, Copy, Debug)]
pub struct Driven<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// What scales its curve.
    pub field: Field,
    /// Alternator turns for one engine turn, slip counted.
    pub ratio: f64,
    /// Alternator speed from which it charges once reached, rpm.
    pub turn_on_rpm: f64,
    /// Alternator speed under which it loses that again, rpm.
    pub hold_rpm: f64,
    /// Where output is lost over the limit; `None` where it holds.
    pub loss: Option<Loss>,
    /// Field current while it has not turned on, A.
    pub field_a: f64,
    /// Voltage that the regulator holds, V.
    pub set_point_v: f64,
    /// Where it reads.
    pub sense: Sense,
}

/// Alternator speeds at which output goes and comes back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loss {
    /// Over this it is gone, rpm.
    pub lose_rpm: f64,
    /// Under this it is back, rpm.
    pub recover_rpm: f64,
}

/// What carries the loads.
#[derive(Clone, Copy, Debug)]
pub struct Supplied<'a> {
    /// The battery, if there is one.
    pub battery: Option<&'a Battery>,
    /// The alternator; `None` for a dead one.
    pub alternator: Option<Driven<'a>>,
    /// Resistance of the charge path, ohm.
    pub path_ohm: f64,
    /// Air around the alternator with the engine running, degrees Celsius.
    pub under_hood_c: f64,
    /// Air of the day, degrees Celsius.
    pub ambient_c: f64,
    /// Where the voltage is read: lowest and highest are told as shown there.
    pub reader: Reader,
    /// Time in which the alternator follows its heat, s.
    pub warms_s: f64,
}

impl<'a> Supplied<'a> {
    /// Nothing at all, at 25 degrees Celsius, read at the battery's posts.
    pub const NOTHING: Self = Self {
        battery: None,
        alternator: None,
        path_ohm: 0.0,
        under_hood_c: 25.0,
        ambient_c: 25.0,
        reader: Reader::POSTS,
        warms_s: memory::ALTERNATOR_WARMS_S.value,
    };

    /// A battery alone, at 25 degrees Celsius, read at its posts.
    pub fn by(battery: &'a Battery) -> Self {
        Self {
            battery: Some(battery),
            ..Self::NOTHING
        }
    }

    /// What is shown where the voltage is read, V.
    pub fn shown_v(&self, settled: &Settled) -> f64 {
        self.reader
            .shows_v(settled.node_v, settled.alternator_v, settled.load_a)
    }
}

/// A pit charger: as much current as it can give up to its voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charger {
    /// Greatest current, A.
    pub limit_a: f64,
    /// Voltage it charges to, V.
    pub volts: f64,
}

/// A starter turning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Starter {
    /// Its current, A.
    pub amps: f64,
    /// How long it turns each time, s.
    pub seconds: f64,
    /// How many times.
    pub times: u32,
}

/// One segment of the day.
#[derive(Clone, Debug)]
pub struct Segment {
    /// Place of its phase in the car.
    pub place: usize,
    /// Its round, from 1; 0 for none.
    pub round: u32,
    /// Its step in the round.
    pub step: usize,
    /// How long it lasts after the starts, s.
    pub seconds: f64,
    /// Engine speed; `None` with the engine off.
    pub engine: Option<Trace>,
    /// Loads at any engine speed.
    pub steady: Loads,
    /// Loads at the limiter, on top, in proportion to engine speed.
    pub at_limiter: Loads,
    /// The limiter, rpm.
    pub limiter_rpm: f64,
    /// Starts at its beginning, with the steady loads on.
    pub starter: Option<Starter>,
    /// The charger on it; only with the engine off.
    pub charger: Option<Charger>,
    /// Whether the engine is revved past the turn-on speed as soon as it runs: taken as done,
    /// its moment not followed.
    pub revved: bool,
}

impl Segment {
    /// So many seconds with the engine off and these loads.
    pub fn off(seconds: f64, loads: Loads) -> Self {
        Self {
            place: 0,
            round: 0,
            step: 0,
            seconds,
            engine: None,
            steady: loads,
            at_limiter: Loads::default(),
            limiter_rpm: 1.0,
            starter: None,
            charger: None,
            revved: false,
        }
    }
}

/// What the car remembers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Of the battery.
    pub battery: State,
    /// Temperature of the alternator, degrees Celsius.
    pub alternator_c: f64,
}

/// How closely it is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// What each step may be off, in units of 0.1 millionth of charge and a microvolt.
    pub allowed: f64,
    /// Samples kept of each segment besides those where something switches.
    pub samples: u32,
}

impl Accuracy {
    /// For what is shown.
    pub const FINE: Self = Self {
        allowed: 1.0,
        samples: 24,
    };
    /// For what is compared with itself: spreads and ranks.
    pub const COARSE: Self = Self {
        allowed: 300.0,
        samples: 0,
    };
}
