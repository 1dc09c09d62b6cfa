//! The verdict: a word, a figure and a line, told apart by form and word and never by color.

use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::time::Duration;

/// The kind of a verdict, which decides its form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Over a limit: a filled block.
    Over,
    /// Every gate holds: an outline.
    Holds,
    /// Short at idle: an outline open at the top.
    Short,
    /// Too close to call: hatched.
    Close,
    /// No size does both: a double outline.
    NoneFits,
    /// Not enough is known yet: a blank.
    Blank,
}

impl Status {
    /// The class of this form in the style sheet.
    pub const fn class(self) -> &'static str {
        match self {
            Self::Over => "status-over",
            Self::Holds => "status-holds",
            Self::Short => "status-short",
            Self::Close => "status-close",
            Self::NoneFits => "status-none",
            Self::Blank => "status-blank",
        }
    }
}

/// A verdict in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// Its form.
    pub status: Status,
    /// The word, as it is to be shown ("OVER").
    pub word: String,
    /// The size and the figure ("3 1/2: 19,400 rpm"); may be empty.
    pub figure: String,
    /// The limit, the consequence, the next step.
    pub line: String,
    /// The one measurement or step that settles it: its words and its link.
    pub action: Option<(String, String)>,
}

/// How long nothing changes before a verdict is announced: not at each key of an entry.
const PAUSE: Duration = Duration::from_secs(1);

/// Word and figure for a screen reader, once they stand.
fn announced(verdict: Signal<Verdict>) -> AnyView {
    let said = RwSignal::new(String::new());
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    Effect::new(move || {
        let text = verdict.with(|v| format!("{} {}", v.word, v.figure));
        if said.with_untracked(String::is_empty) {
            // The first one is read with its page.
            said.set(text);
            return;
        }
        let say = move || {
            if said.try_with_untracked(|said| *said != text) == Some(true) {
                said.set(text);
            }
        };
        let next = set_timeout_with_handle(say, PAUSE).ok();
        waiting.update_value(|waiting| {
            if let Some(last) = std::mem::replace(waiting, next) {
                last.clear();
            }
        });
    });
    view! { <p class="said" role="status">{said}</p> }.into_any()
}

/// The verdict in full, announced when it has changed.
pub fn verdict_view(verdict: Signal<Verdict>) -> AnyView {
    view! {
        <div>
            {announced(verdict)}
            {move || {
                let v = verdict.get();
                view! {
                    <div class=format!("verdict {}", v.status.class())>
                        <div class="verdict-text">
                            <p class="word">{v.word}</p>
                            {(!v.figure.is_empty()).then(|| view! { <p class="figure">{v.figure}</p> })}
                            <p class="line">{v.line}</p>
                            {v.action.map(|(label, href)| view! { <a class="button" href=href>{label}</a> })}
                        </div>
                    </div>
                }
            }}
        </div>
    }
    .into_any()
}

/// The verdict as one strip for the header of every page, linking to where it is explained; a blank one
/// to what it wants for.
pub fn verdict_strip(verdict: Signal<Option<Verdict>>, href: &str) -> AnyView {
    let href = href.to_owned();
    (move || {
        verdict.get().map(|v| {
            let wanted = v.action.filter(|_| v.status == Status::Blank);
            let href = wanted.map_or_else(|| href.clone(), |(_, href)| href);
            view! {
                <a class=format!("strip-verdict {}", v.status.class()) href=href>
                    <span class="verdict-text">
                        <span class="word">{v.word}</span>
                        " "
                        <span class="figure">{v.figure}</span>
                    </span>
                </a>
            }
        })
    })
    .into_any()
}
