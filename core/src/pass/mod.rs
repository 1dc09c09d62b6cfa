//! Engine speed over a pass, from what a racer knows of it.
//!
//! ```
//! use laneside_core::pass::{Drag, Gearing, Profile};
//!
//! let profile = Profile::new(201.168, 6.6, 46.0, Some(1.48))?;
//! let gearing = Gearing {
//!     gears: vec![2.48, 1.48, 1.0],
//!     rpm_per_mps: 4.10 * 60.0 / (std::f64::consts::PI * 0.711),
//!     growth: 0.0,
//!     slip: 0.05,
//! };
//! let pass = Drag {
//!     profile,
//!     gearing,
//!     launch_rpm: 4_200.0,
//!     shift_rpm: 6_900.0,
//!     shift_s: 0.15,
//!     limiter_rpm: 7_200.0,
//!     overshoot_rpm: 300.0,
//!     mishap: None,
//! }
//! .run();
//! assert_eq!(pass.shifts_s.len(), 2);
//! assert!((pass.trace.seconds() - 6.6).abs() < 1e-9);
//! # Ok::<(), laneside_core::pass::ProfileError>(())
//! ```

mod costs;
mod drag;
mod gearing;
mod lap;
mod profile;

pub use costs::{Cost, Costing, FULL_V, costing, dead_time, dwell, flow};
pub use drag::{Coupling, Drag, Pass};
pub use gearing::Gearing;
pub use lap::{Lap, session};
pub use profile::{Profile, ProfileError};
