//! Sentences made from a grammar, and sentences spoiled by one token.

use std::collections::BTreeMap;

use crate::random::Random;

use super::ebnf::{Grammar, Node};

/// Depth from which on the shortest branch is taken.
const DEEP: usize = 14;

pub(crate) struct Generator<'a> {
    grammar: &'a Grammar,
    /// Fewest rules that each rule goes down before it ends.
    depths: BTreeMap<String, usize>,
    pub(crate) random: Random,
}

/// Spellings of the tokens that lexical.ebnf defines.
pub(crate) fn spellings(name: &str) -> &'static [&'static str] {
    match name {
        "word" => &[
            "shellac",
            "oil",
            "gilding",
            "b-72",
            "uv-a",
            "2-propanol",
            "1,2-dichloroethane",
            "b72",
            "4a",
            "painter's",
            "aged",
            "crumb",
            "turns",
            "blue",
            "ph",
            "known",
            // Words that mean something elsewhere.
            "find",
            "let",
            "explain",
            "plan",
            "empty",
            "unknown",
            "of",
            "edition",
        ],
        "int" => &["1", "5", "371", "-20"],
        "dec" => &["0.5", "-1.25"],
        "span" => &["5..10", "1890..", "..1935", "antiquity..now"],
        "ratio" => &["1:1", "1:3:2", "0.5:2"],
        "unit" => &["C", "ml", "% w/v", "air changes", "MPa^0.5", "years", "min"],
        "string" => &["\"flaking paint\"", "\"over paint\""],
        _ => &[],
    }
}

impl<'a> Generator<'a> {
    pub(crate) fn new(grammar: &'a Grammar, seed: u64) -> Self {
        let mut depths: BTreeMap<String, usize> = BTreeMap::new();
        loop {
            let mut changed = false;
            for (name, node) in &grammar.rules {
                if let Some(depth) = depth(node, &depths, grammar)
                    && depths.get(name).is_none_or(|known| depth + 1 < *known)
                {
                    depths.insert(name.clone(), depth + 1);
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        Self {
            grammar,
            depths,
            random: Random::new(seed),
        }
    }

    /// The tokens of a sentence.
    pub(crate) fn sentence(&mut self) -> Vec<String> {
        let mut out = Vec::new();
        let first = Node::Rule(self.grammar.first.clone());
        self.node(&first, 0, &mut out);
        // Keep most sentences clear of the rules beyond the grammar.
        for at in 1..out.len() {
            let number = match out[at - 1].as_str() {
                "edition" if at == 1 && out[at] != ";" => "1",
                "limit" => "20",
                _ => continue,
            };
            number.clone_into(&mut out[at]);
        }
        out
    }

    fn node(&mut self, node: &Node, level: usize, out: &mut Vec<String>) {
        match node {
            Node::Literal(text) => out.push(text.clone()),
            Node::Special(_) => {}
            Node::Rule(name) => {
                if let Some(node) = self.grammar.rules.get(name) {
                    self.node(node, level + 1, out);
                } else {
                    let spelling = self.random.pick(spellings(name));
                    out.push((*spelling).to_owned());
                }
            }
            Node::Sequence(nodes) => nodes.iter().for_each(|node| self.node(node, level, out)),
            Node::Choice(_, nodes) => {
                let node = if level > DEEP {
                    nodes
                        .iter()
                        .min_by_key(|node| depth(node, &self.depths, self.grammar))
                        .expect("a branch")
                } else {
                    self.random.pick(nodes)
                };
                self.node(node, level, out);
            }
            Node::Optional(_, node) => {
                if level <= DEEP && self.random.yes(50) {
                    self.node(node, level, out);
                }
            }
            Node::Repeat(_, node) => match &**node {
                // Clauses: each at most once, in any order.
                Node::Rule(name) if name.ends_with(" clause") => self.clauses(name, level, out),
                node => {
                    while level <= DEEP && self.random.yes(35) {
                        self.node(node, level, out);
                    }
                }
            },
        }
    }

    fn clauses(&mut self, name: &str, level: usize, out: &mut Vec<String>) {
        let Some(Node::Choice(_, nodes)) = self.grammar.rules.get(name) else {
            panic!("`{name}` is no choice of clauses");
        };
        let mut nodes: Vec<&Node> = nodes.iter().collect();
        // `ventilate` has all of its clauses.
        let all = name == "ventilate clause";
        while !nodes.is_empty() && (all || self.random.yes(40)) {
            let node = nodes.swap_remove(self.random.below(nodes.len()));
            self.node(node, level + 1, out);
        }
    }

    /// A sentence with one token dropped, doubled, swapped with the next, or
    /// put in place of by another.
    pub(crate) fn spoil(&mut self, tokens: &[String], pool: &[String]) -> Vec<String> {
        let mut tokens = tokens.to_vec();
        let at = self.random.below(tokens.len());
        match self.random.below(5) {
            0 => {
                tokens.remove(at);
            }
            1 => tokens.insert(at, tokens[at].clone()),
            2 if at + 1 < tokens.len() => tokens.swap(at, at + 1),
            3 => tokens.insert(at, self.random.pick(pool).clone()),
            _ => tokens[at].clone_from(self.random.pick(pool)),
        }
        tokens
    }
}

fn depth(node: &Node, depths: &BTreeMap<String, usize>, grammar: &Grammar) -> Option<usize> {
    match node {
        Node::Rule(name) if grammar.rules.contains_key(name) => depths.get(name).copied(),
        Node::Literal(_)
        | Node::Special(_)
        | Node::Optional(..)
        | Node::Repeat(..)
        | Node::Rule(_) => Some(0),
        Node::Sequence(nodes) => nodes
            .iter()
            .map(|node| depth(node, depths, grammar))
            .try_fold(0, |deepest, depth| Some(deepest.max(depth?))),
        Node::Choice(_, nodes) => nodes
            .iter()
            .filter_map(|node| depth(node, depths, grammar))
            .min(),
    }
}
