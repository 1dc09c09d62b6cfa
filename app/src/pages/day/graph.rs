//! Charge and lowest voltage over the day, both pulleys.

use super::{Days, Found};
use crate::pages::Desk;
use crate::pages::compared::{Around, Readout, role, section, stops};
use crate::pages::sweep::Spreads;
use crate::parts::chart::{Axis, Line, Panel, PlotSpec, Role};
use crate::words::day as words;
use laneside_core::quantity::show;
use laneside_core::race::{DayAnswer, Round};
use laneside_core::tolerance::Spread95;
use leptos::prelude::*;

/// Places of the readout over the day.
const STOPS: u32 = 96;

/// Chart and readout.
pub fn graph(desk: Desk, found: Found, spreads: Spreads) -> AnyView {
    let cursor = RwSignal::new(f64::NAN);
    let spec = Memo::new(move |_| {
        let days = found.get()?;
        Some(plot(&days, spreads.get().as_deref()))
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
    let at = Signal::derive(move || {
        found
            .get()
            .map_or_else(String::new, |days| words::at(&days, cursor.get()))
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
    let of = Callback::new(move |place: usize| {
        let days = found.get()?;
        let (name, day) = days.each.get(place)?;
        let hours = cursor.get();
        Some([
            name.clone(),
            words::charge_at(day, hours),
            words::volts_at(day, hours),
        ])
    });
    let readout = Readout {
        cursor,
        at,
        said,
        of,
    };
    let around = Around {
        chart: words::chart(),
        rail: words::rail(),
        unit: words::percent_label(),
    };
    let spec = Signal::derive(move || spec.get().unwrap_or_default());
    section(desk, around, spec, summary, readout)
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
            label: words::charge_axis().into(),
            min: 0.0,
            max: 100.0,
            tick_text: |value| show::fixed(value, 0),
        },
        ..Panel::default()
    };
    let mut volts = Panel {
        y: Axis {
            label: words::voltage_axis().into(),
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
        let role = role(place);
        let own = spreads.and_then(|all| all.get(place));
        let whisker = |(number, round): (u32, &Round)| {
            let (low, high) = day.range(own?, DayAnswer::After(number))?;
            let percent = |part: f64| 100.0 * part.clamp(0.0, 1.0);
            Some((hours(round.until_s), percent(low), percent(high)))
        };
        let whiskers = (1..).zip(&day.rounds).filter_map(whisker).collect();
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
                .filter_map(|round| round.lowest)
                .map(|(at_s, volts)| (hours(at_s), volts))
                .collect(),
            ..Line::default()
        });
    }
    let matter = first.rounds.iter().flat_map(|round| {
        let lowest_s = round.lowest.map(|(at_s, _)| at_s);
        lowest_s.into_iter().chain([round.until_s]).map(hours)
    });
    let stops = stops((0.0, ends), STOPS, matter);
    PlotSpec {
        x: Axis {
            label: words::time_axis().into(),
            min: 0.0,
            max: ends,
            tick_text: |value| show::fixed(value, 0),
        },
        panels: vec![charge, volts],
        markers: Vec::new(),
        stops,
    }
}
