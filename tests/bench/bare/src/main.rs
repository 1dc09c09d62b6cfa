//! The least that a Leptos page can be and still answer: one field, one number made from it.

use leptos::prelude::*;

fn main() {
    mount_to_body(|| {
        let (typed, set_typed) = signal(String::from("3.5"));
        let doubled = move || {
            typed.with(|text| match text.parse::<f64>() {
                Ok(value) => format!("{:.2}", value * 2.0),
                Err(error) => error.to_string(),
            })
        };
        view! {
            <main>
                <input
                    prop:value=typed
                    on:input:target=move |event| set_typed.set(event.target().value())
                />
                <p>{doubled}</p>
            </main>
        }
    });
}
