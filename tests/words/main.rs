//! Whether everything that is said is in the catalog, and the catalog in order (verification).

use anyhow::Result;
use laneside_tests::catalog::{self, Po, placeholders};
use std::collections::HashSet;

fn po() -> Result<Po> {
    Po::read(&std::fs::read_to_string(catalog::spanish())?)
}

#[test]
fn every_message_of_the_source_is_in_the_catalog_and_no_other() -> Result<()> {
    let (messages, _) = catalog::gather(&catalog::project())?;
    let said: HashSet<String> = messages.into_iter().map(|message| message.key).collect();
    let known: Vec<String> = po()?.entries.iter().map(catalog::Entry::key).collect();
    let set: HashSet<String> = known.iter().cloned().collect();
    assert_eq!(set.len(), known.len(), "a message stands twice");
    let missing: Vec<_> = said.difference(&set).collect();
    let stale: Vec<_> = set.difference(&said).collect();
    assert!(
        said.len() > 1_000,
        "only {} messages were found",
        said.len()
    );
    assert!(
        missing.is_empty() && stale.is_empty(),
        "missing: {missing:#?}, stale: {stale:#?}; run the bin `catalog`"
    );
    Ok(())
}

/// Asks it of every message and its translation.
fn every_pair(is_right: impl Fn(&str, &str) -> bool) -> Result<()> {
    for catalog::Entry { id, text, .. } in po()?.entries {
        assert!(is_right(&id, &text), "{id:?}: {text:?}");
    }
    Ok(())
}

#[test]
fn every_message_has_a_translation_with_the_placeholders_of_its_message() -> Result<()> {
    every_pair(|id, text| !text.is_empty() && placeholders(id) == placeholders(text))
}

#[test]
fn a_translation_begins_and_ends_as_its_message() -> Result<()> {
    // Parts of a sentence are put together as they are: a blank lost at an end is two words in one.
    let end = |end: Option<char>| end.filter(|c| " ,;:.".contains(*c));
    let ends = |text: &str| (end(text.chars().next()), end(text.chars().last()));
    every_pair(|id, text| ends(id) == ends(text))
}

#[test]
fn no_words_go_past_the_catalog() -> Result<()> {
    let (_, strays) = catalog::gather(&catalog::project())?;
    assert!(strays.is_empty(), "{strays:#?}");
    Ok(())
}

#[test]
fn the_catalog_is_written_as_it_is_read() -> Result<()> {
    let text = std::fs::read_to_string(catalog::spanish())?;
    assert_eq!(po()?.write(), text);
    Ok(())
}
