//! What the records of a kind have in common, gathered into a dictionary that each of them is packed
//! against. A record alone is too short to repeat itself; with what its like say it packs as well as a
//! block of them, and is read without them.
//!
//! The choice follows COVER (Liao, Petri, Moffat, Wirth: "Effective construction of relative Lempel-Ziv
//! dictionaries", 2016; from memory): the corpus is walked in even strides, and from each the run of bytes
//! is taken whose short pieces stand in the most records and are not in the dictionary yet.

use std::collections::HashMap;

/// Most bytes of a dictionary. A match reaches back 64 kB at most, and more than this gains less than
/// the dictionary itself takes.
const MOST: usize = 40 << 10;
/// A dictionary has at most this share of what is packed against it, as a divisor.
const SHARE: usize = 4;
/// Bytes of a piece that is counted.
const PIECE: usize = 8;
/// Bytes of a run that is taken.
const RUN: usize = 128;

/// A dictionary for these records; empty where they are too few to have much in common.
pub(super) fn of(records: &[Vec<u8>]) -> Vec<u8> {
    let all = records.concat();
    let room = MOST.min(all.len() / SHARE);
    let mut worth = counted(records);
    let mut runs: Vec<&[u8]> = Vec::new();
    let mut taken = 0;
    let stride = (all.len() / (room / RUN).max(1)).max(RUN);
    let strides: Vec<&[u8]> = all.chunks(stride).collect();
    let mut idle = 0;
    for stretch in strides.iter().cycle() {
        if taken >= room || idle == strides.len() {
            break;
        }
        let Some(run) = best(stretch, &worth) else {
            idle += 1;
            continue;
        };
        idle = 0;
        for piece in run.windows(PIECE) {
            worth.remove(piece);
        }
        taken += run.len();
        runs.push(run);
    }
    // The best run last: a long record does not reach back to the first ones.
    runs.reverse();
    let mut out = runs.concat();
    out.drain(..out.len().saturating_sub(room));
    out
}

/// In how many records each piece stands; what stands in one alone is left out.
fn counted(records: &[Vec<u8>]) -> HashMap<&[u8], u32> {
    let mut out = HashMap::new();
    for record in records {
        let mut pieces: Vec<&[u8]> = record.windows(PIECE).collect();
        pieces.sort_unstable();
        pieces.dedup();
        for piece in pieces {
            *out.entry(piece).or_default() += 1;
        }
    }
    out.retain(|_, records| *records > 1);
    out
}

/// The run whose pieces are worth most, each counted once, without what is worth nothing at its ends.
fn best<'a>(stretch: &'a [u8], worth: &HashMap<&[u8], u32>) -> Option<&'a [u8]> {
    let of = |piece: &[u8]| worth.get(piece).copied().unwrap_or(0);
    let pieces: Vec<&[u8]> = stretch.windows(PIECE).collect();
    let wide = RUN + 1 - PIECE;
    let mut within: HashMap<&[u8], u32> = HashMap::new();
    let mut sum = 0_u64;
    let mut most = (0, 0);
    for (at, piece) in pieces.iter().enumerate() {
        let count = within.entry(piece).or_default();
        if *count == 0 {
            sum += u64::from(of(piece));
        }
        *count += 1;
        if at >= wide {
            let gone = pieces[at - wide];
            if let Some(count) = within.get_mut(gone) {
                *count -= 1;
                if *count == 0 {
                    sum -= u64::from(of(gone));
                    within.remove(gone);
                }
            }
        }
        if sum > most.0 {
            most = (sum, at);
        }
    }
    let (sum, last) = most;
    if sum == 0 {
        return None;
    }
    let first = (last + 1).saturating_sub(wide);
    let useful = || (first..=last).filter(|at| of(pieces[*at]) > 0);
    Some(&stretch[useful().next()?..useful().next_back()? + PIECE])
}

#[cfg(test)]
mod tests {
    use super::of;

    #[test]
    fn what_records_share_is_gathered() {
        let records: Vec<Vec<u8>> = (0..40)
            .map(|n| format!("{n:020} a drop of ethanol dissolves it {n:020}").into_bytes())
            .collect();
        let dictionary = of(&records);
        let shared = b" a drop of ethanol dissolves it ";
        assert!(dictionary.windows(shared.len()).any(|w| w == shared));
        assert!(4 * dictionary.len() <= records.concat().len());
        assert!(of(&[]).is_empty() && of(&records[..1]).is_empty());
        let packed = lz4_flex::block::compress_with_dict(&records[7], &dictionary);
        assert!(packed.len() < records[7].len() / 2);
        assert_eq!(
            lz4_flex::block::decompress_with_dict(&packed, records[7].len(), &dictionary).unwrap(),
            records[7]
        );
    }
}
