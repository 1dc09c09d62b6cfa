//! The app's own module run beside the page, in a worker: what takes long must not hold up a tap.

use crate::shell::language;
use leptos::prelude::document;
use wasm_bindgen::JsCast;
use web_sys::{DedicatedWorkerGlobalScope, Worker, WorkerOptions, WorkerType};

/// The worker's scope, if this is one; its name tells what it is for.
pub fn scope() -> Option<DedicatedWorkerGlobalScope> {
    js_sys::global().dyn_into().ok()
}

/// Starts a worker of this name, with the names of script, module and words as the page has them.
pub fn worker(name: &str) -> Option<Worker> {
    let linked = |selector: &str| {
        let link = document().query_selector(selector).ok()??;
        js_sys::Reflect::get(&link, &"href".into())
            .ok()?
            .as_string()
    };
    let script = linked("link[rel=modulepreload]")?;
    let module = linked("link[rel=preload]")?;
    let options = WorkerOptions::new();
    options.set_type(WorkerType::Module);
    options.set_name(name);
    Worker::new_with_options(
        &format!("worker.js#{script}#{module}{}", language::for_worker()),
        &options,
    )
    .ok()
}
