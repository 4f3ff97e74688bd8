//! What a source file names from elsewhere: each path resolved to a module of the crate
//! or to an outside crate, whether it stands in a `use`, inline, or inside a macro.

use std::collections::BTreeSet;

use proc_macro2::{Spacing, TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Item, UseTree};

/// A path that leaves the place where it is written.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Named {
    /// The line of the file.
    pub line: usize,
    /// The whole path, from the crate's root (`crate::…`) or from an outside crate.
    pub path: Vec<String>,
    /// Whether only tests see it.
    pub in_tests: bool,
}

/// Every path of two segments or more in a file of the module `at` (`["lay", "search"]`),
/// and every `use`, with `self` and `super` walked to the crate's root.
pub fn named(text: &str, at: &[String], in_tests: bool) -> Result<BTreeSet<Named>, syn::Error> {
    let file = syn::parse_file(text)?;
    let mut finder = Finder { at: at.to_vec(), in_tests, found: BTreeSet::new() };
    finder.visit_file(&file);
    Ok(finder.found)
}

/// The modules in files of their own that this file declares for tests alone.
pub fn test_modules(text: &str) -> Vec<String> {
    let items = syn::parse_file(text).map(|file| file.items).unwrap_or_default();
    let modules = items.into_iter().filter_map(|item| match item {
        Item::Mod(module) if module.content.is_none() && is_test(&module.attrs) => Some(module.ident.to_string()),
        _ => None,
    });
    modules.collect()
}

struct Finder {
    at: Vec<String>,
    in_tests: bool,
    found: BTreeSet<Named>,
}

impl Finder {
    fn add(&mut self, line: usize, segments: &[String]) {
        let path = resolved(&self.at, segments);
        self.found.insert(Named { line, path, in_tests: self.in_tests });
    }

    fn add_tree(&mut self, tree: &UseTree, mut before: Vec<String>) {
        match tree {
            UseTree::Path(path) => {
                before.push(path.ident.to_string());
                self.add_tree(&path.tree, before);
            }
            UseTree::Group(group) => group.items.iter().for_each(|item| self.add_tree(item, before.clone())),
            UseTree::Name(name) => {
                before.push(name.ident.to_string());
                self.add(name.ident.span().start().line, &before);
            }
            UseTree::Rename(name) => {
                before.push(name.ident.to_string());
                self.add(name.ident.span().start().line, &before);
            }
            UseTree::Glob(glob) => {
                before.push("*".into());
                self.add(glob.star_token.spans[0].start().line, &before);
            }
        }
    }

    /// Paths among the bare tokens of a macro or an attribute: `a::b`, groups included.
    fn add_tokens(&mut self, tokens: TokenStream) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while at < tokens.len() {
            let mut segments = Vec::new();
            let line = tokens[at].span().start().line;
            if let TokenTree::Group(group) = &tokens[at] {
                self.add_tokens(group.stream());
            }
            while let Some(TokenTree::Ident(ident)) = tokens.get(at) {
                segments.push(ident.to_string());
                if !is_colons(&tokens[at + 1..]) {
                    break;
                }
                at += 3;
            }
            if segments.len() > 1 {
                self.add(line, &segments);
            }
            at += 1;
        }
    }
}

impl<'ast> Visit<'ast> for Finder {
    fn visit_item(&mut self, item: &'ast Item) {
        let was = self.in_tests;
        self.in_tests |= is_test(attributes(item));
        visit::visit_item(self, item);
        self.in_tests = was;
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        self.at.push(item.ident.to_string());
        visit::visit_item_mod(self, item);
        self.at.pop();
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        self.add_tree(&item.tree, Vec::new());
    }

    fn visit_item_extern_crate(&mut self, item: &'ast syn::ItemExternCrate) {
        self.add(item.ident.span().start().line, &[item.ident.to_string(), "*".into()]);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let segments: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
        if segments.len() > 1 {
            let line = path.segments[0].ident.span().start().line;
            self.add(line, &segments);
        }
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, mac: &'ast syn::Macro) {
        self.add_tokens(mac.tokens.clone());
        visit::visit_macro(self, mac);
    }

    fn visit_meta_list(&mut self, list: &'ast syn::MetaList) {
        self.add_tokens(list.tokens.clone());
        visit::visit_meta_list(self, list);
    }
}

/// A path from the root: `self` and `super` walked, `bodkin` (what `main` says) taken for the crate.
fn resolved(at: &[String], segments: &[String]) -> Vec<String> {
    let mut here = at.to_vec();
    let mut relative = false;
    let mut rest = segments;
    while let Some((first, after)) = rest.split_first() {
        match first.as_str() {
            "self" => relative = true,
            "super" => {
                relative = true;
                here.pop();
            }
            _ => break,
        }
        rest = after;
    }
    if relative {
        return [vec!["crate".to_string()], here, rest.to_vec()].concat();
    }
    let mut path = segments.to_vec();
    if path[0] == "bodkin" {
        path[0] = "crate".into();
    }
    path
}

fn is_colons(tokens: &[TokenTree]) -> bool {
    matches!(tokens, [TokenTree::Punct(a), TokenTree::Punct(b), TokenTree::Ident(_), ..]
        if a.as_char() == ':' && b.as_char() == ':' && a.spacing() == Spacing::Joint)
}

/// Whether one of the attributes is `#[cfg(test)]`.
fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("cfg")
            && attribute.parse_args::<syn::Ident>().is_ok_and(|condition| condition == "test")
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Mod(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Const(item) => &item.attrs,
        _ => &[],
    }
}
