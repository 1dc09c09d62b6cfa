//! Ranked guesses which column is what, each with its reasons.

use super::look::{Look, ratio, shifts};
use super::words::said;
use super::{Choice, Role};
use crate::log::read::{Column, Table};
use crate::log::unit::Unit;
use serde::{Deserialize, Serialize};

/// Why a column is thought to be what it is, or not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// It was chosen for a log with the same names.
    Remembered,
    /// A word in its name says so.
    Word(String),
    /// A word in its name says that it is something else.
    OtherWord(String),
    /// Its unit is one of that quantity.
    Unit(Unit),
    /// No unit is written; of those that it may have, its values make sense in this one only.
    OnlyUnit(Unit),
    /// No unit is written, and its values make sense in several.
    OpenUnit(Vec<Unit>),
    /// Nine tenths of its values lie between these (in what a recording holds), where that quantity does.
    Range(f32, f32),
    /// They lie between these, where that quantity does not.
    NoRange(f32, f32),
    /// It stays near 5 V, as the supply of sensors does.
    SensorSupply,
    /// It never changes.
    Still,
    /// It falls sharply this often, as engine speed does at a shift.
    Shifts(u32),
    /// It is this many times engine speed all along.
    Ratio(f32),
}

/// A column for a role.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Guess {
    /// Its place in [`Table::columns`].
    pub column: usize,
    /// What its numbers count.
    pub unit: Unit,
    /// How much speaks for it. Only good for comparing.
    pub score: f64,
    /// What speaks for it and against it.
    pub why: Vec<Why>,
}

/// How sure the first guess of a role is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Chosen for a log with the same names.
    Remembered,
    /// One column stands out.
    Clear,
    /// Several may be it, or the one is doubtful, or its unit: ask.
    Open,
    /// No column looks like it by name or unit. Guesses then rest on values alone: for choosing by hand.
    Absent,
}

/// The guesses for a role.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForRole {
    /// For what.
    pub role: Role,
    /// How sure the first of them is.
    pub standing: Standing,
    /// The likeliest first.
    pub guesses: Vec<Guess>,
}

/// Guesses for all roles, in the order of [`Role::ALL`].
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Channels {
    /// One for each role.
    pub roles: Vec<ForRole>,
}

impl Channels {
    /// The guesses for a role.
    #[must_use]
    pub fn role(&self, role: Role) -> Option<&ForRole> {
        self.roles.iter().find(|one| one.role == role)
    }

    /// The roles that a recording needs and no column looks like.
    #[must_use]
    pub fn missing(&self) -> Vec<Role> {
        let absent = self
            .roles
            .iter()
            .filter(|one| one.standing == Standing::Absent);
        absent
            .map(|one| one.role)
            .filter(|role| role.is_needed())
            .collect()
    }

    /// Whether nothing has to be asked: each role stands clear, was chosen before, or is not in the log.
    #[must_use]
    pub fn is_clear(&self) -> bool {
        self.missing().is_empty() && self.roles.iter().all(|one| one.standing != Standing::Open)
    }

    /// The first guess of each role, for the person to confirm.
    #[must_use]
    pub fn choice(&self, table: &Table) -> Choice {
        let mut choice = Choice::default();
        for one in &self.roles {
            if let Some(first) = one
                .guesses
                .first()
                .filter(|_| one.standing != Standing::Absent)
            {
                choice.set(table, one.role, Some((first.column, first.unit)));
            }
        }
        choice
    }
}

/// Guesses which column is what. A remembered choice is taken where its columns are in the table.
#[must_use]
pub fn guess(table: &Table, remembered: Option<&Choice>) -> Channels {
    let looks: Vec<Look> = table.columns().iter().map(Look::new).collect();
    let remembered = remembered.filter(|choice| choice.fits(table));
    let mut roles: Vec<ForRole> = Role::ALL
        .into_iter()
        .map(|role| {
            let columns = table.columns().iter().zip(&looks).enumerate();
            let mut guesses: Vec<Guess> = columns
                .filter_map(|(place, (column, look))| one(place, column, look, role))
                .collect();
            guesses.sort_by(|a, b| b.score.total_cmp(&a.score));
            ForRole {
                role,
                standing: Standing::Open,
                guesses,
            }
        })
        .collect();
    look_closer(table, &mut roles);
    share_out(&mut roles);
    for one in &mut roles {
        let chosen =
            remembered.map(|choice| (choice.place(table, one.role), choice.pick(one.role)));
        one.standing = match chosen {
            Some((Some(place), Some(pick))) => {
                one.guesses.retain(|guess| guess.column != place);
                one.guesses.insert(
                    0,
                    Guess {
                        column: place,
                        unit: pick.unit,
                        score: f64::MAX,
                        why: vec![Why::Remembered],
                    },
                );
                Standing::Remembered
            }
            // Whoever confirmed the others left this one out.
            Some(_) => Standing::Absent,
            None => standing(one.role, &one.guesses),
        };
    }
    Channels { roles }
}

/// What speaks for a column in a role; none where nothing does.
fn one(place: usize, column: &Column, look: &Look, role: Role) -> Option<Guess> {
    let said = said(column.name(), role);
    let written = Unit::named(column.unit());
    // A unit of another quantity decides.
    if !column.unit().is_empty() && !written.is_some_and(|unit| role.units().contains(&unit)) {
        return None;
    }
    let mut why = vec![];
    let mut score = f64::from(said.score);
    why.extend(said.by.map(Why::Word));
    why.extend(said.against.map(Why::OtherWord));
    let by_name = named_unit(column.name(), role);
    let plausible: Vec<Unit> = role
        .units()
        .iter()
        .copied()
        .filter(|unit| look.is_plausible(role, *unit))
        .collect();
    let unit = match (written.or(by_name), plausible.as_slice()) {
        (Some(unit), _) => {
            score += if shared(unit) { 1.0 } else { 2.0 };
            why.push(Why::Unit(unit));
            unit
        }
        (None, [only]) => {
            score += 0.5;
            why.push(Why::OnlyUnit(*only));
            *only
        }
        (None, [first, ..]) => {
            // The usual scales of a voltage or an engine speed lie far apart; the units of speeds do not.
            why.push(Why::OpenUnit(plausible.clone()));
            *first
        }
        (None, []) => *role.units().first()?,
    };
    let (low, high) = look.held(unit);
    if look.is_plausible(role, unit) {
        score += 1.0;
        why.push(Why::Range(low, high));
    } else {
        score -= 3.0;
        why.push(Why::NoRange(low, high));
    }
    if role == Role::Voltage && (4.6..=5.4).contains(&low) && (4.6..=5.4).contains(&high) {
        score -= 3.0;
        why.push(Why::SensorSupply);
    }
    if look.is_still() {
        score -= 1.0;
        why.push(Why::Still);
    }
    (score > 0.5).then_some(Guess {
        column: place,
        unit,
        score,
        why,
    })
}

/// A unit that is part of the name: `Battery Volts`, `Speed MPH`.
fn named_unit(name: &str, role: Role) -> Option<Unit> {
    let mut words = super::words::words(name).into_iter().rev();
    words.find_map(|word| {
        // Single letters and what a name may mean otherwise say nothing.
        let unit = Unit::named(&word).filter(|_| word.len() > 2)?;
        role.units().contains(&unit).then_some(unit)
    })
}

/// Units that other quantities have too.
const fn shared(unit: Unit) -> bool {
    matches!(
        unit,
        Unit::RevPerSecond | Unit::Percent | Unit::Ampere | Unit::Kelvin
    )
}

/// What takes more than names and ranges: shifts of the engine, and what turns with it.
fn look_closer(table: &Table, roles: &mut [ForRole]) {
    let column = |guess: &Guess| table.columns().get(guess.column);
    for one in roles.iter_mut().filter(|one| one.role == Role::EngineSpeed) {
        for guess in one.guesses.iter_mut().take(4) {
            let found = column(guess).map_or(0, |column| shifts(column.values()));
            if found > 0 {
                guess.score += 0.5;
                guess.why.push(Why::Shifts(found));
            }
        }
        one.guesses.sort_by(|a, b| b.score.total_cmp(&a.score));
    }
    let engine = roles
        .iter()
        .find(|one| one.role == Role::EngineSpeed)
        .and_then(|one| one.guesses.first())
        .cloned();
    let Some(engine) = engine else { return };
    for one in roles
        .iter_mut()
        .filter(|one| one.role == Role::AlternatorSpeed)
    {
        one.guesses.retain(|guess| guess.column != engine.column);
        for guess in &mut one.guesses {
            let pair = column(&engine).zip(column(guess));
            if let Some(times) = pair.and_then(|(engine, other)| ratio(table, engine, other)) {
                guess.score += 1.0;
                guess.why.push(Why::Ratio(times));
            }
        }
    }
}

/// A column has one role: the one that more speaks for.
fn share_out(roles: &mut [ForRole]) {
    loop {
        let firsts: Vec<Option<(usize, f64)>> = roles
            .iter()
            .map(|one| one.guesses.first().map(|guess| (guess.column, guess.score)))
            .collect();
        let beaten = firsts.iter().enumerate().find_map(|(place, first)| {
            let (column, score) = (*first)?;
            let better = firsts.iter().enumerate().any(|(other, first)| {
                first.is_some_and(|(of, by)| {
                    of == column && other != place && (by > score || (by == score && other < place))
                })
            });
            better.then_some(place)
        });
        let Some(one) = beaten.and_then(|place| roles.get_mut(place)) else {
            return;
        };
        one.guesses.remove(0);
    }
}

fn standing(role: Role, guesses: &[Guess]) -> Standing {
    let Some(first) = guesses.first() else {
        return Standing::Absent;
    };
    let speaks = first.why.iter().any(|why| match why {
        Why::Word(_) => true,
        // Any of an engine's hundred channels may have a unit that fits what a log need not have.
        Why::Unit(_) => role.is_needed(),
        _ => false,
    });
    if !speaks {
        return Standing::Absent;
    }
    let second = guesses.get(1).map_or(0.0, |guess| guess.score);
    let doubtful = first.why.iter().any(|why| {
        matches!(
            why,
            Why::NoRange(..)
                | Why::OpenUnit(_)
                | Why::SensorSupply
                | Why::OtherWord(_)
                | Why::Still
        )
    });
    if first.score >= 3.0 && first.score >= second + 1.5 && !doubtful {
        Standing::Clear
    } else {
        Standing::Open
    }
}
