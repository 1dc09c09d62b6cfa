//! What a hand-held meter is expected to read, engine warm, with one pair of pulleys.
//!
//! The alternator is taken as turned on. How warm it is by then nobody knows: the lowest is that of a machine as
//! hot as it gets, the highest that of a cold one, each with the spread of the car's inputs and of the meter.

use crate::balance::{Heat, settled_at, turn_on_rpm};
use crate::bus::Settled;
use crate::car::Car;
use crate::car::swap::{Band, Expected, TURN_ON_RPM};
use crate::data::common_practice::{CLAMP, FAST_IDLE_OVER_RPM, FAST_IDLE_RPM, METER_V};
use crate::gates::Judged;
use crate::resolve::{PhaseModel, PhaseSpeed, Resolved, typical_loads};
use crate::stored::tidy;
use crate::tolerance::{Spread95, State, Sweep, Tolerances};

/// Loads that are never switched on for a reading, by their names in the catalog: they hold the car, or feed it.
pub const ALL_ON_NEVER: [&str; 2] = ["transbrake", "nitrous_solenoid"];

/// Answers of one sweep: hot and cold of three voltages and of the output with everything on, and both sides of
/// the charge path.
const VOLTAGES: usize = 6;

/// Engine speed of a fast idle (common practice), rpm: well over idle, never over the limiter.
///
/// ```
/// use laneside_core::job::fast_idle_rpm;
///
/// assert_eq!(fast_idle_rpm(950.0, 7_200.0), 2_000.0);
/// assert_eq!(fast_idle_rpm(1_800.0, 7_200.0), 2_300.0);
/// ```
pub fn fast_idle_rpm(idle_rpm: f64, limiter_rpm: f64) -> f64 {
    let rpm = FAST_IDLE_RPM.max(idle_rpm + FAST_IDLE_OVER_RPM);
    (rpm / 50.0).round().min(limiter_rpm / 50.0) * 50.0
}

/// The three states in which voltage is read.
pub(super) struct Scenes {
    idle: PhaseModel,
    fast_idle: PhaseModel,
    all_on: PhaseModel,
    pub fast_idle_rpm: f64,
    /// The phase whose loads run at idle.
    pub idle_as: Option<String>,
    /// The phase whose loads are everything; `None` for every load of the list.
    pub all_on_as: Option<String>,
}

impl Scenes {
    pub fn new(car: &Car, tolerances: &Tolerances) -> Self {
        let resolved = tolerances.resolved();
        let params = &tolerances.nominal().params;
        let fast_idle_rpm = fast_idle_rpm(params.idle_rpm, params.limiter_rpm);
        let with_speed = |wanted: PhaseSpeed| {
            let mut phases = resolved.phases.iter();
            phases.find(move |phase| phase.speed == wanted)
        };
        let idling = with_speed(PhaseSpeed::Idle)
            .or_else(|| with_speed(PhaseSpeed::IdleInGear))
            .or_else(|| running(resolved).next());
        let at = |phase: &PhaseModel, speed| PhaseModel {
            speed,
            ..phase.clone()
        };
        let none = nothing();
        let idle_loads = idling.unwrap_or(&none);
        let most = most_by_clamp(resolved, tolerances.nominal(), fast_idle_rpm);
        let all_on = most.map_or_else(|| everything(car, resolved), Clone::clone);
        Self {
            idle: at(idle_loads, PhaseSpeed::Idle),
            fast_idle: at(idle_loads, PhaseSpeed::At(fast_idle_rpm)),
            all_on: at(&all_on, PhaseSpeed::At(fast_idle_rpm)),
            fast_idle_rpm,
            idle_as: idling.map(|phase| phase.id.clone()),
            all_on_as: most.map(|phase| phase.id.clone()),
        }
    }
}

fn running(resolved: &Resolved) -> impl Iterator<Item = &PhaseModel> {
    let phases = resolved.phases.iter();
    phases.filter(|phase| phase.speed != PhaseSpeed::Off)
}

fn nothing() -> PhaseModel {
    PhaseModel {
        place: 0,
        id: String::new(),
        name: None,
        speed: PhaseSpeed::Idle,
        clamp: None,
        loads: Vec::new(),
        shed_a: 0.0,
    }
}

/// The running phase that draws most, if a clamp meter was on any: a measured total goes before the list.
fn most_by_clamp<'a>(
    resolved: &'a Resolved,
    state: &State,
    engine_rpm: f64,
) -> Option<&'a PhaseModel> {
    running(resolved).find(|phase| phase.clamp.is_some())?;
    let draw = |phase: &PhaseModel| {
        let params = &state.params;
        phase.load_a(params, engine_rpm, params.set_point_v, resolved.fading_v())
    };
    running(resolved).max_by(|one, other| draw(one).total_cmp(&draw(other)))
}

/// Every load that is on in any phase, fully on, but those that are never switched on for a reading.
fn everything(car: &Car, resolved: &Resolved) -> PhaseModel {
    let is_never = |index: usize| {
        let own = car.loads.as_ref().map(|loads| loads.get(index));
        let name = own.map_or_else(
            || typical_loads().get(index).map(|load| load.0.name.clone()),
            |load| load.map(|load| load.name.clone()),
        );
        name.is_some_and(|name| ALL_ON_NEVER.contains(&name.as_str()))
    };
    let mut all = nothing();
    for load in resolved.phases.iter().flat_map(|phase| &phase.loads) {
        let is_in = all.loads.iter().any(|other| other.index == load.index);
        if !is_in && !is_never(load.index) {
            let mut load = load.clone();
            load.duty = 1.0;
            all.loads.push(load);
        }
    }
    all
}

/// What is expected with one pair of pulleys.
pub(super) fn expected(tolerances: &Tolerances, judged: &Judged, scenes: &Scenes) -> Expected {
    let resolved = tolerances.resolved();
    let settled = |state: &State, phase: &PhaseModel, heat: Heat| -> Settled {
        let rpm = phase.speed.range(&state.params).map(|(rpm, _)| rpm);
        settled_at(resolved, state, judged.pulleys, phase, rpm, (true, heat))
    };
    let answers = |state: &State| {
        let each = [&scenes.idle, &scenes.fast_idle, &scenes.all_on];
        let of = |phase: &PhaseModel| {
            [Heat::Settled, Heat::Cold].map(|heat| settled(state, phase, heat))
        };
        let [idle, fast_idle, all_on] = each.map(of);
        let volts = [idle, fast_idle, all_on];
        let volts = volts.iter().flatten().map(|settled| settled.node_v);
        let amps = all_on.iter().map(|settled| settled.alternator_a);
        let supply = &state.params.supply;
        let path = [supply.lead_ohm * 1e3, supply.ground_ohm * 1e3];
        volts.chain(amps).chain(path).collect::<Vec<f64>>()
    };
    let nominal = answers(tolerances.nominal());
    let mut sweep = Sweep::new(nominal).with_corners((0..VOLTAGES).collect());
    while sweep.step(tolerances, judged.own, answers) {}
    let found = sweep.spreads();
    let pair = |at: usize| found.get(at).zip(found.get(at + 1));
    let volts = |at| pair(at).map_or_else(Band::default, |pair| between(pair, |_| METER_V));
    let alone = |at: usize| {
        let one = found.get(at).map(|one| (one, one));
        one.map_or_else(Band::default, |pair| between(pair, |_| 0.0))
    };
    let turn_on = turn_on_rpm(tolerances.nominal(), judged.pulleys);
    Expected {
        turn_on_rpm: if turn_on.is_finite() {
            turn_on.ceil().clamp(TURN_ON_RPM.0, TURN_ON_RPM.1)
        } else {
            TURN_ON_RPM.1
        },
        idle_v: volts(0),
        fast_idle_v: volts(2),
        all_on_v: volts(4),
        at_a: pair(VOLTAGES).map_or_else(Band::default, |pair| between(pair, |amps| CLAMP * amps)),
        lead_mohm: alone(VOLTAGES + 2),
        ground_mohm: alone(VOLTAGES + 3),
    }
}

/// From the lowest of a hot machine to the highest of a cold one, what the meter is off included.
fn between((hot, cold): (&Spread95, &Spread95), off: impl Fn(f64) -> f64) -> Band {
    let part = |number: f64| tidy((number * 1e3).round() / 1e3);
    Band {
        value: part(hot.value),
        low: part((hot.value - hot.spread.down.hypot(off(hot.value))).max(0.0)),
        high: part(cold.value + cold.spread.up.hypot(off(cold.value))),
    }
}
