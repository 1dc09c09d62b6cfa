//! The battery: what it rests at, what it gives and takes at a voltage, and how that
//! changes with time.
//!
//! An ohmic resistance and one RC pair behind a rest voltage that follows charge and
//! temperature; while charging, a limit that grows with the charge missing. A current into
//! the battery counts as positive.
//!
//! ```
//! use laneside_core::battery::{Battery, Chemistry, Spec, State};
//!
//! let battery = Battery::new(&Spec::of(Chemistry::Agm))?;
//! let rested = State::rested(0.8, 25.0);
//! let terminal = battery.terminal(&rested);
//! // Carrying 20 A it sags, at 14.2 V it charges.
//! assert!(terminal.volts_at(-20.0) < terminal.rest_v());
//! assert!(terminal.current_a(14.2) > 0.0);
//! # Ok::<(), laneside_core::battery::BatteryError>(())
//! ```

mod charging;
mod flow;
mod model;
mod peukert;
mod rating;
mod reading;
mod rest;
mod state;
mod terminal;

pub use charging::ChargeFit;
pub use flow::Flow;
pub use model::{Battery, BatteryError, Condition, Spec};
pub use peukert::{peukert_exponent, peukert_hours};
pub use rating::{CrankStandard, Resistance};
pub use reading::{Charge, Reading};
pub use rest::RestCurve;
pub use state::State;
pub use terminal::{Acceptance, Terminal};

use serde::{Deserialize, Serialize};

/// What a battery is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Chemistry {
    /// Flooded lead-acid.
    Flooded,
    /// Absorbed-glass-mat lead-acid.
    #[default]
    Agm,
    /// Gelled lead-acid; taken as AGM (from memory).
    Gel,
    /// Lithium iron phosphate, LiFePO4.
    LithiumIronPhosphate,
}

impl Chemistry {
    /// All of them, for pickers.
    pub const ALL: [Self; 4] = [
        Self::Flooded,
        Self::Agm,
        Self::Gel,
        Self::LithiumIronPhosphate,
    ];

    /// The cell counts it is sold in for race cars, the usual one first: six make 12 V and
    /// eight 16 V of lead-acid, four make 12 V of lithium iron phosphate.
    pub const fn cells(self) -> &'static [u8] {
        match self {
            Self::Flooded | Self::Agm | Self::Gel => &[6, 8],
            Self::LithiumIronPhosphate => &[4],
        }
    }

    /// Cells of the battery that the published figures are for.
    pub(crate) const fn table_cells(self) -> f64 {
        match self {
            Self::Flooded | Self::Agm | Self::Gel => 6.0,
            Self::LithiumIronPhosphate => 4.0,
        }
    }

    /// Whether it is lithium.
    pub const fn is_lithium(self) -> bool {
        matches!(self, Self::LithiumIronPhosphate)
    }
}
