//! The settings sheet: units, light, keyboard, language.

use super::language::{self, LANGUAGES};
use super::{notices::notices, theme::Theme, words};
use crate::parts::choice::Choice;
use crate::parts::pad::Pad;
use crate::parts::sheet::sheet;
use leptos::prelude::*;

/// The units of the open car, as the sheet shows and changes them.
#[derive(Clone, Copy)]
pub struct Units {
    /// Whether the car is in metric units; `None` while no car is open.
    pub metric: Signal<Option<bool>>,
    /// Called with whether it shall be.
    pub on_metric: Callback<bool>,
}

/// The sheet.
pub fn settings(open: RwSignal<bool>, theme: Theme, pad: Pad, units: Units) -> AnyView {
    let content = move || {
        let light = Choice::new(
            "light",
            words::light(),
            words::lights(),
            Signal::derive(move || Some(theme.chosen())),
            Callback::new(move |at| theme.choose(at)),
        );
        let unit = Choice::new(
            "units",
            words::units(),
            words::unit_names(),
            Signal::derive(move || units.metric.get().map(usize::from)),
            Callback::new(move |at| units.on_metric.run(at == 1)),
        );
        let typing = Choice::new(
            "typing",
            words::typing(),
            words::keyboards(),
            Signal::derive(move || Some(usize::from(pad.is_system()))),
            Callback::new(move |at| pad.set_system(at == 1)),
        );
        let language = Choice::new(
            "language",
            words::language(),
            LANGUAGES.map(|(_, name)| name),
            Signal::stored(Some(language::spoken())),
            Callback::new(language::choose),
        );
        let unit = units.metric.get_untracked().map(|_| unit.view());
        view! { {unit} {light.view()} {typing.view()} {language.view()} {notices()} }
    };
    sheet(words::settings(), open, content.into())
}
