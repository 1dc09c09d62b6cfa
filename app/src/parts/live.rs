//! A piece of a page that follows signals.

use leptos::prelude::*;

/// Draws again whenever a signal read in `view` changes.
///
/// A closure put into a view as it is brings its own copy of everything that draws and redraws
/// it, some kilobytes each. Behind a box all share one.
pub fn live(view: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    let boxed: Box<dyn Fn() -> AnyView + Send> = Box::new(view);
    boxed.into_any()
}

/// Text that follows a signal.
pub fn live_text(text: impl Fn() -> String + Send + Sync + 'static) -> AnyView {
    Signal::derive(text).into_any()
}

/// Pieces one after the other, of one type for all: each tuple of pieces would bring its own code.
pub fn all(pieces: impl Into<Vec<AnyView>>) -> AnyView {
    let pieces: Vec<AnyView> = pieces.into();
    pieces.into_any()
}

/// Pieces that stay in the document as long as their place does, and are made anew when it comes back.
pub fn places(places: Signal<Vec<usize>>, view: Callback<usize, AnyView>) -> AnyView {
    view! { <For each=move || places.get() key=|place| *place children=move |place| view.run(place) /> }
        .into_any()
}

/// As [`live`], for what is not always there.
pub fn live_option(view: impl Fn() -> Option<AnyView> + Send + 'static) -> AnyView {
    boxed_option(Box::new(view))
}

/// Boxed before it is wrapped, so that the wrapping is there once for all.
fn boxed_option(view: Box<dyn Fn() -> Option<AnyView> + Send>) -> AnyView {
    live(move || view().into_any())
}
