//! Headings, buttons and notes of the page Swap.

pub fn answers() -> &'static str {
    say!(
        "Swap makes a job card for the pulley: what to bring, the steps in order, and what a meter reads before and after."
    )
}
pub fn needs() -> &'static str {
    say!("Needed: the car's pulleys, alternator and loads first.")
}
pub fn needs_pulley() -> &'static str {
    say!("Needed: a pulley to put on. Choose it first.")
}
pub fn enter() -> &'static str {
    say!("Enter the car")
}
pub fn choose() -> &'static str {
    say!("Choose the pulley")
}
pub fn make() -> &'static str {
    say!("Make the job card")
}
pub fn practice() -> &'static str {
    say!(
        "The rule book, local rules and licensed practice come first. Whoever does not do this often has it done."
    )
}
pub fn print() -> &'static str {
    say!("Print the card")
}
pub fn awake() -> &'static str {
    say!("The screen stays on while this page is open.")
}
pub fn asleep() -> &'static str {
    say!(
        "This browser cannot keep the screen on: set the phone to stay awake. The boxes stay ticked."
    )
}
pub fn remake() -> &'static str {
    say!("Make the card anew")
}
pub fn remake_note() -> &'static str {
    say!("Readings and boxes that still hold stay, notes too.")
}
pub fn done_words() -> &'static str {
    say!("The new pulley is on")
}
pub fn done_ask() -> &'static str {
    say!("It counts as the pulley on the car from here on, and a line goes into the history.")
}
pub fn done_sure() -> &'static str {
    say!("Yes, it is on the car")
}
pub fn take_back() -> &'static str {
    say!("Take it back")
}
pub fn full() -> &'static str {
    say!("The history is full: delete an entry below first.")
}
pub fn put_away() -> &'static str {
    say!("Put this card away")
}
pub fn gone() -> &'static str {
    say!("The job card is put away.")
}
pub fn undo() -> &'static str {
    say!("Undo")
}
pub fn close() -> &'static str {
    say!("Close")
}
pub fn log() -> &'static str {
    say!("Read the next log")
}
pub fn log_note() -> &'static str {
    say!("Drive it as before, then hold the log against the one from before the swap.")
}
pub fn next() -> &'static str {
    say!("Make the next card")
}
pub fn remeasure() -> &'static str {
    say!("The belt drive was measured with the old pulley: the tensioner stands elsewhere now.")
}
pub fn belt_label() -> &'static str {
    say!("Measure the belt")
}
pub fn sides() -> [&'static str; 2] {
    say!(["Before", "After"])
}
pub fn readings() -> &'static str {
    say!("Readings")
}
pub fn printed() -> [&'static str; 5] {
    say!(["Reading", "before", "read", "after", "read"])
}
pub fn beside() -> &'static str {
    say!("Before and after")
}
pub fn not_read() -> &'static str {
    say!("not read")
}
pub fn notes() -> &'static str {
    say!("Notes")
}
pub fn meter() -> &'static str {
    say!(
        "Meter on the battery's posts. Drops: meter from end to end, everything on, amps by a clamp on the charge lead."
    )
}
pub fn sources() -> &'static str {
    say!(
        "Expected, 95 of 100 times: from a hot machine to a cold one, with the spread of the car's entries and of the meters. Fast idle, tools and steps: common practice, no source."
    )
}
/// The current of the drops.
pub fn amps_label() -> &'static str {
    say!("Amps meanwhile")
}

/// The pulley on the car holds and the one to try does not.
pub fn worse() -> &'static str {
    say!("The pulley on the car holds, the one to try does not.")
}

/// What the page Belt finds against the pulley to try.
pub fn belt_against(word: &str, line: &str) -> String {
    say!("The belt: {word}. {line}")
}

pub fn see_belt() -> &'static str {
    say!("See Belt")
}
