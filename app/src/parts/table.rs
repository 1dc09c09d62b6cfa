//! A plain ruled table that scrolls inside itself when it is wider than the page.

use leptos::prelude::*;

/// A table. The first cell of a row is its header.
pub fn table(
    caption: impl Into<String>,
    head: impl Into<Signal<Vec<String>>>,
    rows: impl Into<Signal<Vec<Vec<String>>>>,
) -> AnyView {
    let caption: String = caption.into();
    let name = caption.clone();
    let (head, rows) = (head.into(), rows.into());
    view! {
        <div class="table" role="region" tabindex="0" aria-label=name>
            <table>
                <caption>{caption}</caption>
                <thead>
                    <tr>
                        {move || head.get().into_iter().map(column).collect_view()}
                    </tr>
                </thead>
                <tbody>{move || rows.get().into_iter().map(row).collect_view()}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// The head of a column; over the rows' own heads there may be none.
fn column(head: String) -> AnyView {
    if head.is_empty() {
        return view! { <td></td> }.into_any();
    }
    view! { <th scope="col">{head}</th> }.into_any()
}

fn row(cells: Vec<String>) -> AnyView {
    let mut cells = cells.into_iter();
    let first = cells.next().map(|c| view! { <th scope="row">{c}</th> });
    let rest = cells.map(|c| view! { <td>{c}</td> }).collect_view();
    view! { <tr>{first} {rest}</tr> }.into_any()
}
