//! Brings the catalog up to the source: `cargo run -p laneside-tests --bin catalog`.
//!
//! New messages come in without a translation, messages that nothing says any more go, and every translation stays.

use anyhow::Result;
use laneside_tests::catalog::{self, CONTEXT_END, Entry, Po};
use std::collections::HashMap;

fn main() -> Result<()> {
    let path = catalog::spanish();
    let old = Po::read(&std::fs::read_to_string(&path)?)?;
    let known: HashMap<String, String> = old
        .entries
        .into_iter()
        .map(|entry| (entry.key(), entry.text))
        .collect();
    let (messages, strays) = catalog::gather(&catalog::project())?;
    for stray in strays {
        println!("{}: goes through no macro: {:?}", stray.place, stray.text);
    }
    let entries: Vec<Entry> = messages
        .into_iter()
        .map(|message| {
            let mut comments = Vec::new();
            if !message.fillers.is_empty() {
                let fillers = message.fillers.iter().enumerate();
                let each: Vec<String> = fillers
                    .map(|(place, filler)| {
                        format!(
                            "{{{place}}} {}",
                            filler.split_whitespace().collect::<Vec<_>>().join(" ")
                        )
                    })
                    .collect();
                comments.push(format!(". {}", each.join("; ")));
            }
            comments.push(format!(": {}", message.files.join(" ")));
            let (context, id) = match message.key.split_once(CONTEXT_END) {
                Some((context, id)) => (Some(context.to_owned()), id.to_owned()),
                None => (None, message.key.clone()),
            };
            let text = known.get(&message.key).cloned().unwrap_or_default();
            Entry {
                comments,
                context,
                id,
                text,
            }
        })
        .collect();
    let open = entries.iter().filter(|entry| entry.text.is_empty()).count();
    println!("{} messages, {open} without a translation", entries.len());
    let po = Po {
        head: old.head,
        entries,
    };
    std::fs::write(path, po.write())?;
    Ok(())
}
