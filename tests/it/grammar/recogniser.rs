//! A recogniser for any grammar of ours, over tokens.
//!
//! For each rule and start it finds every end, with the number of trees. It
//! knows nothing of ordered choice, so it shows where the parser's order of
//! trying hides a sentence.

use std::collections::{BTreeMap, BTreeSet};

use palinode::lang::token::{Token, TokenKind};

use super::ebnf::{Grammar, Node};

/// Ends of a node, each with its number of trees.
type Ends = BTreeMap<usize, u64>;

pub(crate) struct Recogniser<'a> {
    grammar: &'a Grammar,
    text: &'a str,
    tokens: &'a [Token],
    known: BTreeMap<(String, usize), Ends>,
}

impl<'a> Recogniser<'a> {
    pub(crate) fn new(grammar: &'a Grammar, text: &'a str, tokens: &'a [Token]) -> Self {
        Self {
            grammar,
            text,
            tokens,
            known: BTreeMap::new(),
        }
    }

    /// Number of trees of the whole text; 0 if it is no sentence.
    pub(crate) fn trees(&mut self) -> u64 {
        let first = self.grammar.first.clone();
        let ends = self.rule(&first, 0);
        ends.get(&self.tokens.len()).copied().unwrap_or(0)
    }

    fn rule(&mut self, name: &str, start: usize) -> Ends {
        let grammar = self.grammar;
        let Some(node) = grammar.rules.get(name) else {
            return self.terminal(start, |token, _| is_lexical(&token.kind, name));
        };
        let key = (name.to_owned(), start);
        if let Some(ends) = self.known.get(&key) {
            return ends.clone();
        }
        let ends = self.node(node, start);
        self.known.insert(key, ends.clone());
        ends
    }

    fn terminal(&self, start: usize, fits: impl Fn(&Token, &str) -> bool) -> Ends {
        match self.tokens.get(start) {
            Some(token) if fits(token, token.span.slice(self.text)) => Ends::from([(start + 1, 1)]),
            _ => Ends::new(),
        }
    }

    fn node(&mut self, node: &Node, start: usize) -> Ends {
        match node {
            Node::Literal(wanted) => {
                self.terminal(start, |token, typed| is_literal(&token.kind, typed, wanted))
            }
            Node::Special(_) => Ends::new(),
            Node::Rule(name) => self.rule(name, start),
            Node::Sequence(nodes) => self.sequence(nodes, start),
            Node::Choice(_, nodes) => {
                let mut all = Ends::new();
                for node in nodes {
                    add(&mut all, &self.node(node, start), 1);
                }
                all
            }
            Node::Optional(_, node) => {
                let mut all = self.node(node, start);
                add(&mut all, &Ends::from([(start, 1)]), 1);
                all
            }
            Node::Repeat(_, node) => self.repeat(node, start),
        }
    }

    fn sequence(&mut self, nodes: &[Node], start: usize) -> Ends {
        let mut ends = Ends::from([(start, 1)]);
        for node in nodes {
            let mut next = Ends::new();
            for (middle, trees) in ends {
                add(&mut next, &self.node(node, middle), trees);
            }
            ends = next;
        }
        ends
    }

    fn repeat(&mut self, node: &Node, start: usize) -> Ends {
        let mut all = Ends::from([(start, 1)]);
        let mut at = start;
        // Every round takes at least one token, so ends only move on.
        while let Some((&middle, &trees)) = all.range(at..).next() {
            add(&mut all, &self.node(node, middle), trees);
            at = middle + 1;
        }
        all
    }

    /// Adds to `used` every choice made by the tree of a sentence.
    pub(crate) fn branches(&mut self, used: &mut BTreeSet<(usize, usize)>) {
        let first = Node::Rule(self.grammar.first.clone());
        self.trace(&first, 0, self.tokens.len(), used);
    }

    fn reaches(&mut self, node: &Node, start: usize, end: usize) -> bool {
        self.node(node, start).contains_key(&end)
    }

    fn trace(
        &mut self,
        node: &Node,
        start: usize,
        end: usize,
        used: &mut BTreeSet<(usize, usize)>,
    ) {
        let grammar = self.grammar;
        match node {
            Node::Literal(_) | Node::Special(_) => {}
            Node::Rule(name) => {
                if let Some(node) = grammar.rules.get(name) {
                    self.trace(node, start, end, used);
                }
            }
            Node::Choice(id, nodes) => {
                for (branch, node) in nodes.iter().enumerate() {
                    if self.reaches(node, start, end) {
                        used.insert((*id, branch));
                        return self.trace(node, start, end, used);
                    }
                }
            }
            Node::Optional(id, node) => {
                if start != end {
                    used.insert((*id, 0));
                    self.trace(node, start, end, used);
                }
            }
            Node::Repeat(id, inner) => {
                let mut at = start;
                while at != end {
                    used.insert((*id, 0));
                    let ends = self.node(inner, at);
                    let next = ends
                        .keys()
                        .copied()
                        .find(|&next| self.repeat(inner, next).contains_key(&end));
                    let Some(next) = next else { return };
                    self.trace(inner, at, next, used);
                    at = next;
                }
            }
            Node::Sequence(nodes) => {
                let mut at = start;
                for (index, node) in nodes.iter().enumerate() {
                    let rest = &nodes[index + 1..];
                    let ends = self.node(node, at);
                    let next = ends
                        .keys()
                        .copied()
                        .find(|&next| self.sequence(rest, next).contains_key(&end));
                    let Some(next) = next else { return };
                    self.trace(node, at, next, used);
                    at = next;
                }
            }
        }
    }
}

fn add(all: &mut Ends, more: &Ends, times: u64) {
    for (end, trees) in more {
        let sum = all.entry(*end).or_insert(0);
        *sum = sum.saturating_add(trees.saturating_mul(times));
    }
}

fn is_literal(kind: &TokenKind, typed: &str, wanted: &str) -> bool {
    match kind {
        TokenKind::Keyword(keyword) => keyword.word() == wanted,
        TokenKind::Word => typed == wanted,
        kind => kind.sign() == Some(wanted),
    }
}

fn is_lexical(kind: &TokenKind, name: &str) -> bool {
    matches!(
        (kind, name),
        (TokenKind::Word, "word")
            | (TokenKind::Int(_), "int")
            | (TokenKind::Dec(_), "dec")
            | (TokenKind::Span(_), "span")
            | (TokenKind::Ratio(_), "ratio")
            | (TokenKind::Unit(_), "unit")
            | (TokenKind::Text(_), "string")
    )
}
