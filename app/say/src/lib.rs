//! The macros that every word shown to a person goes through.
//!
//! The English text is the id of its message, as in gettext. `say!` expands to a look into the table of the language
//! in use; where there is none, the English stands. The messages of the source are gathered by the same reader
//! ([`message`]) that the macros use, so that none can be said without being in the catalog.

mod message;

use message::{Said, Text};
use proc_macro::TokenStream;
use proc_macro2::TokenStream as Tokens;
use quote::quote;
use syn::{Arm, Expr, ExprArray, ExprBlock, ExprIf, ExprMatch, ExprTuple, Stmt};

/// Says something in the language in use.
///
/// - `say!("Close")` is a `&'static str`.
/// - `say!("{place} is {}", size)` is a `String`; placeholders and arguments are those of `format!`.
/// - `say!(in "noun", "lap")` tells one word from another that is written alike.
/// - `say!(match kind { Kind::A => "one", Kind::B => "other" })`, and the same with `if`, a list or a tuple, says
///   every text in it; what is no text stays as it is.
#[proc_macro]
pub fn say(input: TokenStream) -> TokenStream {
    let said = message::said(input.into());
    said.map_or_else(|error| error.to_compile_error(), |said| expand(&said))
        .into()
}

/// As `say!("...")`, as a `String`.
#[proc_macro]
pub fn tell(input: TokenStream) -> TokenStream {
    match message::said(input.into()) {
        Ok(Said::Text(
            Text {
                context: None,
                text,
                ..
            },
            args,
        )) => quote!(crate::words::tongue::fill(#text, &[#(&(#args)),*])).into(),
        Ok(_) => quote!(compile_error!("tell! takes one text and what fills it")).into(),
        Err(error) => error.to_compile_error().into(),
    }
}

/// Marks texts for the catalog and leaves them as they are: what keeps them looks them up when it shows them
/// (`words::tongue::look`).
#[proc_macro]
pub fn note(input: TokenStream) -> TokenStream {
    input
}

fn expand(said: &Said) -> Tokens {
    match said {
        Said::Text(Text { context, text, .. }, args) if args.is_empty() => match context {
            Some(context) => quote!(crate::words::tongue::look_in(#context, #text)),
            None => quote!(crate::words::tongue::look(#text)),
        },
        Said::Text(Text { text, .. }, args) => {
            quote!(crate::words::tongue::fill(#text, &[#(&(#args)),*]))
        }
        Said::Each(expr) => each(expr),
    }
}

/// Looks up every text of an expression: as a whole where it is one text, part by part where it has several.
fn each(expr: &Expr) -> Tokens {
    match expr {
        // One loop instead of a call for each.
        Expr::Array(ExprArray { elems, .. })
            if elems.iter().all(|elem| matches!(elem, Expr::Lit(_))) =>
        {
            quote!(crate::words::tongue::look_each([#elems]))
        }
        Expr::Array(ExprArray { elems, .. }) => {
            let elems = elems.iter().map(each);
            quote!([#(#elems),*])
        }
        Expr::Tuple(ExprTuple { elems, .. }) => {
            let elems = elems.iter().map(each);
            quote!((#(#elems),*))
        }
        Expr::Match(ExprMatch { expr, arms, .. }) if has_parts(&arms_of(arms)) => {
            let arms = arms.iter().map(
                |Arm {
                     pat, guard, body, ..
                 }| {
                    let guard = guard.as_ref().map(|(_, guard)| quote!(if #guard));
                    let body = each(body);
                    quote!(#pat #guard => #body)
                },
            );
            quote!(match #expr { #(#arms),* })
        }
        Expr::If(ExprIf {
            cond,
            then_branch,
            else_branch: Some((_, other)),
            ..
        }) if has_parts(&[expr]) => {
            let then = last(&then_branch.stmts).map(each);
            let other = each(other);
            quote!(if #cond { #then } else { #other })
        }
        Expr::Block(ExprBlock { block, .. }) if block.stmts.len() == 1 => {
            let last = last(&block.stmts).map(each);
            quote!({ #last })
        }
        one => quote!(crate::words::tongue::look(#one)),
    }
}

fn arms_of(arms: &[Arm]) -> Vec<&Expr> {
    arms.iter().map(|arm| &*arm.body).collect()
}

fn last(stmts: &[Stmt]) -> Option<&Expr> {
    match stmts.last()? {
        Stmt::Expr(expr, None) => Some(expr),
        _ => None,
    }
}

/// Whether any of these ends in more than one text.
fn has_parts(ends: &[&Expr]) -> bool {
    ends.iter().any(|end| match end {
        Expr::Array(_) | Expr::Tuple(_) => true,
        Expr::Match(inner) => has_parts(&arms_of(&inner.arms)),
        Expr::If(inner) => {
            last(&inner.then_branch.stmts).is_some_and(|then| has_parts(&[then]))
                || inner
                    .else_branch
                    .as_ref()
                    .is_some_and(|(_, other)| has_parts(&[other]))
        }
        Expr::Block(inner) => last(&inner.block.stmts).is_some_and(|last| has_parts(&[last])),
        _ => false,
    })
}
