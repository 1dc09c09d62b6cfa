//! What the fuzzers share: many runs, each of a seed of its own.

use anyhow::{Context, Result, ensure};
use rand::SeedableRng;
use rand::rngs::StdRng;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// The seed of the run at hand, for a panic to name.
static CURRENT: AtomicU64 = AtomicU64::new(0);

/// Runs a case many times, `[RUNS] [SEED]` of the command line, and prints how often each outcome came.
///
/// `show` gives the input of a seed, for a panic, an error or a run longer than `most` to name; `case` makes it from the
/// same seed, tries it and says how far it came.
///
/// # Errors
/// A case that failed or took too long, with its input.
pub fn runs<const N: usize>(
    names: [&str; N],
    default: u64,
    most: Duration,
    show: fn(&mut StdRng) -> String,
    case: fn(&mut StdRng) -> Result<usize>,
) -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    let mut number = |or: u64| {
        arguments
            .next()
            .map_or(Ok(or), |text| text.parse().context("not a number"))
    };
    let (runs, first) = (number(default)?, number(1)?);
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        let seed = CURRENT.load(Ordering::Relaxed);
        eprintln!("seed {seed}: {}", show(&mut StdRng::seed_from_u64(seed)));
        hook(panic);
    }));
    let mut outcomes = [0_u64; N];
    let mut longest = Duration::ZERO;
    let start = Instant::now();
    for number in 0..runs {
        let seed = first
            .wrapping_mul(0x9e37_79b9_7f4a_7c15)
            .wrapping_add(number);
        CURRENT.store(seed, Ordering::Relaxed);
        let began = Instant::now();
        let outcome = case(&mut StdRng::seed_from_u64(seed));
        let took = began.elapsed();
        longest = longest.max(took);
        let shown = || {
            let input = show(&mut StdRng::seed_from_u64(seed));
            format!("run {number} of seed {seed}: {input}")
        };
        let outcome = outcome.with_context(shown)?;
        ensure!(took < most, "{took:?} for {}", shown());
        outcomes[outcome] += 1;
    }
    println!(
        "{runs} runs in {:.0} s, the longest {:.1} ms, no panic",
        start.elapsed().as_secs_f64(),
        1e3 * longest.as_secs_f64(),
    );
    for (name, count) in names.iter().zip(outcomes) {
        println!("{count:>9} {name}");
    }
    Ok(())
}
