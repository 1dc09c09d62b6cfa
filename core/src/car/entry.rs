//! Typed text into a car and back: one place where every field is read, checked and shown.
//!
//! [`set`] gives a changed car or says what was found and what is needed; the car it was
//! given stays as it is, so that the last good answer can still be shown. Empty text takes
//! a value out again.

mod belt;
mod card;
mod error;
mod field;
mod listed;
pub(super) mod plain;
mod points;

pub use error::{EntryError, Quantity};
pub use field::Field;

use super::{Alternator, Car, ClampReading, EngineState, check};
use crate::alternator::SpeedLimits;
use crate::drive::{Measure, Pulley};
use crate::quantity::parse::Kind;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, InAngle, InElectricCurrent, InElectricPotential, InLength,
    InRatio, InRotationalSpeed, InThermodynamicTemperature, RotationalSpeed, mm, parse, range,
    ratio, show,
};

/// Puts typed text into a field.
///
/// # Errors
/// [`EntryError`]: what was found and what is needed.
///
/// ```
/// use laneside_core::car::{Car, entry::{Field, set, shown}};
/// use laneside_core::quantity::System;
///
/// let car = Car::new("Nettle", System::Inch);
/// let car = set(&car, Field::Crank, "6 1/2").unwrap();
/// assert_eq!(shown(&car, Field::Crank), "6 1/2 in");
/// assert!(set(&car, Field::Crank, "a big one").is_err());
/// ```
pub fn set(car: &Car, field: Field, text: &str) -> Result<Car, EntryError> {
    let measure = pulley(car, field).map_or(Measure::default(), |pulley| pulley.measure);
    set_measured(car, field, text, measure)
}

/// Puts typed text into a field; a pulley's size as measured so.
///
/// # Errors
/// [`EntryError`]: what was found and what is needed.
pub fn set_measured(
    car: &Car,
    field: Field,
    text: &str,
    measure: Measure,
) -> Result<Car, EntryError> {
    let mut changed = car.clone();
    let typed = text.trim();
    if let Some(diameters) = field.diameters() {
        set_pulley(&mut changed, field, typed, measure, diameters)?;
    } else if let Some(about) = field.about() {
        set_plain(&mut changed, field, typed, about)?;
    } else {
        set_number(&mut changed, field, typed)?;
    }
    changed.check()?;
    Ok(changed)
}

/// The pulley that a field is the size of.
pub fn pulley(car: &Car, field: Field) -> Option<Pulley> {
    let drive = &car.drive;
    match field {
        Field::Crank => drive.crank,
        Field::Fitted => drive.fitted,
        Field::Tried => drive.tried,
        Field::TriedCrank => drive.tried_crank,
        Field::OnHand(place) => drive.on_hand.get(place).copied(),
        Field::StageDriven => drive.second_stage?.driven,
        Field::StageDriving => drive.second_stage?.driving,
        _ => None,
    }
}

fn set_pulley(
    car: &mut Car,
    field: Field,
    text: &str,
    measure: Measure,
    diameters: (f64, f64),
) -> Result<(), EntryError> {
    let read = if text.is_empty() {
        None
    } else {
        let (low, high) = check::size_range(measure, diameters);
        let size = range::length_within(text, car.units, mm(low), mm(high))?;
        let rated_speed = pulley(car, field).and_then(|pulley| pulley.rated_speed);
        Some(Pulley {
            size,
            measure,
            rated_speed,
        })
    };
    let is_marked = pulley(car, field).is_some_and(|pulley| pulley.rated_speed.is_some());
    if read.is_none() && is_marked {
        return Err(EntryError::SizeFirst);
    }
    let drive = &mut car.drive;
    match field {
        Field::Crank => drive.crank = read,
        Field::Fitted => drive.fitted = read,
        Field::Tried => drive.tried = read,
        Field::TriedCrank => drive.tried_crank = read,
        Field::OnHand(place) => match (read, place < drive.on_hand.len()) {
            (Some(read), true) => drive.on_hand[place] = read,
            (Some(read), false) => drive.on_hand.push(read),
            // One of a list is taken out by its own button: the others must not move up while one is retyped.
            (None, true) => return Err(parse::ParseError::Empty.into()),
            (None, false) => {}
        },
        Field::StageDriven | Field::StageDriving => set_stage(drive, field, read),
        _ => {}
    }
    Ok(())
}

fn set_stage(drive: &mut super::Drive, field: Field, read: Option<Pulley>) {
    let mut stage = drive.second_stage.unwrap_or_default();
    match field {
        Field::StageDriven => stage.driven = read,
        _ => stage.driving = read,
    }
    // With neither pulley there is no jackshaft.
    drive.second_stage = Some(stage).filter(|stage| stage.driven.or(stage.driving).is_some());
}

fn speed(text: &str, limits: (f64, f64)) -> Result<Option<RotationalSpeed>, EntryError> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = parse::speed(text)?;
    EntryError::check(read.rpm(), limits, Quantity::Speed)?;
    Ok(Some(read))
}

fn current(text: &str, limits: (f64, f64)) -> Result<Option<ElectricCurrent>, EntryError> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = parse::current(text)?;
    EntryError::check(read.amps(), limits, Quantity::Current)?;
    Ok(Some(read))
}

fn voltage(text: &str) -> Result<Option<ElectricPotential>, EntryError> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = parse::voltage(text)?;
    EntryError::check(read.volts(), check::SYSTEM_V, Quantity::Voltage)?;
    Ok(Some(read))
}

fn turns(text: &str) -> Result<Option<f64>, EntryError> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = parse::turns(text)?.turns();
    EntryError::check(read, check::TURNS, Quantity::Turns)?;
    Ok(Some(read))
}

fn set_number(car: &mut Car, field: Field, text: &str) -> Result<(), EntryError> {
    let units = car.units;
    let (engine, drive, alternator) = (&mut car.engine, &mut car.drive, &mut car.alternator);
    match field {
        Field::Limiter => engine.limiter = speed(text, check::ENGINE_RPM)?,
        Field::Idle => engine.idle = speed(text, check::IDLE_RPM)?,
        Field::IdleInGear => engine.idle_in_gear = speed(text, check::IDLE_RPM)?,
        Field::Launch => engine.launch = speed(text, (check::IDLE_RPM.0, check::ENGINE_RPM.1))?,
        Field::Shift => engine.shift = speed(text, (check::IDLE_RPM.0, check::ENGINE_RPM.1))?,
        Field::Overshoot => engine.overshoot = speed(text, check::OVERSHOOT_RPM)?,
        Field::CrankTurns => drive.crank_turns = turns(text)?,
        Field::AlternatorTurns => drive.alternator_turns = turns(text)?,
        Field::ReadEngine => drive.read_engine = speed(text, (100.0, check::ENGINE_RPM.1))?,
        Field::ReadAlternator => {
            drive.read_alternator = speed(text, (100.0, check::ALTERNATOR_RPM.1))?;
        }
        Field::FittedRating => set_rating(&mut drive.fitted, text)?,
        Field::TriedRating => set_rating(&mut drive.tried, text)?,
        Field::Rated => alternator.rated = current(text, check::OUTPUT_A)?,
        Field::RatedSpeed => alternator.rated_speed = speed(text, check::ALTERNATOR_RPM)?,
        Field::Low => alternator.low = current(text, check::OUTPUT_A)?,
        Field::LowSpeed => alternator.low_speed = speed(text, check::ALTERNATOR_RPM)?,
        Field::Points => alternator.points = points::read(text)?,
        Field::TestVoltage => alternator.test_voltage = voltage(text)?,
        Field::SetPoint => alternator.set_point = voltage(text)?,
        Field::Continuous | Field::Short => set_limits(alternator, field, text)?,
        Field::UnderHood => {
            alternator.under_hood = if text.is_empty() {
                None
            } else {
                let read = parse::temperature(text, units)?;
                EntryError::check(read.celsius(), check::UNDER_HOOD_C, Quantity::Temperature)?;
                Some(read)
            };
        }
        Field::Shed => car.shed = current(text, check::LOAD_A)?,
        Field::Name => car.name = text.to_owned(),
        Field::CardNotes | Field::HistoryNotes(_) => card::put_notes(car, field, text),
        Field::SegmentName(place) => listed::name_segment(car, place, text),
        Field::BeltDesignation | Field::ShaftNut | Field::OfferNut | Field::ObstacleName(_) => {
            belt::put_text(car, field, text)?;
        }
        _ => set_listed(car, field, text)?,
    }
    Ok(())
}

/// What the car keeps as a plain number.
fn set_plain(
    car: &mut Car,
    field: Field,
    text: &str,
    about: plain::About,
) -> Result<(), EntryError> {
    let (low, high) = about.limits;
    let read = if text.is_empty() {
        None
    } else if about.kind == Kind::Length {
        let read = range::length_within(text, car.units, mm(low), mm(high))?;
        Some(crate::stored::tidy(read.mm()))
    } else {
        let read = crate::quantity::plain::read(text, about.kind, car.units)?;
        EntryError::check(read, about.limits, Quantity::Of(about.kind))?;
        Some(read)
    };
    match plain::slot(car, field) {
        Some(slot) => *slot = read,
        None if belt::about(field).is_some() => belt::put(car, field, read)?,
        None => listed::put(car, field, read)?,
    }
    Ok(())
}

fn set_rating(pulley: &mut Option<Pulley>, text: &str) -> Result<(), EntryError> {
    let rated_speed = speed(text, check::ALTERNATOR_RPM)?;
    match pulley {
        Some(pulley) => pulley.rated_speed = rated_speed,
        None if rated_speed.is_some() => return Err(EntryError::SizeFirst),
        None => {}
    }
    Ok(())
}

fn set_limits(alternator: &mut Alternator, field: Field, text: &str) -> Result<(), EntryError> {
    let read = speed(text, check::LIMIT_RPM)?;
    match (field, &mut alternator.limits, read) {
        (Field::Continuous, limits, Some(continuous)) => {
            let short = limits.and_then(|limits| limits.short);
            *limits = Some(SpeedLimits { continuous, short });
        }
        (Field::Continuous, limits, None) => {
            if limits.is_some_and(|limits| limits.short.is_some()) {
                return Err(EntryError::ContinuousFirst);
            }
            *limits = None;
        }
        (_, Some(limits), short) => limits.short = short,
        (_, None, Some(_)) => return Err(EntryError::ContinuousFirst),
        (_, None, None) => {}
    }
    Ok(())
}

/// Fields of loads and phases, by their place.
fn set_listed(car: &mut Car, field: Field, text: &str) -> Result<(), EntryError> {
    let loads = car.loads.as_deref_mut().unwrap_or_default();
    match field {
        Field::LoadName(place) => {
            if let Some(load) = loads.get_mut(place) {
                text.clone_into(&mut load.name);
            }
        }
        Field::LoadCurrent(place) => {
            // A load without a current is no load; it is taken out by its own button.
            let read = current(text, check::LOAD_A)?.ok_or(parse::ParseError::Empty)?;
            if let Some(load) = loads.get_mut(place) {
                load.current = read;
            }
        }
        Field::LoadTolerance(place) => {
            let read = current(text, check::LOAD_A)?;
            if let Some(load) = loads.get_mut(place) {
                load.tolerance = read;
            }
        }
        Field::LoadVoltage(place) => {
            let read = voltage(text)?;
            if let Some(load) = loads.get_mut(place) {
                load.rated_at = read;
            }
        }
        Field::LoadDuty(place, phase) => {
            let read = if text.is_empty() {
                ratio(1.0)
            } else {
                parse::percent(text)?
            };
            EntryError::check(read.number() * 100.0, (0.0, 100.0), Quantity::Percent)?;
            if let (Some(load), Some(phase)) = (loads.get_mut(place), car.phases.get(phase)) {
                load.set_duty(&phase.id, crate::stored::tidy(read.number()));
            }
        }
        _ => return set_phase(car, field, text),
    }
    Ok(())
}

fn set_phase(car: &mut Car, field: Field, text: &str) -> Result<(), EntryError> {
    match field {
        Field::PhaseName(place) => {
            if let Some(phase) = car.phases.get_mut(place) {
                phase.name = (!text.is_empty()).then(|| text.to_owned());
            }
        }
        Field::PhaseSpeed(place) => {
            let limits = (check::IDLE_RPM.0, check::ENGINE_RPM.1);
            let speed = speed(text, limits)?.ok_or(parse::ParseError::Empty)?;
            if let Some(phase) = car.phases.get_mut(place) {
                phase.engine = EngineState::At { speed };
            }
        }
        Field::PhaseClamp(place) => {
            let read = current(text, check::LOAD_A)?;
            if let Some(phase) = car.phases.get_mut(place) {
                let read_at = phase.clamp.and_then(|clamp| clamp.read_at);
                if read.is_none() && read_at.is_some() {
                    return Err(EntryError::CurrentFirst);
                }
                phase.clamp = read.map(|current| ClampReading { current, read_at });
            }
        }
        Field::PhaseClampVoltage(place) => {
            let read_at = voltage(text)?;
            match car.phases.get_mut(place).map(|phase| &mut phase.clamp) {
                Some(Some(clamp)) => clamp.read_at = read_at,
                Some(None) if read_at.is_some() => return Err(EntryError::CurrentFirst),
                _ => {}
            }
        }
        _ => {}
    }
    Ok(())
}

/// What a field holds, as text in the car's units; empty where nothing was entered.
pub fn shown(car: &Car, field: Field) -> String {
    if let Some(about) = field.about() {
        let held = plain::get(car, field)
            .or_else(|| listed::get(car, field))
            .or_else(|| belt::get(car, field));
        let say = |value| crate::quantity::plain::show(value, about.kind, car.units).to_string();
        return held.map(say).unwrap_or_default();
    }
    let (engine, drive, alternator) = (&car.engine, &car.drive, &car.alternator);
    let load = |place: usize| car.loads.as_ref().and_then(|loads| loads.get(place));
    let phase = |place: usize| car.phases.get(place);
    let speed =
        |speed: Option<RotationalSpeed>| speed.map(|speed| show::speed_precise(speed).to_string());
    let current = |amps: Option<ElectricCurrent>| amps.map(|amps| show::current(amps).to_string());
    let volts = |volts: Option<ElectricPotential>| {
        volts.map(|volts| show::voltage_precise(volts).to_string())
    };
    // Without its unit, the one that is a word: the field says it.
    let turns =
        |turns: Option<f64>| turns.map(|turns| show::turns(crate::quantity::turns(turns)).number);
    let text = match field {
        Field::Limiter => speed(engine.limiter),
        Field::Idle => speed(engine.idle),
        Field::IdleInGear => speed(engine.idle_in_gear),
        Field::Launch => speed(engine.launch),
        Field::Shift => speed(engine.shift),
        Field::Overshoot => speed(engine.overshoot),
        Field::CrankTurns => turns(drive.crank_turns),
        Field::AlternatorTurns => turns(drive.alternator_turns),
        Field::ReadEngine => speed(drive.read_engine),
        Field::ReadAlternator => speed(drive.read_alternator),
        Field::FittedRating => speed(drive.fitted.and_then(|pulley| pulley.rated_speed)),
        Field::TriedRating => speed(drive.tried.and_then(|pulley| pulley.rated_speed)),
        Field::Rated => current(alternator.rated),
        Field::RatedSpeed => speed(alternator.rated_speed),
        Field::Low => current(alternator.low),
        Field::LowSpeed => speed(alternator.low_speed),
        Field::Points => Some(points::shown(&alternator.points)),
        Field::TestVoltage => volts(alternator.test_voltage),
        Field::SetPoint => volts(alternator.set_point),
        Field::Continuous => speed(alternator.limits.map(|limits| limits.continuous)),
        Field::Short => speed(alternator.limits.and_then(|limits| limits.short)),
        Field::UnderHood => alternator
            .under_hood
            .map(|air| show::temperature(air, car.units).to_string()),
        Field::Shed => current(car.shed),
        Field::Name => Some(car.name.clone()),
        Field::CardNotes | Field::HistoryNotes(_) => card::notes(car, field).cloned(),
        Field::LoadName(place) => load(place).map(|load| load.name.clone()),
        Field::LoadCurrent(place) => current(load(place).map(|load| load.current)),
        Field::LoadTolerance(place) => current(load(place).and_then(|load| load.tolerance)),
        Field::LoadVoltage(place) => volts(load(place).and_then(|load| load.rated_at)),
        Field::LoadDuty(place, at) => load(place)
            .zip(phase(at))
            .map(|(load, phase)| show::percent(ratio(load.duty_in(&phase.id))).to_string()),
        Field::SegmentName(place) => {
            let segment = car.course.segments.get(place);
            segment.map(|segment| segment.name.clone())
        }
        Field::BeltDesignation | Field::ShaftNut | Field::OfferNut | Field::ObstacleName(_) => {
            belt::text(car, field)
        }
        Field::PhaseName(place) => phase(place).and_then(|phase| phase.name.clone()),
        Field::PhaseSpeed(place) => speed(phase(place).and_then(|phase| match phase.engine {
            EngineState::At { speed } => Some(speed),
            _ => None,
        })),
        Field::PhaseClamp(place) => current(
            phase(place)
                .and_then(|phase| phase.clamp)
                .map(|clamp| clamp.current),
        ),
        Field::PhaseClampVoltage(place) => volts(
            phase(place)
                .and_then(|phase| phase.clamp)
                .and_then(|clamp| clamp.read_at),
        ),
        _ => pulley(car, field).map(|pulley| show::length(pulley.size, car.units).to_string()),
    };
    text.unwrap_or_default()
}

#[cfg(test)]
mod tests;
