//! Feeds the reader of logs with mutated ones, a million and more times, and checks what comes out.
//!
//! `cargo run --profile fuzz -p laneside-tests --features fuzz --bin fuzz-log -- [RUNS] [SEED]`, which checks arithmetic
//! too. The mutations are of seeds in every dialect:
//! bytes flipped, pieces cut, doubled, moved and taken from other seeds, marks and delimiters swapped. A panic ends it
//! with the seed of the run; a run over a second is reported and fails; what is read must hold together: as many times
//! as values, times that are finite and never fall, nothing that is neither read nor asked nor reported, a second
//! reading in other pieces the same.

mod runs;

use anyhow::{Result, ensure};
use laneside_core::log::channels::guess;
use laneside_core::log::read::{Answer, Options, Question, Read, ReadError, Reader};
use rand::rngs::StdRng;
use rand::{Rng, RngExt};
use std::time::Duration;

const SEEDS: &[&str] = &[
    "Time [s],RPM [1/min],Battery [V]\n0,5980,13.9\n0.05,6010,13.85\n0.1,6050,13.8\n0.15,6090,13.8\n",
    "Session;Friday\nRate;20\n\nZeit;Drehzahl;Spannung\ns;1/min;V\n0,00;5980;13,9\n0,05;6010;13,85\n0,10;;13,8\n",
    "\"Time\",\"Engine \"\"speed\"\"\",\"Volts\"\r\n\"0,10\",\"6,500\",\"13,8\"\r\n\"0,20\",\"6,600\",\"13,9\"\r\n",
    "# made by hand\n#time\trpm\tvolts\n12:59:59.9\t900\t12.4\n13:00:00.0\t901\tNaN\n13:00:00.1\t902\t---\n",
    "Timestamp|Volts\n01/02/2024 23:59:59|12.1\n02/02/2024 00:00:00|12.2\n02/02/2024 00:00:01|12.3\n",
    "Time,Name,Value,Unit\n0.00,RPM,5980,1/min\n0.00,Volts,13.9,V\n0.05,RPM,6010,1/min\n0.10,Volts,13.8,V\n",
    "time;channel;value\n0;RPM;900\n10;RPM;901\n20;RPM;902\n0;Volts;12,5\n10;Volts;12,6\n20;Volts;12,7\n",
    "RPM,Volts\n900,13.9\n903,13.8\n905,13.8\n902,13.8\n",
    "13,84\n13,85\n13,90\n",
    "Time (s),RPM\n0,1\n1,2\n2,3\n3,4\n4,5\n5,6\n6,7\n0,1\n1,2\n2,3\n3,4\n4,5\n5,6\n6,7\n",
    "Time,V\n12:00:00 AM,13.8 V\n12:00:00 AM,13.9 V\n12:00:01 AM,900 mV\n12:00:01 AM,13.7 V\n12:00:02 AM,1e400 V\n",
    "Time [s],RPM\n0.5,900\n1.5,901\n2.5;902\n3.5;903\nTime [s],RPM\n4.5,904\nOther,Names\n5.5,905\n",
    "t;v\n45000,5;1.234,5\n45000,500001;-1'000\n45000,500002;+1 000,5e-3\n",
];

const BITS: &[&str] = &[
    ",",
    ";",
    "\t",
    "|",
    ".",
    "\"",
    "\"\"",
    "\n",
    "\r\n",
    "\r",
    " ",
    "-",
    "--",
    "NaN",
    "e",
    "E+",
    ":",
    "/",
    "#",
    "1e999",
    "[",
    "]",
    "(",
    ")",
    "\u{a0}",
    "°C",
    "mV",
    "\0",
    "\u{feff}",
    "99999999999999999999",
    "0",
    "0.1",
    "0,1",
    "1,234",
    "12:00:00",
    "2024-02-30",
    "24:61:00",
    ";;;;;;;;",
    "\u{fffd}",
    "\u{1}",
    "-0",
    "Time",
    "Name,Value",
];

fn mutate(random: &mut StdRng) -> Vec<u8> {
    let pick = |random: &mut StdRng| {
        SEEDS
            .get(random.random_range(0..SEEDS.len()))
            .unwrap_or(&"")
            .as_bytes()
    };
    let mut text = pick(random).to_vec();
    if random.random_bool(0.2) {
        // Long enough to have a head and rows beyond it is tested elsewhere: here the rows are many.
        let rows = text.clone();
        for _ in 0..random.random_range(1..6) {
            text.extend_from_slice(&rows);
        }
    }
    for _ in 0..random.random_range(0..12) {
        let at = random.random_range(0..=text.len());
        let to = (at + random.random_range(0..24)).min(text.len());
        match random.random_range(0..9) {
            0 => {
                if let Some(byte) = text.get_mut(at) {
                    *byte ^= 1 << random.random_range(0..8);
                }
            }
            1 => {
                text.drain(at..to);
            }
            2 => {
                let piece = text.get(at..to).unwrap_or_default().to_vec();
                let place = random.random_range(0..=text.len());
                text.splice(place..place, piece);
            }
            3 => {
                let other = pick(random);
                let start = random.random_range(0..other.len());
                let piece = other
                    .get(start..(start + 40).min(other.len()))
                    .unwrap_or_default();
                text.splice(at..at, piece.iter().copied());
            }
            4 => {
                let (from, into) = (
                    b",;\t|.\n\r\" "[random.random_range(0..9)],
                    b",;\t|.\n\r\" "[random.random_range(0..9)],
                );
                text.iter_mut()
                    .filter(|byte| **byte == from)
                    .for_each(|byte| *byte = into);
            }
            5 => text.truncate(at),
            6 => text
                .splice(at..at, [random.next_u32() as u8])
                .for_each(drop),
            _ => {
                let bit = BITS.get(random.random_range(0..BITS.len())).unwrap_or(&"");
                text.splice(at..at, bit.bytes());
            }
        }
    }
    if random.random_bool(0.1) {
        let big = random.random_bool(0.5);
        let wide = String::from_utf8_lossy(&text).into_owned();
        let units = [0xfeff].into_iter().chain(wide.encode_utf16());
        text = units
            .flat_map(|unit: u16| {
                if big {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect();
    }
    text
}

fn read(bytes: &[u8], options: &Options, piece: usize) -> Result<Read, ReadError> {
    let mut reader = Reader::new(options.clone());
    for piece in bytes.chunks(piece) {
        reader.feed(piece)?;
    }
    reader.finish()
}

/// What was read must hold together.
fn check(read: &Read) -> Result<()> {
    for column in read.table.columns() {
        let times = read.table.times(column);
        ensure!(
            times.len() == column.values().len(),
            "{} times for {} values",
            times.len(),
            column.values().len()
        );
        ensure!(
            times.iter().all(|time| time.is_finite()),
            "a time that is none"
        );
        ensure!(
            times.windows(2).all(|pair| pair[0] <= pair[1]),
            "time falls: {times:?}"
        );
        ensure!(
            column.values().iter().all(|value| !value.is_infinite()),
            "an infinite value"
        );
    }
    Ok(())
}

/// Answers at random, as offered.
fn answer(questions: &[Question], options: &mut Options, random: &mut StdRng) {
    for question in questions {
        match question.answers.len() {
            0 => options.answer(Answer::Rate(random.random_range(0.1..1_000.0))),
            count => {
                if let Some(answer) = question.answers.get(random.random_range(0..count)) {
                    options.answer(*answer);
                }
            }
        }
    }
}

/// How far a run came: refused, read, read after answers.
fn run(bytes: &[u8], random: &mut StdRng) -> Result<usize> {
    let mut options = Options::default();
    if random.random_bool(0.5) {
        options.total_bytes = Some(bytes.len() as u64);
    }
    for round in 0..4 {
        let piece = random.random_range(1..=bytes.len().max(1));
        let found = read(bytes, &options, piece);
        let again = read(bytes, &options, random.random_range(1..=bytes.len().max(1)));
        ensure!(
            format!("{found:?}") == format!("{again:?}"),
            "other pieces read otherwise"
        );
        let Ok(found) = found else {
            return Ok(0);
        };
        check(&found)?;
        let choice = guess(&found.table, None).choice(&found.table);
        // What is open or missing is refused; anything else is a signal, whose own rules are checked there.
        let _ = choice.record(&found);
        if found.questions.is_empty() {
            return Ok(round + 1);
        }
        answer(&found.questions, &mut options, random);
    }
    Ok(5)
}

fn main() -> Result<()> {
    runs::runs(
        [
            "refused",
            "read at once",
            "read after one answer",
            "read after two",
            "read after three",
            "still asking",
        ],
        1_000_000,
        // Longer than any reading of a few kilobytes takes, on a slow machine with others at work.
        Duration::from_secs(1),
        |random| format!("{:?}", String::from_utf8_lossy(&mutate(random))),
        |random| {
            let bytes = mutate(random);
            run(&bytes, random)
        },
    )
}
