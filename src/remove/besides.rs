//! What the lines of a record tell the hand to take besides the step itself: to wash with water, to scrape, to
//! warm. The step has passed the gate; what is to follow it must pass too, or the line is left out and said to be.

use std::cell::OnceCell;

use super::{Plan, step};
use crate::gate::Gate;
use crate::model::{Equipment, Facts};

/// Something that lines bring up.
struct Besides {
    name: &'static str,
    /// Parts of words by which a line brings it up.
    said: &'static [&'static str],
    /// The mildest step that stands for it: a method, and a liquid.
    by: (&'static str, Option<&'static str>),
}

/// What was met in the records; common words of the trade.
const BESIDES: [Besides; 3] = [
    Besides {
        name: "water",
        said: &[
            "water",
            "wash",
            "damp",
            "mist",
            "buffer",
            "hosed",
            "sponge",
            "detergent",
        ],
        by: ("swab", Some("water")),
    },
    Besides {
        name: "a hand tool",
        said: &[
            "scrap",
            "chipped",
            "knocked",
            " pared",
            "blade",
            "scalpel",
            "bamboo",
            "with wood",
            "scrub",
            "knife",
        ],
        by: ("wood-tool", None),
    },
    Besides {
        name: "heat",
        said: &[
            "oven",
            "warm water",
            "warm tissue",
            "blotted warm",
            "in hot",
        ],
        by: ("hot-spatula", None),
    },
];
/// A line that says one of these warns of it, or leaves it to what the layers bear.
const CAREFUL: [&str; 5] = ["never", "no water", "bears", "allow", "wants none"];

/// Judges lines for one step of a plan.
pub(super) struct Lines<'a, 'g> {
    means: &'a Equipment,
    plan: &'a Plan,
    gate: &'a Gate<'g>,
    refused: [OnceCell<bool>; BESIDES.len()],
}

impl<'a, 'g> Lines<'a, 'g> {
    pub(super) fn new(means: &'a Equipment, plan: &'a Plan, gate: &'a Gate<'g>) -> Self {
        Self {
            means,
            plan,
            gate,
            refused: Default::default(),
        }
    }

    /// Texts of a field that the layers bear, and behind them what was left out.
    pub(super) fn borne(&self, texts: Vec<String>) -> String {
        let mut kept = Vec::new();
        let mut left_out: Vec<&str> = Vec::new();
        for text in texts {
            match self.refuses(&text) {
                None => kept.push(text),
                Some(name) if left_out.contains(&name) => {}
                Some(name) => left_out.push(name),
            }
        }
        if !left_out.is_empty() {
            kept.push(format!(
                "not with {}, as is usual elsewhere: it is not borne here",
                left_out.join(" or ")
            ));
        }
        kept.join("; ")
    }

    /// The first text of a field, under the same condition.
    pub(super) fn first(&self, facts: &Facts, key: &str) -> String {
        let text = facts.text(key).map(str::to_owned);
        self.borne(text.into_iter().collect())
    }

    /// What a line brings up that the layers do not bear.
    fn refuses(&self, line: &str) -> Option<&'static str> {
        let line = line.to_lowercase();
        if CAREFUL.iter().any(|word| line.contains(word)) {
            return None;
        }
        let mut all = BESIDES.iter().zip(&self.refused);
        let found = all.find(|(it, refused)| {
            it.said.iter().any(|word| line.contains(word))
                && *refused.get_or_init(|| self.is_refused(it))
        });
        found.map(|(it, _)| it.name)
    }

    /// Whether the layers do not bear it. What cannot be asked, for its record is not there, is not borne.
    fn is_refused(&self, it: &Besides) -> bool {
        let (method, liquid) = it.by;
        let agent = liquid.map(|id| self.means.agent(id));
        let (Some(method), None | Some(Some(_))) = (self.means.method(method), agent) else {
            return true;
        };
        let agent = agent.flatten();
        let barred = &self.plan.barred;
        barred.bars_method(method)
            || agent.is_some_and(|a| barred.bars_any_of(a, |id| self.means.agent(id)))
            || step(self.means, method, agent).is_none_or(|it| self.gate.step(it).is_err())
    }
}
