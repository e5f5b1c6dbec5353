//! A reader of ISO/IEC 14977 EBNF, as much of it as our grammars use.

use std::collections::{BTreeMap, BTreeSet};

/// A node of the grammar; `id` numbers the choices that a sentence can make.
#[derive(Debug, Clone)]
pub(crate) enum Node {
    Literal(String),
    Special(String),
    Rule(String),
    Sequence(Vec<Node>),
    Choice(usize, Vec<Node>),
    Optional(usize, Box<Node>),
    Repeat(usize, Box<Node>),
}

/// A grammar: rules by name, in a stable order.
#[derive(Debug)]
pub(crate) struct Grammar {
    pub(crate) rules: BTreeMap<String, Node>,
    pub(crate) first: String,
    /// For each choice: the rule it is in, and which branch of it.
    pub(crate) branches: BTreeMap<(usize, usize), String>,
}

impl Grammar {
    pub(crate) fn read(text: &str) -> Self {
        let mut reader = Reader {
            rest: text,
            next_id: 0,
            rule: String::new(),
            branches: BTreeMap::new(),
        };
        let mut rules = BTreeMap::new();
        let mut first = None;
        loop {
            reader.space();
            if reader.rest.is_empty() {
                break;
            }
            let name = reader.name();
            reader.rule.clone_from(&name);
            reader.expect('=');
            let node = reader.choice();
            reader.expect(';');
            first.get_or_insert_with(|| name.clone());
            assert!(
                rules.insert(name.clone(), node).is_none(),
                "rule `{name}` is defined twice"
            );
        }
        Self {
            rules,
            first: first.expect("a rule"),
            branches: reader.branches,
        }
    }

    /// Names used but not defined.
    pub(crate) fn undefined(&self) -> BTreeSet<String> {
        let mut used = BTreeSet::new();
        for node in self.rules.values() {
            names(node, &mut used);
        }
        used.into_iter()
            .filter(|name| !self.rules.contains_key(name))
            .collect()
    }

    /// Rules reachable from the first.
    pub(crate) fn reachable(&self) -> BTreeSet<String> {
        let mut seen = BTreeSet::from([self.first.clone()]);
        let mut open = vec![self.first.clone()];
        while let Some(name) = open.pop() {
            let mut used = BTreeSet::new();
            if let Some(node) = self.rules.get(&name) {
                names(node, &mut used);
            }
            for next in used {
                if seen.insert(next.clone()) {
                    open.push(next);
                }
            }
        }
        seen
    }

    /// Whether a node can be empty.
    pub(crate) fn nullable(&self, node: &Node) -> bool {
        match node {
            Node::Literal(_) | Node::Special(_) => false,
            Node::Rule(name) => self.rules.get(name).is_some_and(|node| self.nullable(node)),
            Node::Sequence(nodes) => nodes.iter().all(|node| self.nullable(node)),
            Node::Choice(_, nodes) => nodes.iter().any(|node| self.nullable(node)),
            Node::Optional(..) | Node::Repeat(..) => true,
        }
    }

    /// Rules that can stand at the very start of a node.
    pub(crate) fn leading(&self, node: &Node, found: &mut BTreeSet<String>) {
        match node {
            Node::Literal(_) | Node::Special(_) => {}
            Node::Rule(name) => {
                if found.insert(name.clone())
                    && let Some(node) = self.rules.get(name)
                {
                    self.leading(node, found);
                }
            }
            Node::Sequence(nodes) => {
                for node in nodes {
                    self.leading(node, found);
                    if !self.nullable(node) {
                        break;
                    }
                }
            }
            Node::Choice(_, nodes) => nodes.iter().for_each(|node| self.leading(node, found)),
            Node::Optional(_, node) | Node::Repeat(_, node) => self.leading(node, found),
        }
    }

    /// Every literal of the grammar.
    pub(crate) fn literals(&self) -> BTreeSet<String> {
        fn collect(node: &Node, found: &mut BTreeSet<String>) {
            match node {
                Node::Literal(text) => {
                    found.insert(text.clone());
                }
                Node::Special(_) | Node::Rule(_) => {}
                Node::Sequence(nodes) | Node::Choice(_, nodes) => {
                    for node in nodes {
                        collect(node, found);
                    }
                }
                Node::Optional(_, node) | Node::Repeat(_, node) => collect(node, found),
            }
        }
        let mut found = BTreeSet::new();
        self.rules
            .values()
            .for_each(|node| collect(node, &mut found));
        found
    }
}

/// Every production of a grammar as it is written, by name, in order.
pub(crate) fn productions(grammar: &str) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let mut production = String::new();
    let mut quote = None;
    let mut rest = grammar;
    while let Some(next) = rest.chars().next() {
        if quote.is_none() && rest.starts_with("(*") {
            let end = rest.find("*)").expect("a remark that ends");
            rest = &rest[end + 2..];
            continue;
        }
        rest = &rest[next.len_utf8()..];
        production.push(next);
        match quote {
            Some(mark) if mark == next => quote = None,
            None if matches!(next, '"' | '\'' | '?') => quote = Some(next),
            None if next == ';' => {
                let text = std::mem::take(&mut production).trim().to_owned();
                let (name, _) = text.split_once('=').expect("a production");
                out.push((name.trim().to_owned(), text));
            }
            _ => {}
        }
    }
    assert!(production.trim().is_empty(), "left over: {production}");
    out
}

fn names(node: &Node, found: &mut BTreeSet<String>) {
    match node {
        Node::Literal(_) | Node::Special(_) => {}
        Node::Rule(name) => {
            found.insert(name.clone());
        }
        Node::Sequence(nodes) | Node::Choice(_, nodes) => {
            for node in nodes {
                names(node, found);
            }
        }
        Node::Optional(_, node) | Node::Repeat(_, node) => names(node, found),
    }
}

struct Reader<'a> {
    rest: &'a str,
    next_id: usize,
    rule: String,
    branches: BTreeMap<(usize, usize), String>,
}

impl Reader<'_> {
    fn space(&mut self) {
        loop {
            self.rest = self.rest.trim_start();
            let Some(remark) = self.rest.strip_prefix("(*") else {
                return;
            };
            let end = remark.find("*)").expect("a remark that ends");
            self.rest = &remark[end + 2..];
        }
    }

    fn peek(&mut self) -> char {
        self.space();
        self.rest.chars().next().unwrap_or('\0')
    }

    fn expect(&mut self, sign: char) {
        let found = self.peek();
        assert_eq!(
            found, sign,
            "in rule `{}` near {:.40}",
            self.rule, self.rest
        );
        self.rest = &self.rest[sign.len_utf8()..];
    }

    fn name(&mut self) -> String {
        self.space();
        let end = self
            .rest
            .find(|c: char| !(c.is_ascii_alphanumeric() || c == ' '))
            .unwrap_or(self.rest.len());
        let name = self.rest[..end].trim().to_owned();
        assert!(!name.is_empty(), "a name near {:.40}", self.rest);
        self.rest = &self.rest[end..];
        name
    }

    fn id(&mut self, branches: usize) -> usize {
        self.next_id += 1;
        for branch in 0..branches {
            self.branches
                .insert((self.next_id, branch), self.rule.clone());
        }
        self.next_id
    }

    fn choice(&mut self) -> Node {
        let mut nodes = vec![self.sequence()];
        while self.peek() == '|' {
            self.expect('|');
            nodes.push(self.sequence());
        }
        if nodes.len() == 1 {
            return nodes.remove(0);
        }
        Node::Choice(self.id(nodes.len()), nodes)
    }

    fn sequence(&mut self) -> Node {
        let mut nodes = vec![self.factor()];
        while self.peek() == ',' {
            self.expect(',');
            nodes.push(self.factor());
        }
        if nodes.len() == 1 {
            return nodes.remove(0);
        }
        Node::Sequence(nodes)
    }

    fn factor(&mut self) -> Node {
        match self.peek() {
            quote @ ('"' | '\'') => {
                self.expect(quote);
                let end = self.rest.find(quote).expect("a closing quote");
                let text = self.rest[..end].to_owned();
                self.rest = &self.rest[end + 1..];
                Node::Literal(text)
            }
            '?' => {
                self.expect('?');
                let end = self.rest.find('?').expect("a closing mark");
                let text = self.rest[..end].trim().to_owned();
                self.rest = &self.rest[end + 1..];
                Node::Special(text)
            }
            '[' => {
                self.expect('[');
                let node = self.choice();
                self.expect(']');
                Node::Optional(self.id(1), Box::new(node))
            }
            '{' => {
                self.expect('{');
                let node = self.choice();
                self.expect('}');
                Node::Repeat(self.id(1), Box::new(node))
            }
            '(' => {
                self.expect('(');
                let node = self.choice();
                self.expect(')');
                node
            }
            _ => Node::Rule(self.name()),
        }
    }
}
