//! Rust as its words: comments and documentation gone, and what only tests see left out.

use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};
use std::collections::BTreeSet;

/// What `text`, which must be Rust, says to those who build without tests.
pub(super) fn words(text: &str) -> Vec<TokenTree> {
    kept(text.parse().unwrap())
}

/// How many lines have code on them.
pub(super) fn lines(words: &[TokenTree]) -> usize {
    let mut lines = BTreeSet::new();
    mark(words, &mut lines);
    lines.len()
}

/// What is left of `tokens` without documentation and tests.
fn kept(tokens: TokenStream) -> Vec<TokenTree> {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let (mut found, mut rest) = (Vec::new(), &tokens[..]);
    while let Some((first, behind)) = rest.split_first() {
        rest = if let Some(behind) = attribute(rest, "doc") {
            behind
        } else if let Some(behind) = attribute(rest, "cfg(test)") {
            &behind[item(behind)..]
        } else {
            found.push(match first {
                TokenTree::Group(group) => {
                    let inside = kept(group.stream()).into_iter().collect();
                    let mut inside = Group::new(group.delimiter(), inside);
                    inside.set_span(group.span());
                    inside.into()
                }
                other => other.clone(),
            });
            behind
        };
    }
    found
}

/// What stands behind the attribute that begins `tokens`, if its text begins with `said`.
fn attribute<'a>(tokens: &'a [TokenTree], said: &str) -> Option<&'a [TokenTree]> {
    let (first, behind) = tokens.split_first()?;
    let behind = match behind.split_first() {
        Some((inner, behind)) if inner.to_string() == "!" => behind,
        _ => behind,
    };
    match behind.split_first()? {
        (TokenTree::Group(group), behind) if first.to_string() == "#" => {
            let text: String = group.stream().into_iter().map(|word| word.to_string()).collect();
            text.starts_with(said).then_some(behind)
        }
        _ => None,
    }
}

/// How many words the item that begins here has, its attributes included.
fn item(words: &[TokenTree]) -> usize {
    let imports = words.iter().take(3).any(|word| word.to_string() == "use");
    let ends = |word: &TokenTree| match word {
        TokenTree::Group(group) => group.delimiter() == Delimiter::Brace && !imports,
        TokenTree::Punct(sign) => sign.as_char() == ';',
        _ => false,
    };
    words.iter().position(ends).map_or(words.len(), |last| last + 1)
}

fn mark(words: &[TokenTree], lines: &mut BTreeSet<usize>) {
    for word in words {
        if let TokenTree::Group(group) = word {
            lines.insert(group.span_open().start().line);
            lines.insert(group.span_close().end().line);
            mark(&group.stream().into_iter().collect::<Vec<_>>(), lines);
        } else {
            lines.extend(word.span().start().line..=word.span().end().line);
        }
    }
}

#[test]
fn comments_documentation_and_tests_are_no_code() {
    let text = "//! Header.\nuse b; /* c */\n/// Said.\nlet f = (\"\n\n\");\n#[cfg(test)]\n#[path = \"x\"]\nmod tests {\n \
                fn k() {}\n}\n#[cfg(test)]\npub(super) mod l;\n#[cfg(test)]\nuse m::{n};\n// No.\nfn o() -> [u8; 2] {\n\n}\n";
    let words = words(text);
    let said: String = words.iter().map(ToString::to_string).collect();
    assert_eq!(said, "useb;letf=(\"\n\n\");fno()->[u8 ; 2]{ }");
    assert_eq!(lines(&words), 6);
}
