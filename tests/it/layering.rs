//! The table of modules in `DEVELOPERS.md` is true: every `use crate::…` of `src` is an edge that
//! the table allows.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use syn::visit::Visit;

/// Reads the table: `| `module` | purpose | uses |`.
fn table() -> BTreeMap<String, BTreeSet<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("DEVELOPERS.md")).unwrap();
    let start = text
        .find("| module | purpose | may use |")
        .expect("the table of modules");
    let mut out: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let words = |cell: &str| -> Vec<String> {
        cell.split([',', '`', ' '])
            .filter(|w| !w.is_empty())
            .map(str::to_owned)
            .collect()
    };
    for line in text[start..]
        .lines()
        .skip(2)
        .take_while(|l| l.starts_with('|'))
    {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        for module in words(cells[0]) {
            out.insert(module, words(cells[2]).into_iter().collect());
        }
    }
    out
}

#[derive(Default)]
struct Edges(BTreeSet<String>);

impl<'ast> Visit<'ast> for Edges {
    fn visit_path(&mut self, path: &'ast syn::Path) {
        let mut segments = path.segments.iter();
        if segments.next().is_some_and(|s| s.ident == "crate")
            && let Some(next) = segments.next()
        {
            self.0.insert(next.ident.to_string());
        }
        syn::visit::visit_path(self, path);
    }

    fn visit_use_path(&mut self, path: &'ast syn::UsePath) {
        if path.ident == "crate" {
            collect(&path.tree, &mut self.0);
        }
        syn::visit::visit_use_path(self, path);
    }
}

fn collect(tree: &syn::UseTree, out: &mut BTreeSet<String>) {
    match tree {
        syn::UseTree::Path(path) => {
            out.insert(path.ident.to_string());
        }
        syn::UseTree::Name(name) => {
            out.insert(name.ident.to_string());
        }
        syn::UseTree::Group(group) => group.items.iter().for_each(|item| collect(item, out)),
        syn::UseTree::Rename(rename) => {
            out.insert(rename.ident.to_string());
        }
        syn::UseTree::Glob(_) => {}
    }
}

fn sources(dir: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

#[test]
fn every_edge_between_modules_is_in_the_table() {
    let table = table();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    let mut used: BTreeSet<(String, String)> = BTreeSet::new();
    for file in files {
        let relative = file.strip_prefix(&root).unwrap();
        let module = relative
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_string_lossy();
        let module = module.trim_end_matches(".rs").to_owned();
        // The library's root lists the modules; the binary calls the command line; the build
        // script is a program of its own.
        if matches!(module.as_str(), "lib" | "main") || relative.ends_with("embed.rs") {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let parsed = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let mut edges = Edges::default();
        edges.visit_file(&parsed);
        // The parser does not look into macros.
        let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
        for piece in code.flat_map(|line| line.split("crate::").skip(1)) {
            let name = piece
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .next();
            edges.0.extend(name.map(str::to_owned));
        }
        let Some(allowed) = table.get(&module) else {
            wrong.push(format!("{module} is not in the table"));
            continue;
        };
        seen.insert(module.clone());
        for edge in edges.0 {
            used.insert((module.clone(), edge.clone()));
            let known = table.contains_key(&edge) || edge == "embedded";
            if known && edge != module && !allowed.contains(&edge) && !allowed.contains("all") {
                wrong.push(format!("{}: {module} -> {edge}", relative.display()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "edges that the table does not allow:\n{}",
        wrong.join("\n")
    );
    assert!(seen.len() > 10, "the test saw only {seen:?}");
    // What nobody uses any more is struck, or the table would allow what was never meant.
    let unused: Vec<String> = table
        .iter()
        .flat_map(|(module, allowed)| allowed.iter().map(move |edge| (module, edge)))
        .filter(|(_, edge)| *edge != "all")
        .filter(|(module, edge)| !used.contains(&((*module).clone(), (*edge).clone())))
        .map(|(module, edge)| format!("{module} -> {edge}"))
        .collect();
    assert!(
        unused.is_empty(),
        "edges that the table allows and nobody uses:\n{}",
        unused.join("\n")
    );
}

#[test]
fn only_the_gate_makes_a_passed_step() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let in_gate = file.strip_prefix(&root).unwrap().starts_with("gate");
        assert!(
            in_gate || !text.contains("Passed {"),
            "{} makes a Passed",
            file.display()
        );
    }
}
