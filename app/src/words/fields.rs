//! What a field is called.

use laneside_core::car::entry::Field;

/// The label of a field.
pub fn label(field: Field) -> &'static str {
    match field {
        Field::Name => "Name of the car",
        Field::Crank => "Crank pulley",
        Field::Fitted => "Alternator pulley",
        Field::Tried => "Alternator pulley to try",
        Field::TriedCrank => "Crank pulley to try",
        Field::OnHand(_) => "Pulley on hand",
        Field::StageDriven => "Jackshaft pulley, driven by the crank",
        Field::StageDriving => "Jackshaft pulley, driving the alternator",
        Field::CrankTurns => "Turns of the crank",
        Field::AlternatorTurns => "Turns of the alternator",
        Field::ReadEngine => "Engine rpm, read",
        Field::ReadAlternator => "Alternator rpm, read",
        Field::FittedRating | Field::TriedRating => "Speed marked on the pulley",
        Field::Limiter => "Limiter",
        Field::Idle => "Idle, in neutral",
        Field::IdleInGear => "Idle, in gear",
        Field::Launch => "Launch",
        Field::Shift => "Shift",
        Field::Overshoot => "Overshoot over the limiter",
        Field::Rated => "Amps on the case",
        Field::RatedSpeed => "at alternator rpm",
        Field::Low => "Output at low speed",
        Field::LowSpeed => "at alternator rpm",
        Field::Points => "Points: alternator rpm and amps",
        Field::TestVoltage => "Voltage of the rating",
        Field::Continuous => "Maker's speed limit",
        Field::Short => "Limit for moments",
        Field::SetPoint => "Set-point voltage",
        Field::UnderHood => "Air under the hood",
        Field::Shed => "Amps switched off at idle",
        Field::LoadName(_) => "Load",
        Field::LoadCurrent(_) => "Current",
        Field::LoadTolerance(_) => "Give or take",
        Field::LoadVoltage(_) => "Read at",
        Field::LoadDuty(..) => "On for",
        Field::PhaseName(_) => "Phase",
        Field::PhaseSpeed(_) => "Engine rpm",
        Field::PhaseClamp(_) => "Clamp-meter total",
        Field::PhaseClampVoltage(_) => "Read at",
    }
}
