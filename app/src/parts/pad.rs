//! The number pad: a sheet at the bottom with big keys, for thumbs that cannot hit a phone's own.
//!
//! One pad serves every number input. It edits the input in the document and fires its `input` event,
//! so that typing on it, on the phone's keyboard and on a real one all take the same way.
//! Focus stays in the input; the pad only closes once focus has gone elsewhere.

mod edit;

use super::words;
use crate::browser;
use edit::{Key, Typed, press};
use laneside_core::quantity::{self, Mark};
use leptos::prelude::*;
use std::time::Duration;
use wasm_bindgen::JsCast;
use web_sys::{Element, Event, EventInit, HtmlInputElement};

pub use edit::has_unit;

/// Where the choice of keyboard is stored.
const STORE: &str = "laneside.keyboard";

/// Which keys a field needs besides digits and the point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Keys {
    /// None: amperes, volts, minutes, a ratio.
    #[default]
    Decimal,
    /// Eighths, sixteenths and the unit.
    Length,
    /// Two zeros and thousands.
    Rpm,
    /// A sign: a temperature.
    Signed,
}

/// The input the pad is typing into.
#[derive(Clone)]
pub struct Target {
    /// The input's id.
    pub id: String,
    /// What is being typed, for the pad's head.
    pub label: String,
    /// The keys it needs.
    pub keys: Keys,
    /// Whether a bare length is metric.
    pub metric: bool,
    /// What the next key does instead of going to the next input.
    pub on_next: Option<Callback<()>>,
}

/// The one pad of the app.
#[derive(Clone, Copy)]
pub struct Pad {
    at: RwSignal<Option<Target>>,
    system: RwSignal<bool>,
    pressed: StoredValue<bool>,
}

impl Pad {
    /// A closed pad, with the person's choice of keyboard.
    pub fn new() -> Self {
        Self {
            at: RwSignal::new(None),
            system: RwSignal::new(browser::stored(STORE).is_some()),
            pressed: StoredValue::new(false),
        }
    }

    /// Whether numbers are typed on the phone's own keyboard, tracked.
    pub fn is_system(self) -> bool {
        self.system.get()
    }

    /// Chooses the phone's own keyboard or this pad, and remembers it.
    pub fn set_system(self, system: bool) {
        self.system.set(system);
        if system {
            browser::store(STORE, "system");
            self.close();
        } else {
            browser::forget(STORE);
        }
    }

    /// Closes the pad.
    pub fn close(self) {
        if self.at.try_get_untracked().flatten().is_some() {
            self.at.set(None);
            mark(false);
        }
    }

    /// A finger came down on an input, or on what leads to one: the focus that follows is meant to open the
    /// pad. A focus by the Tab key is not, since whoever has that key has digits beside it.
    pub fn pressed(self) {
        self.pressed.set_value(true);
    }

    /// Whether the next focus is meant to open the pad.
    pub fn is_expected(self) -> bool {
        self.pressed.get_value()
    }

    /// An input took focus or was tapped.
    pub(super) fn focused(self, target: Target) {
        let meant = self.pressed.get_value() || self.at.with_untracked(Option::is_some);
        self.pressed.set_value(false);
        if !meant || self.system.get_untracked() {
            return;
        }
        let id = target.id.clone();
        let is_new = self
            .at
            .with_untracked(|at| at.as_ref().is_none_or(|at| at.id != id));
        if is_new {
            self.at.set(Some(target));
            mark(true);
            if let Some(input) = browser::input(&id) {
                input.select();
            }
        }
        request_animation_frame(move || {
            if let Some(input) = browser::by_id(&id) {
                browser::show(&input);
            }
        });
    }

    /// Focus left an input or the pad. Waiting a moment lets the tap that took it away land first:
    /// closing at once could move what is under the finger.
    pub(super) fn left(self) {
        set_timeout(
            move || {
                let stays = document()
                    .active_element()
                    .and_then(|e| e.closest(".num,.pad").ok().flatten())
                    .is_some();
                if !stays {
                    self.close();
                }
            },
            Duration::from_millis(250),
        );
    }

    /// Goes on from an input: its own next step, else the next number input of the page, else closes.
    pub(super) fn next(self, target: &Target) {
        if let Some(on_next) = target.on_next {
            let _ = on_next.try_run(());
            return;
        }
        match following(&target.id) {
            Some(next) => browser::focus(&next),
            None => self.close(),
        }
    }

    fn type_key(self, target: &Target, key: Key) {
        let Some(input) = browser::input(&target.id) else {
            return;
        };
        let text = input.value();
        let end = text.chars().count();
        let position = |at: Option<u32>| at.map_or(end, |at| at as usize);
        let typed = Typed {
            start: position(input.selection_start().ok().flatten()),
            end: position(input.selection_end().ok().flatten()),
            text,
        };
        let next = press(&typed, key, target.metric);
        let caret = u32::try_from(next.end).unwrap_or(0);
        input.set_value(&next.text);
        fire_input(&input);
        let _ = input.set_selection_range(caret, caret);
    }

    fn use_system(self, target: &Target) {
        self.set_system(true);
        if let Some(input) = browser::input(&target.id) {
            // A keyboard only comes up for an input that takes focus anew.
            let _ = input.set_attribute("inputmode", "decimal");
            let _ = input.blur();
            browser::focus(&input);
        }
    }
}

/// Marks the document while the pad is open, so that the page leaves room for it.
fn mark(open: bool) {
    if let Some(root) = browser::root() {
        let _ = root.toggle_attribute_with_force("data-pad", open);
    }
}

/// Tells the input's owner of a changed text, as a keyboard would.
fn fire_input(input: &HtmlInputElement) {
    let init = EventInit::new();
    init.set_bubbles(true);
    if let Ok(event) = Event::new_with_event_init_dict("input", &init) {
        let _ = input.dispatch_event(&event);
    }
}

/// The number input after this one in the page.
fn following(id: &str) -> Option<Element> {
    let all = document().query_selector_all("main .num").ok()?;
    let mut found = false;
    for at in 0..all.length() {
        let Some(element) = all.item(at).and_then(|n| n.dyn_into::<Element>().ok()) else {
            continue;
        };
        // What is in a closed disclosure takes no focus, though browsers give it a box.
        let takes_focus = element.get_client_rects().length() > 0
            && matches!(element.closest("details:not([open])"), Ok(None));
        if found && takes_focus {
            return Some(element);
        }
        found |= element.id() == id;
    }
    None
}

/// The pad's place in the frame.
pub fn pad_view(pad: Pad) -> AnyView {
    (move || pad.at.get().map(|target| board(pad, &target))).into_any()
}

fn board(pad: Pad, target: &Target) -> AnyView {
    let target = StoredValue::new(target.clone());
    let (label, keys) = target.with_value(|t| (t.label.clone(), t.keys));
    let is_last = target.with_value(|t| t.on_next.is_none() && following(&t.id).is_none());
    let shown = layout(keys)
        .into_iter()
        .map(|(face, name, key)| {
            let class = match key {
                Key::Back => "key back",
                Key::Char('0') => "key digit zero",
                Key::Char(_) | Key::Zeros => "key digit",
                Key::Clear | Key::Unit | Key::Sixteenth => "key long",
                _ => "key",
            };
            let hit = Callback::new(move |()| target.with_value(|t| pad.type_key(t, key)));
            button(class, face, name, hit)
        })
        .collect::<Vec<_>>();
    let next = Callback::new(move |()| pad.next(&target.get_value()));
    let system = Callback::new(move |()| pad.use_system(&target.get_value()));
    let close = Callback::new(move |()| pad.close());
    let face = if is_last {
        words::done()
    } else {
        words::next()
    };
    let class = match keys {
        Keys::Decimal => "pad pad-decimal",
        Keys::Length => "pad pad-length",
        Keys::Rpm => "pad pad-rpm",
        Keys::Signed => "pad",
    };
    view! {
        <section
            class=class
            aria-label=format!("{} {label}", words::pad())
            on:mousedown=|ev| ev.prevent_default()
            on:focusout=move |_| pad.left()
            on:keydown=move |ev| {
                if ev.key() == "Escape" {
                    target.with_value(|t| browser::by_id(&t.id).iter().for_each(browser::focus));
                    pad.close();
                }
            }
        >
            <div class="pad-head">
                <span class="pad-label">{label.clone()}</span>
                {button("pad-tool", words::system_keyboard(), words::system_keyboard_long(), system)}
                {button("pad-tool", words::close(), words::close_pad(), close)}
            </div>
            <div class="keys">{shown} {button("key long key-next", face, face, next)}</div>
        </section>
    }
    .into_any()
}

fn button(
    class: &'static str,
    face: &'static str,
    name: &'static str,
    hit: Callback<()>,
) -> AnyView {
    view! {
        <button type="button" class=class aria-label=name on:click=move |_| hit.run(())>
            {face}
        </button>
    }
    .into_any()
}

type Face = (&'static str, &'static str, Key);

/// The keys row by row, the next key left out: it always comes last.
fn layout(keys: Keys) -> Vec<Face> {
    const fn digit(face: &'static str, c: char) -> Face {
        (face, face, Key::Char(c))
    }
    const EIGHTHS: [Face; 7] = [
        ("1/8", "1/8", Key::Eighths(1)),
        ("1/4", "1/4", Key::Eighths(2)),
        ("3/8", "3/8", Key::Eighths(3)),
        ("1/2", "1/2", Key::Eighths(4)),
        ("5/8", "5/8", Key::Eighths(5)),
        ("3/4", "3/4", Key::Eighths(6)),
        ("7/8", "7/8", Key::Eighths(7)),
    ];
    const ROWS: [[Face; 3]; 3] = [
        [digit("1", '1'), digit("2", '2'), digit("3", '3')],
        [digit("4", '4'), digit("5", '5'), digit("6", '6')],
        [digit("7", '7'), digit("8", '8'), digit("9", '9')],
    ];
    let mut all = Vec::with_capacity(23);
    for (row, digits) in ROWS.iter().enumerate() {
        all.extend_from_slice(digits);
        if keys == Keys::Length {
            all.extend_from_slice(&EIGHTHS[row * 2..row * 2 + 2]);
        }
        match (row, keys) {
            (0, _) => all.push(("⌫", words::back(), Key::Back)),
            (1, _) => all.push((words::clear(), words::clear(), Key::Clear)),
            (_, Keys::Length) => all.push(("in/mm", "in/mm", Key::Unit)),
            (_, Keys::Rpm) => all.push(("k", words::thousands(), Key::Thousands)),
            (_, Keys::Signed) => all.push(("+/−", words::sign(), Key::Minus)),
            (_, Keys::Decimal) => {}
        }
    }
    all.push(match quantity::mark() {
        Mark::Point => (".", words::point(), Key::Char('.')),
        Mark::Comma => (",", words::comma(), Key::Char(',')),
    });
    all.push(digit("0", '0'));
    match keys {
        Keys::Length => {
            all.extend_from_slice(&EIGHTHS[6..]);
            all.push(("+1⁄16", words::add_sixteenth(), Key::Sixteenth));
        }
        Keys::Rpm => all.push(("00", "00", Key::Zeros)),
        Keys::Decimal | Keys::Signed => {}
    }
    all
}
