//! Tension by ear: a span is plucked, the microphone or the person says how fast it swings.

mod readings;

use super::{Found, laid};
use crate::pages::Desk;
use crate::parts::choice::Choice;
use crate::parts::field::how_view;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::parts::readout::readout;
use crate::parts::verdict::verdict_view;
use crate::parts::working::working_view;
use crate::sound::{End, Session, Told};
use crate::words::{belt as names, ear as words};
use laneside_core::belt::pluck::{NotHeard, Plucks, WithHalfWidth, tension, together};
use laneside_core::belt::{Measured, SpanToPluck, ToPluck};
use laneside_core::car::entry::Field;
use laneside_core::finding::Spread;
use leptos::ev;
use leptos::prelude::*;
use std::time::Duration;
use web_sys::Event;

/// Plucks after which listening ends by itself.
const ENOUGH: usize = 5;

/// What the car's belt is, as far as plucking it goes.
#[derive(Clone, Debug, PartialEq)]
struct Strung {
    /// What each span is called, in the order of those to pluck.
    names: Vec<String>,
    /// The spans, the longest first, the belt's mass and the tension wanted.
    belt: ToPluck,
}

impl Strung {
    /// The span behind a pulley.
    fn span(&self, place: usize) -> Option<&SpanToPluck> {
        self.belt.spans.iter().find(|span| span.span == place)
    }

    fn mass(&self) -> WithHalfWidth {
        WithHalfWidth {
            value: self.belt.kg_per_m,
            half_width: self.belt.kg_per_m_half_width,
        }
    }

    fn wanted(&self) -> Option<(f64, Spread)> {
        self.belt.wanted_n.map(|(newtons, half)| {
            let spread = Spread {
                down: half,
                up: half,
            };
            (newtons, spread)
        })
    }
}

/// Length of a span, m.
fn length_m(span: &SpanToPluck) -> WithHalfWidth {
    WithHalfWidth {
        value: span.length_mm / 1_000.0,
        half_width: span.half_width_mm / 1_000.0,
    }
}

/// What is going on with the microphone.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Stage {
    /// Nothing.
    Off,
    /// The person is asked for it.
    Asking,
    /// It is open; why the last seconds held no pluck.
    Listening(Option<NotHeard>),
    /// It is over.
    Ended(End),
}

impl Stage {
    const fn is_on(self) -> bool {
        matches!(self, Self::Asking | Self::Listening(_))
    }
}

/// What goes on while the page is open.
#[derive(Clone, Copy)]
struct State {
    desk: Desk,
    strung: Signal<Option<Strung>>,
    /// The span looked at, by the place of the pulley before it; the longest while none was picked.
    picked: RwSignal<Option<usize>>,
    stage: RwSignal<Stage>,
    /// Plucks heard since the last tap on the button, Hz. They go to the car together once listening is over: an entry
    /// costs more than a frame.
    heard: RwSignal<Vec<f64>>,
    /// How many of them the car has.
    kept: StoredValue<usize>,
    session: StoredValue<Option<Session>, LocalStorage>,
}

/// The view, on the belt as it is on the car.
pub fn ear(desk: Desk, found: Found) -> AnyView {
    let strung = Held::new(move || {
        laid(found, |car, belt| {
            let belt = belt.to_pluck(false);
            let names = belt
                .spans
                .iter()
                .map(|span| names::span(car, span.from, span.to));
            Strung {
                names: names.collect(),
                belt,
            }
        })
    });
    let state = State {
        desk,
        strung: strung.into(),
        picked: RwSignal::new(untrack(|| readings::last_span(desk))),
        stage: RwSignal::new(Stage::Off),
        heard: RwSignal::new(Vec::new()),
        kept: StoredValue::new(0),
        session: StoredValue::new_local(None),
    };
    // Out of sight is out of hearing.
    let hidden = window_event_listener(ev::Custom::new("pagehide"), move |_: Event| state.stop());
    let away = window_event_listener(ev::Custom::new("visibilitychange"), move |_: Event| {
        if document().hidden() {
            state.stop();
        }
    });
    on_cleanup(move || {
        hidden.remove();
        away.remove();
        // Once this page is gone: nothing of it must be worked out anew.
        let (span, heard) = (state.picked.get_untracked(), state.not_kept());
        let span = span.unwrap_or_default();
        if !heard.is_empty() {
            set_timeout(
                move || {
                    readings::add(desk, span, &heard, true);
                },
                Duration::ZERO,
            );
        }
        let _ = state.session.try_set_value(None);
    });
    let is_strung = Held::new(move || strung.with(Option::is_some));
    view! {
        <section class="ear" id="ear">
            <h2>{words::title()}</h2>
            <p class="note">{words::answers()}</p>
            <p class="caution">{words::caution()}</p>
            {live(move || {
                if is_strung.get() {
                    state.whole()
                } else {
                    view! { <p class="empty">{words::no_span()}</p> }.into_any()
                }
            })}
        </section>
    }
    .into_any()
}

impl State {
    fn whole(self) -> AnyView {
        all([
            self.choice(),
            how_view(
                "ear-how".to_owned(),
                Signal::default(),
                words::how(),
                ViewFn::from(steps),
            ),
            self.listening(),
            self.result(),
            readings::list(self),
            readings::by_hand(self),
        ])
    }

    /// The span looked at.
    fn span(self) -> usize {
        let longest = || {
            self.strung
                .with(|strung| strung.as_ref()?.belt.spans.first().map(|span| span.span))
        };
        self.picked.get().or_else(longest).unwrap_or_default()
    }

    fn choice(self) -> AnyView {
        let names = Held::new(move || {
            let units = self.desk.store.units();
            let strung = self.strung.get();
            strung.map_or_else(Vec::new, |strung| {
                let spans = strung.names.iter().zip(&strung.belt.spans);
                spans
                    .map(|(name, span)| words::span(name, span.length_mm, units))
                    .collect::<Vec<_>>()
            })
        });
        let at = move || {
            let place = self.span();
            let strung = self.strung.get()?;
            strung.belt.spans.iter().position(|span| span.span == place)
        };
        let pick = move |at: usize| {
            self.stop();
            let strung = self.strung.get_untracked();
            let span = strung.and_then(|strung| strung.belt.spans.get(at).copied());
            self.picked.set(span.map(|span| span.span));
            self.begin();
            self.stage.set(Stage::Off);
        };
        live(move || {
            Choice::new(
                "ear-span",
                words::span_label(),
                names.get(),
                Signal::derive(at),
                Callback::new(pick),
            )
            .note(words::span_note().to_owned())
            .view()
        })
    }

    /// The button, and what is heard.
    fn listening(self) -> AnyView {
        let is_on = Signal::derive(move || self.stage.get().is_on());
        let label = live_text(move || {
            let label = if is_on.get() {
                words::stop()
            } else {
                words::listen()
            };
            label.to_owned()
        });
        let said = live_text(move || {
            let heard = self.heard.get();
            match self.stage.get() {
                Stage::Off => words::heard(&heard),
                Stage::Asking => words::asking().to_owned(),
                Stage::Listening(Some(why)) => words::not_heard(why),
                Stage::Listening(None) if heard.is_empty() => words::ready().to_owned(),
                Stage::Listening(None) => words::heard(&heard),
                Stage::Ended(end) => words::end(end, heard.len()),
            }
        });
        view! {
            <button
                type="button"
                class="button large"
                id="ear-listen"
                class:is-on=is_on
                on:click=move |_| if is_on.get_untracked() { self.stop() } else { self.listen() }
            >
                {label}
            </button>
            <p class="heard" role="status">{said}</p>
            <p class="note">{words::private()}</p>
        }
        .into_any()
    }

    fn listen(self) {
        self.begin();
        self.stage.set(Stage::Asking);
        match Session::start(move |told| self.hear(told)) {
            Ok(session) => self.session.set_value(Some(session)),
            Err(end) => self.stage.set(Stage::Ended(end)),
        }
    }

    fn begin(self) {
        // The same one to the end, whatever becomes of the lengths meanwhile.
        self.picked.set(Some(untrack(|| self.span())));
        self.heard.set(Vec::new());
        self.kept.set_value(0);
    }

    /// Frees the microphone, and keeps what was heard.
    fn stop(self) {
        self.session.set_value(None);
        if self.stage.get_untracked().is_on() {
            self.stage.set(Stage::Off);
        }
        self.keep();
    }

    /// What was heard this time, unless the car has it.
    fn not_kept(self) -> Vec<f64> {
        let heard = self.heard.get_untracked();
        let kept = self.kept.get_value();
        self.kept.set_value(heard.len());
        heard.into_iter().skip(kept).collect()
    }

    fn keep(self) {
        // Each listening is a reading of the belt as it is now: it takes the place of those before.
        let heard = self.not_kept();
        if !heard.is_empty() {
            readings::add(self.desk, untrack(|| self.span()), &heard, true);
        }
    }

    fn hear(self, told: Told) {
        match told {
            Told::Open => self.stage.set(Stage::Listening(None)),
            Told::Look(found) => {
                self.stage.set(Stage::Listening(found.not_heard));
                if !found.heard_hz.is_empty() {
                    self.heard.update(|heard| heard.extend(found.heard_hz));
                }
                if self.heard.with_untracked(Vec::len) >= ENOUGH {
                    self.stop();
                }
            }
            Told::Ended(end) => {
                self.stage.set(Stage::Ended(end));
                self.stop();
            }
        }
    }

    /// The readings of the span that count.
    fn plucks(self) -> Option<Plucks> {
        let own = readings::own(self);
        let hz: Vec<f64> = own
            .iter()
            .filter(|(_, one)| !one.left_out)
            .map(|(_, one)| one.hz)
            .collect();
        together(&hz)
    }

    fn result(self) -> AnyView {
        live_option(move || {
            let units = self.desk.store.units();
            let strung = self.strung.get()?;
            let length = length_m(strung.span(self.span())?);
            let Some(plucks) = self.plucks() else {
                let text = if !readings::own(self).is_empty() {
                    words::all_out().to_owned()
                } else {
                    strung.wanted().map_or_else(
                        || words::no_wanted().to_owned(),
                        |wanted| words::wanted(wanted, units),
                    )
                };
                return Some(view! { <p class="wanted">{text}</p> }.into_any());
            };
            if !plucks.agree {
                return Some(
                    view! { <p class="caution" role="alert">{words::disagree()}</p> }.into_any(),
                );
            }
            let hz = WithHalfWidth {
                value: plucks.hz,
                half_width: plucks.half_width_hz,
            };
            let heard = tension(strung.mass(), length, hz);
            let (figure, of) = words::frequency(&plucks);
            let first = match strung.wanted() {
                Some(wanted) => verdict_view(Signal::stored(words::verdict(&heard, wanted, units))),
                None => {
                    let (figure, spread) = words::tension(heard.value, heard.spread, units);
                    let unit = words::force_unit(units);
                    readout(words::tension_label(), figure, unit, spread, "")
                }
            };
            let working = words::working(strung.mass(), length, &plucks, &heard, units);
            Some(all([
                first,
                readout(words::frequency_label(), figure, "Hz", of, ""),
                self.take(&heard),
                working_view(Signal::stored(working)),
            ]))
        })
    }

    /// The button that makes the tension the car's own, unless it is.
    fn take(self, heard: &Measured) -> AnyView {
        let store = self.desk.store;
        let newtons = heard.value.round();
        let within = heard.spread.widest().round();
        let is_taken = move || {
            store
                .with_car(|car| {
                    let drive = &car.belt_drive;
                    drive.tension_n == Some(newtons) && drive.tension_half_width_n == Some(within)
                })
                .unwrap_or_default()
        };
        let take = move |_| {
            store.change(&[Field::BeltTension, Field::BeltTensionWithin], |car| {
                car.belt_drive.tension_n = Some(newtons);
                car.belt_drive.tension_half_width_n = Some(within);
            });
        };
        live(move || {
            if is_taken() {
                view! { <p class="note">{words::taken()}</p> }.into_any()
            } else {
                view! {
                    <button type="button" class="button" id="ear-take" on:click=take>
                        {words::take()}
                    </button>
                }
                .into_any()
            }
        })
    }
}

fn steps() -> AnyView {
    let steps = words::steps().map(|step| view! { <li>{step}</li> });
    view! { <ol>{steps.into_iter().collect_view()}</ol> }.into_any()
}
