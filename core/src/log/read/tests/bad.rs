//! Files that are no log: the message says where, what was found and what is needed.

use super::super::{Delimiter, Options, Place, ReadError, Reason};
use super::{read, read_bytes};

const fn at(line: u64, column: u64) -> Place {
    Place { line, column }
}

#[test]
fn nothing_is_no_log() {
    for text in ["", " \n\t\r\n", "\u{feff}"] {
        assert_eq!(read(text), Err(ReadError::Empty), "{text:?}");
    }
    assert_eq!(
        read_bytes(&[0; 4_000], Options::default()),
        Err(ReadError::Empty)
    );
}

#[test]
fn bytes_are_no_log() {
    let bytes = b"PK\x03\x04\x14\0\x06\0more";
    let found = read_bytes(bytes, Options::default());
    assert_eq!(
        found,
        Err(ReadError::NotText {
            at: at(1, 3),
            byte: 3,
            archive: true
        })
    );
    let found = read_bytes(b"time,rpm\n1,2\n3,\x014\n", Options::default());
    assert_eq!(
        found,
        Err(ReadError::NotText {
            at: at(3, 3),
            byte: 1,
            archive: false
        })
    );
    let mut noise = 1_u32;
    let bytes: Vec<u8> = std::iter::repeat_with(|| {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (noise >> 24) as u8
    })
    .take(300_000)
    .collect();
    assert!(matches!(
        read_bytes(&bytes, Options::default()),
        Err(ReadError::NotText { .. })
    ));
}

#[test]
fn text_without_numbers_is_no_log() {
    assert_eq!(
        read("Dear reader,\nthis is a letter.\n"),
        Err(ReadError::NoNumbers { lines: 2 })
    );
    assert_eq!(
        read("time,rpm,volts\n"),
        Err(ReadError::NoNumbers { lines: 1 })
    );
    assert_eq!(
        read("time,rpm,volts\n,,\n,,\n"),
        Err(ReadError::NoNumbers { lines: 3 })
    );
}

#[test]
fn one_row_is_no_log() {
    assert_eq!(
        read("time [s],rpm,volts\n0.5,900,13.8\n"),
        Err(ReadError::OneRow { at: at(2, 1) })
    );
    assert_eq!(
        read("rpm,volts\n900,13.8\n"),
        Err(ReadError::OneRow { at: at(2, 1) })
    );
}

#[test]
fn too_many_columns_are_refused() {
    let row = |cell: &str| vec![cell; 2_049].join(",");
    let text = format!("{}\n{}\n{}\n", row("a"), row("1"), row("2"));
    assert_eq!(
        read(&text),
        Err(ReadError::TooManyColumns {
            at: at(2, 1),
            found: 2_049,
            most: 2_048
        })
    );
}

#[test]
fn more_numbers_than_allowed_are_refused() {
    let mut text = String::from("time [s],rpm,volts\n");
    for row in 0..200_000 {
        text += &format!("{row}.5,900,13.8\n");
    }
    let options = Options {
        most_bytes: 1 << 20,
        ..Options::default()
    };
    let found = read_bytes(text.as_bytes(), options);
    assert!(
        matches!(found, Err(ReadError::TooLarge { most: 1_048_576, at }) if at.line > 60_000 && at.line < 140_000),
        "{found:?}"
    );
}

#[test]
fn a_line_without_end_is_refused() {
    let text = "1,".repeat(200_000);
    assert_eq!(
        read(&text),
        Err(ReadError::LongLine {
            at: at(1, 1),
            most: 192 << 10
        })
    );
    let text = format!(
        "time [s],rpm\n0.5,900\n1.5,901\n2.5,{}",
        "9".repeat(3 << 20)
    );
    assert_eq!(
        read(&text),
        Err(ReadError::LongLine {
            at: at(4, 1),
            most: 1 << 20
        })
    );
}

#[test]
fn a_delimiter_that_changes_is_refused() {
    let mut text = String::from("time [s],rpm,volts\n");
    for row in 0..1_000 {
        text += &format!("{row}.5,900,13.8\n");
    }
    for row in 1_000..2_000 {
        text += &format!("{row}.5;900;13.8\n");
    }
    let wanted = ReadError::DelimiterChanges {
        at: at(1_002, 7),
        found: Delimiter::Semicolon,
        needed: Delimiter::Comma,
    };
    assert_eq!(read(&text), Err(wanted));
    let mut text = String::from("time [s];rpm;volts\n0,5;900;13,8\n");
    for row in 1..30_000 {
        text += &format!("{row},5;900;13,8\n");
    }
    for row in 0..3 {
        text += &format!("{row},5\t900\t13,8\n");
    }
    let wanted = ReadError::DelimiterChanges {
        at: at(30_002, 4),
        found: Delimiter::Tab,
        needed: Delimiter::Semicolon,
    };
    assert_eq!(read(&text), Err(wanted));
}

#[test]
fn rows_that_do_not_fit_are_left_out() {
    let mut text = String::from("time [s],rpm,volts\n");
    for row in 0..30 {
        text += &format!("{row}.5,900,13.8\n");
    }
    text += "30.5,901,13,8\n31.5;902;13.8\n32.5,\"903,13.8\n33.5,904,13.8\nfinish line\n34.5,90\u{1}5,13.8\n35.5,906,13.8\n";
    let found = read(&text).unwrap();
    assert_eq!(found.report.rows, 32);
    for (reason, place) in [
        (Reason::LongRow, at(32, 13)),
        (Reason::OtherDelimiter, at(33, 5)),
        (Reason::OpenQuote, at(34, 1)),
        (Reason::TextRow, at(36, 1)),
        (Reason::NotText, at(37, 8)),
    ] {
        let skipped = found.report.skipped(reason);
        assert_eq!(
            skipped.map(|skipped| (skipped.count, skipped.first)),
            Some((1, place)),
            "{reason:?}"
        );
    }
}

#[test]
fn a_comma_as_delimiter_and_mark_at_once_is_refused() {
    let text = "time,rpm,volts\n0,5,900,5,13,8\n1,5,901,5,13,9\n2,5,902,5,13,7\n";
    assert_eq!(
        read(text),
        Err(ReadError::MoreCells {
            at: at(2, 9),
            found: 6,
            needed: 3
        })
    );
}

#[test]
fn what_a_logger_leaves_without_supply_is_left_out() {
    let mut bytes = b"time [s],rpm\n0.5,900\n1.5,901\n2.5,902\n3.5,90".to_vec();
    bytes.extend([0; 2_000]);
    let found = read_bytes(&bytes, Options::default()).unwrap();
    assert_eq!((found.report.rows, found.report.lines), (4, 4));
}
