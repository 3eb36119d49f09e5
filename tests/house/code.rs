//! The code of `src` as files, what each takes from which, and its functions.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt;
use std::path::Path;

use syn::visit::Visit;

/// A file by its path below `src`, without its ending.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileName(String);

impl FileName {
    /// The room it stands in: the first part of its path.
    pub fn room(&self) -> String {
        self.0.split('/').next().unwrap_or_default().to_owned()
    }

    /// The module it is: `check`, `value`, `bands`.
    fn module(&self) -> Vec<String> {
        let parts = self.0.split('/').filter(|part| !matches!(*part, "mod" | "lib" | "main"));
        parts.map(str::to_owned).collect()
    }
}

impl fmt::Display for FileName {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

/// A function as it stands in its file.
#[derive(Debug)]
pub struct Function {
    /// Where.
    pub file: FileName,
    /// Its name.
    pub name: String,
    /// How many lines it takes.
    pub lines: usize,
    /// Whether users of the library can call it.
    pub public: bool,
    /// Whether its comment holds an example.
    pub example: bool,
}

/// What a module names: its children, and what it takes over from elsewhere.
#[derive(Debug, Default)]
struct Module {
    file: Option<FileName>,
    /// A name taken over, the path it stands for, and whether it is handed on to others.
    taken: HashMap<String, Vec<String>>,
    /// Paths that the module's own code uses.
    used: Vec<Vec<String>>,
}

/// All of `src`.
#[derive(Debug, Default)]
pub struct Code {
    modules: BTreeMap<Vec<String>, Module>,
    functions: Vec<Function>,
}

impl Code {
    /// Reads every file below a folder.
    pub fn read(folder: &Path) -> Code {
        let mut code = Code::default();
        for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
            let entry = entry.expect("the sources");
            let path = entry.path();
            if path.extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let name = path.strip_prefix(folder).expect("inside").with_extension("");
            let name = FileName(name.to_string_lossy().replace('\\', "/"));
            let text = std::fs::read_to_string(path).expect("a source");
            let tree = syn::parse_file(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
            if tree.attrs.iter().any(is_of_tests) || is_test_file(&name) {
                continue;
            }
            code.add(&name, &tree);
        }
        code
    }

    fn add(&mut self, name: &FileName, tree: &syn::File) {
        let mut reader = Reader::new(name);
        reader.visit_file(tree);
        self.functions.append(&mut reader.functions);
        for (path, read) in reader.modules {
            self.modules.insert(path, read);
        }
    }

    /// Every file.
    pub fn files(&self) -> impl Iterator<Item = &FileName> {
        self.modules.values().filter_map(|module| module.file.as_ref())
    }

    /// Every function outside tests.
    pub fn functions(&self) -> impl Iterator<Item = &Function> {
        self.functions.iter()
    }

    /// Which file takes from which other: `lib.rs` and `main.rs`, which stand above all rooms, left out.
    pub fn arrows(&self) -> BTreeSet<(FileName, FileName)> {
        let mut arrows = BTreeSet::new();
        for (at, module) in &self.modules {
            let Some(from) = &module.file else { continue };
            for path in &module.used {
                let target = self.resolve(at, path, 0).and_then(|module| self.modules[&module].file.clone());
                let Some(to) = target else { continue };
                let apart = |name: &FileName| matches!(name.0.as_str(), "lib" | "main");
                if *from != to && !apart(from) && !apart(&to) {
                    arrows.insert((from.clone(), to));
                }
            }
        }
        arrows
    }

    /// The module in which a path's last name is made, as seen from a module. `None`: outside this crate.
    fn resolve(&self, from: &[String], path: &[String], depth: usize) -> Option<Vec<String>> {
        if depth > 16 {
            return None;
        }
        let mut at = from.to_vec();
        let mut names = path.iter().peekable();
        let mut moved = false;
        while let Some(name) = names.peek() {
            match name.as_str() {
                "crate" => at.clear(),
                "self" => {}
                "super" => drop(at.pop()),
                _ => break,
            }
            moved = true;
            names.next();
        }
        while let Some(name) = names.next() {
            let mut child = at.clone();
            child.push(name.clone());
            if self.modules.contains_key(&child) {
                at = child;
            } else if let Some(stands_for) = self.modules.get(&at).and_then(|module| module.taken.get(name)) {
                let whole: Vec<String> = stands_for.iter().chain(names.clone()).cloned().collect();
                // A name that stands for itself is a crate's.
                return if whole.first() == Some(name) && !self.starts_inside(&at, name) {
                    None
                } else {
                    self.resolve(&at, &whole, depth + 1)
                };
            } else {
                // A thing of this module, or the first name of another crate.
                return moved.then_some(at);
            }
            moved = true;
        }
        moved.then_some(at)
    }

    fn starts_inside(&self, at: &[String], name: &str) -> bool {
        let mut child = at.to_vec();
        child.push(name.to_owned());
        matches!(name, "crate" | "self" | "super") || self.modules.contains_key(&child)
    }
}

fn is_test_file(name: &FileName) -> bool {
    name.0.ends_with("/tests") || name.0.contains("/tests/")
}

fn is_of_tests(attribute: &syn::Attribute) -> bool {
    attribute.path().is_ident("cfg")
        && attribute.meta.require_list().is_ok_and(|list| list.tokens.to_string() == "test")
}

/// Reads one file's tree.
struct Reader<'a> {
    file: &'a FileName,
    at: Vec<String>,
    modules: BTreeMap<Vec<String>, Module>,
    functions: Vec<Function>,
}

impl<'a> Reader<'a> {
    fn new(file: &'a FileName) -> Reader<'a> {
        let at = file.module();
        let modules =
            BTreeMap::from([(at.clone(), Module { file: Some(file.clone()), ..Module::default() })]);
        Reader { file, at, modules, functions: Vec::new() }
    }

    fn module(&mut self) -> &mut Module {
        self.modules.entry(self.at.clone()).or_default()
    }

    fn take(&mut self, tree: &syn::UseTree, before: &[String], handed_on: bool) {
        let mut path = before.to_vec();
        match tree {
            syn::UseTree::Path(inner) => {
                path.push(inner.ident.to_string());
                self.take(&inner.tree, &path, handed_on);
            }
            syn::UseTree::Group(group) => {
                group.items.iter().for_each(|item| self.take(item, before, handed_on));
            }
            syn::UseTree::Name(name) if name.ident == "self" => {
                let last = path.last().cloned().unwrap_or_default();
                self.takes(last, path, handed_on);
            }
            syn::UseTree::Name(name) => {
                path.push(name.ident.to_string());
                self.takes(name.ident.to_string(), path, handed_on);
            }
            syn::UseTree::Rename(renamed) => {
                if renamed.ident != "self" {
                    path.push(renamed.ident.to_string());
                }
                self.takes(renamed.rename.to_string(), path, handed_on);
            }
            syn::UseTree::Glob(_) => self.module().used.push(path),
        }
    }

    fn takes(&mut self, name: String, path: Vec<String>, handed_on: bool) {
        let module = self.module();
        if !handed_on {
            module.used.push(path.clone());
        }
        module.taken.insert(name, path);
    }

    fn function(
        &mut self,
        signature: &syn::Signature,
        block: &syn::Block,
        public: bool,
        attributes: &[syn::Attribute],
    ) {
        let documents = attributes.iter().filter(|attribute| attribute.path().is_ident("doc"));
        let example = documents.filter_map(doc_text).any(|line| line.contains("```"));
        let (first, last) = (signature.fn_token.span.start().line, block.brace_token.span.close().end().line);
        let (file, name) = (self.file.clone(), signature.ident.to_string());
        self.functions.push(Function { file, name, lines: last - first + 1, public, example });
    }
}

fn doc_text(attribute: &syn::Attribute) -> Option<String> {
    let value = &attribute.meta.require_name_value().ok()?.value;
    match value {
        syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(text), .. }) => Some(text.value()),
        _ => None,
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if item.attrs.iter().any(is_of_tests) {
            return;
        }
        if let Some((_, items)) = &item.content {
            self.at.push(item.ident.to_string());
            let file = self.file.clone();
            self.module().file = Some(file);
            items.iter().for_each(|item| self.visit_item(item));
            self.at.pop();
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        if item.attrs.iter().any(is_of_tests) {
            return;
        }
        let handed_on = !matches!(item.vis, syn::Visibility::Inherited);
        self.take(&item.tree, &[], handed_on);
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if item.attrs.iter().any(is_of_tests) {
            return;
        }
        let public = matches!(item.vis, syn::Visibility::Public(_));
        self.function(&item.sig, &item.block, public, &item.attrs);
        syn::visit::visit_item_fn(self, item);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if item.attrs.iter().any(is_of_tests) {
            return;
        }
        let public = matches!(item.vis, syn::Visibility::Public(_));
        self.function(&item.sig, &item.block, public, &item.attrs);
        syn::visit::visit_impl_item_fn(self, item);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Vec<String> = path.segments.iter().map(|part| part.ident.to_string()).collect();
        if names.len() > 1 {
            self.module().used.push(names);
        }
        syn::visit::visit_path(self, path);
    }
}

/// The groups of files that take from each other in a circle.
pub fn rings(takes: &BTreeMap<FileName, BTreeSet<FileName>>) -> Vec<Vec<FileName>> {
    let reach = |from: &FileName| {
        let mut seen = BTreeSet::new();
        let mut open = vec![from.clone()];
        while let Some(file) = open.pop() {
            for next in takes.get(&file).into_iter().flatten() {
                if seen.insert(next.clone()) {
                    open.push(next.clone());
                }
            }
        }
        seen
    };
    let reached: BTreeMap<&FileName, BTreeSet<FileName>> =
        takes.keys().map(|file| (file, reach(file))).collect();
    let mut rings: BTreeSet<Vec<FileName>> = BTreeSet::new();
    for (file, files) in &reached {
        let ring: Vec<FileName> = files
            .iter()
            .filter(|other| reached.get(other).is_some_and(|back| back.contains(*file)))
            .cloned()
            .collect();
        if ring.len() > 1 {
            rings.insert(ring);
        }
    }
    rings.into_iter().collect()
}

/// A ring and the arrows that make it.
pub fn tell(ring: &[FileName], code: &Code) -> String {
    let names: Vec<String> = ring.iter().map(FileName::to_string).collect();
    let inside = |file: &FileName| ring.contains(file);
    let arrows = code.arrows().into_iter().filter(|(from, to)| inside(from) && inside(to));
    let arrows: Vec<String> = arrows.map(|(from, to)| format!("    {from} takes from {to}")).collect();
    format!("{}\n{}", names.join(", "), arrows.join("\n"))
}
