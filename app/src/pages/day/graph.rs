//! Charge and lowest voltage over the day, both pulleys.

use super::{Days, Found, Spreads};
use crate::pages::Desk;
use crate::parts::chart::{Axis, Chart, Line, Palette, Panel, PlotSpec, Role};
use crate::parts::live::all;
use crate::parts::readout::readout;
use crate::words::day as words;
use laneside_core::quantity::show;
use laneside_core::race::DayStudy;
use laneside_core::tolerance::Spread95;
use leptos::prelude::*;

/// Places of the readout over the day.
const STOPS: u32 = 96;
/// Where the spreads of the charge after each round begin.
const ROUND_SPREADS: usize = 3;

/// Chart and readout.
pub fn graph(desk: Desk, found: Found, spreads: Spreads) -> AnyView {
    let cursor = RwSignal::new(f64::NAN);
    let spec = Memo::new(move |_| {
        let days = found.get()?;
        Some(plot(&days, spreads.get().as_deref()))
    });
    let palette = Memo::new(move |_| {
        desk.theme.track();
        crate::browser::root().map_or(Palette::SUN, |root| Palette::read(&root))
    });
    // It starts at the end, since that is the question.
    Effect::new(move || {
        let Some(days) = found.get() else {
            return;
        };
        let end = days.each.first().and_then(|(_, day)| day.rounds.last());
        let end = end.map_or(0.0, |round| round.until_s / 3_600.0);
        let now = cursor.get_untracked();
        // A day that has become shorter takes it along.
        if now.is_nan() || now > end {
            cursor.set(end);
        }
    });
    let car = move || desk.store.answer().map(|answer| answer.car.clone());
    let at = Signal::derive(move || match (found.get(), car()) {
        (Some(days), Some(car)) => words::at(&car, &days, cursor.get()),
        _ => String::new(),
    });
    let said = Signal::derive(move || {
        found.get().map_or_else(String::new, |days| {
            words::readings(&days, cursor.get(), &at.get())
        })
    });
    let summary = Signal::derive(move || {
        found
            .get()
            .map_or_else(String::new, |days| words::summary(&days))
    });
    view! {
        <section aria-label=words::CHART>
            <div class="readings" aria-live="off">
                <p class="readings-at">{at}</p>
                <div class="readings-pair">
                    {all([reading(found, cursor, 0), reading(found, cursor, 1)])}
                </div>
            </div>
            <Chart
                spec=Signal::derive(move || spec.get().unwrap_or_default())
                palette=Signal::from(palette)
                summary=summary
                cursor=cursor
                cursor_text=said
                rail_label=words::RAIL
                back_label=words::EARLIER
                forward_label=words::LATER
            />
        </section>
    }
    .into_any()
}

fn reading(found: Found, cursor: RwSignal<f64>, place: usize) -> AnyView {
    let of = move |read: fn(&DayStudy, f64) -> String| {
        Signal::derive(move || {
            let days = found.get();
            let day = days.as_ref().and_then(|days| days.each.get(place));
            day.map_or_else(String::new, |(_, day)| read(day, cursor.get()))
        })
    };
    let label = Signal::derive(move || {
        let days = found.get();
        let day = days.as_ref().and_then(|days| days.each.get(place));
        day.map_or_else(String::new, |(name, _)| name.clone())
    });
    readout(
        label,
        of(words::charge_at),
        Signal::stored(words::PERCENT.to_owned()),
        of(words::volts_at),
        if place == 0 { "on-car" } else { "try" },
    )
}

fn plot(days: &Days, spreads: Option<&Vec<Vec<Spread95>>>) -> PlotSpec {
    let Some((_, first)) = days.each.first() else {
        return PlotSpec::default();
    };
    let hours = |seconds: f64| seconds / 3_600.0;
    let ends = first
        .rounds
        .last()
        .map_or(1.0, |round| hours(round.until_s));
    let mut charge = Panel {
        y: Axis {
            label: words::CHARGE_AXIS.into(),
            min: 0.0,
            max: 100.0,
            tick_text: |value| show::fixed(value, 0),
        },
        ..Panel::default()
    };
    let mut volts = Panel {
        y: Axis {
            label: words::VOLTAGE_AXIS.into(),
            min: first.least_v - 0.5,
            max: first.least_v + 2.5,
            tick_text: |value| show::fixed(value, 1),
        },
        ..Panel::default()
    };
    volts.lines.push(Line {
        role: Role::Load,
        label: words::least(first.least_v),
        points: vec![(0.0, first.least_v), (ends, first.least_v)],
        ..Line::default()
    });
    for (place, (name, day)) in days.each.iter().enumerate() {
        let role = if place == 0 { Role::OnCar } else { Role::Try };
        let own = spreads.and_then(|all| all.get(place));
        let whiskers = own.map_or_else(Vec::new, |own| {
            let after = own.iter().skip(ROUND_SPREADS).zip(&day.rounds);
            after
                .map(|(found, round)| {
                    let low = found.spread.least(found.value).max(0.0);
                    let high = found.spread.most(found.value).min(1.0);
                    (hours(round.until_s), 100.0 * low, 100.0 * high)
                })
                .collect()
        });
        let samples = day.run.segments.iter().flat_map(|segment| &segment.samples);
        charge.lines.push(Line {
            role,
            label: name.clone(),
            points: samples
                .map(|sample| (hours(sample.at_s), 100.0 * sample.soc))
                .collect(),
            whiskers,
            ..Line::default()
        });
        volts.lines.push(Line {
            role,
            label: name.clone(),
            points: day
                .rounds
                .iter()
                .filter(|round| round.lowest_v.is_finite())
                .map(|round| (hours(round.lowest_at_s), round.lowest_v))
                .collect(),
            ..Line::default()
        });
    }
    let mut stops: Vec<f64> = (0..=STOPS)
        .map(|step| ends * f64::from(step) / f64::from(STOPS))
        .chain(first.rounds.iter().map(|round| hours(round.until_s)))
        .chain(first.rounds.iter().map(|round| hours(round.lowest_at_s)))
        .collect();
    laneside_core::sort::sort_short(&mut stops, f64::total_cmp);
    stops.dedup();
    PlotSpec {
        x: Axis {
            label: words::TIME_AXIS.into(),
            min: 0.0,
            max: ends,
            tick_text: |value| show::fixed(value, 0),
        },
        panels: vec![charge, volts],
        markers: Vec::new(),
        stops,
    }
}
