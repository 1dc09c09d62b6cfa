//! What a racer knows of the belt drive: pulleys, mover, belt, and what it must miss.

use super::{Found, beside, places};
use crate::pages::Desk;
use crate::pages::car::group::{
    Pick, button, closed_up, fields, full, heading, item, note, remove,
};
use crate::pages::entry::entry_text;
use crate::parts::choice::Choice;
use crate::parts::live::{Piece, all, live, live_option, live_text, piece};
use crate::words::belt as words;
use laneside_core::belt::{Hold, Point, Role, Side, Template, Turning};
use laneside_core::car::check::{MOST_OBSTACLES, MOST_PULLEYS};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, DriveObstacle, DrivePulley, MoverKind};
use leptos::prelude::*;

const ROLES: [Role; 7] = [
    Role::Crank,
    Role::Alternator,
    Role::WaterPump,
    Role::PowerSteering,
    Role::Tensioner,
    Role::Idler,
    Role::Other,
];
const TEMPLATE: Pick = Pick {
    id: "belt-template",
    words: (words::TEMPLATE, words::TEMPLATE_NOTE),
    options: &words::TEMPLATES,
    read: |_| Some(0),
    write: |car, at| {
        if let Some(template) = at.checked_sub(1).and_then(|at| Template::ALL.get(at)) {
            car.belt_drive.begin_with(*template);
        }
    },
    unsaid: None,
};

const TURNING: Pick = Pick {
    id: "belt-turning",
    words: (words::TURNING.0, words::TURNING_NOTE),
    options: &words::TURNING.1,
    read: |car| {
        Some(usize::from(
            car.belt_drive.turning == Turning::CounterClockwise,
        ))
    },
    write: |car, at| {
        car.belt_drive.turning = if at == 1 {
            Turning::CounterClockwise
        } else {
            Turning::Clockwise
        };
    },
    unsaid: None,
};

const MOTION: Pick = Pick {
    id: "mover-kind",
    words: (words::MOTION.0, ""),
    options: &words::MOTION.1,
    read: |car| Some(usize::from(car.belt_drive.mover.kind == MoverKind::Slide)),
    write: |car, at| {
        car.belt_drive.mover.kind = if at == 1 {
            MoverKind::Slide
        } else {
            MoverKind::Arm
        };
    },
    unsaid: None,
};

const HOLD: Pick = Pick {
    id: "mover-hold",
    words: (words::HOLD.0, ""),
    options: &words::HOLD.1,
    read: |car| Some(usize::from(car.belt_drive.mover.hold == Hold::Spring)),
    write: |car, at| {
        car.belt_drive.mover.hold = if at == 1 { Hold::Spring } else { Hold::Bolted };
    },
    unsaid: None,
};

/// How many of something the car has, tracked.
fn count(desk: Desk, read: fn(&Car) -> usize) -> Memo<usize> {
    let store = desk.store;
    Memo::new(move |_| store.with_car(read).unwrap_or_default())
}

/// The entries.
pub fn entries(desk: Desk, found: Found) -> [Piece; 5] {
    [
        piece(move || {
            all([
                heading("the-belt", words::belt()),
                entry_text(desk, Field::BeltDesignation).view(),
                ribs(desk),
                fields(desk, &[Field::BeltTension]),
                tension_within(desk),
            ])
        }),
        piece(move || {
            all([
                heading("the-drive", words::drive()),
                TEMPLATE.select(desk).row(),
                note(words::order_note()),
                pulleys(desk, found),
                TURNING.select(desk).row(),
            ])
        }),
        piece(move || places::places(desk, found)),
        piece(move || all([heading("the-mover", words::mover()), mover(desk)])),
        piece(move || {
            all([
                heading("obstacles", words::obstacles()),
                note(words::obstacles_note()),
                obstacles(desk),
            ])
        }),
    ]
}

/// Ribs where no designation tells them, else how well the length is known.
fn ribs(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_known = Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.belt_mm.is_some())
            .unwrap_or_default()
    });
    live(move || {
        let field = if is_known.get() {
            Field::BeltLengthWithin
        } else {
            Field::BeltRibs
        };
        fields(desk, &[field])
    })
}

fn tension_within(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_known = Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.tension_n.is_some())
            .unwrap_or_default()
    });
    live_option(move || {
        is_known
            .get()
            .then(|| fields(desk, &[Field::BeltTensionWithin]))
    })
}

fn pulleys(desk: Desk, found: Found) -> AnyView {
    let count = count(desk, |car| car.belt_drive.pulleys.len());
    let add = Callback::new(move |()| {
        desk.store.change(&[], |car| {
            // Another pulley makes other spans.
            car.belt_drive.heard.clear();
            let pulleys = &mut car.belt_drive.pulleys;
            // Between the last and the first: there the belt comes by.
            let ends = pulleys.first().zip(pulleys.last());
            let (x_mm, y_mm) = ends.map_or((0.0, 0.0), |(first, last)| {
                (
                    0.5 * (first.x_mm + last.x_mm),
                    0.5 * (first.y_mm + last.y_mm),
                )
            });
            pulleys.push(DrivePulley {
                role: Role::Idler,
                side: Side::Back,
                diameter_mm: Some(70.0),
                half_width_mm: None,
                x_mm: x_mm.round(),
                y_mm: y_mm.round(),
                power_w: None,
            });
        });
    });
    all([
        live(move || {
            all((0..count.get())
                .map(|place| pulley(desk, found, place))
                .collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST_PULLEYS {
                button(words::add_pulley(), add)
            } else {
                full(words::full())
            }
        }),
    ])
}

fn pulley(desk: Desk, found: Found, place: usize) -> AnyView {
    let store = desk.store;
    let role = Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.pulleys.get(place).map(|one| one.role))
            .flatten()
            .unwrap_or_default()
    });
    let name = live_text(move || {
        store
            .with_car(|car| words::pulley(car, place))
            .unwrap_or_default()
    });
    let line = live_text(move || {
        let shown = found.get();
        shown.map_or_else(String::new, |shown| {
            words::pulley_line(&shown.0.car, &shown.0.belt, place)
        })
    });
    let own_size = live_option(move || {
        let own = !matches!(role.get(), Role::Crank | Role::Alternator);
        own.then(|| fields(desk, &[Field::BeltDiameter(place)]))
    });
    let rest = Callback::new(move |()| {
        let is_role = Signal::derive(move || ROLES.iter().position(|one| *one == role.get()));
        let on_role = Callback::new(move |at: usize| {
            store.change(&[], |car| {
                if let (Some(pulley), Some(role)) =
                    (car.belt_drive.pulleys.get_mut(place), ROLES.get(at))
                {
                    pulley.role = *role;
                }
            });
        });
        let side = Signal::derive(move || {
            store.with_car(|car| {
                let pulley = car.belt_drive.pulleys.get(place);
                usize::from(pulley.is_some_and(|pulley| pulley.side == Side::Back))
            })
        });
        let on_side = Callback::new(move |at: usize| {
            store.change(&[], |car| {
                if let Some(pulley) = car.belt_drive.pulleys.get_mut(place) {
                    pulley.side = if at == 1 { Side::Back } else { Side::Ribs };
                }
            });
        });
        let take_out = Callback::new(move |()| {
            store.remove_listed(
                move |field| without_pulley(field, place),
                |car| car.belt_drive.remove_pulley(place),
            );
        });
        let earlier = Callback::new(move |()| {
            let both = [place, place.saturating_sub(1)];
            let typed = both.map(|at| {
                [
                    Field::BeltDiameter(at),
                    Field::BeltX(at),
                    Field::BeltY(at),
                    Field::BeltPower(at),
                ]
            });
            store.change(&typed.concat(), |car| {
                car.belt_drive.swap_pulleys(place, place.saturating_sub(1));
            });
        });
        all([
            Choice::new(
                format!("belt-role-{place}"),
                words::role_label(),
                words::roles(),
                is_role,
                on_role,
            )
            .row(),
            Choice::new(
                format!("belt-side-{place}"),
                words::side().0,
                words::side().1,
                side,
                on_side,
            )
            .row(),
            live_option(move || {
                let takes = matches!(
                    role.get(),
                    Role::WaterPump | Role::PowerSteering | Role::Other
                );
                takes.then(|| fields(desk, &[Field::BeltPower(place)]))
            }),
            if place > 0 {
                button(words::earlier(), earlier)
            } else {
                ().into_any()
            },
            remove(words::remove_pulley(), take_out),
        ])
    });
    all([
        item(
            false,
            name,
            line,
            all([own_size, places::coordinates(desk, place)]),
            rest,
        ),
        beside(
            found,
            format!("belt-pulley-fault-{place}"),
            move |trouble| trouble.pulleys.contains(&place),
        ),
    ])
}

/// Where a field is found once a pulley is gone. Distances are numbered anew: what was typed into
/// one that was not taken goes.
fn without_pulley(field: Field, gone: usize) -> Option<Field> {
    let moved = |place: usize| closed_up(place, gone);
    Some(match field {
        Field::BeltDiameter(place) => Field::BeltDiameter(moved(place)?),
        Field::BeltX(place) => Field::BeltX(moved(place)?),
        Field::BeltY(place) => Field::BeltY(moved(place)?),
        Field::BeltPower(place) => Field::BeltPower(moved(place)?),
        Field::TapeDistance(_) => return None,
        other => other,
    })
}

fn mover(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = count(desk, |car| car.belt_drive.pulleys.len());
    let which = Memo::new(move |_| store.with_car(|car| car.belt_drive.mover.pulley).flatten());
    let kind = Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.mover.kind)
            .unwrap_or_default()
    });
    let picked = Signal::derive(move || Some(which.get().map_or(0, |at| usize::from(at) + 1)));
    let on_pick = Callback::new(move |at: usize| {
        store.change(&[], |car| {
            car.belt_drive.mover.pulley = at.checked_sub(1).and_then(|at| u8::try_from(at).ok());
        });
    });
    let moves = live(move || {
        let names = store.with_car(|car| {
            let each = (0..count.get()).map(|place| words::pulley(car, place));
            std::iter::once(words::nothing().to_owned())
                .chain(each)
                .collect::<Vec<_>>()
        });
        Choice::new(
            "mover-pulley",
            words::moves(),
            names.unwrap_or_default(),
            picked,
            on_pick,
        )
        .row()
    });
    let is_there = Memo::new(move |_| which.get().is_some());
    all([
        moves,
        live_option(move || {
            is_there.get().then(|| {
                let travel = live(move || match kind.get() {
                    MoverKind::Arm => fields(
                        desk,
                        &[Field::PivotX, Field::PivotY, Field::ArmFrom, Field::ArmTo],
                    ),
                    MoverKind::Slide => fields(
                        desk,
                        &[Field::SlideDirection, Field::SlideFrom, Field::SlideTo],
                    ),
                });
                all([HOLD.select(desk).row(), MOTION.select(desk).row(), travel])
            })
        }),
    ])
}

fn obstacles(desk: Desk) -> AnyView {
    let count = count(desk, |car| car.belt_drive.obstacles.len());
    let add = Callback::new(move |()| {
        desk.store.change(&[], |car| {
            let drive = &mut car.belt_drive;
            // In the middle of all pulleys, where it is in sight.
            let share = 1.0 / drive.pulleys.len().max(1) as f64;
            let middle = drive.pulleys.iter().fold(Point::default(), |sum, pulley| {
                Point::new(
                    sum.x_mm + share * pulley.x_mm,
                    sum.y_mm + share * pulley.y_mm,
                )
            });
            drive.obstacles.push(DriveObstacle {
                name: words::new_obstacle().to_owned(),
                x_mm: middle.x_mm.round(),
                y_mm: middle.y_mm.round(),
                across_mm: 20.0,
            });
        });
    });
    all([
        live(move || {
            all((0..count.get())
                .map(|place| obstacle(desk, place))
                .collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST_OBSTACLES {
                button(words::add_obstacle(), add)
            } else {
                full(words::full())
            }
        }),
    ])
}

fn obstacle(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let read = move |read: fn(&Car, &DriveObstacle) -> String| {
        live_text(move || {
            store
                .with_car(|car| {
                    car.belt_drive
                        .obstacles
                        .get(place)
                        .map(|one| read(car, one))
                })
                .flatten()
                .unwrap_or_default()
        })
    };
    let take_out = Callback::new(move |()| {
        store.remove_listed(
            move |field| without_obstacle(field, place),
            |car| {
                if place < car.belt_drive.obstacles.len() {
                    car.belt_drive.obstacles.remove(place);
                }
            },
        );
    });
    item(
        false,
        read(|_, obstacle| obstacle.name.clone()),
        read(|car, obstacle| words::obstacle_line(car.units, obstacle)),
        entry_text(desk, Field::ObstacleName(place)).view(),
        Callback::new(move |()| {
            all([
                fields(
                    desk,
                    &[
                        Field::ObstacleX(place),
                        Field::ObstacleY(place),
                        Field::ObstacleAcross(place),
                    ],
                ),
                remove(words::remove_obstacle(), take_out),
            ])
        }),
    )
}

fn without_obstacle(field: Field, gone: usize) -> Option<Field> {
    let moved = |place: usize| closed_up(place, gone);
    Some(match field {
        Field::ObstacleName(place) => Field::ObstacleName(moved(place)?),
        Field::ObstacleX(place) => Field::ObstacleX(moved(place)?),
        Field::ObstacleY(place) => Field::ObstacleY(moved(place)?),
        Field::ObstacleAcross(place) => Field::ObstacleAcross(moved(place)?),
        other => other,
    })
}
