//! The chart shared by the pages: panels stacked on one shared x axis, drawn through plotters on
//! a canvas, with a readout rail under it.
//!
//! A page describes what to show as a [`PlotSpec`] of plain numbers and words; the part decides
//! where everything goes ([`layout`]), draws it ([`paint`]) and moves the cursor ([`rail`]). It
//! computes nothing but pixels.
//!
//! ```ignore
//! let cursor = RwSignal::new(2_500.0);
//! view! {
//!     <Chart
//!         spec=Signal::derive(move || plot_from_study(&study.get()))
//!         palette=palette
//!         summary=Signal::derive(move || words::chart_summary(&study.get()))
//!         cursor=cursor
//!         cursor_text=Signal::derive(move || words::readout(&study.get(), cursor.get()))
//!         rail_label="Engine speed"
//!         back_label="Slower"
//!         forward_label="Faster"
//!     />
//!     <p>{move || words::readout(&study.get(), cursor.get())}</p>
//! }
//! ```

mod component;
mod desk;
mod layout;
mod limit;
mod paint;
mod palette;
pub mod picture;
mod place;
mod rail;
mod scale;
mod spec;
mod surface;
mod thin;

pub use component::Chart;
pub use palette::Palette;
pub use place::wrap;
pub use spec::{Axis, Fade, Limit, Line, Marker, Panel, PlotSpec, Role};
pub use thin::{Blocks, Trace};
