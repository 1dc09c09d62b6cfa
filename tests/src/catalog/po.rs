//! Catalogs in the PO format of GNU gettext: the part of it that this project uses.

use anyhow::{Context, Result, bail};

/// One message with its translation.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entry {
    /// Notes for who translates, and where the message stands in the source.
    pub comments: Vec<String>,
    /// Tells it from another message that is written alike.
    pub context: Option<String>,
    /// The English text.
    pub id: String,
    /// The text in the catalog's language; empty while it is not translated.
    pub text: String,
}

impl Entry {
    /// Context and message in one, as the app looks it up.
    #[must_use]
    pub fn key(&self) -> String {
        match &self.context {
            Some(context) => format!("{context}{}{}", super::CONTEXT_END, self.id),
            None => self.id.clone(),
        }
    }
}

/// A whole catalog.
#[derive(Debug, Clone, Default)]
pub struct Po {
    /// What stands before the first message, its header among it, as written.
    pub head: String,
    /// The messages in order.
    pub entries: Vec<Entry>,
}

impl Po {
    /// Reads a catalog.
    ///
    /// # Errors
    /// A line that is not of the format, with its number.
    pub fn read(text: &str) -> Result<Self> {
        let mut po = Self::default();
        let mut is_head = true;
        for block in text.split("\n\n").filter(|block| !block.trim().is_empty()) {
            if is_head {
                po.head = block.trim().to_owned();
                is_head = false;
                continue;
            }
            po.entries
                .push(entry(block.trim()).with_context(|| format!("in {block}"))?);
        }
        Ok(po)
    }

    /// The catalog as text.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text = format!("{}\n", self.head);
        for entry in &self.entries {
            text.push('\n');
            for comment in &entry.comments {
                text.push_str(&format!("#{comment}\n"));
            }
            if let Some(context) = &entry.context {
                text.push_str(&format!("msgctxt {}\n", quoted(context)));
            }
            text.push_str(&format!("msgid {}\n", quoted(&entry.id)));
            text.push_str(&format!("msgstr {}\n", quoted(&entry.text)));
        }
        text
    }
}

fn entry(block: &str) -> Result<Entry> {
    let mut entry = Entry::default();
    let mut into = None;
    for line in block.lines() {
        if let Some(comment) = line.strip_prefix('#') {
            entry.comments.push(comment.to_owned());
            continue;
        }
        let text = if line.starts_with('"') {
            line
        } else {
            let (word, text) = line.split_once(' ').unwrap_or((line, ""));
            into = Some(match word {
                "msgctxt" => 0,
                "msgid" => 1,
                "msgstr" => 2,
                other => bail!("{other}: neither msgctxt, msgid nor msgstr"),
            });
            text
        };
        let text = unquoted(text)?;
        match into {
            Some(0) => entry.context.get_or_insert_default().push_str(&text),
            Some(1) => entry.id.push_str(&text),
            Some(_) => entry.text.push_str(&text),
            None => bail!("a text that belongs to nothing"),
        }
    }
    Ok(entry)
}

fn quoted(text: &str) -> String {
    let escaped = text
        .replace('\\', "\\\\")
        .replace('"', "\\\"")
        .replace('\n', "\\n");
    format!("\"{escaped}\"")
}

fn unquoted(text: &str) -> Result<String> {
    let inside = text
        .strip_prefix('"')
        .and_then(|text| text.strip_suffix('"'))
        .context("a text without its quotes")?;
    let mut plain = String::new();
    let mut chars = inside.chars();
    while let Some(c) = chars.next() {
        plain.push(match c {
            '\\' => match chars.next() {
                Some('n') => '\n',
                Some(c @ ('"' | '\\')) => c,
                other => bail!("an escape that is not known: {other:?}"),
            },
            '"' => bail!("a quote inside a text"),
            c => c,
        });
    }
    Ok(plain)
}
