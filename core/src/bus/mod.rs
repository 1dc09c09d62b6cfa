//! The one solver: where alternator, battery, wiring and loads agree on a voltage.
//!
//! The node is at the battery's posts; the charge path (lead and ground) lies between it
//! and the alternator's stud. The alternator never takes current. Its regulator holds the
//! set-point at the stud or at the node as long as the machine can give what that takes;
//! under it the machine gives all it can at its own voltage.
//!
//! With loads of constant power and no battery, or a weak one, several voltages can agree,
//! or none. Of those the ones are stable at which more voltage means less current left
//! over. Without a state before, the highest is taken; with one, the stable voltage to
//! which the node runs from there, or the highest where it runs to none.
//!
//! ```
//! use laneside_core::battery::Terminal;
//! use laneside_core::bus::{Alternator, Bus, Loads, Regime, Sense};
//! use laneside_core::loads::LoadKind;
//!
//! let mut loads = Loads::new(9.0);
//! loads.add(40.0, 13.5, LoadKind::Resistive);
//! let bus = Bus {
//!     alternator: Alternator::Excited { limit_a: &|_| 70.0, set_point_v: 14.2, sense: Sense::Alternator },
//!     charge_path_ohm: 0.005,
//!     loads,
//!     battery: Some(Terminal::plain(12.6, 0.1)),
//! };
//! let settled = bus.settle(None);
//! assert_eq!(settled.regime, Regime::Regulated);
//! assert!((settled.alternator_v - 14.2).abs() < 1e-9 && settled.node_v < 14.0);
//! ```

mod loads;
mod settle;

pub use loads::Loads;
pub use settle::Settled;

use serde::{Deserialize, Serialize};

use crate::battery::Terminal;

/// Where the regulator reads its voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// At its own stud: one wire.
    #[default]
    Alternator,
    /// At the battery, by a wire of its own.
    Battery,
}

/// The alternator at the present speed.
#[derive(Clone, Copy)]
pub enum Alternator<'a> {
    /// Standing, dead or not there.
    Off,
    /// Turning without having turned on: its field takes current from the battery.
    Unexcited {
        /// The field's current, A; it fades as the loads do.
        field_a: f64,
    },
    /// Charging.
    Excited {
        /// Output at full field over the voltage at the stud: V in, A out; continuous.
        /// What is negative or not finite counts as none.
        limit_a: &'a dyn Fn(f64) -> f64,
        /// What the regulator holds, V.
        set_point_v: f64,
        /// Where it holds it.
        sense: Sense,
    },
}

/// Everything that meets at the node.
#[derive(Clone, Copy)]
pub struct Bus<'a> {
    /// The alternator at the present speed.
    pub alternator: Alternator<'a>,
    /// Lead and ground between alternator and battery, ohm.
    pub charge_path_ohm: f64,
    /// What draws.
    pub loads: Loads,
    /// The battery in its present state, if there is one.
    pub battery: Option<Terminal>,
}

/// What holds the voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// The regulator.
    Regulated,
    /// The machine gives all it can.
    MachineLimited,
    /// The battery alone, though the alternator may turn.
    BatteryOnly,
    /// The battery alone, and the turning alternator draws its field current.
    Unexcited,
    /// Nothing: no voltage carries these loads.
    Collapsed,
}
