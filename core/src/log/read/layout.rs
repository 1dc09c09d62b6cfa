//! Whether a row is a moment or one sample.

use super::plan::{Look, Plan, Stamp};
use super::{About, Answer, Layout, Options, Place, Question, decode};
use crate::log::unit::is_unit;

impl Look<'_> {
    /// Where name, value and unit are if a row is a sample.
    pub fn long(
        &self,
        time: (usize, Stamp),
        options: &Options,
        questions: &mut Vec<Question>,
    ) -> Option<Plan> {
        if options.layout == Some(Layout::Wide) || self.dialect.names.len() > 8 {
            return None;
        }
        let (mut values, mut texts) = (vec![], vec![]);
        for (column, numeric) in self.dialect.numeric.iter().enumerate() {
            if column == time.0 || self.column(column).next().is_none() {
                continue;
            }
            if *numeric {
                values.push(column);
            } else {
                texts.push(column);
            }
        }
        let named = |columns: &[usize], words: &[&str]| {
            columns.iter().copied().find(|column| {
                let name = self
                    .dialect
                    .names
                    .get(*column)
                    .map_or("", String::as_str)
                    .to_lowercase();
                words.iter().any(|word| {
                    name.split(|c: char| !c.is_alphanumeric())
                        .any(|part| part == *word)
                })
            })
        };
        let value_named = named(
            &values,
            &[
                "value", "values", "wert", "valor", "valeur", "valore", "val", "reading",
            ],
        );
        let value = match values.as_slice() {
            [only] => *only,
            _ => value_named?,
        };
        let is_units = |column: &usize| {
            let (mut units, mut all) = (0, 0);
            for (_, cell) in self.column(*column) {
                units += usize::from(is_unit(&decode::text(&cell)));
                all += 1;
            }
            units * 2 > all
        };
        let unit = named(
            &texts,
            &[
                "unit", "units", "einheit", "unidad", "unidades", "unité", "unite", "unità",
                "unita",
            ],
        )
        .or_else(|| {
            texts
                .iter()
                .copied()
                .find(|column| texts.len() > 1 && is_units(column))
        });
        texts.retain(|column| Some(*column) != unit);
        let name_named = named(
            &texts,
            &[
                "name",
                "channel",
                "channelname",
                "signal",
                "sensor",
                "parameter",
                "variable",
                "measurement",
                "tag",
                "key",
                "item",
                "pid",
                "quantity",
                "kanal",
                "signalname",
                "messgröße",
                "canal",
                "señal",
                "nombre",
                "nom",
                "voie",
                "nome",
                "canale",
                "segnale",
                "grandezza",
                "source",
                "label",
            ],
        );
        let name = match (name_named, texts.as_slice()) {
            (Some(name), _) => name,
            (None, [only]) => *only,
            (None, texts) => {
                let changes = |column: &&usize| self.changes(**column);
                *texts.iter().max_by_key(changes)?
            }
        };
        let changes = self.changes(name);
        let sure = options.layout == Some(Layout::Long)
            || (name_named.is_some()
                && (values.len() == 1 || value_named.is_some())
                && (value_named.is_some() || unit.is_some() || changes > 0));
        if !sure {
            // A text that changes from row to row may name what the row holds.
            if changes * 2 < self.dialect.sample.len() || changes < 2 {
                return None;
            }
            let (row, text) = self
                .dialect
                .sample
                .first()
                .and_then(|row| Some((row, self.head.get(row.start..row.end)?)))?;
            questions.push(Question {
                about: About::Layout,
                at: Place {
                    line: row.line + 1,
                    column: 1,
                },
                example: decode::text(text),
                answers: vec![Answer::Layout(Layout::Long), Answer::Layout(Layout::Wide)],
            });
        }
        Some(Plan::Long {
            time,
            name,
            value,
            unit,
        })
    }

    /// How often a column's text changes from row to row.
    fn changes(&self, column: usize) -> usize {
        let cells: Vec<Vec<u8>> = self.column(column).map(|(_, cell)| cell).collect();
        cells.windows(2).filter(|pair| pair[0] != pair[1]).count()
    }
}
