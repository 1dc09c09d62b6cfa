//! What a reading means beside what was expected.

use serde::Serialize;

use crate::car::swap::{Band, Expected, JobCard, Readings};
use crate::data::charge_bands::{HIGH_V, LITHIUM_ALONE_V, NOT_CHARGING_V};
use crate::data::common_practice::CLAMP;
use crate::data::drop_limits::{OUTPUT_LEAD_AT_A, OUTPUT_LEAD_V};
use crate::data::{absorb_voltage::LIFEPO4_V, race_memory::DROP_V};

/// What is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reading {
    /// Battery's posts, idle.
    Idle,
    /// Battery's posts, fast idle.
    FastIdle,
    /// Battery's posts, fast idle, everything on.
    AllOn,
    /// Drop over the charge lead then.
    LeadDrop,
    /// Drop over the ground side then.
    GroundDrop,
}

impl Reading {
    /// All of them, in the order of the card.
    pub const ALL: [Self; 5] = [
        Self::Idle,
        Self::FastIdle,
        Self::AllOn,
        Self::LeadDrop,
        Self::GroundDrop,
    ];

    fn of(self, readings: &Readings) -> Option<f64> {
        match self {
            Self::Idle => readings.idle_v,
            Self::FastIdle => readings.fast_idle_v,
            Self::AllOn => readings.all_on_v,
            Self::LeadDrop => readings.lead_drop_v,
            Self::GroundDrop => readings.ground_drop_v,
        }
    }

    fn band(self, expected: &Expected, amps: f64) -> Band {
        match self {
            Self::Idle => expected.idle_v,
            Self::FastIdle => expected.fast_idle_v,
            Self::AllOn => expected.all_on_v,
            Self::LeadDrop => drop_band(expected.lead_mohm, amps),
            Self::GroundDrop => drop_band(expected.ground_mohm, amps),
        }
    }

    /// Whether it is a drop rather than the voltage of the car.
    pub fn is_drop(self) -> bool {
        matches!(self, Self::LeadDrop | Self::GroundDrop)
    }
}

/// Where a reading lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// As expected.
    Within,
    /// Under that.
    Under,
    /// Over that.
    Over,
}

/// What a reading points to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PointsTo {
    /// Nothing charges: not turned on, belt off or slipping, lead or fuse open.
    NotCharging,
    /// Only idle is short: too slow there, or the belt slips.
    SlowAtIdle,
    /// Only everything on is short: more load than entered, or less output.
    MoreLoad,
    /// All are short: a lower set-point than entered, less output, or a slipping belt.
    LowSetPoint,
    /// A higher set-point than entered.
    HighSetPoint,
    /// Over what a battery stands: stop; the regulator, or its sense wire.
    Overcharge,
    /// Over the ceiling of lithium: its management may open.
    LithiumCeiling,
    /// A poor joint or too thin a cable in the charge lead.
    PoorLead,
    /// A poor joint on the ground side.
    PoorGround,
    /// Less current than said, or the meter not from end to end.
    LessCurrent,
    /// More than a carmaker allows at that current, expected or not.
    OverPractice,
}

/// A reading with what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What was read, V.
    pub found_v: f64,
    /// Where it lies.
    pub standing: Standing,
    /// What was expected, V.
    pub expected_v: Band,
    /// The resistance that a drop means, mOhm.
    pub mohm: Option<f64>,
    /// What it points to, the likeliest first.
    pub points_to: Vec<PointsTo>,
}

/// The drop (V) that is expected at a current (A), what the meters are off included.
pub fn drop_band(mohm: Band, amps: f64) -> Band {
    let volts = |mohm: f64| mohm * amps / 1e3;
    let off = |volts: f64| DROP_V.hypot(CLAMP * volts);
    let value = volts(mohm.value);
    let down = (value - volts(mohm.low)).hypot(off(value));
    let up = (volts(mohm.high) - value).hypot(off(value));
    Band {
        value,
        low: (value - down).max(0.0),
        high: value + up,
    }
}

impl JobCard {
    /// The current during the drops of one side (0 before, 1 after): as read, else as expected, A.
    pub fn drop_amps(&self, side: usize) -> f64 {
        let side = self.side(side);
        side.readings.at_a.unwrap_or(side.expected.at_a.value)
    }

    /// What is expected of a reading, V.
    pub fn expected(&self, side: usize, reading: Reading) -> Band {
        reading.band(&self.side(side).expected, self.drop_amps(side))
    }

    /// What a reading means; `None` while it was not read. `scale` is the system's voltage over 12 V.
    pub fn told(&self, side: usize, reading: Reading, scale: f64) -> Option<Told> {
        let found_v = reading.of(&self.side(side).readings)?;
        let expected_v = self.expected(side, reading);
        let standing = standing(found_v, expected_v);
        let amps = self.drop_amps(side);
        let mohm = (reading.is_drop() && amps > 0.0).then(|| found_v / amps * 1e3);
        let points_to = if reading.is_drop() {
            drop_points(reading, standing, mohm)
        } else {
            self.volt_points(side, reading, (found_v, standing), scale)
        };
        Some(Told {
            found_v,
            standing,
            expected_v,
            mohm,
            points_to,
        })
    }

    fn volt_points(
        &self,
        side: usize,
        reading: Reading,
        (volts, standing): (f64, Standing),
        scale: f64,
    ) -> Vec<PointsTo> {
        let (idle_v, high_v) = if self.lithium {
            (LITHIUM_ALONE_V.1, LIFEPO4_V.1)
        } else {
            (NOT_CHARGING_V * scale, HIGH_V * scale)
        };
        if volts > high_v {
            // A battery is harmed by it, whatever was expected.
            return vec![if self.lithium {
                PointsTo::LithiumCeiling
            } else {
                PointsTo::Overcharge
            }];
        }
        let is_fine = |other: Reading| {
            let read = other.of(&self.side(side).readings);
            read.map(|read| standing_of(self, side, other, read) == Standing::Within)
        };
        match standing {
            Standing::Within => Vec::new(),
            Standing::Over => vec![PointsTo::HighSetPoint],
            Standing::Under if volts <= idle_v => vec![PointsTo::NotCharging],
            Standing::Under => match reading {
                Reading::Idle if is_fine(Reading::FastIdle) != Some(false) => {
                    vec![PointsTo::SlowAtIdle, PointsTo::MoreLoad]
                }
                Reading::AllOn if is_fine(Reading::FastIdle) != Some(false) => {
                    vec![PointsTo::MoreLoad]
                }
                _ => vec![PointsTo::LowSetPoint, PointsTo::MoreLoad],
            },
        }
    }
}

fn standing_of(card: &JobCard, side: usize, reading: Reading, volts: f64) -> Standing {
    standing(volts, card.expected(side, reading))
}

fn standing(found: f64, band: Band) -> Standing {
    // What is shown is rounded to a hundredth: what reads the same is the same.
    const ROUNDED: f64 = 0.005;
    if found < band.low - ROUNDED {
        Standing::Under
    } else if found > band.high + ROUNDED {
        Standing::Over
    } else {
        Standing::Within
    }
}

fn drop_points(reading: Reading, standing: Standing, mohm: Option<f64>) -> Vec<PointsTo> {
    let mut points = match (standing, reading) {
        (Standing::Under, _) => vec![PointsTo::LessCurrent],
        (Standing::Over, Reading::LeadDrop) => vec![PointsTo::PoorLead],
        (Standing::Over, _) => vec![PointsTo::PoorGround],
        (Standing::Within, _) => Vec::new(),
    };
    let most_mohm = OUTPUT_LEAD_V / OUTPUT_LEAD_AT_A * 1e3;
    if reading == Reading::LeadDrop && mohm.is_some_and(|mohm| mohm > most_mohm) {
        points.push(PointsTo::OverPractice);
    }
    points
}
