//! What a log says about the charging system: every cause with what speaks for and against
//! it, and the check that would tell.

mod against;
pub(super) mod assemble;
mod events;
mod explain;
mod idle;
mod judge;
mod picture;
mod symptoms;
pub(super) mod work;

use serde::{Deserialize, Serialize};

use super::look::Look;
use super::passes::{Pass, Span};

/// What the voltage may come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// It charges as it should.
    Healthy,
    /// The belt slips.
    BeltSlip,
    /// The brushes lift, the alternator turned too fast.
    BrushFloat,
    /// Output falls as the alternator gets hot.
    HeatFade,
    /// Load grows with engine speed.
    RpmLoad,
    /// The regulator is faulty, or cuts back by its own heat.
    Regulator,
    /// The engine's computer asks for another voltage.
    Commanded,
    /// The exciter or sense wire is lost.
    LostWire,
    /// The place where voltage is read, or its ground.
    ReadingPlace,
    /// Nothing charges: the battery carries the car.
    BatteryAlone,
    /// Too little output at idle.
    ShortAtIdle,
    /// Loads switched on and off.
    LoadSteps,
    /// It charges too high.
    Overcharge,
}

/// How a cause stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The log points to it.
    PointsTo,
    /// It may be.
    Possible,
    /// The log has not what it takes to say.
    CannotTell,
    /// The log speaks against it.
    RuledOut,
}

/// One thing that the log shows, with its figures: V, s and engine rpm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // Each field is a figure of its sign, its unit in its name.
pub enum Sign {
    /// Voltage lies in the good band all the time.
    Good { lowest_v: f64, highest_v: f64 },
    /// Voltage falls as engine speed rises.
    FallsWithRpm {
        volts: f64,
        from_rpm: f64,
        to_rpm: f64,
    },
    /// Voltage does not fall as engine speed rises.
    NoFallWithRpm { volts: f64 },
    /// It is back as soon as engine speed is.
    BackAtOnce { volts: f64, within_s: f64 },
    /// It does not come back when engine speed does.
    StaysDown { volts: f64 },
    /// It falls from a certain speed on.
    FromSpeed { rpm: f64 },
    /// It falls evenly over all speeds.
    EvenOverSpeed { volts_per_1000_rpm: f64 },
    /// Ragged at high speed.
    RaggedAtSpeed { high_v: f64, low_v: f64 },
    /// As smooth at high speed as at low.
    SmoothAtSpeed { high_v: f64, low_v: f64 },
    /// Lower at the same speed later on.
    Fades { volts: f64, over_s: f64 },
    /// The same at the same speed later on.
    NoFade { volts: f64, over_s: f64 },
    /// Steps at constant engine speed.
    Steps { count: u32, volts: f64 },
    /// No steps at constant engine speed.
    NoSteps { least_v: f64 },
    /// Ramps between flat stretches that engine speed does not explain.
    Ramps {
        count: u32,
        volts: f64,
        seconds: f64,
    },
    /// Falls by so much, to the battery's own voltage, within a moment and stays there.
    DropsOut { volts: f64, at_s: f64 },
    /// Low at idle and good at speed.
    LowAtIdle { idle_v: f64, above_v: f64 },
    /// Good at idle.
    GoodAtIdle { idle_v: f64 },
    /// Under what charges, engine running.
    NotCharging { volts: f64 },
    /// Reaches a charging voltage with the engine running.
    Charges { volts: f64 },
    /// Low at every engine speed alike.
    LowAtEverySpeed { volts: f64 },
    /// The same with the engine off as running.
    SameAsOff { off_v: f64, running_v: f64 },
    /// Higher running than off.
    HigherThanOff { off_v: f64, running_v: f64 },
    /// Over what a battery stands.
    TooHigh { volts: f64, limit_v: f64 },
    /// Never over that.
    NeverTooHigh { highest_v: f64, limit_v: f64 },
    /// Rises with engine speed.
    RisesWithRpm { volts: f64 },
    /// Wanders at constant engine speed.
    Wanders { volts: f64 },
    /// Sinks slowly as a battery does that gives.
    Sinks { volts_per_minute: f64 },
    /// Alternator speed falls behind engine speed.
    AlternatorFallsBehind { fraction: f64 },
    /// Alternator speed follows engine speed.
    AlternatorFollows { fraction: f64 },
    /// Current out of the alternator falls with the voltage.
    AmpsFall { amps: f64 },
    /// Current out of the alternator rises or holds as voltage falls.
    AmpsHold { amps: f64 },
    /// Current flows out of the battery with the engine running.
    BatteryGives { amps: f64 },
    /// The alternator turns slower than the limit it is judged by.
    UnderLimit { highest_rpm: f64, limit_rpm: f64 },
    /// The alternator turns faster than that.
    OverLimit { highest_rpm: f64, limit_rpm: f64 },
    /// With the engine off it shows what no battery that just started the engine rests at.
    OddAtRest { off_v: f64 },
    /// Lost for single samples, as no battery lets it.
    Flickers { count: u32 },
    /// Low only until the engine was revved.
    UntilRevved { before_v: f64, after_v: f64 },
    /// The chemistry's voltage says little.
    BandsDoNotServe,
}

/// What to measure or look at next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// Mark belt and pulley, look for glaze, dust, a hot pulley; tension.
    Belt,
    /// Alternator speed with an optical tachometer at a held engine speed.
    AlternatorSpeed,
    /// Brush length and slip rings; try a larger pulley.
    Brushes,
    /// The same reading cold and hot; temperature of the case.
    ColdAndHot,
    /// Clamp meter on the output lead, engine speed held high and low.
    ClampOutput,
    /// Clamp meter on the loads, engine speed held high and low.
    ClampLoads,
    /// Meter at the alternator's stud against its case.
    MeterAtStud,
    /// Meter at the battery's posts while the logger shows its value.
    MeterAtBattery,
    /// Drop over ground and charge lead under load.
    DropTest,
    /// Voltage on the exciter and sense wires, plugged in and running.
    ExciterWire,
    /// Whether the alternator is told its voltage by a computer; its duty or its target.
    CommandWire,
    /// Output at idle: clamp meter, then a smaller pulley or a higher idle.
    IdleOutput,
    /// Switch the loads one at a time.
    SwitchLoads,
    /// Log again, faster or with one channel more.
    LogAgain,
}

/// A cause with what speaks for and against it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Judged {
    /// Which.
    pub cause: Cause,
    /// How it stands.
    pub standing: Standing,
    /// What speaks for it.
    pub support: Vec<Sign>,
    /// What speaks against it.
    pub against: Vec<Sign>,
    /// The check that would tell.
    pub check: Check,
}

/// What a log could not be asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Blind {
    /// No idle in it.
    NoIdle,
    /// No high engine speed in it.
    NoHighSpeed,
    /// Too slow for what happens within a gear.
    SlowForGears,
    /// Too slow for raggedness.
    SlowForRaggedness,
    /// Too short for heat.
    ShortForHeat,
    /// Steps of the logger as large as what is looked for.
    Coarse,
    /// Lithium, or another battery whose voltage says little.
    Chemistry,
    /// Whether it is a 12 V or a 16 V system: the voltage goes with both.
    Nominal,
    /// Too few samples with both engine speed and voltage.
    Samples,
}

/// What it adds up to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// The log points to these, and to each on its own: more than one may be at work.
    PointsTo(Vec<Cause>),
    /// One of these; the log cannot tell them apart.
    OneOf(Vec<Cause>),
    /// The log cannot tell.
    CannotTell,
}

/// What the log, or four readings, say.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Diagnosis {
    /// What it adds up to.
    pub outcome: Outcome,
    /// Every cause, the likeliest first.
    pub causes: Vec<Judged>,
    /// Groups of causes that it cannot tell apart.
    pub alike: Vec<Vec<Cause>>,
    /// What to check, the most telling first.
    pub checks: Vec<Check>,
    /// What it could not be asked.
    pub blind: Vec<Blind>,
}

/// What cannot be said for want of samples.
pub(super) fn cannot_tell(blind: Blind) -> Diagnosis {
    let causes = assemble::ALL.iter().map(|&cause| Judged {
        cause,
        standing: Standing::CannotTell,
        support: Vec::new(),
        against: Vec::new(),
        check: assemble::check(cause),
    });
    Diagnosis {
        outcome: Outcome::CannotTell,
        causes: causes.collect(),
        alike: Vec::new(),
        checks: vec![Check::LogAgain],
        blind: vec![blind],
    }
}

/// What a span of a log says.
pub(super) fn diagnose(look: &Look, span: Span, passes: &[Pass]) -> Diagnosis {
    match picture::Picture::of(look, span, passes) {
        Some(picture) => judge::judge(&picture),
        None => cannot_tell(Blind::Samples),
    }
}
