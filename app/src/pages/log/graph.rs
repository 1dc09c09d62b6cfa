//! Voltage and engine speed over time, as far into it as the person wants.

use super::found::Found;
use super::shot::{Shot, Source};
use crate::pages::Desk;
use crate::parts::chart::{Axis, Chart, Limit, Line, Marker, Palette, Panel, PlotSpec, Role};
use crate::parts::held::Held;
use crate::parts::live::all;
use crate::parts::readout::readout;
use crate::parts::zoom::{Sight, zoomable};
use crate::words::log::graph as words;
use laneside_core::log::analysis::PassFound;
use laneside_core::log::passes::Span;
use leptos::prelude::*;
use std::sync::Arc;

/// Columns of pixels that a line is thinned to: each shows its lowest and its highest sample.
const COLUMNS: usize = 360;
/// Steps of the readout over what is in sight.
const STOPS: u32 = 60;
/// The least that fills the chart, s.
const LEAST_S: f64 = 0.2;
/// What is in sight before and after a pass, as a part of its length.
const ROUND_PASS: f64 = 0.15;

/// What is drawn besides the log itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// Moments with their names.
    pub marks: Vec<(f64, String)>,
    /// The voltage that the model gives: time, from, to.
    pub band: Vec<(f64, f64, f64)>,
    /// Engine speeds between which the alternator's limit lies, with words.
    pub limit: Option<(f64, f64, String)>,
    /// What is in sight first.
    pub focus: Option<(f64, f64)>,
}

/// The chart of the open log, with the pass in sight.
pub fn of_log(desk: Desk, found: Found) -> AnyView {
    let log = found.log.get_value();
    let band = super::model::band(found);
    let overlay = Held::new(move || {
        let Some(analysis) = found.analysis.get() else {
            return Overlay::default();
        };
        let mut overlay = Overlay {
            band: band.get(),
            limit: found.pass.get().and_then(|pass| limit(&pass)),
            ..Overlay::default()
        };
        let is_one = analysis.passes.len() == 1;
        for (place, one) in analysis.passes.iter().enumerate() {
            let name = if is_one {
                String::new()
            } else {
                format!("{} ", place + 1)
            };
            let span = one.pass.span;
            overlay
                .marks
                .push((span.from_s, format!("{name}{}", words::launch())));
            overlay
                .marks
                .push((span.to_s, format!("{name}{}", words::stripe())));
        }
        if let Some(pass) = found.pass.get() {
            let Span { from_s, to_s } = pass.pass.span;
            let round = ROUND_PASS * (to_s - from_s);
            overlay.focus = Some((from_s - round, to_s + round));
        }
        overlay
    });
    let shot = Shot {
        source: Source::Log(log),
        role: Role::OnCar,
        label: words::measured_line().to_owned(),
    };
    graph(desk, vec![shot], overlay.into())
}

/// The engine speeds at which the alternator is at its limit.
fn limit(pass: &PassFound) -> Option<(f64, f64, String)> {
    let over = pass.figures.fitted.found()?;
    let ratio = over.ratio.value;
    let at = |limit_rpm: f64| limit_rpm / ratio;
    let ends = (
        at(over.continuous.0.limit_rpm),
        at(over.continuous.1.limit_rpm),
    );
    let (low, high) = (ends.0.min(ends.1), ends.0.max(ends.1));
    Some((low, high, words::limit(over.assumed)))
}

/// Readout, chart and the buttons that move it, for one recording or two.
pub fn graph(desk: Desk, shots: Vec<Shot>, overlay: Signal<Overlay>) -> AnyView {
    let shots = Arc::new(shots);
    let whole = span(&shots);
    let window = RwSignal::new(whole);
    let sight = Sight {
        window,
        whole: Signal::stored(whole),
        least: LEAST_S,
    };
    let cursor = RwSignal::new(f64::NAN);
    let focus = Held::new(move || overlay.with(|overlay| overlay.focus));
    let shown = Arc::clone(&shots);
    // It starts where the voltage is lowest, since that is the question.
    Effect::new(move || {
        let (from, to) = focus.get().unwrap_or(whole);
        sight.set(from, to - from);
        cursor.set(lowest_at(&shown, from, to).unwrap_or(from));
    });
    let drawn = Arc::clone(&shots);
    let spec = Held::new(move || overlay.with(|overlay| plot(&drawn, overlay, window.get())));
    let palette = Memo::new(move |_| {
        desk.theme.track();
        crate::browser::root().map_or(Palette::SUN, |root| Palette::read(&root))
    });
    let step = move || {
        let (from, to) = window.get();
        (to - from) / f64::from(STOPS)
    };
    let of = |place: usize, pick: fn(&words::Reading) -> String| {
        let shots = Arc::clone(&shots);
        Signal::derive(move || {
            let reading = shots
                .get(place)
                .map(|shot| shot.reading(cursor.get(), step()));
            reading.as_ref().map(pick).unwrap_or_default()
        })
    };
    let unit = |unit: &str| Signal::stored(unit.to_owned());
    let readings = if shots.len() == 1 {
        [
            readout(
                words::measured(),
                of(0, words::volts),
                unit(words::VOLTS),
                of(0, words::volts_near),
                "on-car",
            ),
            readout(
                words::engine(),
                of(0, words::rpm),
                unit(words::RPM),
                of(0, words::rpm_near),
                "",
            ),
        ]
    } else {
        let one = |place: usize, class: &'static str| {
            let label = shots
                .get(place)
                .map(|shot| shot.label.clone())
                .unwrap_or_default();
            readout(
                Signal::stored(label),
                of(place, words::volts),
                unit(words::VOLTS),
                of(place, words::rpm_said),
                class,
            )
        };
        [one(0, "on-car"), one(1, "try")]
    };
    let summary = {
        let shots = Arc::clone(&shots);
        Signal::derive(move || {
            let (from, to) = window.get();
            let said = shots.iter().map(|shot| {
                words::summary_of(
                    &shot.label,
                    shot.source.volts().between(from, to),
                    shot.source.rpm().between(from, to),
                )
            });
            words::summary(from, to, &said.collect::<Vec<_>>())
        })
    };
    let said = {
        let shots = Arc::clone(&shots);
        Signal::derive(move || {
            let readings = shots.iter().map(|shot| shot.reading(cursor.get(), step()));
            words::said(&readings.collect::<Vec<_>>())
        })
    };
    let chart = view! {
        <Chart
            spec=Signal::from(spec)
            palette=Signal::from(palette)
            summary=summary
            cursor=cursor
            cursor_text=said
            rail_label=words::rail()
            back_label=words::earlier()
            forward_label=words::later()
        />
    }
    .into_any();
    let label = match shots.len() {
        2 => words::chart_of_two(),
        _ => words::chart(),
    };
    view! {
        <section aria-label=label>
            <div class="readings" aria-live="off">
                <p class="readings-at">{of(0, words::at)}</p>
                <div class="readings-pair">{all(readings)}</div>
            </div>
            {zoomable(chart, sight, cursor)}
        </section>
    }
    .into_any()
}

/// From the first to the last moment of all of them.
fn span(shots: &[Shot]) -> (f64, f64) {
    let spans = shots.iter().flat_map(|shot| {
        let spans = [shot.source.volts().span(), shot.source.rpm().span()];
        spans.into_iter().flatten()
    });
    let all = spans.fold((f64::INFINITY, f64::NEG_INFINITY), |all, one| {
        (all.0.min(one.0), all.1.max(one.1))
    });
    if all.0 <= all.1 { all } else { (0.0, 1.0) }
}

/// Where the voltage is lowest within a stretch.
fn lowest_at(shots: &[Shot], from: f64, to: f64) -> Option<f64> {
    let points = shots.iter().flat_map(|shot| shot.volts(from, to, 1));
    let inside = points.filter(|point| (from..=to).contains(&point.0));
    let lowest = inside.min_by(|one, other| one.1.total_cmp(&other.1))?;
    Some(lowest.0)
}

fn axis(label: &str, range: Option<(f64, f64)>, tick_text: fn(f64) -> String) -> Axis {
    let (min, max) = range.unwrap_or((0.0, 1.0));
    Axis {
        label: label.to_owned(),
        min,
        max,
        tick_text,
    }
}

fn wider(one: Option<(f64, f64)>, other: Option<(f64, f64)>) -> Option<(f64, f64)> {
    match (one, other) {
        (Some(one), Some(other)) => Some((one.0.min(other.0), one.1.max(other.1))),
        _ => one.or(other),
    }
}

/// A range of voltage on whole volts, two at least: the axis stands still over most of what one moves along,
/// and a fall of some tenths still shows once one is close.
fn whole_volts((low, high): (f64, f64)) -> (f64, f64) {
    let (low, high) = (low.floor(), high.ceil());
    (low.min(high - 2.0), high)
}

fn plot(shots: &[Shot], overlay: &Overlay, (from, to): (f64, f64)) -> PlotSpec {
    let ranges = shots
        .iter()
        .map(|shot| shot.source.volts().between(from, to));
    let band = overlay
        .band
        .iter()
        .filter(|(at, ..)| (from..=to).contains(at))
        .map(|&(_, low, high)| Some((low, high)));
    let in_sight = ranges.chain(band).fold(None, wider);
    let mut volts = Panel {
        y: axis(
            words::voltage_axis(),
            in_sight.map(whole_volts),
            words::tenth,
        ),
        ..Panel::default()
    };
    if !overlay.band.is_empty() {
        let middle = overlay
            .band
            .iter()
            .map(|&(at, low, high)| (at, 0.5 * (low + high)));
        volts.lines.push(Line {
            role: Role::Load,
            label: words::model_line().to_owned(),
            points: middle.collect(),
            spread: overlay.band.clone(),
            ..Line::default()
        });
    }
    let ranges = shots.iter().map(|shot| shot.source.rpm().range());
    let highest = ranges.fold(None, wider).map(|(_, high)| (0.0, high));
    let mut rpm = Panel {
        y: axis(words::speed_axis(), highest, words::whole),
        ..Panel::default()
    };
    for shot in shots {
        volts.lines.push(Line {
            role: shot.role,
            label: shot.label.clone(),
            points: shot.volts(from, to, COLUMNS),
            ..Line::default()
        });
        rpm.lines.push(Line {
            role: if shots.len() == 1 {
                Role::Plain
            } else {
                shot.role
            },
            points: shot.rpm(from, to, COLUMNS),
            ..Line::default()
        });
    }
    if let Some((lo, hi, label)) = &overlay.limit {
        rpm.limits.push(Limit {
            lo: *lo,
            hi: *hi,
            label: label.clone(),
        });
    }
    let marks = overlay
        .marks
        .iter()
        .filter(|(at, _)| (from..=to).contains(at));
    let markers: Vec<Marker> = marks
        .map(|(at, name)| Marker {
            x: *at,
            label: name.clone(),
        })
        .collect();
    let grid = (0..=STOPS).map(|step| from + (to - from) * f64::from(step) / f64::from(STOPS));
    let mut stops: Vec<f64> = grid
        .chain(markers.iter().map(|marker| marker.x))
        .chain(lowest_at(shots, from, to))
        .collect();
    laneside_core::sort::sort_short(&mut stops, f64::total_cmp);
    stops.dedup();
    let time = if shots.len() == 1 {
        words::time_axis()
    } else {
        words::launch_axis()
    };
    PlotSpec {
        x: axis(time, Some((from, to)), words::seconds_tick),
        panels: vec![volts, rpm],
        markers,
        stops,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_voltage_axis_holds_what_is_in_sight_on_whole_volts() {
        assert_eq!(whole_volts((13.9, 14.1)), (13.0, 15.0));
        assert_eq!(whole_volts((9.4, 14.0)), (9.0, 14.0));
        assert_eq!(whole_volts((13.0, 13.0)), (11.0, 13.0));
    }
}
