//! The numbers of a study, and which of them are uncertain by how much.

use serde::Serialize;

use super::supply::SupplyParams;
use crate::data::memory::Default as Ranged;
use crate::finding::{Mark, Provenance, Source, Unit};

/// A source for what was typed in.
pub const ENTERED: Source = Source {
    citation: "entered for this car",
    mark: Mark::Entered,
};

/// One uncertain number. The code names the field that would settle it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum InputId {
    /// Pitch diameter of the crank pulley.
    Crank,
    /// Pitch diameter of the alternator pulley on the car.
    FittedPulley,
    /// Pitch diameter of the alternator pulley to try.
    TriedPulley,
    /// Pitch diameter of the crank pulley to try.
    TriedCrank,
    /// Pulley driven by the crank's belt on the jackshaft.
    StageDriven,
    /// Pulley driving the alternator's belt on the jackshaft.
    StageDriving,
    /// Ratio counted or read at the car.
    Ratio,
    /// Belt creep and slip.
    Slip,
    /// Idle in neutral.
    Idle,
    /// How far the idle falls in gear.
    InGearDrop,
    /// Launch speed.
    Launch,
    /// Shift speed.
    Shift,
    /// How far over the limiter the engine goes.
    Overshoot,
    /// Low-speed output over rated output.
    LowFraction,
    /// Scale of the whole curve.
    OutputScale,
    /// The form of the curve below its lowest rated speed.
    LowForm,
    /// Field current over bus voltage.
    FieldExponent,
    /// Turn-on speed over cut-in speed.
    ExciteFactor,
    /// Voltage that the regulator holds.
    SetPoint,
    /// Voltage that the output was rated at.
    TestVoltage,
    /// Air around the alternator.
    UnderHood,
    /// What all loads have in common.
    LoadsScale,
    /// One load of the list, by its place.
    Load(usize),
    /// Clamp reading of one phase, by its place.
    Clamp(usize),
    /// Capacity of the battery when new.
    BatteryCapacity,
    /// What is left of it.
    BatteryHealth,
    /// Its resistance over what its rating says.
    BatteryResistance,
    /// Charge at the start of the day.
    StartCharge,
    /// Resistance of the charge lead.
    LeadResistance,
    /// Resistance of the ground side.
    GroundResistance,
    /// Resistance from the battery to where its voltage is read.
    ReaderPath,
    /// Air of the day.
    Ambient,
    /// Current of the starter.
    Starter,
    /// How long the starter turns.
    StarterTime,
    /// Current of the pit charger.
    ChargerCurrent,
    /// Voltage that the pit charger charges to.
    ChargerVoltage,
    /// Time in which the alternator follows its heat.
    AlternatorWarming,
    /// Speed at which lost output comes back over that at which it goes.
    Recovery,
    /// Times of the steps of a day over what is usual.
    StepTimes,
    /// What is shown where voltage is read over what is there.
    ReaderOffset,
    /// Field current of a machine that has not turned on.
    FieldDraw,
    /// Charge that a reading during the day gave.
    ReadCharge,
    /// Slip of the converter at the stripe.
    ConverterSlip,
    /// Growth of the tire at trap speed.
    TireGrowth,
    /// How long a shift takes.
    ShiftTime,
    /// Engine speed at the stripe over shift speed, where the gearing is not known.
    StripeSpeed,
}

/// One uncertain number with its 95 % range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Input {
    /// Which one.
    pub id: InputId,
    /// What is studied.
    pub value: f64,
    /// Low end of its range.
    pub lowest: f64,
    /// High end of its range.
    pub highest: f64,
    /// Unit of all three.
    pub unit: Unit,
    /// What the value rests on.
    pub provenance: Provenance,
    /// Where the value or its range is from.
    pub source: Source,
}

/// Which crank pulley drives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CrankPulley {
    /// The one on the car.
    OnCar,
    /// The one to try.
    ToTry,
    /// Any, by its pitch diameter in mm.
    Pitch(f64),
}

/// Which alternator pulley is driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AlternatorPulley {
    /// The one on the car.
    OnCar,
    /// Any, by its pitch diameter in mm.
    Pitch(f64),
}

/// A pair of pulleys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulleys {
    /// On the crank.
    pub crank: CrankPulley,
    /// On the alternator.
    pub alternator: AlternatorPulley,
}

impl Pulleys {
    /// Both as they are on the car.
    pub const ON_CAR: Self = Self {
        crank: CrankPulley::OnCar,
        alternator: AlternatorPulley::OnCar,
    };

    /// The crank pulley on the car with an alternator pulley of this pitch diameter, mm.
    pub fn with_alternator(pitch_mm: f64) -> Self {
        Self {
            crank: CrankPulley::OnCar,
            alternator: AlternatorPulley::Pitch(pitch_mm),
        }
    }

    /// The alternator pulley on the car with a crank pulley of this pitch diameter, mm.
    pub fn with_crank(pitch_mm: f64) -> Self {
        Self {
            crank: CrankPulley::Pitch(pitch_mm),
            alternator: AlternatorPulley::OnCar,
        }
    }
}

/// What the ratio of the pulleys on the car rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RatioFrom {
    /// The sizes of both.
    #[default]
    Sizes,
    /// It was read, and both sizes are known besides.
    Read,
    /// It was read, and with the crank pulley's size gives the alternator pulley's.
    ReadWithCrank,
    /// It was read, and with the alternator pulley's size gives the crank pulley's.
    ReadWithFitted,
}

/// The numbers of one study, units in the names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Params {
    /// Pitch diameter of the crank pulley.
    pub crank_mm: f64,
    /// Pitch diameter of the alternator pulley on the car.
    pub fitted_mm: f64,
    /// Jackshaft, driven by the crank's belt (0 without one).
    pub stage_driven_mm: f64,
    /// Jackshaft, driving the alternator's belt (0 without one).
    pub stage_driving_mm: f64,
    /// Ratio read at the car (0 where it was not).
    pub ratio: f64,
    /// Whether [`Params::ratio`] was read, and which sizes are known besides.
    pub ratio_from: RatioFrom,
    /// Pitch diameter of the crank pulley to try (that on the car without one).
    pub tried_crank_mm: f64,
    /// Fraction lost at each belt.
    pub slip: f64,
    /// Limiter.
    pub limiter_rpm: f64,
    /// How far over it.
    pub overshoot_rpm: f64,
    /// Idle in neutral.
    pub idle_rpm: f64,
    /// How far idle falls in gear.
    pub in_gear_drop_rpm: f64,
    /// Launch.
    pub launch_rpm: f64,
    /// Shift.
    pub shift_rpm: f64,
    /// Low over rated output.
    pub low_fraction: f64,
    /// Scale of the curve.
    pub output_scale: f64,
    /// Scale below the lowest rated speed.
    pub low_form: f64,
    /// Field current over bus voltage.
    pub field_exponent: f64,
    /// Turn-on over cut-in.
    pub excite_factor: f64,
    /// Regulated voltage.
    pub set_point_v: f64,
    /// Voltage of the rating.
    pub test_v: f64,
    /// Air around the alternator.
    pub under_hood_c: f64,
    /// Scale of all loads.
    pub loads_scale: f64,
    /// Current of each load of the list, A.
    pub loads_a: Vec<f64>,
    /// Clamp reading of each phase, A (0 without one).
    pub clamps_a: Vec<f64>,
    /// Battery, wiring and weather.
    pub supply: SupplyParams,
}

impl Params {
    /// What the jackshaft multiplies the ratio by.
    pub fn stage(&self) -> f64 {
        if self.stage_driven_mm > 0.0 {
            self.stage_driving_mm / self.stage_driven_mm
        } else {
            1.0
        }
    }

    /// Pitch diameter of the crank pulley on the car, mm.
    pub fn crank_mm(&self) -> f64 {
        match self.ratio_from {
            RatioFrom::ReadWithFitted => self.ratio * self.fitted_mm / self.stage(),
            _ => self.crank_mm,
        }
    }

    /// Pitch diameter of the alternator pulley on the car, mm.
    pub fn fitted_mm(&self) -> f64 {
        match self.ratio_from {
            RatioFrom::ReadWithCrank => self.crank_mm * self.stage() / self.ratio,
            _ => self.fitted_mm,
        }
    }

    /// Alternator turns for one engine turn with these pulleys.
    pub fn ratio_of(&self, pulleys: Pulleys) -> f64 {
        let crank = match pulleys.crank {
            CrankPulley::OnCar => 1.0,
            CrankPulley::ToTry => self.tried_crank_mm / self.crank_mm(),
            CrankPulley::Pitch(mm) => mm / self.crank_mm(),
        };
        let alternator = match pulleys.alternator {
            AlternatorPulley::OnCar => self.fitted_mm(),
            AlternatorPulley::Pitch(mm) => mm,
        };
        self.numerator_mm() * crank / alternator
    }

    /// Pitch diameter of a crank pulley that would drive the alternator directly as fast
    /// as the pulleys on the car do.
    fn numerator_mm(&self) -> f64 {
        match self.ratio_from {
            RatioFrom::Read | RatioFrom::ReadWithFitted => self.ratio * self.fitted_mm,
            RatioFrom::Sizes | RatioFrom::ReadWithCrank => self.crank_mm * self.stage(),
        }
    }

    /// The number that an id names.
    ///
    /// [`InputId::TriedPulley`] is no part of the car; it has no slot.
    pub fn slot(&mut self, id: InputId) -> Option<&mut f64> {
        Some(match id {
            InputId::Crank => &mut self.crank_mm,
            InputId::FittedPulley => &mut self.fitted_mm,
            InputId::TriedPulley => return None,
            InputId::TriedCrank => &mut self.tried_crank_mm,
            InputId::StageDriven => &mut self.stage_driven_mm,
            InputId::StageDriving => &mut self.stage_driving_mm,
            InputId::Ratio => &mut self.ratio,
            InputId::Slip => &mut self.slip,
            InputId::Idle => &mut self.idle_rpm,
            InputId::InGearDrop => &mut self.in_gear_drop_rpm,
            InputId::Launch => &mut self.launch_rpm,
            InputId::Shift => &mut self.shift_rpm,
            InputId::Overshoot => &mut self.overshoot_rpm,
            InputId::LowFraction => &mut self.low_fraction,
            InputId::OutputScale => &mut self.output_scale,
            InputId::LowForm => &mut self.low_form,
            InputId::FieldExponent => &mut self.field_exponent,
            InputId::ExciteFactor => &mut self.excite_factor,
            InputId::SetPoint => &mut self.set_point_v,
            InputId::TestVoltage => &mut self.test_v,
            InputId::UnderHood => &mut self.under_hood_c,
            InputId::LoadsScale => &mut self.loads_scale,
            InputId::Load(index) => self.loads_a.get_mut(index)?,
            InputId::Clamp(index) => self.clamps_a.get_mut(index)?,
            InputId::BatteryCapacity => &mut self.supply.capacity_ah,
            InputId::BatteryHealth => &mut self.supply.health,
            InputId::BatteryResistance => &mut self.supply.ohm_scale,
            InputId::StartCharge => &mut self.supply.start_soc,
            InputId::LeadResistance => &mut self.supply.lead_ohm,
            InputId::GroundResistance => &mut self.supply.ground_ohm,
            InputId::ReaderPath => &mut self.supply.reader_ohm,
            InputId::Ambient => &mut self.supply.ambient_c,
            InputId::Starter => &mut self.supply.starter_a,
            InputId::StarterTime => &mut self.supply.starter_s,
            InputId::ChargerCurrent => &mut self.supply.charger_a,
            InputId::ChargerVoltage => &mut self.supply.charger_v,
            InputId::AlternatorWarming => &mut self.supply.warms_s,
            InputId::Recovery => &mut self.supply.recovers_at,
            InputId::StepTimes => &mut self.supply.step_scale,
            InputId::ReaderOffset => &mut self.supply.offset_v,
            InputId::FieldDraw => &mut self.supply.field_a,
            InputId::ReadCharge => &mut self.supply.read_soc,
            InputId::ConverterSlip => &mut self.supply.converter_slip,
            InputId::TireGrowth => &mut self.supply.tire_growth,
            InputId::ShiftTime => &mut self.supply.shift_s,
            InputId::StripeSpeed => &mut self.supply.stripe_over_shift,
        })
    }

    /// The same numbers with one of them changed.
    pub fn with(&self, id: InputId, value: f64) -> Self {
        let mut changed = self.clone();
        if let Some(slot) = changed.slot(id) {
            *slot = value;
        }
        changed
    }
}

/// Collects numbers and their ranges.
#[derive(Default)]
pub(super) struct Builder {
    pub(super) params: Params,
    pub(super) inputs: Vec<Input>,
}

impl Builder {
    /// A number with the same half-width both ways.
    pub(super) fn symmetric(
        &mut self,
        id: InputId,
        value: f64,
        half_width: f64,
        unit: Unit,
        provenance: Provenance,
        source: Source,
    ) {
        let range = Ranged {
            value,
            lowest: value - half_width,
            highest: value + half_width,
        };
        self.ranged(id, range, unit, provenance, source);
    }

    /// A number with a range.
    pub(super) fn ranged(
        &mut self,
        id: InputId,
        range: Ranged,
        unit: Unit,
        provenance: Provenance,
        source: Source,
    ) {
        if let Some(slot) = self.params.slot(id) {
            *slot = range.value;
        }
        let (lowest, highest) = (
            range.lowest.min(range.value),
            range.highest.max(range.value),
        );
        self.inputs.push(Input {
            id,
            value: range.value,
            lowest,
            highest,
            unit,
            provenance,
            source,
        });
    }
}
