//! Asking the questions of a case again, with the corpus as it is now.

use super::ask::{AskError, Asked, ask_again, standing_word};
use super::record::{Case, Question};
use crate::model::Library;
use crate::pack::Pack;

/// What a question is answered now, beside what it was answered.
#[derive(Debug)]
pub struct Reviewed {
    /// Id of the question.
    pub id: String,
    /// The question as asked.
    pub ask: String,
    /// Version of the corpus that answered it; empty if it was never answered.
    pub before: String,
    /// Version of the corpus now.
    pub now: String,
    /// Whether the case itself says something else than when it was asked.
    pub case_changed: bool,
    /// What became of it.
    pub outcome: Outcome,
}

/// What became of a question.
#[derive(Debug)]
pub enum Outcome {
    /// It was never answered: here is the answer.
    First(Box<Asked>),
    /// The gist is the same.
    Same(Box<Asked>),
    /// The gist is another: lines in their order, with what happened to each.
    Changed(Box<Asked>, Vec<(Mark, String)>),
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

/// Asks every question of a case again; of `only`, where it names any. `now` is the current year.
#[must_use]
pub fn review(case: &Case, only: &[String], pack: &Pack, now: i32) -> Vec<Reviewed> {
    case.questions
        .iter()
        .filter(|it| only.is_empty() || only.contains(&it.id))
        .map(|question| one(case, question, pack, now))
        .collect()
}

fn one(case: &Case, question: &Question, pack: &Pack, now: i32) -> Reviewed {
    let mut case_changed = false;
    let outcome = match ask_again(case, question, pack, now) {
        Err(error) => Outcome::Wrong(error),
        Ok(asked) if question.corpus.is_empty() => Outcome::First(Box::new(asked)),
        Ok(asked) => {
            case_changed = question.query.trim() != asked.query.trim();
            let same =
                question.gist == asked.gist && question.standing == standing_word(asked.standing);
            if same {
                Outcome::Same(Box::new(asked))
            } else {
                let lines = difference(&question.gist, &asked.gist);
                Outcome::Changed(Box::new(asked), lines)
            }
        }
    };
    Reviewed {
        id: question.id.clone(),
        ask: question.ask.clone(),
        before: question.corpus.clone(),
        now: pack.version().to_owned(),
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
