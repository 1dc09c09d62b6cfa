//! Names of the fields that a person types into.

use super::{belt, listed, plain};
use crate::car::check;
use crate::quantity::parse::Kind;

/// One field of a car.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // The names say it; what each means is documented where the car keeps it.
pub enum Field {
    Name,
    Crank,
    Fitted,
    Tried,
    TriedCrank,
    OnHand(usize),
    StageDriven,
    StageDriving,
    CrankTurns,
    AlternatorTurns,
    ReadEngine,
    ReadAlternator,
    FittedRating,
    TriedRating,
    Limiter,
    Idle,
    IdleInGear,
    Launch,
    Shift,
    Overshoot,
    Rated,
    RatedSpeed,
    Low,
    LowSpeed,
    Points,
    TestVoltage,
    Continuous,
    Short,
    SetPoint,
    UnderHood,
    Shed,
    LoadName(usize),
    LoadCurrent(usize),
    LoadTolerance(usize),
    LoadVoltage(usize),
    /// How much of a phase (second) a load (first) is on.
    LoadDuty(usize, usize),
    PhaseName(usize),
    PhaseSpeed(usize),
    PhaseClamp(usize),
    PhaseClampVoltage(usize),
    BatteryCapacity,
    CrankRating,
    BatteryMilliohms,
    BatteryMilliohmsAt,
    ChargeLimit,
    RestedVolts,
    RestedHours,
    LeadLength,
    LeadDrop,
    LeadDropAt,
    GroundLength,
    GroundDrop,
    GroundDropAt,
    WireTemperature,
    Fuse,
    MeterVolts,
    ShownVolts,
    Elapsed,
    Trap,
    SixtyFoot,
    Gear(usize),
    FinalDrive,
    Tire,
    ConverterSlip,
    ShiftTime,
    PointTime(usize),
    PointSpeed(usize),
    SegmentName(usize),
    SegmentTime(usize),
    SegmentFrom(usize),
    SegmentTo(usize),
    Laps,
    Flow12,
    /// At 13.5 V.
    Flow13,
    Dead12,
    Dead14,
    CoilInductance,
    CoilResistance,
    CoilCurrent,
    Rounds,
    StepTime(usize),
    StepStarts(usize),
    LateFrom,
    LatePits,
    Ambient,
    ChargerCurrent,
    ChargerVolts,
    StarterCurrent,
    StarterTime,
    LeastVolts,
    ReadingRound,
    ReadingVolts,
    ReadingHours,
    BeltDesignation,
    BeltRibs,
    BeltDiameter(usize),
    BeltX(usize),
    BeltY(usize),
    BeltPower(usize),
    TapeDistance(usize),
    ObstacleName(usize),
    ObstacleX(usize),
    ObstacleY(usize),
    ObstacleAcross(usize),
    ShaftNut,
    OfferRibs,
    OfferNut,
    PlacesWithin,
    TapeTurned,
    BeltLengthWithin,
    BeltTension,
    BeltTensionWithin,
    PivotX,
    PivotY,
    ArmFrom,
    ArmTo,
    SlideDirection,
    SlideFrom,
    SlideTo,
    ShaftBore,
    ShaftOffset,
    ShaftNose,
    ShaftRoom,
    OfferBore,
    OfferOffset,
    OfferNose,
    OfferOutside,
    /// A voltage of the job card: idle, fast idle, everything on; then the same after the swap.
    CardVolts(usize),
    /// A drop of the job card: lead, ground; then the same after the swap.
    CardDrop(usize),
    /// The current during the drops, before the swap and after it.
    CardAmps(usize),
    CardNotes,
    HistoryNotes(usize),
}

/// The fields that a car has once.
const SINGLE: [Field; 31] = [
    Field::Name,
    Field::Crank,
    Field::Fitted,
    Field::Tried,
    Field::TriedCrank,
    Field::StageDriven,
    Field::StageDriving,
    Field::CrankTurns,
    Field::AlternatorTurns,
    Field::ReadEngine,
    Field::ReadAlternator,
    Field::FittedRating,
    Field::TriedRating,
    Field::Limiter,
    Field::Idle,
    Field::IdleInGear,
    Field::Launch,
    Field::Shift,
    Field::Overshoot,
    Field::Rated,
    Field::RatedSpeed,
    Field::Low,
    Field::LowSpeed,
    Field::Points,
    Field::TestVoltage,
    Field::Continuous,
    Field::Short,
    Field::SetPoint,
    Field::UnderHood,
    Field::Shed,
    Field::CardNotes,
];

impl Field {
    /// Diameters that the field takes, mm, if it is the size of a pulley.
    pub(super) fn diameters(self) -> Option<(f64, f64)> {
        match self {
            Self::Crank | Self::TriedCrank | Self::StageDriven | Self::StageDriving => {
                Some(check::CRANK_MM)
            }
            Self::Fitted | Self::Tried | Self::OnHand(_) => Some(check::ALTERNATOR_MM),
            _ => None,
        }
    }

    /// Key, kind, limits and name in the file of what the car keeps as a plain number.
    pub(in crate::car) fn about(self) -> Option<plain::About> {
        plain::about(self)
            .or_else(|| listed::about(self))
            .or_else(|| belt::about(self))
    }

    /// The field whose number a [`check::Fault`] names, the first of a list.
    ///
    /// ```
    /// use laneside_core::car::entry::Field;
    ///
    /// assert_eq!(Field::of_file("course.tire_mm"), Some(Field::Tire));
    /// ```
    pub fn of_file(name: &str) -> Option<Self> {
        let listed = listed::LISTED.into_iter().chain(belt::LISTED);
        let listed = listed.map(|of| of(0));
        Self::singles()
            .chain(listed)
            .find(|field| field.about().is_some_and(|about| about.name == name))
    }

    /// What kind of quantity is typed into it; `None` for names and curve points.
    pub fn kind(self) -> Option<Kind> {
        if let Some(about) = self.about() {
            return Some(about.kind);
        }
        Some(match self {
            _ if self.diameters().is_some() => Kind::Length,
            Self::Name
            | Self::LoadName(_)
            | Self::PhaseName(_)
            | Self::SegmentName(_)
            | Self::ObstacleName(_)
            | Self::BeltDesignation
            | Self::ShaftNut
            | Self::OfferNut
            | Self::CardNotes
            | Self::HistoryNotes(_)
            | Self::Points => return None,
            Self::CrankTurns | Self::AlternatorTurns => Kind::Turns,
            Self::Rated
            | Self::Low
            | Self::Shed
            | Self::LoadCurrent(_)
            | Self::LoadTolerance(_)
            | Self::PhaseClamp(_) => Kind::Current,
            Self::TestVoltage
            | Self::SetPoint
            | Self::LoadVoltage(_)
            | Self::PhaseClampVoltage(_) => Kind::Voltage,
            Self::UnderHood => Kind::Temperature,
            Self::LoadDuty(..) => Kind::Percent,
            _ => Kind::Speed,
        })
    }

    /// Whether it is of the job card or of the history: nothing that is worked out rests on it.
    pub fn is_of_job(self) -> bool {
        matches!(
            self,
            Self::CardVolts(_)
                | Self::CardDrop(_)
                | Self::CardAmps(_)
                | Self::CardNotes
                | Self::HistoryNotes(_)
        )
    }

    /// The fields that a car has once.
    pub fn singles() -> impl Iterator<Item = Self> {
        let plain = plain::FIELDS.iter().copied();
        SINGLE
            .into_iter()
            .chain(listed::SINGLE)
            .chain(belt::SINGLE)
            .chain(plain)
    }

    /// The field of a key that [`Field::key`] gave.
    ///
    /// ```
    /// use laneside_core::car::entry::Field;
    ///
    /// assert_eq!(Field::from_key("limiter"), Some(Field::Limiter));
    /// assert_eq!(Field::from_key("load-duty-3-1"), Some(Field::LoadDuty(3, 1)));
    /// assert_eq!(Field::from_key("load-duty-3"), None);
    /// assert_eq!(Field::from_key("point-time-2"), Some(Field::PointTime(2)));
    /// ```
    pub fn from_key(key: &str) -> Option<Self> {
        if let Some(field) = Self::singles().find(|field| field.key() == key) {
            return Some(field);
        }
        let (name, last) = key.rsplit_once('-')?;
        let last = last.parse().ok()?;
        let mut listed = listed::LISTED.iter().chain(&belt::LISTED);
        if let Some(of) = listed.find(|of| of(last).key() == key) {
            return Some(of(last));
        }
        let listed: fn(usize) -> Self = match name {
            "on-hand" => Self::OnHand,
            "load-name" => Self::LoadName,
            "load-current" => Self::LoadCurrent,
            "load-tolerance" => Self::LoadTolerance,
            "load-voltage" => Self::LoadVoltage,
            "phase-name" => Self::PhaseName,
            "phase-speed" => Self::PhaseSpeed,
            "phase-clamp" => Self::PhaseClamp,
            "phase-clamp-voltage" => Self::PhaseClampVoltage,
            "history-notes" => Self::HistoryNotes,
            _ => {
                let (name, first) = name.rsplit_once('-')?;
                let first = first.parse().ok()?;
                return (name == "load-duty").then_some(Self::LoadDuty(first, last));
            }
        };
        Some(listed(last))
    }

    /// A stable key: for drafts that are kept and for the page.
    pub fn key(self) -> String {
        if let Some(about) = plain::about(self) {
            return about.key.to_owned();
        }
        let name = match self {
            Self::Name => "name",
            Self::Crank => "crank",
            Self::Fitted => "fitted",
            Self::Tried => "tried",
            Self::TriedCrank => "tried-crank",
            Self::OnHand(place) => return format!("on-hand-{place}"),
            Self::StageDriven => "stage-driven",
            Self::StageDriving => "stage-driving",
            Self::CrankTurns => "crank-turns",
            Self::AlternatorTurns => "alternator-turns",
            Self::ReadEngine => "read-engine",
            Self::ReadAlternator => "read-alternator",
            Self::FittedRating => "fitted-rating",
            Self::TriedRating => "tried-rating",
            Self::Limiter => "limiter",
            Self::Idle => "idle",
            Self::IdleInGear => "idle-in-gear",
            Self::Launch => "launch",
            Self::Shift => "shift",
            Self::Overshoot => "overshoot",
            Self::Rated => "rated",
            Self::RatedSpeed => "rated-speed",
            Self::Low => "low",
            Self::LowSpeed => "low-speed",
            Self::Points => "points",
            Self::TestVoltage => "test-voltage",
            Self::Continuous => "continuous",
            Self::Short => "short",
            Self::SetPoint => "set-point",
            Self::UnderHood => "under-hood",
            Self::Shed => "shed",
            Self::CardNotes => "card-notes",
            Self::HistoryNotes(place) => return format!("history-notes-{place}"),
            Self::LoadName(place) => return format!("load-name-{place}"),
            Self::LoadCurrent(place) => return format!("load-current-{place}"),
            Self::LoadTolerance(place) => return format!("load-tolerance-{place}"),
            Self::LoadVoltage(place) => return format!("load-voltage-{place}"),
            Self::LoadDuty(load, phase) => return format!("load-duty-{load}-{phase}"),
            Self::PhaseName(place) => return format!("phase-name-{place}"),
            Self::PhaseSpeed(place) => return format!("phase-speed-{place}"),
            Self::PhaseClamp(place) => return format!("phase-clamp-{place}"),
            Self::PhaseClampVoltage(place) => return format!("phase-clamp-voltage-{place}"),
            Self::SegmentName(place) => return format!("segment-name-{place}"),
            Self::ObstacleName(place) => return format!("obstacle-name-{place}"),
            Self::BeltDesignation => "belt-designation",
            Self::ShaftNut => "shaft-nut",
            Self::OfferNut => "offer-nut",
            Self::Gear(place)
            | Self::PointTime(place)
            | Self::PointSpeed(place)
            | Self::SegmentTime(place)
            | Self::SegmentFrom(place)
            | Self::SegmentTo(place)
            | Self::StepTime(place)
            | Self::StepStarts(place)
            | Self::BeltDiameter(place)
            | Self::BeltX(place)
            | Self::BeltY(place)
            | Self::BeltPower(place)
            | Self::TapeDistance(place)
            | Self::ObstacleX(place)
            | Self::ObstacleY(place)
            | Self::ObstacleAcross(place)
            | Self::CardVolts(place)
            | Self::CardDrop(place)
            | Self::CardAmps(place) => {
                let name = self.about().map_or("", |about| about.key);
                return format!("{name}-{place}");
            }
            _ => self.about().map_or("", |about| about.key),
        };
        name.to_owned()
    }
}
