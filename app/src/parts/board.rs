//! A board with blanks: what is known so far, row by row, and which blank comes next.

use super::field::{Tag, tag_view};
use leptos::prelude::*;

/// A row of the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What is asked.
    pub label: String,
    /// The answer as shown; empty is a blank.
    pub value: String,
    /// Where the answer comes from.
    pub tag: Tag,
}

/// The board. A row is a button that goes to its entry; the current one is marked.
pub fn board(rows: Signal<Vec<Row>>, current: Signal<usize>, on_pick: Callback<usize>) -> AnyView {
    view! {
        <ol class="board">
            {move || {
                let at = current.get();
                rows.get()
                    .into_iter()
                    .enumerate()
                    .map(|(i, row)| board_row(row, i, i == at, on_pick))
                    .collect::<Vec<_>>()
            }}
        </ol>
    }
    .into_any()
}

fn board_row(row: Row, at: usize, is_current: bool, on_pick: Callback<usize>) -> AnyView {
    let value = if row.value.is_empty() {
        view! { <span class="blank" aria-hidden="true"></span> }.into_any()
    } else {
        view! { <span class="plate">{row.value}</span> }.into_any()
    };
    view! {
        <li>
            <button
                type="button"
                aria-current=is_current.then_some("step")
                on:click=move |_| on_pick.run(at)
            >
                <span class="board-label">{row.label} " " {tag_view(Signal::stored(row.tag))}</span>
                {value}
            </button>
        </li>
    }
    .into_any()
}
