//! What carries the car beside the alternator: battery, charge wiring, and where its
//! voltage is read.

use serde::{Deserialize, Serialize};

use crate::battery::{Chemistry, CrankStandard};
use crate::bus::Sense;
use crate::wiring::{Place, WireSize};

/// The battery, as far as the person knows it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Battery {
    /// What it is made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<Chemistry>,
    /// Cells in series; those of the system's voltage where absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cells: Option<u8>,
    /// Capacity when new (20 h for lead-acid), Ah.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub capacity_ah: Option<f64>,
    /// Cold-crank rating, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_a: Option<f64>,
    /// The standard behind that rating.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_standard: Option<CrankStandard>,
    /// Resistance as a tester read it, which goes before the rating, mOhm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_mohm: Option<f64>,
    /// Temperature of the battery then, degrees Celsius; 25 where absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_at_c: Option<f64>,
    /// How worn it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub age: Option<Age>,
    /// The maker's limit on charging current (lithium), A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge_limit_a: Option<f64>,
    /// Voltage read with everything off, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rested_v: Option<f64>,
    /// Hours since it was last charged, h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rested_h: Option<f64>,
}

/// How worn a battery is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Age {
    /// Its first season.
    New,
    /// Two or three seasons.
    Used,
    /// Older, or run flat more than once.
    Old,
}

/// One side of the charge path: a lead by its size, or by its drop.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Lead {
    /// Its size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<WireSize>,
    /// Its length, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
    /// Its drop as measured, which goes before size and length, V ...
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drop_v: Option<f64>,
    /// ... at this current, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drop_at_a: Option<f64>,
}

/// Charge wiring, and where voltage is read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Wiring {
    /// From the alternator's stud to the battery.
    pub lead: Lead,
    /// From the battery back to the alternator's case.
    pub ground: Lead,
    /// Temperature of both once the engine is hot, degrees Celsius.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hot_c: Option<f64>,
    /// Fuse in the charge lead, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuse_a: Option<f64>,
    /// Where the regulator reads its voltage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sense: Option<Sense>,
    /// Where the voltage is read that the person looks at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub read_at: Option<Place>,
    /// One calibration: what a meter read right there, V ...
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meter_v: Option<f64>,
    /// ... while the dash or logger showed this, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shown_v: Option<f64>,
}
