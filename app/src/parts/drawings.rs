//! Line drawings of how to measure, drawn in the color of the text so that both themes have them.
//! They hold no words: those are the page's, in whatever language it speaks.

use crate::words::tongue::look;
use leptos::prelude::*;

/// A drawing: its lines, and its words for who cannot see it.
#[derive(Clone, Copy)]
pub struct Drawing {
    lines: &'static str,
    words: &'static str,
}

/// A caliper over the rib tips of a pulley.
pub const CALIPER: Drawing = Drawing {
    lines: include_str!("../../drawings/caliper.svg"),
    words: note!(
        "A pulley seen from its edge, a caliper's jaws closed on the rib tips above and below."
    ),
};

/// A tape once around a pulley.
pub const TAPE: Drawing = Drawing {
    lines: include_str!("../../drawings/tape.svg"),
    words: note!("A tape wrapped once around a pulley, read where it meets its own start."),
};

/// Marks on both pulleys, turned and counted.
pub const TURNS: Drawing = Drawing {
    lines: include_str!("../../drawings/turns.svg"),
    words: note!(
        "The crank pulley and the alternator pulley, each with a mark; the crank is turned and the small pulley's turns are tallied."
    ),
};

/// The output stamped on the alternator's case.
pub const STAMP: Drawing = Drawing {
    lines: include_str!("../../drawings/stamp.svg"),
    words: note!(
        "An alternator seen from behind, with a plate that reads 14 V 120 A; the amperes are the larger number."
    ),
};

/// An alternator with its fan inside the case.
pub const FAN_INSIDE: Drawing = Drawing {
    lines: include_str!("../../drawings/fan-inside.svg"),
    words: note!(
        "An alternator from the side: the pulley sits right at the case, which has rows of slots."
    ),
};

/// An alternator with its fan outside the case.
pub const FAN_OUTSIDE: Drawing = Drawing {
    lines: include_str!("../../drawings/fan-outside.svg"),
    words: note!("An alternator from the side: a fan wheel shows between the pulley and the case."),
};

/// Where idle and limiter are read.
pub const TACH: Drawing = Drawing {
    lines: include_str!("../../drawings/tach.svg"),
    words: note!(
        "A tachometer: idle is where it rests in gear, the limiter where it stops climbing."
    ),
};

/// A drawing in the page.
pub fn drawing(drawing: Drawing) -> AnyView {
    view! { <div class="drawing" role="img" aria-label=look(drawing.words) inner_html=drawing.lines></div> }.into_any()
}
