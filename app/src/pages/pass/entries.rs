//! What a racer knows of the pass.

use crate::pages::Desk;
use crate::pages::car::group::{
    Pick, button, closed_up, fields, heading, item, note, rare, remove,
};
use crate::pages::entry::entry_text;
use crate::parts::live::{all, live, live_text};
use crate::words::pass as words;
use laneside_core::car::entry::Field;
use laneside_core::car::{CourseKind, LapSegment, Mishap, TimePoint, Tire};
use leptos::prelude::*;

const MISHAPS: [Mishap; 3] = [Mishap::MissedShift, Mishap::OnLimiter, Mishap::OverRev];
/// Segments and points that a page can hold.
const MOST: usize = 60;

const KIND: Pick = Pick {
    id: "course",
    words: (words::KIND.0, ""),
    options: &words::KIND.1,
    read: |car| {
        CourseKind::ALL
            .iter()
            .position(|kind| *kind == car.course.kind)
    },
    write: |car, at| car.course.kind = CourseKind::ALL.get(at).copied().unwrap_or_default(),
    unsaid: None,
};

const TIRE: Pick = Pick {
    id: "tire-kind",
    words: (words::TIRE.0, words::TIRE_NOTE),
    options: &words::TIRE.1,
    read: |car| Some(usize::from(car.course.tire == Some(Tire::BiasSlick))),
    write: |car, at| {
        car.course.tire = Some(if at == 1 {
            Tire::BiasSlick
        } else {
            Tire::Radial
        });
    },
    unsaid: None,
};

const MISHAP: Pick = Pick {
    id: "mishap",
    words: (words::MISHAP.0, words::MISHAP_NOTE),
    options: &words::MISHAP.1,
    read: |car| {
        let mishap = car.course.mishap;
        Some(
            MISHAPS
                .iter()
                .position(|one| Some(*one) == mishap)
                .map_or(0, |at| at + 1),
        )
    },
    write: |car, at| {
        car.course.mishap = at.checked_sub(1).and_then(|at| MISHAPS.get(at).copied());
    },
    unsaid: None,
};

/// The group.
pub fn entries(desk: Desk) -> AnyView {
    let store = desk.store;
    let kind = Memo::new(move |_| store.with_car(|car| car.course.kind).unwrap_or_default());
    all([
        heading("the-pass", words::course()),
        KIND.select(desk).row(),
        live(move || match kind.get() {
            CourseKind::Eighth | CourseKind::Quarter => drag(desk),
            CourseKind::Lap => lap(desk),
            CourseKind::Points => points(desk),
        }),
    ])
}

fn drag(desk: Desk) -> AnyView {
    all([
        fields(
            desk,
            &[Field::Elapsed, Field::Trap, Field::SixtyFoot, Field::Shift],
        ),
        MISHAP.select(desk).row(),
        rare(
            words::gearing().into_any(),
            [
                note(words::gearing_note()),
                gears(desk),
                fields(desk, &[Field::FinalDrive, Field::Tire]),
                TIRE.select(desk).row(),
                fields(desk, &[Field::ConverterSlip, Field::ShiftTime]),
            ],
        ),
    ])
}

/// One field a gear, and one more to add the next.
fn gears(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| {
        store
            .with_car(|car| car.course.gears.len())
            .unwrap_or_default()
    });
    live(move || {
        let shown = (count.get() + 1).min(8);
        let all_gears: Vec<Field> = (0..shown).map(Field::Gear).collect();
        fields(desk, &all_gears)
    })
}

fn lap(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| {
        store
            .with_car(|car| car.course.segments.len())
            .unwrap_or_default()
    });
    let add = Callback::new(move |()| {
        store.change(&[], |car| {
            let from_rpm = car
                .course
                .segments
                .last()
                .map_or(4_000.0, |last| last.to_rpm);
            car.course.segments.push(LapSegment {
                name: words::new_segment(car.course.segments.len() + 1),
                seconds: 10.0,
                from_rpm,
                to_rpm: 6_000.0,
            });
        });
    });
    all([
        live(move || {
            all((0..count.get())
                .map(|place| segment(desk, place))
                .collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST {
                button(words::add_segment(), add)
            } else {
                note(words::full())
            }
        }),
        fields(desk, &[Field::Laps]),
        MISHAP.select(desk).row(),
    ])
}

fn segment(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let read = move |read: fn(&LapSegment) -> String| {
        live_text(move || {
            store
                .with_car(|car| car.course.segments.get(place).map(read))
                .flatten()
                .unwrap_or_default()
        })
    };
    let take_out = Callback::new(move |()| {
        store.remove_listed(
            move |field| without_segment(field, place),
            |car| {
                if place < car.course.segments.len() {
                    car.course.segments.remove(place);
                }
            },
        );
    });
    item(
        false,
        read(|segment| segment.name.clone()),
        read(words::segment_line),
        fields(desk, &[Field::SegmentTime(place)]),
        Callback::new(move |()| {
            all([
                fields(desk, &[Field::SegmentFrom(place), Field::SegmentTo(place)]),
                entry_text(desk, Field::SegmentName(place)).view(),
                remove(words::remove_segment(), take_out),
            ])
        }),
    )
}

/// Where a field is found once the segment at a place is gone.
fn without_segment(field: Field, gone: usize) -> Option<Field> {
    let moved = |place: usize| closed_up(place, gone);
    Some(match field {
        Field::SegmentName(place) => Field::SegmentName(moved(place)?),
        Field::SegmentTime(place) => Field::SegmentTime(moved(place)?),
        Field::SegmentFrom(place) => Field::SegmentFrom(moved(place)?),
        Field::SegmentTo(place) => Field::SegmentTo(moved(place)?),
        other => other,
    })
}

fn points(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| {
        store
            .with_car(|car| car.course.points.len())
            .unwrap_or_default()
    });
    let add = Callback::new(move |()| {
        store.change(&[], |car| {
            let last = car.course.points.last().copied();
            car.course.points.push(TimePoint {
                seconds: last.map_or(0.0, |last| last.seconds + 1.0),
                speed_rpm: last.map_or(4_000.0, |last| last.speed_rpm),
            });
        });
    });
    let take_out = Callback::new(move |()| {
        let last = count.get_untracked().saturating_sub(1);
        store.change(&[Field::PointTime(last), Field::PointSpeed(last)], |car| {
            car.course.points.pop();
        });
    });
    all([
        note(words::points_note()),
        live(move || {
            let pairs =
                (0..count.get()).flat_map(|at| [Field::PointTime(at), Field::PointSpeed(at)]);
            fields(desk, &pairs.collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST {
                button(words::add_point(), add)
            } else {
                note(words::full())
            }
        }),
        live(move || {
            if count.get() > 0 {
                remove(words::remove_point(), take_out)
            } else {
                ().into_any()
            }
        }),
    ])
}
