//! The belt: its way over the pulleys, its length, its grip, what it must miss, and its tension.
//!
//! What a person enters is a [`Layout`]; [`Layout`] is the same with all places known and the
//! belt laid over it. Lengths inside are plain mm, forces N, angles radians unless named
//! otherwise; seen from the front, y up, belts run counter-clockwise.

mod dense;
mod layout;
mod length;
mod path;

pub use layout::{
    BeltPulley, Hold, Layout, Motion, Mover, Obstacle, Places, Point, Role, Section, Side,
    SideAnswer, Tape, Turning,
};
pub use length::{BeltSize, DesignationError, typical_tolerance_mm, usual_lengths_mm};
pub use path::{Arc, Path, PathError, Span, Wheel};
