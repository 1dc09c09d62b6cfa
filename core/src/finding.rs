//! What every answer is made of: a value with its unit, its spread, its working,
//! and, where it is a judgment, a status and a reason.
//!
//! Reasons are codes with arguments, never sentences: the app's word catalog turns
//! them into words, so that words live in one place.

use serde::Serialize;

/// What a value is counted in. The display system (inch or metric) is chosen by the
/// view; a finding always carries the unit named here.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Unit {
    /// Revolutions a minute.
    #[serde(rename = "rpm")]
    Rpm,
    /// Millimeters.
    #[serde(rename = "mm")]
    Millimeter,
    /// Amperes.
    #[serde(rename = "A")]
    Ampere,
    /// Volts.
    #[serde(rename = "V")]
    Volt,
    /// Watts.
    #[serde(rename = "W")]
    Watt,
    /// A plain ratio.
    #[default]
    #[serde(rename = "1")]
    Ratio,
    /// Degrees Celsius.
    #[serde(rename = "degC")]
    Celsius,
    /// Ampere-hours.
    #[serde(rename = "Ah")]
    AmpereHour,
    /// Ohms.
    #[serde(rename = "ohm")]
    Ohm,
    /// Seconds.
    #[serde(rename = "s")]
    Second,
    /// Newtons.
    #[serde(rename = "N")]
    Newton,
    /// Degrees of arc.
    #[serde(rename = "deg")]
    Degree,
    /// Hertz.
    #[serde(rename = "Hz")]
    Hertz,
    /// Meters per second.
    #[serde(rename = "m/s")]
    MeterPerSecond,
}

/// How far a value may lie from what is printed: 95 % half-widths, both as
/// non-negative distances (JCGM 100:2008 "GUM" 5.1.2).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Spread {
    /// How far below the value the truth may lie.
    pub down: f64,
    /// How far above the value the truth may lie.
    pub up: f64,
}

impl Spread {
    /// The least that a value may be.
    ///
    /// ```
    /// use laneside_core::finding::Spread;
    ///
    /// let spread = Spread { down: 3.0, up: 5.0 };
    /// assert_eq!((spread.least(10.0), spread.most(10.0)), (7.0, 15.0));
    /// ```
    pub fn least(self, value: f64) -> f64 {
        settled(value - self.down, value)
    }

    /// The most that a value may be.
    pub fn most(self, value: f64) -> f64 {
        settled(value + self.up, value)
    }

    /// The larger of the two sides.
    pub fn widest(self) -> f64 {
        self.down.max(self.up)
    }
}

/// Zero where rounding alone keeps a difference from it: nothing drawn and nothing given is
/// no shortfall.
fn settled(end: f64, value: f64) -> f64 {
    if end.is_finite() && end.abs() <= 1e-12 * value.abs() {
        0.0
    } else {
        end
    }
}

/// Judgment of one gate (a limit or a phase of the day).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// The margin holds, its spread counted.
    Holds,
    /// The spread (or an assumed limit) straddles the line.
    TooClose,
    /// The margin is missed, its spread counted.
    Fails,
}

impl Status {
    /// Judges what may be between `least` and `most` and has to reach a line.
    pub fn between(least: f64, most: f64, line: f64) -> Self {
        if least >= line {
            Self::Holds
        } else if most < line {
            Self::Fails
        } else {
            Self::TooClose
        }
    }

    /// The worse of two.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        match (self, other) {
            (Self::Fails, _) | (_, Self::Fails) => Self::Fails,
            (Self::TooClose, _) | (_, Self::TooClose) => Self::TooClose,
            (Self::Holds, Self::Holds) => Self::Holds,
        }
    }
}

/// What a number rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// Typed in by the person, or measured by them.
    Entered,
    /// A typical value stands in for what was not entered.
    Assumed,
    /// Filled in by Laneside as a proposal.
    Suggested,
    /// Follows from other values.
    Derived,
}

/// How well a source is known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Published, and read.
    Published,
    /// Published, read only in a summary of the standard.
    PublishedSummary,
    /// From memory: the person can change it, and its range is its tolerance.
    Memory,
    /// Common practice of the trade, without a source.
    CommonPractice,
    /// Derived from the others.
    Derived,
    /// Entered for this car.
    Entered,
}

/// Where a formula or a figure is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Author, title, edition, section; or what it was derived from.
    pub citation: &'static str,
    /// How well it is known.
    pub mark: Mark,
}

/// One number that went into a finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorkingInput {
    /// The symbol or name used in the formula.
    pub name: &'static str,
    /// The number, in `unit`.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// What it rests on.
    pub provenance: Provenance,
}

/// How a finding was worked out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// The formula in plain mathematical notation.
    pub formula: &'static str,
    /// The numbers put into it.
    pub inputs: Vec<WorkingInput>,
    /// Where formula and figures are from.
    pub sources: Vec<Source>,
}

/// One answer, complete with its unit, spread, working and judgment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// What it is, as a stable code (`alternator_speed_at_limiter`, `net_current`, …).
    pub code: &'static str,
    /// Which pulley it is about (`on_car`, `to_try`), if it is about one.
    pub pulley: Option<&'static str>,
    /// Which phase of the day it is about, by its name, if it is about one.
    pub phase: Option<String>,
    /// The value, absent when there is none (no break-even speed, an empty window).
    pub value: Option<f64>,
    /// The unit of `value` and `spread`.
    pub unit: Unit,
    /// 95 % half-widths, where the value has any.
    pub spread: Option<Spread>,
    /// The judgment, where it is one.
    pub status: Option<Status>,
    /// Why it was judged so, as a code.
    pub reason: Option<&'static str>,
    /// How it was worked out.
    pub working: Working,
}

/// A finding as it is put together: what differs from case to case, the rest left empty.
#[derive(Default)]
pub(crate) struct Draft {
    pub(crate) code: &'static str,
    pub(crate) pulley: Option<&'static str>,
    pub(crate) phase: Option<String>,
    pub(crate) value: Option<f64>,
    pub(crate) unit: Unit,
    pub(crate) spread: Option<Spread>,
    pub(crate) status: Option<Status>,
    pub(crate) reason: Option<&'static str>,
    pub(crate) formula: &'static str,
    pub(crate) inputs: Vec<WorkingInput>,
    pub(crate) sources: Vec<Source>,
}

impl Draft {
    /// The finding; a value or a spread that is not finite is none.
    pub(crate) fn finished(self) -> Finding {
        Finding {
            code: self.code,
            pulley: self.pulley,
            phase: self.phase,
            value: self.value.filter(|value| value.is_finite()),
            unit: self.unit,
            spread: self.spread.filter(|spread| spread.widest().is_finite()),
            status: self.status,
            reason: self.reason,
            working: Working {
                formula: self.formula,
                inputs: self.inputs,
                sources: self.sources,
            },
        }
    }
}

/// A number put into a formula.
pub(crate) fn input(
    name: &'static str,
    value: f64,
    unit: Unit,
    provenance: Provenance,
) -> WorkingInput {
    WorkingInput {
        name,
        value,
        unit,
        provenance,
    }
}
