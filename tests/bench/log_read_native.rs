//! Reads a log natively and prints how long it took: `bash tests/bench/log_read.sh` makes the log and compares with
//! polars in the same run.
//!
//! Printed are the shortest and the middle of the readings, the most memory beyond what the process had before (Linux),
//! and sums of the columns, so that another reader can be checked to have read the same.

use anyhow::{Context, Result};
use laneside_core::log::read::{Options, Read, Reader};
use std::fs::File;
use std::io::Read as _;
use std::time::{Duration, Instant};

const PIECE: usize = 256 << 10;

fn read(path: &str) -> Result<Read> {
    let mut file = File::open(path)?;
    let mut reader = Reader::new(Options {
        total_bytes: Some(file.metadata()?.len()),
        ..Options::default()
    });
    let mut piece = vec![0; PIECE];
    loop {
        let length = file.read(&mut piece)?;
        if length == 0 {
            return Ok(reader.finish()?);
        }
        reader.feed(&piece[..length])?;
    }
}

/// The most memory that the process has held, in bytes.
fn most_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.trim().strip_suffix(" kB")?.trim().parse().ok()?;
    Some(kilobytes << 10)
}

fn main() -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().context("which file?")?;
    let runs = arguments.next().map_or(Ok(9), |runs| runs.parse())?;
    let before = most_memory();
    let first = read(&path)?;
    let memory = most_memory()
        .zip(before)
        .map(|(after, before)| after - before);
    let mut took: Vec<Duration> = vec![];
    for _ in 0..runs {
        let start = Instant::now();
        let again = read(&path)?;
        took.push(start.elapsed());
        anyhow::ensure!(again.report == first.report, "two readings differ");
    }
    took.sort_unstable();
    let seconds = |at: usize| took.get(at).map_or(f64::NAN, Duration::as_secs_f64);
    println!("shortest {:.4}", seconds(0));
    println!("median {:.4}", seconds(took.len() / 2));
    if let Some(memory) = memory {
        println!("memory {:.3}", memory as f64 / first.report.bytes as f64);
    }
    for column in first.table.columns() {
        let sum: f64 = column.values().iter().map(|value| f64::from(*value)).sum();
        println!("sum {sum:.1} {}", column.name());
    }
    Ok(())
}
