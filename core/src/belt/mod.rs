//! The belt: its way over the pulleys, its length, its grip, what it must miss, and its tension.
//!
//! What a person enters is a [`Layout`]; [`Layout`] is the same with all places known and the
//! belt laid over it. Lengths inside are plain mm, forces N, angles radians unless named
//! otherwise; seen from the front, y up, belts run counter-clockwise.

pub mod pluck;

mod bolt_on;
mod clearance;
mod compare;
mod dense;
mod findings;
mod grip;
mod laid;
mod layout;
mod least_squares;
mod length;
mod moments;
mod of_car;
mod path;
mod place;
mod ranges;
mod template;
mod travel;

pub use bolt_on::{
    Answered, BoltOn, BuyVerdict, FanTurns, Measures, Question, Topic, bolt_on, misaligned_mm,
};
pub use clearance::{Clearance, Face, Faces, Gap, Nearest, clearances, gaps};
pub use compare::{Comparison, Ending, Passing, TriedPulley};
pub use findings::{
    clearance_findings, grip_findings, length_findings, moment_code, settled_reason,
};
pub use grip::{BeltKind, Grip, Moment, PulleyGrip, Taken, grip};
pub use laid::{Laid, LayError};
pub use layout::{
    BeltPulley, Hold, Layout, Motion, Mover, Obstacle, Places, Point, Role, Section, Side,
    SideAnswer, Tape, Turning,
};
pub use length::{BeltSize, DesignationError, typical_tolerance_mm, usual_lengths_mm};
pub use moments::{
    Caution, Engine, MomentKind, Upshift, Worst, cautions, shaft_power_w, worst_moments,
};
pub use of_car::{
    BeltStudy, Gripping, NoBelt, Serves, SpanToPluck, ToPluck, alternator_turns, car_layout,
    seller_card, shorter_span_mm, tried_pulleys,
};
pub use path::{Arc, Path, PathError, Span, Wheel};
pub use place::{PlaceError, Placed, Placement, SideQuestion, place, point_from_two};
pub use ranges::{BeltInput, Measured, Ranges};
pub use template::Template;
pub use travel::{Offer, Reach, Settled, give, offers, reach, settle, tension_from_arm};
