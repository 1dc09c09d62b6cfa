//! Words that are heard and not seen.

/// The name of the verdict in the head of every page.
pub fn verdict() -> &'static str {
    say!("Verdict of this car")
}
