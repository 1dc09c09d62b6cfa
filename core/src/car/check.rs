//! What makes a car valid: ranges of single numbers and how numbers fit together.

pub(super) mod belt;
mod race;
mod supply;

pub use belt::{
    ACROSS_MM, BELT_MM, MOST_HEARD, MOST_OBSTACLES, MOST_PULLEYS, MOST_TAPES, PLACE_MM, PULLEY_MM,
    PULLEY_RIBS, PULLEY_W, RIBS, TAPE_MM, WITHIN_MM,
};
pub(super) use race::within;
pub use race::{
    GEAR, LAPS, MOST_GEARS, MOST_POINTS, MOST_STEPS, PASS_RPM, POINT_S, ROUNDS, SEGMENT_S, STARTS,
};

use std::f64::consts::PI;

use super::entry::plain;
use super::swap::JobCard;
use super::{Alternator, Car, Drive, Engine, EngineState, history};
use crate::alternator::{Curve, CurveError};
use crate::drive::{Measure, Pulley};
use crate::quantity::{
    InElectricCurrent, InElectricPotential, InLength, InRotationalSpeed, InThermodynamicTemperature,
};
use crate::wiring::WireSize;

/// Longest name of a car, a phase, a load or an accessory, in characters.
pub const LONGEST_NAME: usize = 60;
/// Most loads of a car.
pub const MOST_LOADS: usize = 40;
/// Most phases of a car.
pub const MOST_PHASES: usize = 20;
/// Most pulleys on hand.
pub const MOST_ON_HAND: usize = 40;

/// Crank pulley diameters, mm.
pub const CRANK_MM: (f64, f64) = (50.0, 400.0);
/// Alternator and jackshaft pulley diameters, mm.
pub const ALTERNATOR_MM: (f64, f64) = (30.0, 250.0);
/// Limiter, shift and launch speeds, rpm.
pub const ENGINE_RPM: (f64, f64) = (1_000.0, 20_000.0);
/// Idle speeds, rpm.
pub const IDLE_RPM: (f64, f64) = (300.0, 5_000.0);
/// Overshoot, rpm.
pub const OVERSHOOT_RPM: (f64, f64) = (0.0, 3_000.0);
/// Alternator speeds, rpm.
pub const ALTERNATOR_RPM: (f64, f64) = (500.0, 40_000.0);
/// Speed limits of an alternator, rpm.
pub const LIMIT_RPM: (f64, f64) = (4_000.0, 40_000.0);
/// Alternator output, A.
pub const OUTPUT_A: (f64, f64) = (5.0, 600.0);
/// One load, A.
pub const LOAD_A: (f64, f64) = (0.0, 500.0);
/// Voltages of a 12 V or 16 V system, V.
pub const SYSTEM_V: (f64, f64) = (6.0, 22.0);
/// Air under the hood, degrees Celsius.
pub const UNDER_HOOD_C: (f64, f64) = (-30.0, 150.0);
/// Counted turns.
pub const TURNS: (f64, f64) = (0.25, 200.0);
/// Speed ratio that two readings may give.
pub const RATIO: (f64, f64) = (0.3, 10.0);

/// Which part of a car does not hold.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Fault {
    /// A number outside its range.
    #[error("{what} is {found}, needs {low} to {high}")]
    Range {
        /// Which number, by its name in the file.
        what: &'static str,
        /// What was found.
        found: f64,
        /// Lowest that is accepted.
        low: f64,
        /// Highest that is accepted.
        high: f64,
    },
    /// A number that must be above another.
    #[error("{what} is {found}, needs to be above {over} ({than})")]
    Order {
        /// Which number, by its name in the file.
        what: &'static str,
        /// What was found.
        found: f64,
        /// Which number it has to exceed.
        over: &'static str,
        /// That number.
        than: f64,
    },
    /// The output curve.
    #[error("output curve: {0}")]
    Curve(CurveError),
    /// Too many of something.
    #[error("{found} {what}, at most {most}")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// How many.
        found: usize,
        /// How many are accepted.
        most: usize,
    },
    /// A name that is empty or too long.
    #[error("a {what} name is empty or longer than {LONGEST_NAME} characters")]
    Name {
        /// Whose name.
        what: &'static str,
    },
    /// Cells that a battery of this chemistry does not come with.
    #[error("battery.cells is {found}, needs to be one of {allowed:?}")]
    Cells {
        /// How many.
        found: u8,
        /// How many it may have.
        allowed: &'static [u8],
    },
    /// A wire that is not made.
    #[error("{what} is {found:?}, needs 0.5 to 240 mm2 or 20 to 4/0 AWG")]
    Wire {
        /// Which lead, by its name in the file.
        what: &'static str,
        /// Its size.
        found: WireSize,
    },
    /// A step of the day in a phase that the car does not have.
    #[error("a step of the day is in phase {id}, needs one of the car's phases")]
    NoPhase {
        /// The id.
        id: String,
    },
    /// A pulley of the belt drive that is not there, or one named twice.
    #[error("{what} is {found}, needs another pulley of the {count} there are")]
    NoPulley {
        /// Who names it, by its name in the file.
        what: &'static str,
        /// Its place, from 0.
        found: usize,
        /// How many there are.
        count: usize,
    },
    /// Two phases with the same id, or a load on in a phase that is not there.
    #[error("phase id {id} is empty or used twice")]
    PhaseId {
        /// The id.
        id: String,
    },
}

pub(super) fn range(
    what: &'static str,
    found: Option<f64>,
    (low, high): (f64, f64),
) -> Result<(), Fault> {
    match found {
        Some(found) if !(low..=high).contains(&found) => Err(Fault::Range {
            what,
            found,
            low,
            high,
        }),
        _ => Ok(()),
    }
}

fn above(
    what: &'static str,
    found: Option<f64>,
    over: &'static str,
    than: Option<f64>,
) -> Result<(), Fault> {
    match (found, than) {
        (Some(found), Some(than)) if found <= than => Err(Fault::Order {
            what,
            found,
            over,
            than,
        }),
        _ => Ok(()),
    }
}

pub(super) fn name(what: &'static str, text: &str) -> Result<(), Fault> {
    let length = text.trim().chars().count();
    if length == 0 || length > LONGEST_NAME {
        Err(Fault::Name { what })
    } else {
        Ok(())
    }
}

pub(super) fn at_most(what: &'static str, found: usize, most: usize) -> Result<(), Fault> {
    if found > most {
        Err(Fault::TooMany { what, found, most })
    } else {
        Ok(())
    }
}

/// The range of the number read on a pulley, mm: a circumference for a tape.
pub fn size_range(measure: Measure, (low, high): (f64, f64)) -> (f64, f64) {
    match measure {
        Measure::Tape => (low * PI, high * PI),
        _ => (low, high),
    }
}

pub(super) fn pulley(
    what: &'static str,
    pulley: Option<&Pulley>,
    diameters: (f64, f64),
) -> Result<(), Fault> {
    let Some(pulley) = pulley else { return Ok(()) };
    range(
        what,
        Some(pulley.size.mm()),
        size_range(pulley.measure, diameters),
    )?;
    range(
        "rated_rpm",
        pulley.rated_speed.map(|speed| speed.rpm()),
        ALTERNATOR_RPM,
    )
}

impl Car {
    /// Whether every number is in its range and all fit together.
    ///
    /// # Errors
    /// The first [`Fault`] found.
    pub fn check(&self) -> Result<(), Fault> {
        name("car", &self.name)?;
        self.drive.check()?;
        check_engine(&self.engine)?;
        check_alternator(&self.alternator)?;
        self.check_loads()?;
        self.check_phases()?;
        for &field in plain::FIELDS {
            if let Some(about) = field.about() {
                range(about.name, plain::get(self, field), about.limits)?;
            }
        }
        supply::check(&self.battery, &self.wiring)?;
        race::check_course(&self.course)?;
        race::check_day(&self.day, &self.phases)?;
        belt::check(&self.belt_drive)?;
        self.swap.as_ref().map_or(Ok(()), JobCard::check)?;
        history::check(&self.history)
    }

    fn check_loads(&self) -> Result<(), Fault> {
        let loads = self.loads.as_deref().unwrap_or_default();
        at_most("loads", loads.len(), MOST_LOADS)?;
        range("shed_a", self.shed.map(|shed| shed.amps()), LOAD_A)?;
        for load in loads {
            name("load", &load.name)?;
            range("current_a", Some(load.current.amps()), LOAD_A)?;
            range(
                "tolerance_a",
                load.tolerance.map(|tolerance| tolerance.amps()),
                LOAD_A,
            )?;
            range(
                "rated_at_v",
                load.rated_at.map(|volts| volts.volts()),
                SYSTEM_V,
            )?;
            at_most("duty", load.duty.len(), MOST_PHASES)?;
            for duty in &load.duty {
                range("fraction", Some(duty.fraction), (0.0, 1.0))?;
            }
        }
        Ok(())
    }

    fn check_phases(&self) -> Result<(), Fault> {
        at_most("phases", self.phases.len(), MOST_PHASES)?;
        for (place, phase) in self.phases.iter().enumerate() {
            let known = self.phases[..place]
                .iter()
                .any(|other| other.id == phase.id);
            if known || phase.id.is_empty() || phase.id.len() > LONGEST_NAME {
                return Err(Fault::PhaseId {
                    id: phase.id.clone(),
                });
            }
            phase
                .name
                .as_deref()
                .map_or(Ok(()), |text| name("phase", text))?;
            if let EngineState::At { speed } = phase.engine {
                range("speed_rpm", Some(speed.rpm()), (IDLE_RPM.0, ENGINE_RPM.1))?;
            }
            if let Some(clamp) = &phase.clamp {
                range("current_a", Some(clamp.current.amps()), LOAD_A)?;
                range(
                    "read_at_v",
                    clamp.read_at.map(|volts| volts.volts()),
                    SYSTEM_V,
                )?;
            }
        }
        Ok(())
    }
}

impl Drive {
    pub(super) fn check(&self) -> Result<(), Fault> {
        let drive = self;
        pulley("crank", drive.crank.as_ref(), CRANK_MM)?;
        pulley("tried_crank", drive.tried_crank.as_ref(), CRANK_MM)?;
        pulley("fitted", drive.fitted.as_ref(), ALTERNATOR_MM)?;
        pulley("tried", drive.tried.as_ref(), ALTERNATOR_MM)?;
        at_most("on_hand", drive.on_hand.len(), MOST_ON_HAND)?;
        for on_hand in &drive.on_hand {
            pulley("on_hand", Some(on_hand), ALTERNATOR_MM)?;
        }
        if let Some(stage) = &drive.second_stage {
            pulley("second_stage.driven", stage.driven.as_ref(), CRANK_MM)?;
            pulley("second_stage.driving", stage.driving.as_ref(), CRANK_MM)?;
        }
        range("crank_turns", drive.crank_turns, TURNS)?;
        range("alternator_turns", drive.alternator_turns, TURNS)?;
        range(
            "read_engine_rpm",
            drive.read_engine.map(|speed| speed.rpm()),
            (100.0, ENGINE_RPM.1),
        )?;
        range(
            "read_alternator_rpm",
            drive.read_alternator.map(|speed| speed.rpm()),
            (100.0, ALTERNATOR_RPM.1),
        )?;
        let counted = drive
            .crank_turns
            .zip(drive.alternator_turns)
            .map(|(crank, other)| other / crank);
        range("alternator_turns / crank_turns", counted, RATIO)?;
        let read = drive.read_engine.zip(drive.read_alternator);
        let read = read.map(|(engine, other)| other.rpm() / engine.rpm());
        range("read_alternator_rpm / read_engine_rpm", read, RATIO)?;
        at_most("accessories", drive.accessories.len(), MOST_ON_HAND)?;
        drive
            .accessories
            .iter()
            .try_for_each(|accessory| name("accessory", accessory))
    }
}

fn check_engine(engine: &Engine) -> Result<(), Fault> {
    let speed = |speed: Option<crate::quantity::RotationalSpeed>| speed.map(|speed| speed.rpm());
    let (limiter, idle) = (speed(engine.limiter), speed(engine.idle));
    range("limiter_rpm", limiter, ENGINE_RPM)?;
    range("idle_rpm", idle, IDLE_RPM)?;
    above("limiter_rpm", limiter, "idle_rpm", idle)?;
    let in_gear = speed(engine.idle_in_gear);
    range(
        "idle_in_gear_rpm",
        in_gear,
        (IDLE_RPM.0, idle.unwrap_or(IDLE_RPM.1)),
    )?;
    let lowest = idle.unwrap_or(IDLE_RPM.0);
    for (what, found) in [
        ("launch_rpm", speed(engine.launch)),
        ("shift_rpm", speed(engine.shift)),
    ] {
        range(what, found, (lowest, limiter.unwrap_or(ENGINE_RPM.1)))?;
    }
    range("overshoot_rpm", speed(engine.overshoot), OVERSHOOT_RPM)
}

fn check_alternator(alternator: &Alternator) -> Result<(), Fault> {
    let current =
        |current: Option<crate::quantity::ElectricCurrent>| current.map(|amps| amps.amps());
    let speed = |speed: Option<crate::quantity::RotationalSpeed>| speed.map(|speed| speed.rpm());
    let volts =
        |volts: Option<crate::quantity::ElectricPotential>| volts.map(|volts| volts.volts());
    let (rated, low) = (current(alternator.rated), current(alternator.low));
    range("rated_a", rated, OUTPUT_A)?;
    range("low_a", low, OUTPUT_A)?;
    above("rated_a", rated, "low_a", low)?;
    let (rated_speed, low_speed) = (speed(alternator.rated_speed), speed(alternator.low_speed));
    range("rated_rpm", rated_speed, ALTERNATOR_RPM)?;
    range("low_rpm", low_speed, ALTERNATOR_RPM)?;
    let iso = crate::data::iso_8854::RATED_SPEED_RPM;
    let low_or_iso = low_speed.unwrap_or(crate::data::iso_8854::LOW_SPEED_RPM);
    above(
        "rated_rpm",
        Some(rated_speed.unwrap_or(iso)),
        "low_rpm",
        Some(low_or_iso),
    )?;
    if !alternator.points.is_empty() {
        let points: Vec<(f64, f64)> = alternator
            .points
            .iter()
            .map(|point| (point.speed.rpm(), point.current.amps()))
            .collect();
        Curve::points(&points).map_err(Fault::Curve)?;
    }
    range("test_v", volts(alternator.test_voltage), SYSTEM_V)?;
    range("set_point_v", volts(alternator.set_point), SYSTEM_V)?;
    range(
        "under_hood_c",
        alternator.under_hood.map(|air| air.celsius()),
        UNDER_HOOD_C,
    )?;
    if let Some(limits) = &alternator.limits {
        let continuous = limits.continuous.rpm();
        range("continuous_rpm", Some(continuous), LIMIT_RPM)?;
        range(
            "short_rpm",
            speed(limits.short),
            (continuous, ALTERNATOR_RPM.1),
        )?;
    }
    Ok(())
}
