//! Fields that are plain numbers, each of which the car has once: one table of key, kind,
//! limits and place.

use super::Field;
use crate::car::{Car, check};
use crate::quantity::parse::Kind;

/// What a field of a plain number is.
#[derive(Clone, Copy)]
pub(in crate::car) struct About {
    /// Its key; that of a listed one without its place.
    pub key: &'static str,
    /// What is typed into it.
    pub kind: Kind,
    /// Lowest and highest, in the unit that the car keeps.
    pub limits: (f64, f64),
    /// Its name in the file.
    pub name: &'static str,
}

macro_rules! plain {
    ($($field:ident $key:literal $kind:ident $limits:expr, $($path:ident).+;)+) => {
        /// All of them.
        pub(in crate::car) const FIELDS: &[Field] = &[$(Field::$field),+];

        pub(super) fn about(field: Field) -> Option<About> {
            Some(match field {
                $(Field::$field => About {
                    key: $key,
                    kind: Kind::$kind,
                    limits: $limits,
                    name: stringify!($($path).+),
                },)+
                _ => return None,
            })
        }

        /// What the car holds there.
        pub(in crate::car) fn get(car: &Car, field: Field) -> Option<f64> {
            match field {
                $(Field::$field => car.$($path).+,)+
                _ => None,
            }
        }

        pub(super) fn slot(car: &mut Car, field: Field) -> Option<&mut Option<f64>> {
            Some(match field {
                $(Field::$field => &mut car.$($path).+,)+
                _ => return None,
            })
        }
    };
}

/// Voltages of a battery at rest, V: it may be dead.
pub(super) const RESTING_V: (f64, f64) = (0.0, 22.0);
/// Hours since a battery was charged.
pub(super) const RESTED_H: (f64, f64) = (0.0, 10_000.0);
/// How long one step of a day may last, s.
pub(super) const STEP_S: (f64, f64) = (0.0, 43_200.0);
const SYSTEM_V: (f64, f64) = check::SYSTEM_V;
const LEAD_M: (f64, f64) = (0.0, 40.0);
/// Drop over one side of the charge path, V ...
pub(super) const DROP_V: (f64, f64) = (0.0, 5.0);
/// ... and the current meanwhile, A.
pub(super) const DROP_AT_A: (f64, f64) = (1.0, 1_000.0);
const FLOW_LPH: (f64, f64) = (5.0, 3_000.0);
/// Static tension of a belt, N.
const TENSION_N: (f64, f64) = (0.0, 5_000.0);
/// From the face that a pulley rests against to the middle of the belt, mm.
const SEAT_MM: (f64, f64) = (-100.0, 200.0);
const DEAD_MS: (f64, f64) = (0.05, 10.0);

plain! {
    BatteryCapacity "battery-capacity" Capacity (1.0, 1_000.0), battery.capacity_ah;
    CrankRating "crank-rating" Current (10.0, 5_000.0), battery.crank_a;
    BatteryMilliohms "battery-milliohms" Resistance (0.1, 1_000.0), battery.measured_mohm;
    BatteryMilliohmsAt "battery-milliohms-at" Temperature (-40.0, 80.0), battery.measured_at_c;
    ChargeLimit "charge-limit" Current (0.5, 1_000.0), battery.charge_limit_a;
    RestedVolts "rested-volts" Voltage RESTING_V, battery.rested_v;
    RestedHours "rested-hours" Hours RESTED_H, battery.rested_h;
    LeadLength "lead-length" Distance LEAD_M, wiring.lead.length_m;
    LeadDrop "lead-drop" Drop DROP_V, wiring.lead.drop_v;
    LeadDropAt "lead-drop-at" Current DROP_AT_A, wiring.lead.drop_at_a;
    GroundLength "ground-length" Distance LEAD_M, wiring.ground.length_m;
    GroundDrop "ground-drop" Drop DROP_V, wiring.ground.drop_v;
    GroundDropAt "ground-drop-at" Current DROP_AT_A, wiring.ground.drop_at_a;
    WireTemperature "wire-temperature" Temperature (-30.0, 150.0), wiring.hot_c;
    Fuse "fuse" Current (1.0, 1_000.0), wiring.fuse_a;
    MeterVolts "meter-volts" Voltage SYSTEM_V, wiring.meter_v;
    ShownVolts "shown-volts" Voltage SYSTEM_V, wiring.shown_v;
    Elapsed "elapsed" Time (2.0, 40.0), course.elapsed_s;
    Trap "trap" RoadSpeed (10.0, 200.0), course.trap_mps;
    SixtyFoot "sixty-foot" Time (0.7, 5.0), course.sixty_ft_s;
    FinalDrive "final-drive" Ratio (1.5, 8.0), course.final_drive;
    Tire "tire" Length (300.0, 1_200.0), course.tire_mm;
    ConverterSlip "converter-slip" Percent (0.0, 0.3), course.slip;
    ShiftTime "shift-time" Time (0.0, 2.0), course.shift_s;
    Flow12 "flow-12" Flow FLOW_LPH, course.costs.flow_12_lph;
    Flow13 "flow-13" Flow FLOW_LPH, course.costs.flow_13_5_lph;
    Dead12 "dead-12" Milliseconds DEAD_MS, course.costs.dead_12_ms;
    Dead14 "dead-14" Milliseconds DEAD_MS, course.costs.dead_14_ms;
    CoilInductance "coil-inductance" Inductance (0.1, 50.0), course.costs.coil_mh;
    CoilResistance "coil-resistance" Ohms (0.05, 10.0), course.costs.coil_ohm;
    CoilCurrent "coil-current" Current (1.0, 50.0), course.costs.coil_a;
    LatePits "late-pits" Minutes STEP_S, day.late_pits_s;
    Ambient "ambient" Temperature (-30.0, 60.0), day.ambient_c;
    ChargerCurrent "charger-current" Current (0.5, 200.0), day.charger_a;
    ChargerVolts "charger-volts" Voltage SYSTEM_V, day.charger_v;
    StarterCurrent "starter-current" Current (20.0, 1_000.0), day.starter_a;
    StarterTime "starter-time" Time (0.2, 20.0), day.starter_s;
    LeastVolts "least-volts" Voltage SYSTEM_V, day.least_v;
    PlacesWithin "places-within" Length check::WITHIN_MM, belt_drive.places_half_width_mm;
    TapeTurned "tape-turned" Angle (-360.0, 360.0), belt_drive.turned_deg;
    BeltLengthWithin "belt-length-within" Length (0.0, 50.0), belt_drive.belt_half_width_mm;
    BeltTension "belt-tension" Force TENSION_N, belt_drive.tension_n;
    BeltTensionWithin "belt-tension-within" Force TENSION_N, belt_drive.tension_half_width_n;
    PivotX "pivot-x" Length check::PLACE_MM, belt_drive.mover.pivot_x_mm;
    PivotY "pivot-y" Length check::PLACE_MM, belt_drive.mover.pivot_y_mm;
    ArmFrom "arm-from" Angle (-180.0, 0.0), belt_drive.mover.from_deg;
    ArmTo "arm-to" Angle (0.0, 180.0), belt_drive.mover.to_deg;
    SlideDirection "slide-direction" Angle (-360.0, 360.0), belt_drive.mover.direction_deg;
    SlideFrom "slide-from" Length (-300.0, 0.0), belt_drive.mover.from_mm;
    SlideTo "slide-to" Length (0.0, 300.0), belt_drive.mover.to_mm;
    ShaftBore "shaft-bore" Fine (5.0, 60.0), belt_drive.shaft.bore_mm;
    ShaftOffset "shaft-offset" Fine SEAT_MM, belt_drive.shaft.offset_mm;
    ShaftNose "shaft-nose" Fine (0.0, 300.0), belt_drive.shaft.nose_mm;
    ShaftRoom "shaft-room" Fine (20.0, 400.0), belt_drive.shaft.room_mm;
    OfferBore "offer-bore" Fine (5.0, 60.0), belt_drive.offered.bore_mm;
    OfferOffset "offer-offset" Fine SEAT_MM, belt_drive.offered.offset_mm;
    OfferNose "offer-nose" Fine (0.0, 300.0), belt_drive.offered.nose_mm;
    OfferOutside "offer-outside" Fine (20.0, 400.0), belt_drive.offered.outside_mm;
}
