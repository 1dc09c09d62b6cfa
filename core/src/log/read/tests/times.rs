//! Times in every way they are written, in order or not.

use super::super::{
    About, Answer, DateOrder, Reason, Repeats, Sessions, TimeColumn, TimeSource, TimeUnit,
};
use super::{answered, read, times};

/// A log with these time cells.
fn log(name: &str, cells: &[&str]) -> String {
    let mut text = format!("{name};RPM;Volts\n");
    for (row, cell) in cells.iter().enumerate() {
        text += &format!("{cell};{};13,{row}\n", 900 + row);
    }
    text
}

fn read_times(name: &str, cells: &[&str]) -> Vec<f64> {
    let found = read(&log(name, cells)).unwrap();
    assert_eq!(found.questions, vec![], "{cells:?}");
    times(&found)
}

#[test]
fn times_are_read_however_written() {
    for (name, cells) in [
        ("Time", ["0,5", "0,55", "0,6"]),
        ("Time (ms)", ["500", "550", "600"]),
        ("time_us", ["500000", "550000", "600000"]),
        ("Zeit", ["00:00:59,950", "00:01:00,000", "00:01:00,050"]),
        ("Heure", ["23:59:59,950", "00:00:00,000", "00:00:00,050"]),
        ("Time", ["59:59.950", "00:00.000", "00:00.050"]),
        (
            "Time",
            ["11:59:59.950 AM", "12:00:00.000 PM", "12:00:00.050 PM"],
        ),
        (
            "Timestamp",
            [
                "2024-05-01T12:00:00.950Z",
                "2024-05-01T12:00:01.000Z",
                "2024-05-01T12:00:01.050Z",
            ],
        ),
        (
            "Fecha hora",
            [
                "1.5.2024 12:00:00,950",
                "1.5.2024 12:00:01,000",
                "1.5.2024 12:00:01,050",
            ],
        ),
        (
            "Timestamp",
            ["1700000000,95", "1700000001,00", "1700000001,05"],
        ),
        (
            "Timestamp",
            ["1700000000950", "1700000001000", "1700000001050"],
        ),
        ("Time", ["12:00:00:950", "12:00:01:000", "12:00:01:050"]),
    ] {
        assert_eq!(
            read_times(name, &cells),
            [0.0, 0.05, 0.1],
            "{name} {cells:?}"
        );
    }
}

#[test]
fn seconds_or_milliseconds_are_asked_about() {
    let text = log("Time", &["0", "10", "20", "30"]);
    let asks = read(&text).unwrap();
    assert_eq!(asks.questions[0].about, About::TimeUnit);
    for unit in [TimeUnit::Milliseconds, TimeUnit::Seconds] {
        let answer = Answer::TimeUnit(unit);
        assert!(asks.questions[0].answers.contains(&answer));
        let found = answered(&text, &[answer]).unwrap();
        assert_eq!(
            (found.questions.len(), times(&found)[3]),
            (0, 30.0 * unit.seconds())
        );
    }
}

#[test]
fn day_or_month_is_asked_about_where_it_matters() {
    let cells = [
        "01/02/2024 23:59:59",
        "02/02/2024 00:00:00",
        "02/02/2024 00:00:01",
    ];
    let asks = read(&log("Time", &cells)).unwrap();
    assert_eq!(asks.questions[0].about, About::DateOrder);
    let found = answered(
        &log("Time", &cells),
        &[Answer::DateOrder(DateOrder::DayMonthYear)],
    )
    .unwrap();
    assert_eq!(
        (found.questions.len(), times(&found)),
        (0, vec![0.0, 1.0, 2.0])
    );
    assert_eq!(
        read_times("Time", &["01/02/2024 10:00:00", "01/02/2024 10:00:01"]),
        [0.0, 1.0]
    );
    assert_eq!(
        read_times("Time", &["01/31/2024 23:59:59", "02/01/2024 00:00:00"]),
        [0.0, 1.0]
    );
}

#[test]
fn without_times_the_rate_is_asked_for() {
    let text = "RPM,Volts\n900,13.9\n903,13.8\n905,13.8\n902,13.8\n";
    let asks = read(text).unwrap();
    assert_eq!(asks.questions[0].about, About::Rate);
    let found = answered(text, &[Answer::Rate(20.0)]).unwrap();
    assert_eq!(
        (found.questions.len(), times(&found)),
        (0, vec![0.0, 0.05, 0.1, 0.15])
    );
    assert_eq!(found.table.time(), &TimeSource::Rate(20.0));
    for rate in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            answered(text, &[Answer::Rate(rate)]).unwrap().questions[0].about,
            About::Rate
        );
    }
    // A time that stands still is none.
    let still = log("Time (s)", &["5", "5", "5", "5"]);
    assert_eq!(read(&still).unwrap().questions[0].about, About::Rate);
    assert_eq!(
        times(&answered(&still, &[Answer::Rate(10.0)]).unwrap()),
        [0.0, 0.1, 0.2, 0.3]
    );
}

#[test]
fn the_time_column_is_asked_for_where_two_may_be_it() {
    let text = "Log time [s];GPS time [s];RPM\n0,0;100,0;1\n0,1;100,3;2\n0,2;100,4;3\n";
    let asks = read(text).unwrap();
    assert_eq!(asks.questions[0].about, About::TimeColumn);
    let found = answered(text, &[Answer::TimeColumn(TimeColumn::At(1))]).unwrap();
    assert_eq!(
        (found.questions.len(), times(&found)),
        (0, vec![0.0, 0.3, 0.4])
    );
    // They agree, or one is another kind of time.
    for text in [
        "Time [s];Time [ms];RPM\n0,0;1000;1\n0,1;1100;2\n0,2;1200;3\n",
        "Lap time [s];Time [s];RPM\n10,0;0,0;1\n10,1;0,1;2\n10,2;0,2;3\n",
    ] {
        let found = read(text).unwrap();
        assert_eq!(
            (found.questions.len(), times(&found)),
            (0, vec![0.0, 0.1, 0.2])
        );
    }
}

#[test]
fn stray_times_are_left_out_and_counted() {
    let found = read(&log(
        "Time (s)",
        &["0", "1", "2", "0,5", "3", "3", "x", "4"],
    ))
    .unwrap();
    assert_eq!(
        (found.questions.len(), times(&found)),
        (0, vec![0.0, 1.0, 2.0, 3.0, 3.0, 4.0])
    );
    assert_eq!(
        found.report.skipped(Reason::Backward).unwrap().first.line,
        5
    );
    assert_eq!(found.report.skipped(Reason::NoTime).unwrap().first.line, 8);
    assert_eq!(found.report.repeated.unwrap().0, 1);
    assert_eq!(found.report.repeated.unwrap().1.line, 7);
}

#[test]
fn a_new_start_is_asked_about() {
    let cells: Vec<String> = (0..30).map(|row| (row % 10).to_string()).collect();
    let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
    let text = log("Time (s)", &cells);
    let asks = read(&text).unwrap();
    let About::Sessions(sessions) = &asks.questions[0].about else {
        panic!("{:?}", asks.questions)
    };
    assert_eq!(
        sessions
            .iter()
            .map(|one| (one.at.line, one.rows, one.seconds))
            .collect::<Vec<_>>(),
        [(2, 10, 9.0), (12, 10, 9.0), (22, 10, 9.0)]
    );
    let one = answered(&text, &[Answer::Sessions(Sessions::Only(1))]).unwrap();
    assert_eq!(
        (one.questions.len(), times(&one).len(), times(&one)[9]),
        (0, 10, 9.0)
    );
    assert_eq!(one.table.columns()[0].values()[0], 910.0);
    assert_eq!(one.report.skipped(Reason::OtherSession).unwrap().count, 20);
    let all = answered(&text, &[Answer::Sessions(Sessions::Joined)]).unwrap();
    assert_eq!(
        (all.questions.len(), times(&all)[10], times(&all)[29]),
        (0, 69.0, 147.0)
    );
    assert_eq!(
        answered(&text, &[Answer::Sessions(Sessions::Only(7))])
            .unwrap()
            .questions
            .len(),
        1
    );
}

#[test]
fn sessions_of_long_tables_go_together() {
    let mut text = String::from("time,name,value\n");
    for session in 0..2 {
        for row in 0..20 {
            text += &format!("{row},RPM,{}\n", 900 + row);
            if row % 2 == 0 {
                text += &format!("{row}.5,Volts,1{session}\n");
            }
        }
    }
    let read_as = |sessions| {
        let answers = [
            Answer::Sessions(sessions),
            Answer::TimeUnit(TimeUnit::Seconds),
        ];
        let found = answered(&text, &answers).unwrap();
        assert_eq!(found.questions, vec![]);
        let table = &found.table;
        let both: Vec<(Vec<f64>, f32)> = table
            .columns()
            .iter()
            .map(|column| (table.times(column).to_vec(), column.values()[0]))
            .collect();
        both
    };
    let joined = read_as(Sessions::Joined);
    assert_eq!((joined[0].0[20], joined[1].0[10]), (79.0, 79.5));
    let second = read_as(Sessions::Only(1));
    assert_eq!(
        (
            second[0].0.len(),
            second[1].0.len(),
            second[1].1,
            second[1].0[0]
        ),
        (20, 10, 11.0, 0.5)
    );
}

#[test]
fn rows_of_the_same_second_are_asked_about() {
    let text = log(
        "Time",
        &[
            "12:00:00", "12:00:00", "12:00:00", "12:00:00", "12:00:01", "12:00:01", "12:00:01",
            "12:00:01",
        ],
    );
    assert_eq!(read(&text).unwrap().questions[0].about, About::Repeats);
    let spread = answered(&text, &[Answer::Repeats(Repeats::Spread)]).unwrap();
    assert_eq!(times(&spread), [0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75]);
    let kept = answered(&text, &[Answer::Repeats(Repeats::Keep)]).unwrap();
    assert_eq!(
        (kept.questions.len(), times(&kept)),
        (0, vec![0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0])
    );
}
