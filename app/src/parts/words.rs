//! The few words that the parts bring themselves. Everything else they show is handed to them.

pub fn done() -> &'static str {
    say!("Done")
}
pub fn next() -> &'static str {
    say!("Next")
}
pub fn pad() -> &'static str {
    say!("Number pad for")
}
pub fn system_keyboard() -> &'static str {
    say!("Keyboard")
}
pub fn system_keyboard_long() -> &'static str {
    say!("Use the phone's own keyboard")
}
pub fn close() -> &'static str {
    say!("Close")
}
pub fn close_pad() -> &'static str {
    say!("Close the number pad")
}
pub fn back() -> &'static str {
    say!(in "key", "Take back")
}
pub fn clear() -> &'static str {
    say!("Clear")
}
pub fn add_sixteenth() -> &'static str {
    say!("Add 1/16")
}
pub fn thousands() -> &'static str {
    say!("Thousand")
}
pub fn sign() -> &'static str {
    say!("Change the sign")
}
pub fn point() -> &'static str {
    say!("Point")
}
pub fn comma() -> &'static str {
    say!("Comma")
}
pub fn how() -> &'static str {
    say!("How to measure")
}
pub fn how_to_tell() -> &'static str {
    say!("How to tell")
}
pub fn typical() -> &'static str {
    say!("Typical")
}
pub fn assumed() -> &'static str {
    say!("assumed")
}
pub fn missing() -> &'static str {
    say!("still missing")
}
pub fn suggested() -> &'static str {
    say!("suggested")
}
pub fn less() -> &'static str {
    say!("smaller")
}
pub fn more() -> &'static str {
    say!("larger")
}
pub fn formula() -> &'static str {
    say!("Formula")
}
pub fn inputs() -> &'static str {
    say!(in "worked out", "From")
}
pub fn source() -> &'static str {
    say!("Source")
}
pub fn working() -> &'static str {
    say!("How this is worked out")
}
pub fn zoom() -> &'static str {
    say!("What is in sight")
}
pub fn closer() -> &'static str {
    say!("Closer")
}
pub fn wider() -> &'static str {
    say!("Wider")
}
pub fn earlier() -> &'static str {
    say!("Earlier")
}
pub fn later() -> &'static str {
    say!("Later")
}
pub fn all() -> &'static str {
    say!("All")
}
