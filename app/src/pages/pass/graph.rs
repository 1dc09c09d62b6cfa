//! Alternator speed and voltage over the pass, both pulleys.

use super::{Found, Passes};
use crate::pages::Desk;
use crate::pages::compared::{Around, Readout, role, section, stops};
use crate::parts::chart::{Axis, Limit, Line, Marker, Panel, PlotSpec, Role};
use crate::words::pass as words;
use laneside_core::quantity::show;
use laneside_core::race::MomentKind;
use leptos::prelude::*;

/// Places of the readout over the pass.
const STOPS: u32 = 60;
/// Points of a voltage band.
const POINTS: u32 = 160;

/// Chart and readout.
pub fn graph(desk: Desk, found: Found) -> AnyView {
    let cursor = RwSignal::new(f64::NAN);
    let passes = move || found.get()?.ok();
    let spec = Memo::new(move |_| {
        let passes = passes()?;
        let study = passes.answer.study.as_ref().ok()?;
        let limits = study.tolerances.resolved().limits;
        Some(plot(&passes, (limits.continuous, limits.assumed)))
    });
    // It starts where the voltage is lowest, since that is the question.
    Effect::new(move || {
        if let (true, Some(passes)) = (cursor.get_untracked().is_nan(), passes()) {
            let lowest = passes.each.first().and_then(|(_, pass)| {
                let mut moments = pass.moments_s().into_iter();
                moments.find(|moment| moment.0 == MomentKind::Lowest)
            });
            cursor.set(lowest.map_or(0.0, |moment| moment.1));
        }
    });
    let said = Signal::derive(move || {
        passes().map_or_else(String::new, |passes| words::readings(&passes, cursor.get()))
    });
    let summary =
        Signal::derive(move || passes().map_or_else(String::new, |passes| words::summary(&passes)));
    let at = Signal::derive(move || {
        passes().map_or_else(String::new, |passes| words::at(&passes, cursor.get()))
    });
    let of = Callback::new(move |place: usize| {
        let passes = passes()?;
        let (name, pass) = passes.each.get(place)?;
        let at_s = cursor.get();
        Some([
            name.clone(),
            words::volts_at(pass, at_s),
            words::alternator_at(pass, at_s),
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
        unit: words::VOLTS,
    };
    let spec = Signal::derive(move || spec.get().unwrap_or_default());
    section(desk, around, spec, summary, readout)
}

fn whole(value: f64) -> String {
    show::grouped(value, 0)
}

fn tenth(value: f64) -> String {
    show::fixed(value, 1)
}

fn plot(passes: &Passes, (limit, assumed): ((f64, f64), bool)) -> PlotSpec {
    let Some((_, first)) = passes.each.first() else {
        return PlotSpec::default();
    };
    let (from_s, ends_s) = first.window_s;
    let mut speed = Panel {
        y: Axis {
            label: words::speed_axis().into(),
            tick_text: whole,
            ..Axis::default()
        },
        limits: vec![Limit {
            lo: limit.0,
            hi: limit.1,
            label: crate::words::pulleys::limit_label(limit.0, limit.1, assumed),
        }],
        ..Panel::default()
    };
    let mut volts = Panel {
        y: Axis {
            label: words::voltage_axis().into(),
            min: first.least_v - 0.5,
            max: first.healthy_v + 1.0,
            tick_text: tenth,
        },
        ..Panel::default()
    };
    volts.lines.push(Line {
        role: Role::Load,
        label: words::healthy(first.healthy_v),
        points: vec![(from_s, first.healthy_v), (ends_s, first.healthy_v)],
        ..Line::default()
    });
    for (place, (name, pass)) in passes.each.iter().enumerate() {
        let points = pass.pass.trace.points().iter();
        speed.lines.push(Line {
            role: role(place),
            label: name.clone(),
            points: points
                .map(|point| (point.0, point.1 * pass.ratio))
                .collect(),
            ..Line::default()
        });
        let at = |step: u32| from_s + (ends_s - from_s) * f64::from(step) / f64::from(POINTS);
        let spread = if pass.gone.is_some() {
            (0..=POINTS)
                .map(|step| {
                    let (low, high) = pass.shown_v(at(step));
                    (at(step), low, high)
                })
                .collect()
        } else {
            Vec::new()
        };
        let samples = pass.holds.samples.iter();
        volts.lines.push(Line {
            role: role(place),
            label: name.clone(),
            points: samples
                .map(|moment| (moment.at_s, moment.shown_v))
                .collect(),
            spread,
            ..Line::default()
        });
        if let Some(gone) = &pass.gone {
            let samples = gone.samples.iter();
            volts.lines.push(Line {
                role: role(place),
                label: words::gone().into(),
                points: samples
                    .map(|moment| (moment.at_s, moment.shown_v))
                    .collect(),
                ..Line::default()
            });
        }
    }
    let moments = first.moments_s().into_iter().map(|moment| moment.1);
    let stops = stops((from_s, ends_s), STOPS, moments);
    let ends_at = first.pass.ends_s;
    PlotSpec {
        x: Axis {
            label: words::time_axis(from_s).into(),
            min: from_s,
            max: ends_s,
            tick_text: plain,
        },
        panels: vec![speed, volts],
        markers: if ends_at < ends_s {
            vec![Marker {
                x: ends_at,
                label: words::stripe().into(),
            }]
        } else {
            Vec::new()
        },
        stops,
    }
}

/// A number of seconds without needless digits.
fn plain(value: f64) -> String {
    if (value - value.round()).abs() < 1e-9 {
        show::fixed(value, 0)
    } else {
        show::fixed(value, 1)
    }
}
