//! From pulleys to alternator speed: what a measured size means, the speed ratio, and
//! the speed at any engine speed.
//!
//! A belt runs on its pitch line. On V-ribbed (PK) pulleys the pitch diameter is the
//! effective diameter plus twice the effective line differential,
//! `d_p = d_e + 2 b_e` (ISO 9981:2020 5.4); on every other belt the person enters the
//! pitch diameter itself. The speed ratio is
//! `pitch diameter of the crank pulley / pitch diameter of the alternator pulley`.

use serde::{Deserialize, Serialize};

use crate::data::{common_practice, iso_9981, memory};
use crate::quantity::{InLength, InRotationalSpeed, Length, RotationalSpeed, mm, rpm};

/// The belt's cross-section, as far as the speed ratio depends on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Belt {
    /// V-ribbed, PK profile.
    #[default]
    VRibbed,
    /// V belt, toothed belt and others: sizes are pitch diameters.
    Other,
}

/// What was measured on a pulley, and with what. It decides both the diameter meant and
/// its tolerance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// A size somebody called ("a two and a quarter"): effective diameter, within 1/8 in.
    #[default]
    Called,
    /// Caliper over the rib tips: outside diameter.
    Caliper,
    /// Tape around the rib tips: circumference.
    Tape,
    /// Effective diameter from the maker's drawing.
    Effective,
    /// Pitch diameter.
    Pitch,
}

impl Measure {
    /// The ways that tell something of a pulley for this belt: from the outside nobody sees
    /// where the cords of a belt that is not ribbed run.
    pub fn for_belt(belt: Belt) -> &'static [Self] {
        match belt {
            Belt::VRibbed => &Self::ALL,
            Belt::Other => &[Self::Called, Self::Pitch],
        }
    }

    /// All ways of measuring, for pickers.
    pub const ALL: [Self; 5] = [
        Self::Called,
        Self::Caliper,
        Self::Tape,
        Self::Effective,
        Self::Pitch,
    ];
}

/// A pulley, as somebody measured it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pulley {
    /// The number read: a diameter, or the circumference for [`Measure::Tape`].
    #[serde(rename = "size_mm", with = "crate::stored::mm")]
    pub size: Length,
    /// What was measured and how.
    pub measure: Measure,
    /// The fastest speed its maker allows, if marked on it.
    #[serde(
        rename = "rated_rpm",
        with = "crate::stored::opt_rpm",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub rated_speed: Option<RotationalSpeed>,
}

/// A length with its 95 % half-width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Toleranced {
    /// The value.
    pub value: Length,
    /// 95 % half-width, same both ways.
    pub half_width: Length,
}

impl Pulley {
    /// A pulley of the given size, measured so.
    pub fn new(size: Length, measure: Measure) -> Self {
        Self {
            size,
            measure,
            rated_speed: None,
        }
    }

    /// A pulley of this effective (V-ribbed) or pitch (other belts) diameter, as called.
    pub fn called(size: Length) -> Self {
        Self::new(size, Measure::Called)
    }

    /// Effective diameter on V-ribbed belts, pitch diameter on others, with its tolerance.
    ///
    /// ```
    /// use laneside_core::drive::{Belt, Measure, Pulley};
    /// use laneside_core::quantity::{InLength, mm};
    ///
    /// // A caliper over the rib tips reads 0 to 0.9 mm under the effective diameter.
    /// let pulley = Pulley::new(mm(59.55), Measure::Caliper);
    /// assert!((pulley.effective(Belt::VRibbed).value.mm() - 60.0).abs() < 1e-9);
    /// ```
    pub fn effective(&self, belt: Belt) -> Toleranced {
        let size = self.size.mm();
        let ribbed = belt == Belt::VRibbed;
        let (tip, tip_half) = if ribbed {
            (iso_9981::TIP_OFFSET_MM, iso_9981::TIP_OFFSET_HALF_WIDTH_MM)
        } else {
            // Where the cords of another belt run is anybody's guess from the outside.
            (0.0, memory::OTHER_BELT_LINE_MM)
        };
        let (value, half) = match self.measure {
            Measure::Called => (size, common_practice::CALLED_MM),
            Measure::Caliper => (size + tip, tip_half.hypot(common_practice::CALIPER_MM)),
            Measure::Tape => (
                size / std::f64::consts::PI + tip,
                tip_half.hypot(common_practice::TAPE_ON_CIRCUMFERENCE_MM / std::f64::consts::PI),
            ),
            Measure::Effective => (size, iso_9981::DIAMETER_OVER_BALLS_MM),
            Measure::Pitch => (
                size - 2.0 * line_differential(belt),
                common_practice::CALIPER_MM,
            ),
        };
        Toleranced {
            value: mm(value),
            half_width: mm(half),
        }
    }

    /// Pitch diameter with its tolerance: what the speed ratio is made of.
    pub fn pitch(&self, belt: Belt) -> Toleranced {
        let effective = self.effective(belt);
        Toleranced {
            value: pitch_from_effective(effective.value, belt),
            half_width: effective.half_width,
        }
    }

    /// The same way of measuring read on a pulley of another effective diameter: what
    /// the person would read.
    pub fn with_effective(&self, effective: Length, belt: Belt) -> Self {
        let shift = effective - self.effective(belt).value;
        let factor = if self.measure == Measure::Tape {
            std::f64::consts::PI
        } else {
            1.0
        };
        Self {
            size: self.size + shift * factor,
            ..*self
        }
    }
}

fn line_differential(belt: Belt) -> f64 {
    match belt {
        Belt::VRibbed => iso_9981::EFFECTIVE_LINE_DIFFERENTIAL_MM,
        Belt::Other => 0.0,
    }
}

/// Pitch diameter of a pulley of this effective diameter.
pub fn pitch_from_effective(effective: Length, belt: Belt) -> Length {
    effective + mm(2.0 * line_differential(belt))
}

/// Effective diameter of a pulley of this pitch diameter.
pub fn effective_from_pitch(pitch: Length, belt: Belt) -> Length {
    pitch - mm(2.0 * line_differential(belt))
}

/// Speed of the driven shaft. `slip` is the fraction lost at each of `stages` belts:
/// zero for the overspeed question (the safe side), about 0.01 for output.
///
/// ```
/// use laneside_core::drive::driven_speed;
/// use laneside_core::quantity::{InRotationalSpeed, rpm};
///
/// // Theory of Machines, ch. 11: 750/450 then 900/150 mm, 2 % slip at each belt.
/// let ratio = 750.0 / 450.0 * (900.0 / 150.0);
/// let speed = driven_speed(rpm(150.0), ratio, 0.02, 2);
/// assert!((speed.rpm() - 1440.6).abs() < 0.01);
/// ```
pub fn driven_speed(
    driver: RotationalSpeed,
    ratio: f64,
    slip: f64,
    stages: i32,
) -> RotationalSpeed {
    rpm(driver.rpm() * ratio * (1.0 - slip).powi(stages))
}

/// How much the stress from rotation grows from one speed to another: it goes with
/// speed squared.
///
/// ```
/// use laneside_core::drive::stress_ratio;
/// use laneside_core::quantity::rpm;
///
/// assert!((stress_ratio(rpm(15_000.0), rpm(18_000.0)) - 1.44).abs() < 1e-12);
/// ```
pub fn stress_ratio(from: RotationalSpeed, to: RotationalSpeed) -> f64 {
    let ratio = to.rpm() / from.rpm();
    ratio * ratio
}

/// Whether the alternator pulley can run ahead of the belt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Hub {
    /// The pulley drives the rotor both ways.
    #[default]
    Solid,
    /// One-way or decoupling: on deceleration the rotor coasts, so its speed there is
    /// only bounded.
    OneWay,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::inch;

    #[test]
    fn called_size_is_effective_diameter() {
        let effective = Pulley::called(inch(2.25)).effective(Belt::VRibbed);
        assert!((effective.value.mm() - 57.15).abs() < 1e-9);
        assert!((effective.half_width.mm() - 3.175).abs() < 1e-9);
    }

    #[test]
    fn tape_and_caliper_agree_on_the_same_pulley() {
        let caliper = Pulley::new(mm(88.0), Measure::Caliper).pitch(Belt::VRibbed);
        let tape = Pulley::new(mm(88.0 * std::f64::consts::PI), Measure::Tape).pitch(Belt::VRibbed);
        assert!((caliper.value - tape.value).mm().abs() < 1e-9);
        assert!((caliper.value.mm() - 92.45).abs() < 1e-9);
        assert!(tape.half_width < caliper.half_width);
    }

    #[test]
    fn reading_for_another_size_reads_back() {
        for measure in Measure::ALL {
            for belt in [Belt::VRibbed, Belt::Other] {
                let pulley = Pulley::new(mm(150.0), measure).with_effective(mm(72.0), belt);
                assert!(
                    (pulley.effective(belt).value.mm() - 72.0).abs() < 1e-9,
                    "{measure:?}"
                );
            }
        }
    }

    #[test]
    fn other_belts_take_the_size_as_pitch_diameter() {
        let pitch = Pulley::new(mm(120.0), Measure::Pitch).pitch(Belt::Other);
        assert!((pitch.value.mm() - 120.0).abs() < 1e-9);
    }
}
