//! The shared chart: speed above, output below, both pulleys over engine speed.

use crate::pages::Desk;
use crate::parts::chart::{Axis, Chart, Fade, Limit, Line, Marker, Palette, Panel, PlotSpec, Role};
use crate::parts::choice::Choice;
use crate::parts::live::live;
use crate::parts::readout::readout;
use crate::store::Answer;
use crate::words::{names, pulleys as words, verdicts};
use laneside_core::balance::{alternator_rpm, hot_a};
use laneside_core::car::Car;
use laneside_core::gates::Judged;
use laneside_core::quantity::show;
use laneside_core::resolve::PhaseSpeed;
use laneside_core::sort::sort_short;
use laneside_core::study::{Curves, Study, curves, output_line};
use laneside_core::tolerance::Own;
use leptos::prelude::*;

/// Points of an output line; they lie closer where output rises steeply.
const POINTS: u32 = 40;

/// Steps of the readout, engine rpm.
const STEP_RPM: f64 = 100.0;

/// Chart and readout.
pub fn graph(desk: Desk) -> AnyView {
    let store = desk.store;
    let cursor = RwSignal::new(f64::NAN);
    let chosen = RwSignal::new(None::<usize>);
    let spec = Memo::new(move |_| {
        with_study(store.answer().as_deref(), |answer, study| {
            plot(&answer.car, study, chosen.get())
        })
        .unwrap_or_default()
    });
    // The readout starts at the limiter, where the question is.
    Effect::new(move || {
        let limiter = store.with_car(|car| car.engine.limiter).flatten();
        if let (true, Some(limiter)) = (cursor.get_untracked().is_nan(), limiter) {
            use laneside_core::quantity::InRotationalSpeed;
            cursor.set(limiter.rpm());
        }
    });
    let palette = Memo::new(move |_| {
        desk.theme.track();
        crate::browser::root().map_or(Palette::SUN, |root| Palette::read(&root))
    });
    let here = Memo::new(move |_| {
        let engine = cursor.get();
        with_study(store.answer().as_deref(), |answer, study| {
            Readings::at(&answer.car, study, engine)
        })
    });
    let said = Signal::derive(move || {
        here.get()
            .map_or_else(String::new, |readings| words::readings(&readings))
    });
    view! {
        <section aria-label=words::chart()>
            {readings_view(here, cursor)}
            <Chart
                spec=Signal::from(spec)
                palette=Signal::from(palette)
                summary=Signal::derive(move || {
                    with_study(store.answer().as_deref(), |answer, study| words::chart_summary(&answer.car, study))
                        .unwrap_or_default()
                })
                cursor=cursor
                cursor_text=said
                rail_label=words::rail()
                back_label=words::slower()
                forward_label=words::faster()
            />
            {phase_choice(desk, chosen)}
        </section>
    }
    .into_any()
}

fn with_study<T>(answer: Option<&Answer>, read: impl FnOnce(&Answer, &Study) -> T) -> Option<T> {
    let answer = answer?;
    Some(read(answer, answer.study.as_ref().ok()?))
}

/// What stands at the readout's cursor.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// Engine speed, rpm.
    pub engine_rpm: f64,
    /// The pulley on the car.
    pub on_car: Reading,
    /// The pulley to try.
    pub tried: Option<Reading>,
}

/// One pulley at the cursor.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What the pulley is called.
    pub size: String,
    /// Alternator speed, rounded to its spread.
    pub speed: String,
    /// Output, rounded to its spread; both ends where it is over the limit.
    pub output: String,
}

impl Readings {
    fn at(car: &Car, study: &Study, engine_rpm: f64) -> Self {
        let reading = |judged: &Judged, own: Option<Own>, size: String| {
            let at = curves(&study.tolerances, judged.pulleys, own, &[engine_rpm]);
            let (amps, spread) = (at.output_a[0], at.output_spread[0].widest());
            let amps = show::rounded_to_spread(amps, spread.max(1.0)).value_text();
            Reading {
                size,
                speed: verdicts::rounded_speed(at.speed_rpm[0], at.speed_spread[0].widest()),
                output: if engine_rpm > at.limit_met_rpm {
                    words::fading(&amps)
                } else {
                    format!("{amps} A")
                },
            }
        };
        Self {
            engine_rpm,
            on_car: reading(&study.on_car, None, names::fitted(car)),
            tried: study.tried.as_ref().map(|tried| {
                let own = laneside_core::choose::candidate(car, &tried.pulley).own;
                reading(&tried.judged, own, names::tried(car, &tried.pulley))
            }),
        }
    }
}

fn readings_view(here: Memo<Option<Readings>>, cursor: RwSignal<f64>) -> AnyView {
    let of = move |tried: bool, pick: fn(&Reading) -> &String| {
        Signal::derive(move || {
            here.with(|here| {
                let readings = here.as_ref()?;
                let reading = if tried {
                    readings.tried.as_ref()?
                } else {
                    &readings.on_car
                };
                Some(pick(reading).clone())
            })
            .unwrap_or_default()
        })
    };
    let label = move |tried: bool| {
        let size = of(tried, |reading| &reading.size);
        Signal::derive(move || {
            if tried {
                words::to_try(&size.get())
            } else {
                words::on_car(&size.get())
            }
        })
    };
    let unit = Signal::stored(words::RPM.to_owned());
    let panel = move |tried: bool, class: &'static str| {
        let output = of(tried, |reading| &reading.output);
        readout(
            label(tried),
            of(tried, |reading| &reading.speed),
            unit,
            output,
            class,
        )
    };
    view! {
        <div class="readings" aria-live="off">
            <p class="readings-at">{Signal::derive(move || words::at_engine(cursor.get()))}</p>
            <div class="readings-pair">{panel(false, "on-car")} {panel(true, "try")}</div>
        </div>
    }
    .into_any()
}

/// Which phase's load is drawn besides the worst.
fn phase_choice(desk: Desk, chosen: RwSignal<Option<usize>>) -> AnyView {
    let store = desk.store;
    let running = Memo::new(move |_| {
        store
            .with_car(|car| {
                let off = |place: &usize| {
                    car.phases[*place].engine != laneside_core::car::EngineState::Off
                };
                (0..car.phases.len())
                    .filter(off)
                    .map(|place| (place, names::phase(car, place)))
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    live(move || {
        let running = running.get();
        let places: Vec<usize> = running.iter().map(|(place, _)| *place).collect();
        let picked = {
            let places = places.clone();
            Signal::derive(move || places.iter().position(|place| Some(*place) == chosen.get()))
        };
        let on_pick = Callback::new(move |at: usize| chosen.set(places.get(at).copied()));
        let options = running.into_iter().map(|(_, name)| name);
        let choice = Choice::new("load-shown", words::load_shown(), options, picked, on_pick)
            .free()
            .view();
        view! { <details class="more"><summary>{words::another_load()}</summary>{choice}</details> }
            .into_any()
    })
}

fn whole(value: f64) -> String {
    show::grouped(value, 0)
}

/// What the chart shows, with the loads of a chosen phase.
pub fn plot(car: &Car, study: &Study, chosen: Option<usize>) -> PlotSpec {
    let params = &study.tolerances.nominal().params;
    let (limiter, top) = (
        params.limiter_rpm,
        params.limiter_rpm + params.overshoot_rpm,
    );
    let engine: Vec<f64> = (0..=POINTS)
        .map(|step| top * (f64::from(step) / f64::from(POINTS)).powf(1.5))
        .collect();
    let marks = [params.idle_rpm, params.shift_rpm, limiter];
    let mut speed = Panel {
        y: axis(words::speed_axis()),
        limits: vec![limit(study)],
        ..Panel::default()
    };
    let mut output = Panel {
        y: axis(words::output_axis()),
        ..Panel::default()
    };
    let on_car = words::on_car(&names::fitted(car));
    if let Some(tried) = &study.tried {
        let own = laneside_core::choose::candidate(car, &tried.pulley).own;
        let label = words::to_try(&names::tried(car, &tried.pulley));
        let sampled = curves(&study.tolerances, tried.judged.pulleys, own, &engine);
        let band = |values: &[f64], spreads: &[laneside_core::finding::Spread]| {
            let at = engine.iter().zip(values).zip(spreads);
            at.map(|((x, y), spread)| (*x, (y - spread.down).max(0.0), y + spread.up))
                .collect::<Vec<_>>()
        };
        speed.lines.push(Line {
            role: Role::Try,
            label: label.clone(),
            points: vec![(0.0, 0.0), (top, top * tried.judged.ratio.value)],
            spread: band(&sampled.speed_rpm, &sampled.speed_spread),
            ..Line::default()
        });
        let points: Vec<(f64, f64)> = engine
            .iter()
            .copied()
            .zip(sampled.output_a.iter().copied())
            .collect();
        let mut spread = band(&sampled.output_a, &sampled.output_spread);
        spread.retain(|at| at.0 <= sampled.limit_met_rpm);
        add_output(
            &mut output,
            Role::Try,
            label,
            points,
            sampled.limit_met_rpm,
            spread,
            Vec::new(),
        );
    }
    let judged = &study.on_car;
    let whiskered = curves(&study.tolerances, judged.pulleys, None, &marks);
    let whiskers = |value: fn(&Curves) -> (&[f64], &[laneside_core::finding::Spread])| {
        let (values, spreads) = value(&whiskered);
        let at = marks.iter().zip(values).zip(spreads);
        at.map(|((x, y), spread)| (*x, (y - spread.down).max(0.0), y + spread.up))
            .collect::<Vec<_>>()
    };
    speed.lines.push(Line {
        role: Role::OnCar,
        label: on_car.clone(),
        points: vec![(0.0, 0.0), (top, top * judged.ratio.value)],
        whiskers: whiskers(|curves| (&curves.speed_rpm, &curves.speed_spread)),
        ..Line::default()
    });
    let mut output_whiskers = whiskers(|curves| (&curves.output_a, &curves.output_spread));
    output_whiskers.retain(|at| at.0 <= whiskered.limit_met_rpm);
    let points = output_line(&study.tolerances, judged.pulleys, &engine);
    add_output(
        &mut output,
        Role::OnCar,
        on_car,
        points,
        whiskered.limit_met_rpm,
        Vec::new(),
        output_whiskers,
    );
    add_loads(&mut output, car, study, chosen, top);
    let mut stops: Vec<f64> = (0..=(top / STEP_RPM) as u32)
        .map(|step| f64::from(step) * STEP_RPM)
        .chain(marks)
        .collect();
    sort_short(&mut stops, f64::total_cmp);
    stops.dedup();
    PlotSpec {
        x: Axis {
            label: words::engine_axis().into(),
            min: 0.0,
            max: top,
            tick_text: whole,
        },
        panels: vec![speed, output],
        markers: words::marks()
            .iter()
            .zip(marks)
            .map(|(label, x)| Marker {
                x,
                label: (*label).into(),
            })
            .collect(),
        stops,
    }
}

fn axis(label: &str) -> Axis {
    Axis {
        label: label.into(),
        min: 0.0,
        max: 0.0,
        tick_text: whole,
    }
}

fn limit(study: &Study) -> Limit {
    let limits = &study.tolerances.resolved().limits;
    let (lo, hi) = limits.continuous;
    Limit {
        lo,
        hi,
        label: words::limit_label(lo, hi, limits.assumed),
    }
}

/// An output line up to the limit, and from there on a region: it may hold or be gone.
fn add_output(
    panel: &mut Panel,
    role: Role,
    label: String,
    mut points: Vec<(f64, f64)>,
    limit_met_rpm: f64,
    spread: Vec<(f64, f64, f64)>,
    whiskers: Vec<(f64, f64, f64)>,
) {
    let first_over = points.iter().position(|point| point.0 > limit_met_rpm);
    if let Some(first) = first_over.filter(|first| *first > 0) {
        let (before, after) = (points[first - 1], points[first]);
        let part = (limit_met_rpm - before.0) / (after.0 - before.0);
        let met = (limit_met_rpm, before.1 + part * (after.1 - before.1));
        let upper = std::iter::once(met)
            .chain(points[first..].iter().copied())
            .collect();
        panel.fades.push(Fade { role, upper });
        points.truncate(first);
        points.push(met);
    }
    panel.lines.push(Line {
        role,
        label,
        points,
        spread,
        whiskers,
    });
}

/// The load of the worst phase, and of the one chosen.
fn add_loads(panel: &mut Panel, car: &Car, study: &Study, chosen: Option<usize>, top: f64) {
    let judged = study
        .tried
        .as_ref()
        .map_or(&study.on_car, |tried| &tried.judged);
    let worst = verdicts::least_net(judged).map(|(place, _)| place);
    let resolved = study.tolerances.resolved();
    for (place, role) in [
        (worst, Role::LoadStrong),
        (chosen.filter(|place| Some(*place) != worst), Role::Load),
    ] {
        let Some((place, phase)) =
            place.and_then(|place| Some((place, resolved.phases.get(place)?)))
        else {
            continue;
        };
        if phase.speed == PhaseSpeed::Off {
            continue;
        }
        let at = |engine: f64| (engine, study.tolerances.nominal().load_a(phase, engine));
        let points = vec![at(0.0), at(top / 2.0), at(top)];
        panel.lines.push(Line {
            role,
            label: words::load_label(&names::phase(car, place)),
            points,
            ..Line::default()
        });
    }
}

/// Speed and output of a pulley at an engine speed, for the table.
pub fn at(study: &Study, judged: &Judged, engine_rpm: f64) -> (f64, f64) {
    let state = study.tolerances.nominal();
    (
        alternator_rpm(state, judged.pulleys, engine_rpm),
        hot_a(state, judged.pulleys, engine_rpm),
    )
}
