//! Tension by ear: a span is plucked, the microphone or the person says how fast it swings.

mod readings;

use crate::parts::choice::Choice;
use crate::parts::field::how_view;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::parts::pad::Pad;
use crate::parts::readout::readout;
use crate::parts::verdict::verdict_view;
use crate::parts::working::working_view;
use crate::sound::{End, Session, Told};
use crate::words::ear as words;
use laneside_core::belt::Measured;
use laneside_core::belt::pluck::{NotHeard, Plucks, Reading, WithHalfWidth, tension, together};
use laneside_core::finding::Spread;
use laneside_core::quantity::System;
use leptos::ev;
use leptos::prelude::*;

/// Plucks after which listening ends by itself.
const ENOUGH: usize = 5;

/// A span that can be plucked.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// Between which pulleys.
    pub name: String,
    /// Free length, m.
    pub length_m: WithHalfWidth,
    /// Tension that grip needs of it at rest, N, where that is known.
    pub wanted_n: Option<(f64, Spread)>,
}

/// The belt as it is strung, at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Strung {
    /// Its spans, each by the place of the pulley that the belt comes from.
    pub spans: Vec<Span>,
    /// Mass, kg/m.
    pub kg_per_m: WithHalfWidth,
}

/// What this part of a page needs.
#[derive(Clone, Copy)]
pub struct Ear {
    /// The one number pad.
    pub pad: Pad,
    /// The units shown.
    pub units: Signal<System>,
    /// The belt; none while it cannot be laid.
    pub strung: Signal<Option<Strung>>,
    /// The readings that the car keeps.
    pub readings: Signal<Vec<Reading>>,
    /// Called with all readings at every change.
    pub on_readings: Callback<Vec<Reading>>,
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
    ear: Ear,
    /// The span looked at.
    span: RwSignal<usize>,
    stage: RwSignal<Stage>,
    /// Plucks heard this time.
    count: RwSignal<usize>,
    session: StoredValue<Option<Session>, LocalStorage>,
}

impl Ear {
    /// The view.
    pub fn view(self) -> AnyView {
        let state = State {
            ear: self,
            span: RwSignal::new(untrack(|| self.first_span())),
            stage: RwSignal::new(Stage::Off),
            count: RwSignal::new(0),
            session: StoredValue::new_local(None),
        };
        // Out of sight is out of hearing.
        let hidden =
            window_event_listener(ev::Custom::new("pagehide"), move |_: web_sys::Event| {
                state.stop();
            });
        let away = window_event_listener(
            ev::Custom::new("visibilitychange"),
            move |_: web_sys::Event| {
                if document().hidden() {
                    state.stop();
                }
            },
        );
        on_cleanup(move || {
            hidden.remove();
            away.remove();
            state.stop();
        });
        let is_strung = Held::new(move || self.strung.with(Option::is_some));
        view! {
            <section class="ear" id="ear">
                <h2>{words::TITLE}</h2>
                <p class="note">{words::ANSWERS}</p>
                <p class="caution">{words::CAUTION}</p>
                {live(move || {
                    if is_strung.get() {
                        state.whole()
                    } else {
                        view! { <p class="empty">{words::NO_SPAN}</p> }.into_any()
                    }
                })}
            </section>
        }
        .into_any()
    }

    /// The span of the readings kept, else the longest.
    fn first_span(self) -> usize {
        if let Some(reading) = self.readings.with(|readings| readings.last().copied()) {
            return usize::from(reading.span);
        }
        self.strung.with(|strung| {
            let spans = strung.iter().flat_map(|strung| &strung.spans).enumerate();
            spans
                .max_by(|(_, a), (_, b)| a.length_m.value.total_cmp(&b.length_m.value))
                .map_or(0, |(at, _)| at)
        })
    }
}

impl State {
    fn whole(self) -> AnyView {
        all([
            self.choice(),
            how_view(
                "ear-how".to_owned(),
                Signal::default(),
                words::HOW,
                ViewFn::from(steps),
            ),
            self.listening(),
            self.result(),
            readings::list(self),
            readings::by_hand(self),
        ])
    }

    fn choice(self) -> AnyView {
        let names = Held::new(move || {
            let units = self.ear.units.get();
            self.ear.strung.with(|strung| {
                let spans = strung.iter().flat_map(|strung| &strung.spans);
                spans
                    .map(|span| words::span(&span.name, span.length_m, units))
                    .collect::<Vec<_>>()
            })
        });
        live(move || {
            Choice::new(
                "ear-span",
                words::SPAN,
                names.get(),
                Signal::derive(move || Some(self.span.get())),
                Callback::new(move |at| {
                    self.stop();
                    self.span.set(at);
                }),
            )
            .note(words::SPAN_NOTE.to_owned())
            .view()
        })
    }

    /// The button, and what is heard.
    fn listening(self) -> AnyView {
        let is_on = Signal::derive(move || self.stage.get().is_on());
        let label = live_text(move || {
            let label = if is_on.get() {
                words::STOP
            } else {
                words::LISTEN
            };
            label.to_owned()
        });
        let said = live_text(move || {
            let count = self.count.get();
            match self.stage.get() {
                Stage::Off if count == 0 => String::new(),
                Stage::Off => words::heard(count),
                Stage::Asking => words::ASKING.to_owned(),
                Stage::Listening(Some(why)) => words::not_heard(why),
                Stage::Listening(None) if count == 0 => words::READY.to_owned(),
                Stage::Listening(None) => words::heard(count),
                Stage::Ended(end) => words::end(end, count),
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
            <p class="note">{words::PRIVATE}</p>
        }
        .into_any()
    }

    fn listen(self) {
        self.count.set(0);
        self.stage.set(Stage::Asking);
        match Session::start(move |told| self.hear(told)) {
            Ok(session) => self.session.set_value(Some(session)),
            Err(end) => self.stage.set(Stage::Ended(end)),
        }
    }

    /// Frees the microphone.
    fn stop(self) {
        let _ = self.session.try_set_value(None);
        let is_on = self.stage.try_get_untracked().is_some_and(Stage::is_on);
        if is_on {
            let _ = self.stage.try_set(Stage::Off);
        }
    }

    fn hear(self, told: Told) {
        match told {
            Told::Open => self.stage.set(Stage::Listening(None)),
            Told::Look(found) => {
                for hz in &found.heard_hz {
                    self.add(*hz);
                }
                self.count.update(|count| *count += found.heard_hz.len());
                self.stage.set(Stage::Listening(found.not_heard));
                if self.count.get_untracked() >= ENOUGH {
                    self.stop();
                }
            }
            Told::Ended(end) => {
                self.stage.set(Stage::Ended(end));
                self.session.set_value(None);
            }
        }
    }

    /// Keeps a reading of the span looked at.
    fn add(self, hz: f64) {
        let mut readings = self.ear.readings.get_untracked();
        let span = self.span.get_untracked() as u8;
        let own = readings.iter().filter(|one| one.span == span).count();
        if own >= readings::MOST {
            return;
        }
        // Finer than any belt rings.
        let hz = (10.0 * hz).round() / 10.0;
        readings.push(Reading {
            span,
            hz,
            left_out: false,
        });
        self.ear.on_readings.run(readings);
    }

    /// The readings of the span that count.
    fn plucks(self) -> Option<Plucks> {
        let at = self.span.get();
        let hz: Vec<f64> = self.ear.readings.with(|readings| {
            let own = readings
                .iter()
                .filter(|one| usize::from(one.span) == at && !one.left_out);
            own.map(|one| one.hz).collect()
        });
        together(&hz)
    }

    /// Span, mass, readings and the tension that they come to.
    fn found(self) -> Option<(Span, WithHalfWidth, Plucks, Measured)> {
        let plucks = self.plucks().filter(|plucks| plucks.agree)?;
        let strung = self.ear.strung.get()?;
        let span = strung.spans.get(self.span.get())?.clone();
        let hz = WithHalfWidth {
            value: plucks.hz,
            half_width: plucks.half_width_hz,
        };
        let tension = tension(strung.kg_per_m, span.length_m, hz);
        Some((span, strung.kg_per_m, plucks, tension))
    }

    fn result(self) -> AnyView {
        let figures = live_option(move || {
            let units = self.ear.units.get();
            let Some(plucks) = self.plucks() else {
                let strung = self.ear.strung.get()?;
                let wanted = strung.spans.get(self.span.get())?.wanted_n;
                let text = if !readings::own(self).is_empty() {
                    words::ALL_OUT.to_owned()
                } else {
                    wanted.map_or_else(
                        || words::NO_WANTED.to_owned(),
                        |wanted| words::wanted(wanted, units),
                    )
                };
                return Some(view! { <p class="wanted">{text}</p> }.into_any());
            };
            if !plucks.agree {
                return Some(
                    view! { <p class="caution" role="alert">{words::DISAGREE}</p> }.into_any(),
                );
            }
            let (span, mass, plucks, heard) = self.found()?;
            let (hz, of) = words::frequency(&plucks);
            let (figure, spread) = words::tension(heard.value, heard.spread, units);
            let verdict = span
                .wanted_n
                .map(|wanted| verdict_view(Signal::stored(words::verdict(&heard, wanted, units))));
            let working = words::working(mass, span.length_m, &plucks, &heard, units);
            Some(
                view! {
                    {verdict}
                    <div class="readouts">
                        {readout(words::FREQUENCY, hz, "Hz", of, "")}
                        {readout(words::TENSION, figure, words::force_unit(units), spread, "")}
                    </div>
                    {working_view(Signal::stored(working))}
                }
                .into_any(),
            )
        });
        figures
    }
}

fn steps() -> AnyView {
    let steps = words::STEPS.map(|step| view! { <li>{step}</li> });
    view! { <ol>{steps.into_iter().collect_view()}</ol> }.into_any()
}
