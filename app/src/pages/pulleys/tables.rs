//! Numbers at the speeds that matter, and the balance of every phase.

use super::graph;
use crate::parts::live::live_option;
use crate::parts::table::table;
use crate::store::Answer;
use crate::words::{names, pass, pulleys as words, verdicts};
use laneside_core::balance::{PhaseBalance, Running};
use laneside_core::car::Car;
use laneside_core::gates::Judged;
use laneside_core::quantity::show;
use laneside_core::study::Study;
use leptos::prelude::*;
use std::sync::Arc;

/// Speed and output of both pulleys at the speeds that matter.
pub fn speeds(calm: Signal<Option<Arc<Answer>>>) -> AnyView {
    let rows = Signal::derive(move || {
        let Some(answer) = calm.get() else {
            return Vec::new();
        };
        answer
            .study
            .as_ref()
            .map_or_else(|_| Vec::new(), speed_rows)
    });
    let head = words::table_head().map(str::to_owned).to_vec();
    table(words::table(), Signal::stored(head), rows)
}

fn speed_rows(study: &Study) -> Vec<Vec<String>> {
    let params = &study.tolerances.nominal().params;
    let engine = [
        params.idle_rpm - params.in_gear_drop_rpm,
        params.idle_rpm,
        params.launch_rpm,
        params.shift_rpm,
        params.limiter_rpm,
        params.limiter_rpm + params.overshoot_rpm,
    ];
    let ten = |value: f64| show::grouped((value / 10.0).round() * 10.0, 0);
    words::rows()
        .iter()
        .zip(engine)
        .map(|(name, engine)| {
            let mut row = vec![words::row(name, engine)];
            for judged in [
                Some(&study.on_car),
                study.tried.as_ref().map(|tried| &tried.judged),
            ] {
                let Some(judged) = judged else {
                    row.push(String::new());
                    continue;
                };
                let (speed, output) = graph::at(study, judged, engine);
                let over = speed > study.tolerances.resolved().limits.continuous.0;
                let amps = show::fixed(output, 0);
                row.push(words::cell(
                    &ten(speed),
                    &if over { words::maybe(&amps) } else { amps },
                ));
            }
            row
        })
        .collect()
}

/// The balance of every phase with either pulley.
pub fn balance(calm: Signal<Option<Arc<Answer>>>) -> AnyView {
    let nets = Signal::derive(move || {
        let Some(answer) = calm.get() else {
            return Vec::new();
        };
        let Ok(study) = &answer.study else {
            return Vec::new();
        };
        net_rows(&answer.car, study)
    });
    let rows_of = move |tried: bool| {
        Signal::derive(move || {
            let Some(answer) = calm.get() else {
                return Vec::new();
            };
            let Ok(study) = &answer.study else {
                return Vec::new();
            };
            let judged = if tried {
                study.tried.as_ref().map(|tried| &tried.judged)
            } else {
                Some(&study.on_car)
            };
            judged.map_or_else(Vec::new, |judged| phase_rows(&answer.car, judged))
        })
    };
    let opened = RwSignal::new(false);
    let all = live_option(move || {
        let head = words::balance_head().map(str::to_owned).to_vec();
        opened.get().then(|| {
            view! {
                {table(words::on_car_label(), Signal::stored(head.clone()), rows_of(false))}
                {table(words::to_try_label(), Signal::stored(head), rows_of(true))}
            }
            .into_any()
        })
    });
    view! {
        <h2>{words::balance()}</h2>
        <p>{words::balance_note()}</p>
        {table(words::net(), Signal::stored(words::net_head().map(str::to_owned).to_vec()), nets)}
        <p class="note">{words::histories()}</p>
        <details class="more" on:toggle=move |_| opened.set(true)>
            <summary>{words::all_figures()}</summary>
            {all}
        </details>
    }
    .into_any()
}

fn net_rows(car: &Car, study: &Study) -> Vec<Vec<String>> {
    let on_car = &study.on_car.phases;
    on_car
        .iter()
        .enumerate()
        .map(|(at, balance)| {
            let tried = study
                .tried
                .as_ref()
                .and_then(|tried| tried.judged.phases.get(at));
            let net = |balance: Option<&PhaseBalance>| {
                balance
                    .and_then(|balance| balance.running.as_ref())
                    .map_or_else(|| words::engine_off().to_owned(), net_of)
            };
            let load = words::amps(balance.load_a);
            vec![
                names::phase(car, balance.phase),
                load,
                net(Some(balance)),
                net(tried),
            ]
        })
        .collect()
}

/// Net current, and what it is until the alternator has turned on where that is still to come.
fn net_of(running: &Running) -> String {
    let net = verdicts::net(running.net_a.value, running.net_a.spread.widest());
    running.unexcited_net_a.map_or(net.clone(), |unexcited| {
        words::either(&net, &verdicts::net(unexcited, 1.0))
    })
}

fn phase_rows(car: &Car, judged: &Judged) -> Vec<Vec<String>> {
    judged
        .phases
        .iter()
        .map(|balance| phase_row(car, balance))
        .collect()
}

fn phase_row(car: &Car, balance: &PhaseBalance) -> Vec<String> {
    let name = names::phase(car, balance.phase);
    let load = show::fixed(balance.load_a, 0);
    let volts = show::fixed(balance.settled.node_v, 1);
    let battery = verdicts::net(balance.settled.battery_a, 1.0);
    let Some(running) = &balance.running else {
        let none = || words::NONE.to_owned();
        return vec![
            name,
            words::engine_off().to_owned(),
            load,
            none(),
            none(),
            none(),
            none(),
            none(),
            volts,
            battery,
        ];
    };
    let ten = |value: f64| show::grouped(pass::rev_past(value), 0);
    vec![
        name,
        show::grouped(running.engine_rpm, 0),
        load,
        show::fixed(running.hot_a, 0),
        show::fixed(running.cold_a, 0),
        net_of(running),
        running
            .break_even_rpm
            .map_or_else(|| words::never().to_owned(), ten),
        ten(running.turn_on_rpm),
        volts,
        battery,
    ]
}
