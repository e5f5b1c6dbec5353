//! Asking the questions of a case again, with the corpus as it is now.

use std::sync::Arc;

use super::ask::{AskError, Asked, Asker, standing_word};
use super::record::{Case, Question};
use crate::pack::Pack;

/// What a question is answered now, beside what it was answered.
#[derive(Debug)]
pub struct Reviewed {
    /// Id of the question.
    pub id: String,
    /// The question as asked.
    pub ask: String,
    /// Identity of the corpus that answered it, version and hash; empty if it was never answered, and
    /// without the hash in a case that an older program wrote.
    pub before: String,
    /// Identity of the corpus now.
    pub now: String,
    /// Whether the case itself says something else than when it was asked.
    pub case_changed: bool,
    /// What became of it.
    pub outcome: Outcome,
}

impl Reviewed {
    /// Whether the corpus is another than the one that answered; none where that is not on record.
    #[must_use]
    pub fn corpus_changed(&self) -> Option<bool> {
        let hashed = self.before.contains(" (");
        match self.before == self.now {
            true => Some(false),
            // The same version without a hash may be the same corpus or not.
            false if !hashed && self.now.starts_with(&format!("{} (", self.before)) => None,
            false if self.before.is_empty() => None,
            false => Some(true),
        }
    }
}

/// What became of a question.
#[derive(Debug)]
pub enum Outcome {
    /// It was never answered: here is the answer.
    First(Arc<Asked>),
    /// The gist is the same.
    Same(Arc<Asked>),
    /// The gist is another: lines in their order, with what happened to each.
    Changed(Arc<Asked>, Vec<(Mark, String)>),
    /// It cannot be asked any more.
    Wrong(AskError),
}

/// What happened to a line of a gist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// As before.
    Kept,
    /// Not said any more.
    Gone,
    /// New.
    Come,
}

/// Asks every question of a case again that was not withdrawn; those of `only`, where it names any. `now` is the current year.
#[must_use]
pub fn review(case: &Case, only: &[String], pack: &Pack, now: i32) -> Vec<Reviewed> {
    let mut asker = Asker::new(case, pack, now);
    case.questions
        .iter()
        .filter(|it| match only {
            [] => it.noted.holds(),
            only => only.contains(&it.id),
        })
        .map(|question| one(question, &mut asker, pack))
        .collect()
}

fn one(question: &Question, asker: &mut Asker<'_>, pack: &Pack) -> Reviewed {
    let mut case_changed = false;
    let outcome = match asker.ask(&question.ask) {
        Err(error) => Outcome::Wrong(error),
        Ok(asked) if question.corpus.is_empty() => Outcome::First(asked),
        Ok(asked) => {
            case_changed = question.query.trim() != asked.query.trim();
            let same =
                question.gist == asked.gist && question.standing == standing_word(asked.standing);
            if same {
                Outcome::Same(asked)
            } else {
                let lines = difference(&question.gist, &asked.gist);
                Outcome::Changed(asked, lines)
            }
        }
    };
    Reviewed {
        id: question.id.clone(),
        ask: question.ask.clone(),
        before: question.corpus.clone(),
        now: pack.identity(),
        case_changed,
        outcome,
    }
}

/// The lines of two texts with what happened to each: by their longest common subsequence.
#[must_use]
pub fn difference(old: &[String], new: &[String]) -> Vec<(Mark, String)> {
    // A gist is some ten lines; one that somebody made endless is not worth the square of its length.
    if old.len().saturating_mul(new.len()) > 1_000_000 {
        let gone = old.iter().map(|line| (Mark::Gone, line.clone()));
        let come = new.iter().map(|line| (Mark::Come, line.clone()));
        return gone.chain(come).collect();
    }
    // lengths[i][j]: longest common subsequence of old[i..] and new[j..].
    let mut lengths = vec![vec![0_usize; new.len() + 1]; old.len() + 1];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            lengths[i][j] = if old[i] == new[j] {
                lengths[i + 1][j + 1] + 1
            } else {
                lengths[i + 1][j].max(lengths[i][j + 1])
            };
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut out = Vec::new();
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            out.push((Mark::Kept, old[i].clone()));
            i += 1;
            j += 1;
        } else if j == new.len() || (i < old.len() && lengths[i + 1][j] >= lengths[i][j + 1]) {
            out.push((Mark::Gone, old[i].clone()));
            i += 1;
        } else {
            out.push((Mark::Come, new[j].clone()));
            j += 1;
        }
    }
    out
}
