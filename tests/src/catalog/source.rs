//! The messages in the source, and what looks like words but is none of them.

use super::CONTEXT_END;
use super::message::{Said, said};
use anyhow::{Context, Result, anyhow};
use proc_macro2::{Delimiter, Span, TokenStream, TokenTree};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use syn::{Block, Expr, ExprLit, Lit, LitStr, Stmt};

/// A message of the source.
#[derive(Debug, Clone, Default)]
pub struct Message {
    /// Context and text as the app looks it up.
    pub key: String,
    /// What fills its placeholders, as written where it was found first.
    pub fillers: Vec<String>,
    /// The files that say it.
    pub files: Vec<String>,
}

/// A literal that looks like words and goes through no macro.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stray {
    /// File and line.
    pub place: String,
    /// The literal.
    pub text: String,
}

/// All messages of the app in the order of the source, and the strays.
///
/// # Errors
/// A file that cannot be read or is no Rust.
pub fn gather(project: &Path) -> Result<(Vec<Message>, Vec<Stray>)> {
    let mut found = Found::default();
    for file in rust_files(&project.join("app/src"))? {
        let name = name_of(&file, project);
        let is_words = name.contains("/words");
        found.file(
            &file,
            &name,
            if is_words { Kind::Words } else { Kind::Code },
        )?;
    }
    for place in [
        "core/src/data",
        "core/src/study/findings.rs",
        "core/src/study/findings/pulley.rs",
        "core/src/study/findings/voltage.rs",
    ] {
        for file in rust_files(&project.join(place))? {
            found.file(&file, &name_of(&file, project), Kind::Workings)?;
        }
    }
    Ok((found.messages, found.strays))
}

/// What a file's literals are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Words, all of them said by a macro.
    Words,
    /// Ids, classes and keys; words only in a macro.
    Code,
    /// Formulas, names of inputs and citations of the core, which the app looks up when it shows them.
    Workings,
}

fn name_of(file: &Path, project: &Path) -> String {
    let name = file.strip_prefix(project).unwrap_or(file);
    name.to_string_lossy().replace('\\', "/")
}

fn rust_files(place: &Path) -> Result<Vec<PathBuf>> {
    if place.is_file() {
        return Ok(vec![place.to_owned()]);
    }
    let mut files = Vec::new();
    let entries = place
        .read_dir()
        .with_context(|| place.display().to_string())?;
    for entry in entries {
        let path = entry?.path();
        if path.is_dir() || is_source(&path) {
            files.extend(rust_files(&path)?);
        }
    }
    files.sort();
    Ok(files)
}

/// A Rust file that is not a test's.
fn is_source(path: &Path) -> bool {
    path.extension().is_some_and(|ext| ext == "rs") && !path.ends_with("tests.rs")
}

#[derive(Default)]
struct Found {
    messages: Vec<Message>,
    places: BTreeMap<String, usize>,
    strays: Vec<Stray>,
}

impl Found {
    fn file(&mut self, path: &Path, name: &str, kind: Kind) -> Result<()> {
        let text = std::fs::read_to_string(path).with_context(|| path.display().to_string())?;
        let tokens: TokenStream = text.parse().map_err(|error| anyhow!("{name}: {error}"))?;
        self.tokens(
            tokens,
            &mut At {
                name,
                kind,
                field: String::new(),
            },
        )
    }

    fn message(&mut self, key: String, fillers: Vec<String>, file: &str) {
        if !is_wordy(&key) {
            return;
        }
        let place = *self.places.entry(key.clone()).or_insert_with(|| {
            self.messages.push(Message {
                key,
                fillers,
                files: Vec::new(),
            });
            self.messages.len() - 1
        });
        let files = &mut self.messages[place].files;
        if !files.iter().any(|known| known == file) {
            files.push(file.to_owned());
        }
    }

    fn tokens(&mut self, tokens: TokenStream, at: &mut At<'_>) -> Result<()> {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut next = 0;
        while let Some(token) = tokens.get(next) {
            next += 1;
            match token {
                TokenTree::Punct(punct) if punct.as_char() == '#' => {
                    // An attribute; a test's module is none of the app's.
                    let is_inner = |token: &TokenTree| matches!(token, TokenTree::Punct(punct) if punct.as_char() == '!');
                    next += usize::from(tokens.get(next).is_some_and(is_inner));
                    if let Some(TokenTree::Group(group)) = tokens.get(next)
                        && group.delimiter() == Delimiter::Bracket
                    {
                        next += 1;
                        if group.stream().to_string() == "cfg (test)" {
                            let body = |token: &TokenTree| matches!(token, TokenTree::Group(group) if group.delimiter() == Delimiter::Brace);
                            next += tokens[next..].iter().position(body).map_or(0, |at| at + 1);
                        }
                    }
                }
                TokenTree::Ident(ident) => {
                    if let Some([TokenTree::Punct(bang), TokenTree::Group(group)]) =
                        tokens.get(next..next + 2)
                        && bang.as_char() == '!'
                    {
                        let name = ident.to_string();
                        if ["say", "tell", "note"].contains(&name.as_str()) {
                            self.said(group.stream(), name == "note", at)
                                .with_context(|| format!("{}: {group}", at.name))?;
                            next += 2;
                        } else if name == "include_str" || name == "warn" {
                            next += 2;
                        }
                    }
                    at.field = ident.to_string();
                }
                TokenTree::Group(group) => self.tokens(group.stream(), at)?,
                TokenTree::Literal(literal) => {
                    if let Ok(text) = syn::parse_str::<LitStr>(&literal.to_string()) {
                        let is_mark = |at: Option<usize>, marks: &[char]| {
                            let token = at.and_then(|at| tokens.get(at));
                            matches!(token, Some(TokenTree::Punct(punct)) if marks.contains(&punct.as_char()))
                        };
                        let is_pattern = is_mark(Some(next), &['=', '|'])
                            || is_mark(next.checked_sub(2), &['|']);
                        self.literal(&text.value(), literal.span(), is_pattern, at);
                    }
                }
                TokenTree::Punct(_) => {}
            }
        }
        Ok(())
    }

    /// A literal outside the macros.
    fn literal(&mut self, text: &str, span: Span, is_pattern: bool, at: &At<'_>) {
        match at.kind {
            Kind::Workings => {
                let is_shown = match at.field.as_str() {
                    "citation" | "input" | "size" => true,
                    _ => !at.name.contains("/data/") && text.contains(' '),
                };
                if is_shown && !is_pattern {
                    self.message(text.to_owned(), Vec::new(), at.name);
                }
            }
            Kind::Words if is_pattern || is_code(text, &at.field) || !is_wordy(text) => {}
            Kind::Code if is_pattern || !is_sentence(text) => {}
            Kind::Words | Kind::Code if NAMES.contains(&text) => {}
            Kind::Words | Kind::Code => self.strays.push(Stray {
                place: format!("{}:{}", at.name, span.start().line),
                text: text.to_owned(),
            }),
        }
    }

    fn said(&mut self, tokens: TokenStream, is_note: bool, at: &mut At<'_>) -> Result<()> {
        if is_note {
            for text in texts(&syn::parse2(tokens)?) {
                self.message(text, Vec::new(), at.name);
            }
            return Ok(());
        }
        let before = self.strays.len();
        match said(tokens.clone())? {
            Said::Text(text, _) => {
                let literals = if text.context.is_some() { 2 } else { 1 };
                let key = match text.context {
                    Some(context) => format!("{context}{CONTEXT_END}{}", text.text),
                    None => text.text,
                };
                self.message(key, text.fillers, at.name);
                // What fills it may say something too.
                let is_literal = |token: &TokenTree| matches!(token, TokenTree::Literal(_));
                let own = tokens.clone().into_iter().enumerate();
                let own = own.filter(|(_, token)| is_literal(token)).nth(literals - 1);
                let args = tokens
                    .into_iter()
                    .skip(own.map_or(0, |(place, _)| place + 1));
                self.tokens(args.collect(), at)
            }
            Said::Each(expr) => {
                let texts = texts(&expr);
                for text in &texts {
                    self.message(text.clone(), Vec::new(), at.name);
                }
                // What it is picked by may say something too.
                self.tokens(tokens, at)?;
                let inner = self.strays.split_off(before);
                let others = inner
                    .into_iter()
                    .filter(|stray| !texts.contains(&stray.text));
                self.strays.extend(others);
                Ok(())
            }
        }
    }
}

struct At<'a> {
    name: &'a str,
    kind: Kind,
    /// The last name before a literal.
    field: String,
}

/// The texts that an expression may come to.
fn texts(expr: &Expr) -> Vec<String> {
    let of = |exprs: &mut dyn Iterator<Item = &Expr>| exprs.flat_map(texts).collect();
    match expr {
        Expr::Lit(ExprLit {
            lit: Lit::Str(text),
            ..
        }) => vec![text.value()],
        Expr::Array(array) => of(&mut array.elems.iter()),
        Expr::Tuple(tuple) => of(&mut tuple.elems.iter()),
        Expr::Reference(inner) => texts(&inner.expr),
        Expr::Paren(inner) => texts(&inner.expr),
        Expr::Match(one) => of(&mut one.arms.iter().map(|arm| &*arm.body)),
        Expr::If(one) => {
            let mut all = texts_of(&one.then_branch);
            all.extend(one.else_branch.iter().flat_map(|(_, other)| texts(other)));
            all
        }
        Expr::Block(block) => texts_of(&block.block),
        _ => Vec::new(),
    }
}

fn texts_of(block: &Block) -> Vec<String> {
    match block.stmts.last() {
        Some(Stmt::Expr(expr, None)) => texts(expr),
        _ => Vec::new(),
    }
}

/// Names, which no language has of its own.
const NAMES: [&str; 7] = [
    "CARGO_PKG_VERSION",
    "Laneside",
    "English",
    "Español",
    ".car.json",
    "-card.png",
    "all-cars.car.json",
];

/// What is written alike in all languages.
const SYMBOLS: [&str; 22] = [
    "rpm", "mm", "cm", "ft", "in", "kB", "Ah", "Wh", "Hz", "mV", "mΩ", "min", "lbf", "km", "mph",
    "kg", "AGM", "EN", "DIN", "IEC", "AWG", "ms",
];

/// Whether there is a word in a text, its placeholders and symbols of units left out.
fn is_wordy(text: &str) -> bool {
    let mut plain = String::new();
    let mut depth = 0;
    for c in text.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            c if depth == 0 => plain.push(c),
            _ => plain.push(' '),
        }
    }
    plain
        .split(|c: char| !c.is_alphabetic() && c != '\u{ad}')
        .any(|word| word.chars().count() > 1 && !SYMBOLS.contains(&word))
}

/// Whether a literal among words is the name of something in code, by what it is handed to or how it is written.
fn is_code(text: &str, to: &str) -> bool {
    let joined = |c: char| c.is_ascii_lowercase() || c == '_';
    matches!(to, "href_to" | "phase_id") || text.contains('_') && text.chars().all(joined)
}

/// Whether a literal of code reads as if it were for people: a sentence, or a word with a capital.
fn is_sentence(text: &str) -> bool {
    /// Names that browsers give, and formats of styles and pictures.
    const NAMES: [&str; 20] = [
        "BarcodeDetector",
        "CompressionStream",
        "DecompressionStream",
        "ArrowDown",
        "ArrowLeft",
        "ArrowRight",
        "ArrowUp",
        "End",
        "Enter",
        "Escape",
        "Home",
        "NotAllowedError",
        "NotFoundError",
        "PageDown",
        "PageUp",
        "QuotaExceededError",
        "SecurityError",
        "Tab",
        "Space",
        "GestureEvent",
    ];
    let is_capital = text.chars().next().is_some_and(char::is_uppercase);
    let ends = text.ends_with(['.', '?', '!']) && text.contains(' ');
    is_wordy(text) && (is_capital || ends) && !NAMES.contains(&text)
}
