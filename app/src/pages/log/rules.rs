//! What counts as a pass, and where it begins and ends, where the log's own guess is not the person's.

use super::found::Found;
use crate::pages::Desk;
use crate::parts::field::Field;
use crate::parts::held::Held;
use crate::parts::live::{all, live};
use crate::parts::pad::Keys;
use crate::words::log::rules as words;
use laneside_core::log::passes::{Moved, Rules};
use laneside_core::quantity::{InRotationalSpeed, InTime, parse, show};
use leptos::prelude::*;

/// The entries.
pub fn rules(desk: Desk, found: Found) -> AnyView {
    let high = entry(found, true, desk);
    let least = entry(found, false, desk);
    // Other passes, other ends: what was typed about them is gone with them.
    let which = Held::new(move || {
        let rules = found.rules.get();
        let is_there = found.pass.with(Option::is_some);
        (
            found.which.get(),
            rules.high_rpm,
            rules.least_s.to_bits(),
            is_there,
        )
    });
    let ends = live(move || match which.get() {
        (place, .., true) => all([
            end(found, place, true, desk),
            end(found, place, false, desk),
        ]),
        _ => ().into_any(),
    });
    view! {
        <details class="rare">
            <summary>{words::rules()}</summary>
            {all([high, least, ends])}
        </details>
    }
    .into_any()
}

fn seconds(text: &str) -> Option<f64> {
    let time = parse::time(text, parse::TimeUnit::Second).ok()?;
    Some(time.seconds())
}

/// Engine rpm over which it counts, or the seconds that it has to last.
fn entry(found: Found, is_rpm: bool, desk: Desk) -> AnyView {
    let text = RwSignal::new(String::new());
    let fault = RwSignal::new(None);
    let on_text = Callback::new(move |typed: String| {
        let (value, most) = if is_rpm {
            let speed = parse::speed(&typed).ok();
            (speed.map(|speed| speed.rpm()), words::RPM_MOST)
        } else {
            (seconds(&typed), words::SECONDS_MOST)
        };
        let good = value.filter(|value| (0.0..=most).contains(value));
        let is_wrong = good.is_none() && !typed.trim().is_empty();
        fault.set(is_wrong.then(|| words::fault(&typed, is_rpm)));
        if !is_wrong {
            found.rules.update(|rules| {
                if is_rpm {
                    rules.high_rpm = good;
                } else {
                    rules.least_s = good.unwrap_or(Rules::default().least_s);
                }
                // Places among other passes.
                rules.moved.clear();
            });
        }
        text.set(typed);
    });
    let assumed = Signal::derive(move || {
        if is_rpm {
            let analysis = found.analysis.get();
            let high = analysis.map(|analysis| analysis.found.high_rpm);
            high.map_or_else(String::new, |high| show::grouped(high, 0))
        } else {
            show::fixed(Rules::default().least_s, 1)
        }
    });
    let (id, label, unit) = if is_rpm {
        ("log-high", words::high(), words::RPM)
    } else {
        ("log-least", words::least(), words::SECONDS)
    };
    Field::new(id, label, text, on_text)
        .keys(if is_rpm { Keys::Rpm } else { Keys::Decimal })
        .unit(unit.to_owned())
        .assumed(assumed)
        .fault(fault.into())
        .view(desk.pad)
}

/// When a pass begins or ends, in seconds of the log, as the chart counts them.
fn end(found: Found, place: usize, is_launch: bool, desk: Desk) -> AnyView {
    let known = found.rules.with_untracked(|rules| {
        let moved = rules.moved.iter().find(|moved| moved.place == place);
        moved.and_then(|moved| if is_launch { moved.from_s } else { moved.to_s })
    });
    let text = RwSignal::new(known.map_or_else(String::new, |known| show::fixed(known, 2)));
    let fault = RwSignal::new(None);
    let on_text = Callback::new(move |typed: String| {
        let (from, to) = room(found, place, is_launch);
        let good = seconds(&typed).filter(|at| (from..=to).contains(at));
        let is_wrong = good.is_none() && !typed.trim().is_empty();
        fault.set(is_wrong.then(|| words::end_fault(&typed, from, to)));
        if !is_wrong {
            found
                .rules
                .update(|rules| move_end(rules, place, is_launch, good));
        }
        text.set(typed);
    });
    let assumed = Signal::derive(move || {
        let span = found
            .pass
            .with(|pass| pass.as_ref().map(|pass| pass.pass.span));
        span.map_or_else(String::new, |span| {
            show::fixed(if is_launch { span.from_s } else { span.to_s }, 2)
        })
    });
    let (id, label) = if is_launch {
        ("log-launch", words::launch())
    } else {
        ("log-stripe", words::stripe())
    };
    Field::new(id, label, text, on_text)
        .keys(Keys::Decimal)
        .unit(words::SECONDS.to_owned())
        .assumed(assumed)
        .fault(fault.into())
        .view(desk.pad)
}

fn move_end(rules: &mut Rules, place: usize, is_launch: bool, at_s: Option<f64>) {
    let known = rules.moved.iter().position(|moved| moved.place == place);
    let mut moved = known.map_or(
        Moved {
            place,
            ..Moved::default()
        },
        |known| rules.moved.remove(known),
    );
    if is_launch {
        moved.from_s = at_s;
    } else {
        moved.to_s = at_s;
    }
    // The log's own word again: as if nothing had been said.
    if moved.from_s.is_some() || moved.to_s.is_some() {
        rules.moved.push(moved);
    }
}

/// Between which times an end of a pass may lie: within the log, clear of its neighbors and of its other end.
fn room(found: Found, place: usize, is_launch: bool) -> (f64, f64) {
    let Some(analysis) = found.analysis.get_untracked() else {
        return (0.0, 0.0);
    };
    let whole = analysis.sampling.span;
    let span = |place: usize| analysis.passes.get(place).map(|one| one.pass.span);
    let Some(own) = span(place) else {
        return (0.0, 0.0);
    };
    if is_launch {
        let before = place.checked_sub(1).and_then(span);
        (before.map_or(whole.from_s, |before| before.to_s), own.to_s)
    } else {
        let after = span(place + 1);
        (own.from_s, after.map_or(whole.to_s, |after| after.from_s))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_set_one_by_one_and_let_go() {
        let mut rules = Rules::default();
        move_end(&mut rules, 1, true, Some(12.5));
        move_end(&mut rules, 1, false, Some(20.0));
        move_end(&mut rules, 0, false, Some(9.0));
        let both = Moved {
            place: 1,
            from_s: Some(12.5),
            to_s: Some(20.0),
        };
        assert!(rules.moved.len() == 2 && rules.moved.contains(&both));
        move_end(&mut rules, 1, true, None);
        move_end(&mut rules, 1, false, None);
        move_end(&mut rules, 0, false, None);
        assert_eq!(rules, Rules::default());
    }
}
