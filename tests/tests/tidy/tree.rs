//! Which file defines what a path means.
//!
//! A crate's files are read as Rust finds them, from `lib.rs` along its `mod` lines. A path leads through modules and
//! re-exports to the file in which the item stands: a `mod.rs` that re-exports is a door, and who goes through a door
//! depends on the room.

use super::code;
use proc_macro2::{Delimiter, TokenTree};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A path as its names.
pub(super) type Names = Vec<String>;

/// For each file the files that define what it uses, and what that is.
pub(super) type Ties<'a> = BTreeMap<&'a str, BTreeMap<&'a str, BTreeSet<String>>>;

/// One file, which is one module.
pub(super) struct File {
    /// Where it is, from the top level.
    pub(super) path: String,
    /// Its module, the crate's name first.
    pub(super) module: Names,
    /// What it says.
    pub(super) words: Vec<TokenTree>,
    /// The items that it defines, and what stands in its macros' calls, which may define more.
    items: BTreeSet<String>,
    /// The modules that it declares.
    modules: BTreeSet<String>,
    /// What it imports, and under which name; a glob's is `*`.
    imports: Vec<(String, Names)>,
    /// All paths that it uses, among them its imports but for re-exports, and single names.
    pub(super) paths: Vec<Names>,
}

impl File {
    fn read(top: &Path, path: &str, module: Names) -> Self {
        let words = code::words(&fs::read_to_string(top.join(path)).unwrap());
        let mut file = Self {
            path: path.to_owned(),
            module,
            items: BTreeSet::new(),
            modules: BTreeSet::new(),
            imports: Vec::new(),
            paths: Vec::new(),
            words: Vec::new(),
        };
        file.top(&words);
        file.look(&words);
        file.words = words;
        file
    }

    /// Notes what stands at the top of the file.
    fn top(&mut self, words: &[TokenTree]) {
        for at in 0..words.len() {
            let word = |n: usize| words.get(at + n).map(ToString::to_string).unwrap_or_default();
            match word(0).as_str() {
                "mod" if word(2) == ";" => drop(self.modules.insert(word(1))),
                "struct" | "enum" | "union" | "trait" | "type" | "fn" | "static" | "mod" => {
                    self.items.insert(word(1));
                }
                "const" => self.items.extend([word(1), word(2)]),
                "macro_rules" => drop(self.items.insert(word(2))),
                "!" => {
                    if let Some(TokenTree::Group(group)) = words.get(at + 1) {
                        self.items.extend(group.stream().into_iter().map(|word| word.to_string()));
                    }
                }
                _ => {}
            }
        }
    }

    /// Notes every path in `words`.
    fn look(&mut self, words: &[TokenTree]) {
        let mut at = 0;
        while let Some(word) = words.get(at) {
            let before = at.checked_sub(1).map(|at| words[at].to_string()).unwrap_or_default();
            match word {
                TokenTree::Ident(name) if name == "use" => {
                    let end = words[at..].iter().position(|word| word.to_string() == ";").unwrap_or(0);
                    // `pub`, alone or with where it is seen.
                    let public = before == "pub" || before.starts_with('(');
                    self.import(&words[at + 1..at + end], &Vec::new(), public);
                    at += end;
                }
                // A field or a method, or a field's name before its value.
                TokenTree::Ident(_) if before == "." => {}
                TokenTree::Ident(_) => {
                    let names = path(&words[at..]);
                    at += (names.len() - 1) * 3;
                    self.paths.push(names);
                }
                TokenTree::Group(group) => self.look(&group.stream().into_iter().collect::<Vec<_>>()),
                _ => {}
            }
            at += 1;
        }
    }

    /// Notes the tree of an import, `before` being what stands before it.
    fn import(&mut self, tree: &[TokenTree], before: &Names, public: bool) {
        for branch in tree.split(|word| word.to_string() == ",") {
            let mut names = before.clone();
            let mut known_as = None;
            for (at, word) in branch.iter().enumerate() {
                match word {
                    TokenTree::Group(group) if group.delimiter() == Delimiter::Brace => {
                        self.import(&group.stream().into_iter().collect::<Vec<_>>(), &names, public);
                        names.clear();
                    }
                    TokenTree::Ident(name) if name == "as" => {
                        known_as = branch.get(at + 1).map(ToString::to_string);
                        break;
                    }
                    TokenTree::Punct(sign) if sign.as_char() == ':' => {}
                    name => names.push(name.to_string()),
                }
            }
            if names.len() > 1 && names.last().is_some_and(|name| name == "self") {
                names.pop();
            }
            let Some(name) = known_as.or_else(|| names.last().cloned()) else { continue };
            // A door is no tie by itself; whoever uses the name that it re-exports has one.
            if !public {
                self.paths.push(names.clone());
            }
            self.imports.push((name, names));
        }
    }
}

/// The names that `::` joins from here on.
fn path(words: &[TokenTree]) -> Names {
    let mut names = vec![words[0].to_string()];
    for next in words[1..].chunks(3) {
        match next {
            [TokenTree::Punct(one), TokenTree::Punct(other), TokenTree::Ident(name)]
                if one.as_char() == ':' && other.as_char() == ':' =>
            {
                names.push(name.to_string());
            }
            _ => break,
        }
    }
    names
}

/// All files of the crates.
pub(super) struct Tree {
    /// By their module.
    pub(super) files: BTreeMap<Names, File>,
}

impl Tree {
    /// Reads the crates: for each its name and its folder of sources, from `top`.
    pub(super) fn read(top: &Path, crates: &[(&str, &str)]) -> Self {
        let mut files = BTreeMap::new();
        let mut open: Vec<(String, String, Names)> = crates
            .iter()
            .map(|(name, folder)| {
                (format!("{folder}/lib.rs"), (*folder).to_owned(), vec![(*name).to_owned()])
            })
            .collect();
        while let Some((path, folder, module)) = open.pop() {
            let file = File::read(top, &path, module);
            for name in &file.modules {
                let inner = format!("{folder}/{name}");
                let alone = format!("{inner}.rs");
                let path = if top.join(&alone).exists() { alone } else { format!("{inner}/mod.rs") };
                let module = file.module.iter().chain([name]).cloned().collect();
                open.push((path, inner, module));
            }
            files.insert(file.module.clone(), file);
        }
        Self { files }
    }

    /// `names` from the crate's name on, where they begin with `crate`, `self`, `super` or the name of a crate.
    pub(super) fn absolute(&self, file: &File, names: &[String]) -> Option<Names> {
        let ups = names.iter().take_while(|name| ["self", "super"].contains(&&***name));
        let up = ups.clone().filter(|name| *name == "super").count();
        let (of, behind) = match names.first()?.as_str() {
            "crate" => (&file.module[..1], &names[1..]),
            "self" | "super" => (&file.module[..file.module.len() - up], &names[ups.count()..]),
            root => (&self.files.get(&[root.to_owned()][..])?.module[..], &names[1..]),
        };
        Some(of.iter().chain(behind).cloned().collect())
    }

    /// The file that defines what `names` mean in `file`, and the name of the item there.
    pub(super) fn resolve<'a>(&'a self, file: &'a File, names: &[String]) -> Option<(&'a File, String)> {
        self.meant(file, names, 0)
    }

    fn meant<'a>(&'a self, file: &'a File, names: &[String], depth: usize) -> Option<(&'a File, String)> {
        // Re-exports lead somewhere after a few steps, or in a circle of globs that does not matter.
        if depth > 8 {
            return None;
        }
        match self.absolute(file, names) {
            Some(names) => self.inside(&self.files[&names[..1]], &names[1..], depth),
            None => self.inside(file, names, depth),
        }
    }

    /// What `names` mean, seen from within the module of `file`.
    fn inside<'a>(&'a self, file: &'a File, names: &[String], depth: usize) -> Option<(&'a File, String)> {
        let (head, rest) = names.split_first()?;
        if file.modules.contains(head) {
            let module: Names = file.module.iter().chain([head]).cloned().collect();
            if let found @ Some(_) = self.inside(&self.files[&module], rest, depth) {
                return found;
            }
        }
        if file.items.contains(head) {
            return Some((file, head.clone()));
        }
        file.imports.iter().filter(|(name, _)| name == head || name == "*").find_map(|(name, import)| {
            let import = import.iter().filter(|name| *name != "*");
            let behind = if name == "*" { names } else { rest };
            let whole: Names = import.chain(behind).cloned().collect();
            self.meant(file, &whole, depth + 1)
        })
    }

    /// Who depends on whom.
    pub(super) fn ties(&self) -> Ties<'_> {
        let mut ties = Ties::new();
        for file in self.files.values() {
            let from = ties.entry(file.path.as_str()).or_default();
            for names in &file.paths {
                if let Some((to, item)) = self.resolve(file, names)
                    && to.path != file.path
                {
                    from.entry(to.path.as_str()).or_default().insert(item);
                }
            }
        }
        ties
    }
}

#[test]
fn a_path_leads_through_a_door_to_the_file_behind() {
    let top = tempfile::tempdir().unwrap();
    let files = [
        ("lib.rs", "mod a;\nmod room;\n#[cfg(test)]\nmod tests;"),
        ("a.rs", "use crate::room::{B, c as d};\npub struct A(B);"),
        ("room/mod.rs", "mod b;\npub use b::*;\npub use b::inner as c;"),
        (
            "room/b.rs",
            "pub struct B;\nfn f() { g(&[super::super::a::A::new()]) }\n#[cfg(test)]\nuse crate::a::T;",
        ),
    ];
    fs::create_dir(top.path().join("room")).unwrap();
    for (file, text) in files {
        fs::write(top.path().join(file), text).unwrap();
    }
    let tree = Tree::read(top.path(), &[("it", ".")]);
    let said: Vec<String> = tree
        .ties()
        .into_iter()
        .flat_map(|(from, to)| to.into_iter().map(move |(to, items)| format!("{from} {to} {items:?}")))
        .collect();
    assert_eq!(said, [r#"./a.rs ./room/b.rs {"B"}"#, r#"./room/b.rs ./a.rs {"A"}"#]);
}
