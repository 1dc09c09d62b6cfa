//! Delimiters, marks, encodings, headers, blanks.

use super::super::{About, Answer, DecimalMark, Delimiter, Layout, Options, Place, Reason};
use super::{answered, columns, is_plain, read, read_bytes, times};

const POINT: &str =
    "Time [s],RPM [1/min],Battery [V]\n0,5980,13.9\n0.05,6010,13.85\n0.1,6050,13.8\n";

#[test]
fn every_delimiter_is_found() {
    for delimiter in ["\t", ";", ",", "|"] {
        is_plain(&read(&POINT.replace(',', delimiter)));
        if delimiter != "," {
            is_plain(&read(&POINT.replace(',', delimiter).replace('.', ",")));
        }
    }
}

#[test]
fn every_line_break_is_found() {
    is_plain(&read(&POINT.replace('\n', "\r\n")));
    is_plain(&read(&POINT.replace('\n', "\r")));
    is_plain(&read(POINT.trim_end()));
    is_plain(&read(&POINT.replace('\n', "\n\n")));
}

#[test]
fn every_encoding_is_found() {
    let text = POINT.replace("RPM", "Régime");
    let utf16 = |big: bool, mark: bool| -> Vec<u8> {
        let units = mark
            .then_some(0xfeff)
            .into_iter()
            .chain(text.encode_utf16());
        units
            .flat_map(|unit: u16| {
                if big {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect()
    };
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(c).unwrap()).collect();
    let marked = format!("\u{feff}{text}").into_bytes();
    for bytes in [
        text.clone().into_bytes(),
        marked,
        latin,
        utf16(false, true),
        utf16(true, true),
        utf16(false, false),
        utf16(true, false),
    ] {
        let read = read_bytes(&bytes, Options::default());
        is_plain(&read);
        assert_eq!(read.unwrap().table.columns()[0].name(), "Régime");
    }
}

#[test]
fn pieces_of_any_size_read_the_same() {
    let mut text = String::from("# made by hand\nTime;\"Engine\nspeed\";Volts\n");
    for row in 0..40_000 {
        text += &format!(
            "{},{:02};{};\"13,{}\"\r\n",
            row / 100,
            row % 100,
            900 + row % 6_000,
            row % 10
        );
    }
    let whole = read(&text).unwrap();
    assert_eq!(whole.report.rows, 40_000);
    for size in [1, 7, 1_000, 65_536] {
        let mut reader = super::Reader::new(Options::default());
        for piece in text.as_bytes().chunks(size) {
            reader.feed(piece).unwrap();
        }
        assert_eq!(reader.finish().unwrap(), whole, "{size}");
    }
}

#[test]
fn preambles_remarks_and_unit_rows_are_passed_over() {
    is_plain(&read(&format!(
        "Session;Friday\nDriver;N. N.\nRate;20;Hz\n\n{POINT}"
    )));
    is_plain(&read(&format!(
        "# RPM, Volts\n// a remark, with, commas\n{POINT}"
    )));
    is_plain(&read(
        &POINT
            .replace("0.05", "# a note, here\n0.05")
            .replace("Time", "#Time"),
    ));
    let units = "Time,RPM,Battery\ns,1/min,V\n0,5980,13.9\n0.05,6010,13.85\n0.1,6050,13.8\n";
    is_plain(&read(units));
    assert_eq!(read(units).unwrap().table.columns()[1].unit(), "V");
    is_plain(&read(&units.replace("s,1/min,V", "[s],[1/min],[V]")));
    is_plain(&read(&units.replace("s,1/min,V", "(s),(),(V)")));
    is_plain(&read(&POINT.replace("[V]", "[]").replace("[1/min]", "()")));
}

#[test]
fn names_and_units_are_read() {
    let found =
        read("Time (s);\"Engine; speed\" ;Battery {mV};;Temp <°C>\n0;1;2;;3\n1;2;3;;4\n").unwrap();
    let names: Vec<(String, String)> = columns(&found)
        .into_iter()
        .map(|(name, unit, _)| (name, unit))
        .collect();
    let wanted = [("Engine; speed", ""), ("Battery", "mV"), ("Temp", "°C")];
    assert_eq!(
        names,
        wanted.map(|(name, unit)| (name.to_owned(), unit.to_owned()))
    );
    let none = read("0,00;5980;13,9\n0,05;6010;13,8\n0,10;6020;13,8\n0,15;6000;13,8\n").unwrap();
    assert_eq!(none.questions[0].about, About::TimeColumn);
    assert_eq!(none.table.columns()[0].name(), "Column 2");
}

#[test]
fn quotes_blanks_and_trailing_delimiters_do_not_matter() {
    is_plain(&read(&POINT.replace('\n', ",\n").replacen(",\n", "\n", 1)));
    is_plain(&read(&POINT.replace('\n', ",\n")));
    is_plain(&read(&POINT.replace(',', " , ")));
    is_plain(&read(
        "\"Time [s]\",\"RPM\",\"Battery\"\n\"0\",\"5980\",\"13.9\"\n\"0.05\",\"6010\",\"13.85\"\n\"0.1\",\"6050\",\"13.8\"\n",
    ));
    is_plain(&read(
        "\"Time [s]\",\"RPM\",\"Battery\"\n\"0\",\"5980\",\"13,9\"\n\"0,05\",\"6010\",\"13,85\"\n\"0,1\",\"6050\",\"13,8\"\n",
    ));
    is_plain(&read(
        "|Time [s]|RPM|Battery|\n|0|5980|13.9|\n|0.05|6010|13.85|\n|0.1|6050|13.8|\n",
    ));
}

#[test]
fn cells_without_a_number_are_counted() {
    let found = read(
        "Time [s];RPM;Volts\n0;900;12,5\n1;;NaN\n2;---;12,6\n3;901;n/a\n4;1e60;12,4\n5;off;12,3\n6;902\n7;903;12,2\n",
    )
    .unwrap();
    let values: Vec<Vec<f32>> = columns(&found)
        .into_iter()
        .map(|(_, _, values)| values)
        .collect();
    assert_eq!(
        values[0],
        [900.0, -999.0, -999.0, 901.0, -999.0, -999.0, 902.0, 903.0]
    );
    assert_eq!(
        values[1],
        [12.5, -999.0, 12.6, -999.0, 12.4, 12.3, -999.0, 12.2]
    );
    let report = &found.report;
    for (reason, count, line, column) in [
        (Reason::Blank, 1, 3, 3),
        (Reason::Missing, 3, 3, 4),
        (Reason::Huge, 1, 6, 3),
        (Reason::TextCell, 1, 7, 3),
        (Reason::ShortRow, 1, 8, 6),
    ] {
        let skipped = report.skipped(reason).unwrap();
        assert_eq!(
            (skipped.count, skipped.first),
            (count, Place { line, column }),
            "{reason:?}"
        );
    }
    assert_eq!(report.rows, 8);
}

#[test]
fn units_behind_numbers_are_read_and_must_stay() {
    let found = read("Time [s];Volts\n0;13.8 V\n1;13,9 V\n2;13.9V\n3;900 mV\n").unwrap();
    assert_eq!(found.table.columns()[0].unit(), "V");
    assert_eq!(
        found.report.skipped(Reason::OtherUnit).unwrap().first.line,
        5
    );
    assert_eq!(
        found.report.skipped(Reason::TextCell).unwrap().first.line,
        3
    );
}

#[test]
fn a_comma_between_digits_is_asked_about() {
    let text = "13,84\n13,85\n13,90\n";
    let asks = read(text).unwrap();
    assert_eq!(asks.questions[0].about, About::Dialect);
    assert_eq!(asks.questions[0].answers.len(), 2);
    let decimal = asks.questions[0]
        .answers
        .iter()
        .find(|one| matches!(one, Answer::Dialect(_, DecimalMark::Comma)));
    let one = answered(text, &[*decimal.unwrap(), Answer::Rate(10.0)]).unwrap();
    assert_eq!(columns(&one)[0].2, [13.84, 13.85, 13.9]);
    assert_eq!(times(&one), [0.0, 0.1, 0.2]);
    // The header tells.
    assert!(
        read("volts\n13,84\n13,85\n")
            .unwrap()
            .questions
            .iter()
            .all(|one| one.about == About::Rate)
    );
}

#[test]
fn thousands_or_decimals_are_asked_about() {
    let text = "Time [s];RPM\n0;6,500\n1;6,600\n2;7,100\n";
    let asks = read(text).unwrap();
    assert_eq!(asks.questions.len(), 1);
    assert_eq!(
        (asks.questions[0].at, asks.questions[0].example.as_str()),
        (Place { line: 2, column: 3 }, "6,500")
    );
    let thousands = answered(
        text,
        &[Answer::Dialect(Delimiter::Semicolon, DecimalMark::Point)],
    )
    .unwrap();
    assert_eq!(columns(&thousands)[0].2, [6500.0, 6600.0, 7100.0]);
    let decimals = answered(
        text,
        &[Answer::Dialect(Delimiter::Semicolon, DecimalMark::Comma)],
    )
    .unwrap();
    assert_eq!(columns(&decimals)[0].2, [6.5, 6.6, 7.1]);
    // Other cells tell the mark, but not that these are thousands.
    assert_eq!(
        read("Time [s];RPM\n0.5;6,500\n1;6,600\n2;7,100\n")
            .unwrap()
            .questions
            .len(),
        1
    );
    // Two separators tell.
    let sure = read("Time [s];Count\n0.5;1,006,500\n1;6 600\n2;1,200.5\n").unwrap();
    assert_eq!(
        (sure.questions.len(), columns(&sure)[0].2.clone()),
        (0, vec![1_006_500.0, 6_600.0, 1_200.5])
    );
}

#[test]
fn long_tables_become_columns_with_their_own_times() {
    let text = "Time,Name,Value,Unit\n0.00,RPM,5980,1/min\n0.00,Volts,13.9,V\n0.05,RPM,6010,1/min\n0.10,RPM,6050,1/min\n0.10,Volts,13.8,V\n";
    let found = read(text).unwrap();
    assert_eq!(found.questions, vec![]);
    let wanted = [
        (
            "RPM".to_owned(),
            "1/min".to_owned(),
            vec![5980.0, 6010.0, 6050.0],
        ),
        ("Volts".to_owned(), "V".to_owned(), vec![13.9, 13.8]),
    ];
    assert_eq!(columns(&found), wanted);
    let table = &found.table;
    assert_eq!(table.times(&table.columns()[0]), [0.0, 0.05, 0.1]);
    assert_eq!(table.times(&table.columns()[1]), [0.0, 0.1]);
    // One channel after another.
    let sorted = "time;channel;value\n0,0;RPM;900\n0,1;RPM;901\n0,2;RPM;902\n0,0;Volts;12,5\n0,1;Volts;12,6\n0,2;Volts;12,7\n";
    let found = read(sorted).unwrap();
    assert_eq!(
        (found.questions.len(), columns(&found)[1].2.clone()),
        (0, vec![12.5, 12.6, 12.7])
    );
    // Without a header that says so, it is asked.
    let bare = text.replace("Time,Name,Value,Unit", "Time,A,B");
    let asks = read(&bare.replace(",1/min", "").replace(",V\n", "\n")).unwrap();
    assert_eq!(asks.questions[0].about, About::Layout);
    let wide = answered(
        &bare.replace(",1/min", "").replace(",V\n", "\n"),
        &[Answer::Layout(Layout::Wide)],
    )
    .unwrap();
    assert_eq!(columns(&wide)[0].2.len(), 5);
}

#[test]
fn headers_again_and_other_tables_are_noticed() {
    let twice = format!(
        "{POINT}{}",
        POINT
            .replace("\n0,", "\n0.15,")
            .replace("0.05", "0.2")
            .replace("\n0.1,", "\n0.25,")
    );
    let found = read(&twice).unwrap();
    assert_eq!((found.report.rows, found.questions.len()), (6, 0));
    assert_eq!(
        found
            .report
            .skipped(Reason::RepeatedHeader)
            .unwrap()
            .first
            .line,
        5
    );
    let other = format!("{POINT}Time,Oil,Fuel\n0.15,3,4\n0.2,3,4\n");
    let found = read(&other).unwrap();
    assert_eq!(found.report.rows, 3);
    let skipped = found.report.skipped(Reason::AnotherTable).unwrap();
    assert_eq!((skipped.count, skipped.first.line), (3, 5));
}

#[test]
fn three_hundred_columns_are_read() {
    let row = |f: &dyn Fn(usize) -> String| (0..300).map(f).collect::<Vec<_>>().join(",");
    let mut text = format!(
        "Time [s],{}\n",
        row(&|column| format!("Channel {column} [V]"))
    );
    for line in 0..50 {
        text += &format!(
            "{}.5,{}\n",
            line,
            row(&|column| format!("{}", column * line))
        );
    }
    let found = read(&text).unwrap();
    assert_eq!(
        (found.questions.len(), found.table.columns().len()),
        (0, 300)
    );
    assert_eq!(found.table.columns()[299].values()[49], 299.0 * 49.0);
}

#[test]
fn columns_that_start_late_or_hold_text_are_read() {
    let mut text = String::from("Time [s],State,Volts,Late\n");
    for row in 0..5_000 {
        let late = if row > 3_000 {
            format!("{row}")
        } else {
            String::new()
        };
        text += &format!("{row}.5,idle,13.8,{late}\n");
    }
    let found = read(&text).unwrap();
    assert_eq!(found.report.left_out, ["State"]);
    let late = found.table.columns()[1].values();
    assert!(late[..3_001].iter().all(|value| value.is_nan()) && late[3_001] == 3_001.0);
    assert_eq!(found.report.skipped(Reason::TextCell), None);
}
