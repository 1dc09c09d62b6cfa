//! Odd files written by hand: what they say, what they leave open, what is wrong with them.

mod bad;
mod dialects;
mod times;

use super::{Answer, Options, Read, ReadError, Reader};

fn read_bytes(bytes: &[u8], options: Options) -> Result<Read, ReadError> {
    let mut reader = Reader::new(options);
    reader.feed(bytes)?;
    reader.finish()
}

fn read(text: &str) -> Result<Read, ReadError> {
    read_bytes(text.as_bytes(), Options::default())
}

/// Reads once more with these answers.
fn answered(text: &str, answers: &[Answer]) -> Result<Read, ReadError> {
    let mut options = Options::default();
    for answer in answers {
        options.answer(*answer);
    }
    read_bytes(text.as_bytes(), options)
}

/// Names, units and values of all columns; NaN as -999.
fn columns(read: &Read) -> Vec<(String, String, Vec<f32>)> {
    let plain = |value: &f32| if value.is_nan() { -999.0 } else { *value };
    read.table
        .columns()
        .iter()
        .map(|column| {
            let values = column.values().iter().map(plain).collect();
            (column.name().to_owned(), column.unit().to_owned(), values)
        })
        .collect()
}

fn times(read: &Read) -> Vec<f64> {
    read.table.columns().first().map_or(vec![], |column| {
        let times = read.table.times(column);
        times
            .iter()
            .map(|time| (time * 1e6).round() / 1e6)
            .collect()
    })
}

/// The same three rows, whatever they are written in.
fn is_plain(read: &Result<Read, ReadError>) {
    let read = read.as_ref().unwrap();
    assert_eq!(read.questions, vec![]);
    assert_eq!(times(read), [0.0, 0.05, 0.1]);
    let found: Vec<Vec<f32>> = columns(read)
        .into_iter()
        .map(|(_, _, values)| values)
        .collect();
    assert_eq!(found, [[5980.0, 6010.0, 6050.0], [13.9, 13.85, 13.8]]);
}
