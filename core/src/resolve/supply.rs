//! Battery, wiring and weather. Only the pass and the day rest on them: their inputs are
//! kept apart, so that no gate asks for them.

use super::inputs::{Builder, InputId};
use super::{ENTERED, course};
use crate::battery::{Battery, Chemistry, CrankStandard, Reading, Resistance, Spec};
use crate::bus::Sense;
use crate::car::{Age, Car, Lead as CarLead};
use crate::data::memory::{self, Default as Ranged};
use crate::data::{battery_memory, common_practice, race_memory, wiring_memory};
use crate::finding::{Provenance, Unit};
use crate::quantity::{amps, meters, volts};
use crate::wiring::{Lead, Place, WireSize};

/// What is known for certain of battery and wiring.
#[derive(Clone, Debug)]
pub struct Supply {
    /// The battery with its printed capacity and nominal resistance.
    base: Battery,
    /// Whether its chemistry is assumed.
    pub chemistry_assumed: bool,
    /// Where the regulator reads.
    pub sense: Sense,
    /// Where the person reads.
    pub read_at: Place,
}

/// The numbers of battery and wiring, units in the names.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SupplyParams {
    /// Capacity when new.
    pub capacity_ah: f64,
    /// Capacity left over it.
    pub health: f64,
    /// Resistance over what rating and health give.
    pub ohm_scale: f64,
    /// Charge at the start of the day.
    pub start_soc: f64,
    /// Charge lead, hot.
    pub lead_ohm: f64,
    /// Ground side, hot.
    pub ground_ohm: f64,
    /// From the battery to where voltage is read.
    pub reader_ohm: f64,
    /// Air of the day.
    pub ambient_c: f64,
    /// Current of the starter.
    pub starter_a: f64,
    /// How long it turns.
    pub starter_s: f64,
    /// Current of the pit charger.
    pub charger_a: f64,
    /// Voltage that it charges to.
    pub charger_v: f64,
    /// Time in which the alternator follows its heat.
    pub warms_s: f64,
    /// Speed at which lost output comes back over that at which it goes.
    pub recovers_at: f64,
    /// Times of the steps of a day over what is usual.
    pub step_scale: f64,
    /// What is shown where voltage is read over what is there.
    pub offset_v: f64,
    /// Field of a machine that has not turned on.
    pub field_a: f64,
    /// Charge that a reading during the day gave; 0 without one.
    pub read_soc: f64,
    /// Slip of the converter at the stripe, as a fraction.
    pub converter_slip: f64,
    /// Growth of the tire at trap speed, as a fraction.
    pub tire_growth: f64,
    /// How long a shift takes.
    pub shift_s: f64,
    /// Engine speed at the stripe over shift speed, where the gearing is not known.
    pub stripe_over_shift: f64,
}

impl Supply {
    /// The battery with these numbers.
    pub fn battery(&self, params: &SupplyParams) -> Battery {
        let mut battery = self.base.clone();
        battery.capacity_ah = params.capacity_ah * params.health;
        battery.ohmic_25_ohm = self.base.ohmic_25_ohm * params.ohm_scale;
        battery
    }

    /// The battery as printed on it.
    pub fn printed(&self) -> &Battery {
        &self.base
    }
}

impl SupplyParams {
    /// Resistance of the whole charge path, ohm.
    pub fn path_ohm(&self) -> f64 {
        self.lead_ohm + self.ground_ohm
    }
}

/// Fills the blanks of battery and wiring. A description that no battery answers to (a car
/// read from a file is checked, so there is none) is taken as a typical one.
pub(super) fn resolve(car: &Car, nominal_scale: f64, to: &mut Builder) -> Option<Supply> {
    let given = &car.battery;
    let (assumed, memory_source) = (Provenance::Assumed, memory::SOURCE);
    match car.day.ambient_c {
        Some(air) => to.params.supply.ambient_c = air,
        None => to.ranged(
            InputId::Ambient,
            race_memory::AMBIENT_C,
            Unit::Celsius,
            assumed,
            memory_source,
        ),
    }
    let ambient_c = to.params.supply.ambient_c;
    let chemistry = given.chemistry.unwrap_or_default();
    let cells = given
        .cells
        .unwrap_or_else(|| cells(chemistry, nominal_scale));
    capacity(car, to);
    let health = match given.age {
        Some(Age::New) => race_memory::HEALTH_NEW,
        Some(Age::Used) => race_memory::HEALTH_USED,
        Some(Age::Old) => race_memory::HEALTH_OLD,
        None => battery_memory::HEALTH,
    };
    let health_is = given.age.map_or(assumed, |_| Provenance::Entered);
    to.ranged(
        InputId::BatteryHealth,
        health,
        Unit::Ratio,
        health_is,
        memory_source,
    );
    let spec = Spec {
        chemistry,
        cells,
        capacity_ah: to.params.supply.capacity_ah,
        resistance: resistance(car),
        health: to.params.supply.health,
        charge_limit_a: given.charge_limit_a,
    };
    let base = Battery::new(&spec)
        .or_else(|_| Battery::new(&Spec::of(chemistry)))
        .ok()?;
    resistance_scale(car, to);
    start(car, &base, ambient_c, to);
    path(car, to);
    course::resolve(car, to);
    let wiring = &car.wiring;
    let read_at = wiring.read_at.unwrap_or_default();
    let reader = read_at.path_ohm();
    if reader.highest > reader.lowest {
        to.ranged(
            InputId::ReaderPath,
            reader,
            Unit::Ohm,
            assumed,
            memory_source,
        );
    }
    offset(car, to);
    day(car, &base, to);
    Some(Supply {
        chemistry_assumed: given.chemistry.is_none(),
        sense: wiring.sense.unwrap_or_default(),
        read_at,
        base,
    })
}

/// What is shown where voltage is read over what is there.
fn offset(car: &Car, to: &mut Builder) {
    let wiring = &car.wiring;
    let (value, off, provenance) = match (wiring.meter_v, wiring.shown_v) {
        (Some(meter), Some(shown)) => (shown - meter, battery_memory::METER_V, Provenance::Entered),
        _ => (0.0, race_memory::UNCALIBRATED_V, Provenance::Assumed),
    };
    to.symmetric(
        InputId::ReaderOffset,
        value,
        off,
        Unit::Volt,
        provenance,
        memory::SOURCE,
    );
}

/// What only a day rests on.
fn day(car: &Car, battery: &Battery, to: &mut Builder) {
    let day = &car.day;
    let mut number = |id, given: Option<f64>, typical, unit, source| match given {
        Some(value) => to.symmetric(id, value, 0.0, unit, Provenance::Entered, ENTERED),
        None => to.ranged(id, typical, unit, Provenance::Assumed, source),
    };
    let practice = common_practice::SOURCE;
    number(
        InputId::Starter,
        day.starter_a,
        race_memory::STARTER_A,
        Unit::Ampere,
        practice,
    );
    number(
        InputId::StarterTime,
        day.starter_s,
        race_memory::STARTER_S,
        Unit::Second,
        practice,
    );
    let is_charged = if day.steps.is_empty() {
        day.charger_a.is_some()
    } else {
        day.steps.iter().any(|step| step.charger)
    };
    if is_charged {
        let off = race_memory::CHARGER_V_OFF * f64::from(battery.cells()) / 6.0;
        number(
            InputId::ChargerVoltage,
            day.charger_v,
            Ranged {
                value: battery.absorb_v,
                lowest: battery.absorb_v - off,
                highest: battery.absorb_v + off,
            },
            Unit::Volt,
            memory::SOURCE,
        );
        number(
            InputId::ChargerCurrent,
            day.charger_a,
            race_memory::CHARGER_A,
            Unit::Ampere,
            memory::SOURCE,
        );
    }
    number(
        InputId::AlternatorWarming,
        None,
        memory::ALTERNATOR_WARMS_S,
        Unit::Second,
        memory::SOURCE,
    );
    number(
        InputId::Recovery,
        None,
        race_memory::RECOVERS_AT,
        Unit::Ratio,
        memory::SOURCE,
    );
    if day.steps.is_empty() {
        number(
            InputId::StepTimes,
            None,
            race_memory::STEP_TIMES,
            Unit::Ratio,
            practice,
        );
    } else {
        to.params.supply.step_scale = 1.0;
    }
    if !is_charged {
        // No day rests on it: only a charger that would save one.
        to.params.supply.charger_v = day.charger_v.unwrap_or(battery.absorb_v);
        to.params.supply.charger_a = day.charger_a.unwrap_or(race_memory::CHARGER_A.value);
    }
}

/// The cells that make the system's voltage, or the usual number.
fn cells(chemistry: Chemistry, nominal_scale: f64) -> u8 {
    let usual = chemistry.cells();
    let wanted = if nominal_scale > 1.0 {
        usual.last()
    } else {
        usual.first()
    };
    wanted.copied().unwrap_or(6)
}

fn capacity(car: &Car, to: &mut Builder) {
    match car.battery.capacity_ah {
        Some(printed) => to.symmetric(
            InputId::BatteryCapacity,
            printed,
            printed * race_memory::PRINTED_CAPACITY,
            Unit::AmpereHour,
            Provenance::Entered,
            memory::SOURCE,
        ),
        None => to.ranged(
            InputId::BatteryCapacity,
            battery_memory::CAPACITY_AH,
            Unit::AmpereHour,
            Provenance::Assumed,
            memory::SOURCE,
        ),
    }
}

fn resistance(car: &Car) -> Resistance {
    let given = &car.battery;
    if let Some(milliohms) = given.measured_mohm {
        return Resistance::Measured {
            ohm: milliohms / 1e3,
            celsius: given.measured_at_c.unwrap_or(battery_memory::REFERENCE_C),
        };
    }
    given
        .crank_a
        .map_or(Resistance::Typical, |rated_a| Resistance::ColdCrank {
            rated_a,
            standard: given.crank_standard.unwrap_or_default(),
        })
}

/// How far the resistance may be off, as a factor.
fn resistance_scale(car: &Car, to: &mut Builder) {
    let given = &car.battery;
    let around = |low: f64, high: f64| Ranged {
        value: 1.0,
        lowest: low,
        highest: high,
    };
    let (range, provenance) = if given.measured_mohm.is_some() {
        let off = race_memory::TESTER;
        (around(1.0 - off, 1.0 + off), Provenance::Entered)
    } else if given.crank_a.is_some() {
        // More crank amperes are less resistance.
        let ratio = given
            .crank_standard
            .unwrap_or(CrankStandard::Unknown)
            .sae_ratio();
        let off = race_memory::RATING_TO_OHM;
        let low = 1.0 - off.hypot(ratio.highest / ratio.value - 1.0).min(0.9);
        let high = 1.0 + off.hypot(ratio.value / ratio.lowest - 1.0);
        (around(low, high), Provenance::Entered)
    } else {
        let crank = battery_memory::CRANK_A_PER_AH;
        let (low, high) = (crank.value / crank.highest, crank.value / crank.lowest);
        (around(low, high), Provenance::Assumed)
    };
    to.ranged(
        InputId::BatteryResistance,
        range,
        Unit::Ratio,
        provenance,
        memory::SOURCE,
    );
}

fn start(car: &Car, battery: &Battery, ambient_c: f64, to: &mut Builder) {
    if let Some(reading) = &car.day.reading {
        let given = (reading.volts, reading.rested_h);
        read_charge(InputId::ReadCharge, given, battery, ambient_c, to);
    }
    let Some(read) = car.battery.rested_v else {
        to.ranged(
            InputId::StartCharge,
            race_memory::START_CHARGE,
            Unit::Ratio,
            Provenance::Assumed,
            memory::SOURCE,
        );
        return;
    };
    let given = (read, car.battery.rested_h);
    read_charge(InputId::StartCharge, given, battery, ambient_c, to);
}

/// A charge from a voltage read with everything off (V) and the hours since it was charged.
fn read_charge(
    id: InputId,
    (volts, hours_since_charge): (f64, Option<f64>),
    battery: &Battery,
    ambient_c: f64,
    to: &mut Builder,
) {
    let charge = battery.charge_from(&Reading {
        volts,
        celsius: ambient_c,
        hours_since_charge,
        meter_v: battery_memory::METER_V,
    });
    let range = Ranged {
        value: charge.soc,
        lowest: charge.lowest,
        highest: charge.highest,
    };
    to.ranged(id, range, Unit::Ratio, Provenance::Entered, ENTERED);
}

fn path(car: &Car, to: &mut Builder) {
    let wiring = &car.wiring;
    let hot_c = wiring.hot_c.unwrap_or(wiring_memory::LEAD_C.value);
    let sides = [
        (InputId::LeadResistance, &wiring.lead),
        (InputId::GroundResistance, &wiring.ground),
    ];
    for (id, side) in sides {
        let (range, provenance) = lead(side, hot_c);
        to.ranged(id, range, Unit::Ohm, provenance, wiring_memory::SOURCE);
    }
}

/// Resistance of one side with its range, ohm.
fn lead(side: &CarLead, hot_c: f64) -> (Ranged, Provenance) {
    if let (Some(drop_v), Some(at_a)) = (side.drop_v, side.drop_at_a)
        && let Ok(measured) = Lead::measured(volts(drop_v), amps(at_a))
    {
        let ohm = measured.ohm(hot_c);
        let off = (race_memory::DROP_V / at_a).hypot(common_practice::CLAMP * ohm);
        let range = Ranged {
            value: ohm,
            lowest: (ohm - off).max(0.0),
            highest: ohm + off,
        };
        return (range, Provenance::Entered);
    }
    let of = |size: WireSize, long_m: f64| {
        Lead::of_size(size, meters(long_m)).map_or(0.0, |lead| lead.ohm(hot_c))
    };
    let (size, length) = (wiring_memory::LEAD_MM2, wiring_memory::LEAD_M);
    let sized = |at: f64| side.size.unwrap_or(WireSize::Mm2(at));
    let long = |at: f64| side.length_m.unwrap_or(at);
    let range = Ranged {
        value: of(sized(size.value), long(length.value)),
        lowest: of(sized(size.highest), long(length.lowest)),
        highest: of(sized(size.lowest), long(length.highest)) * (1.0 + race_memory::TERMINALS),
    };
    let provenance = if side.size.is_some() && side.length_m.is_some() {
        Provenance::Entered
    } else {
        Provenance::Assumed
    };
    (range, provenance)
}
