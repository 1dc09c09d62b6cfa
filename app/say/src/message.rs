//! What a call of `say!` says: its texts, their placeholders and what fills them.
//!
//! The catalog's test reads the app's source with this file too.

use proc_macro2::{Span, TokenStream};
use quote::quote;
use syn::parse::{Parse, ParseStream, Parser};
use syn::punctuated::Punctuated;
use syn::{Error, Expr, ExprLit, Ident, Lit, LitStr, Result, Token};

/// A message: the English text, its placeholders numbered by what fills them.
pub struct Text {
    /// What tells it from another that is written alike.
    pub context: Option<String>,
    /// The text; the first placeholder is `{0}`.
    pub text: String,
    /// What each placeholder stands for, for who translates it.
    #[allow(dead_code, reason = "read by the catalog's test alone")]
    pub fillers: Vec<String>,
}

/// What is said.
pub enum Said {
    /// A text with what fills it, each ready to be shown.
    Text(Text, Vec<TokenStream>),
    /// Every text in an expression.
    Each(Expr),
}

/// An argument of a text: `expr` or `name = expr`.
struct Arg {
    name: Option<Ident>,
    value: Expr,
}

impl Parse for Arg {
    fn parse(input: ParseStream<'_>) -> Result<Self> {
        let name = if input.peek(Ident) && input.peek2(Token![=]) && !input.peek2(Token![==]) {
            let name = input.parse()?;
            input.parse::<Token![=]>()?;
            Some(name)
        } else {
            None
        };
        let value = input.parse()?;
        Ok(Self { name, value })
    }
}

/// Reads the tokens of a call.
///
/// # Errors
/// A text that `format!` would not take, or an argument that nothing uses.
pub fn said(tokens: TokenStream) -> Result<Said> {
    parse.parse2(tokens)
}

fn parse(input: ParseStream<'_>) -> Result<Said> {
    let context = if input.peek(Token![in]) {
        input.parse::<Token![in]>()?;
        let context: LitStr = input.parse()?;
        input.parse::<Token![,]>()?;
        Some(context.value())
    } else {
        None
    };
    let first: Expr = input.parse()?;
    let literal = match &first {
        Expr::Lit(ExprLit {
            lit: Lit::Str(literal),
            ..
        }) => Some(literal.clone()),
        _ => None,
    };
    let mut args = Punctuated::<Arg, Token![,]>::new();
    if input.peek(Token![,]) {
        input.parse::<Token![,]>()?;
        args = Punctuated::parse_terminated(input)?;
    }
    match literal {
        Some(literal) => text(context, &literal, &args),
        None if context.is_none() && args.is_empty() => Ok(Said::Each(first)),
        None => {
            Err(input.error("say! takes one text and what fills it, or one expression of texts"))
        }
    }
}

/// Numbers the placeholders of a text and finds what fills each.
fn text(
    context: Option<String>,
    literal: &LitStr,
    args: &Punctuated<Arg, Token![,]>,
) -> Result<Said> {
    let wrong = |what: &str| Error::new(literal.span(), what);
    let source = literal.value();
    let (mut text, mut rest) = (String::new(), source.as_str());
    let mut used = vec![false; args.len()];
    let mut next = 0;
    // What each placeholder shows, as written in the source.
    let mut shown: Vec<(TokenStream, String)> = Vec::new();
    while let Some(at) = rest.find(['{', '}']) {
        text.push_str(&rest[..at]);
        let inside = rest[at..]
            .strip_prefix('{')
            .and_then(|from| from.split_once('}'));
        let (inside, after) = inside.ok_or_else(|| wrong("a brace without its other one"))?;
        rest = after;
        let (name, format) = inside.split_once(':').unwrap_or((inside, ""));
        let by_place = if name.is_empty() {
            next += 1;
            Some(next - 1)
        } else {
            name.parse().ok()
        };
        let by_place = by_place.or_else(|| {
            args.iter()
                .position(|arg| arg.name.as_ref().is_some_and(|given| given == name))
        });
        let value = if let Some(place) = by_place {
            let arg = args
                .get(place)
                .ok_or_else(|| wrong("a placeholder that nothing fills"))?;
            used[place] = true;
            let value = &arg.value;
            quote!(#value)
        } else {
            let name: Ident = syn::parse_str(name)
                .map(|name: Ident| Ident::new(&name.to_string(), literal.span()))
                .map_err(|_| wrong("a placeholder that is no name"))?;
            quote!(#name)
        };
        let value = if format.is_empty() {
            value
        } else {
            let format = LitStr::new(&format!("{{:{format}}}"), Span::call_site());
            quote!(format_args!(#format, #value))
        };
        let written = value.to_string();
        let place = shown.iter().position(|(_, other)| *other == written);
        let place = place.unwrap_or_else(|| {
            shown.push((value, written));
            shown.len() - 1
        });
        if place > 9 {
            return Err(wrong("more than ten placeholders"));
        }
        text.push_str(&format!("{{{place}}}"));
    }
    text.push_str(rest);
    if used.contains(&false) {
        return Err(wrong("an argument that nothing shows"));
    }
    let (values, fillers) = shown.into_iter().unzip();
    Ok(Said::Text(
        Text {
            context,
            text,
            fillers,
        },
        values,
    ))
}
