//! Near words: what may have been meant.

use strsim::osa_distance;

/// Most suggestions given at once.
const MOST: usize = 3;
/// Words longer than this are not compared: no name is, and the comparison
/// grows with the square of the length.
const LONGEST: usize = 80;
/// Shortest word that may be found inside a longer one.
const SHORTEST_PART: usize = 3;

/// At most three of `candidates` near to `word`, nearest first.
///
/// Case does not count. A candidate is near if it can be reached by a third
/// as many slips (added, dropped, changed or swapped letters) as the word has
/// letters, rounded down; or if one holds the other, which counts as half the
/// letters left over. Silence is better than a wrong guess, so a word of
/// nothing alike gives nothing. Ties are in alphabetical order.
pub fn did_you_mean<'a, I>(word: &str, candidates: I) -> Vec<&'a str>
where
    I: IntoIterator<Item = &'a str>,
{
    let folded = word.to_lowercase();
    let letters = folded.chars().count();
    if letters == 0 || letters > LONGEST {
        return Vec::new();
    }
    let most_slips = letters / 3;
    let mut near: Vec<(usize, &str)> = candidates
        .into_iter()
        .filter(|candidate| *candidate != word)
        .filter_map(|candidate| {
            score(&folded, letters, candidate, most_slips).map(|score| (score, candidate))
        })
        .collect();
    near.sort_unstable();
    near.dedup();
    near.truncate(MOST);
    near.into_iter().map(|(_, candidate)| candidate).collect()
}

/// Whether what was said denies and another word does not: to offer the one for the other would turn the
/// sense round.
#[must_use]
pub fn turns_round(said: &str, other: &str) -> bool {
    const DENYING: [&str; 4] = ["in", "no", "not", "un"];
    let denies = |text: &str| DENYING.iter().any(|start| text.starts_with(start));
    denies(said) && !denies(other)
}

/// Twice the number of slips, so that half a slip stays whole.
fn score(folded: &str, letters: usize, candidate: &str, most_slips: usize) -> Option<usize> {
    let other = candidate.to_lowercase();
    let others = other.chars().count();
    if others > LONGEST {
        return None;
    }
    let gap = letters.abs_diff(others);
    if is_part(folded, letters, &other, others) || is_part(&other, others, folded, letters) {
        // Half the letters left over.
        return Some(gap);
    }
    if gap > most_slips {
        return None;
    }
    let slips = osa_distance(folded, &other);
    (slips <= most_slips).then_some(2 * slips)
}

/// Whether `part` stands in `whole` with some weight: half of it, or the
/// start of one of its words. `lac` in `placement` is an accident.
fn is_part(part: &str, letters: usize, whole: &str, of: usize) -> bool {
    letters >= SHORTEST_PART
        && whole.contains(part)
        && (2 * letters >= of || whole.split([' ', '-']).any(|word| word.starts_with(part)))
}

#[cfg(test)]
mod tests {
    use super::turns_round;

    #[test]
    fn a_denial_is_not_answered_with_its_opposite() {
        assert!(turns_round("undissolved", "dissolved"));
        assert!(turns_round("notsoluble", "soluble"));
        assert!(!turns_round("insoluable", "insoluble"));
        assert!(!turns_round("disolves", "dissolves"));
    }
}
