//! What a test should show of each material: what its record says, blurred by reading error, and
//! what stands in where the record is silent or does not speak for the specimen at hand.

use std::sync::OnceLock;

use super::gain::sum;
use crate::model::{Age, Feature, Response, Table, TextColumn};

/// Reading error on the solubility scale: probability falls by this factor for each grade.
const GRADE_DECAY: f64 = 0.28;
/// Chance that a record does not speak for the specimen at hand: another make, another age, a writer
/// who erred. Then it answers as its family does. A second set of records, written apart from the
/// corpus (`tests/calibration`), puts 26 % of what it expects of liquids and looks outside the words
/// recorded here, and 6 % for tests that answer yes or no (measured on every second material of that
/// set; the others are left to judge by).
const RECORD_ERROR: f64 = 0.25;
/// The same for tests that answer yes or no by a reagent, and for laboratory results.
const RECORD_ERROR_SURE: f64 = 0.05;
/// How far an unrecorded fact leans on the family rather than on what is common.
const FAMILY_SHARE: f64 = 0.6;
/// How far a fact that is recorded at one age only stands for the other age too. On every second
/// material of that second set what is shown fresh and aged overlaps by 0.91 to 0.97 for liquids,
/// 0.72 to 0.84 for colour, texture, hardness and glow, and with the mean of the others by 0.4 to
/// 0.65; the lower end is taken, for its writer began "aged" from "fresh".
const OTHER_AGE_STANDS: f64 = 0.7;

/// Every record counts a little more than its prior, so that a prior of nought does not silence it.
const LITTLE: f64 = 1e-3;

/// Word for a reagent that did not answer.
const NEGATIVE: &str = "negative";
/// How often a reagent answers on a material whose record does not speak of it. A test is written
/// down where it answers, so the mean of the records is no guide for those that are silent. On every
/// second material of that second set silent ones answer in 0.15 on the whole: 0.03 to 0.09 for iodine,
/// biuret, diphenylamine, flame and acid, 0.29 for the Liebermann-Storch test with its unspecific brown.
const SILENT_ANSWERS: f64 = 0.15;

/// The corpus as a prior weighs it, and the families of it that are told apart.
pub(super) struct Weighed {
    /// The place of its family and its weight, by material.
    materials: Vec<(usize, f64)>,
    /// Of all records, at both ages.
    whole: f64,
    /// Place of each family that is told apart; of the others one past the last.
    places: Vec<usize>,
    /// Families that are told apart.
    told: usize,
}

impl Weighed {
    pub(super) fn new(table: &Table, prior: &[f64], is_told: impl Fn(usize) -> bool) -> Self {
        let families = 0..table.families.len();
        let told = families.clone().filter(|f| is_told(*f)).count();
        let mut next = 0;
        let places: Vec<usize> = families
            .map(|f| {
                let place = if is_told(f) { next } else { told };
                next += usize::from(place < told);
                place
            })
            .collect();
        Self {
            whole: Age::BOTH.len() as f64 * (sum(prior) + LITTLE * prior.len() as f64),
            materials: (table.rows.iter().zip(prior))
                .map(|(row, p)| (places[usize::from(row.family)], p + LITTLE))
                .collect(),
            places,
            told,
        }
    }
}

/// What a record expects, as probabilities of each outcome. Tables are flat: one row of outcomes
/// after the other.
pub(super) struct Expectation<'a> {
    outcomes: usize,
    error: f64,
    /// By recorded outcome.
    recorded: Vec<f64>,
    /// Places of the families that are told apart.
    places: &'a [usize],
    /// By place.
    family: Vec<f64>,
    /// Whether anything is recorded, by place.
    known: Vec<bool>,
    /// What the corpus shows on the whole, the silent records among it.
    corpus: Vec<f64>,
    /// What is expected where neither the record nor its family speaks.
    silent: Vec<f64>,
}

impl<'a> Expectation<'a> {
    /// What is read off a specimen, clean or of unknown state, when the record is right.
    pub(super) fn new(feature: &Feature, clean: bool) -> Self {
        let n = feature.outcomes().len();
        Self {
            outcomes: n,
            error: record_error(feature),
            recorded: readings(feature, clean),
            places: &[],
            family: Vec::new(),
            known: Vec::new(),
            corpus: vec![1.0 / n.max(1) as f64; n],
            silent: vec![1.0 / n.max(1) as f64; n],
        }
    }

    /// With the marginals of the corpus and of those families that are told apart.
    pub(super) fn with_marginals(mut self, feature: &Feature, corpus: &'a Weighed) -> Self {
        let n = self.outcomes;
        // A record of several words expects their mean, so the words' weights add up first, and what
        // they expect is reckoned once a family.
        let mut words = vec![0.0; (corpus.told + 1) * n];
        let mut total = vec![0.0; corpus.told + 1];
        for column in [&feature.fresh, &feature.aged] {
            column.for_each_present(|m, set| {
                let (place, weight) = corpus.materials[m];
                total[place] += weight;
                let own = place * n;
                // Most records say one word.
                if set.is_power_of_two() {
                    words[own + set.trailing_zeros() as usize] += weight;
                } else {
                    let share = weight / f64::from(set.count_ones());
                    for bit in bits(set) {
                        words[own + bit] += share;
                    }
                }
            });
        }
        let mean = |words: &[f64], total: f64, out: &mut [f64]| {
            for (bit, word) in words.iter().enumerate() {
                if *word > 0.0 {
                    for (o, p) in out.iter_mut().zip(self.expects(bit)) {
                        *o += word / total * p;
                    }
                }
            }
        };
        let mut family = vec![0.0; corpus.told * n];
        for (place, total) in total[..corpus.told].iter().enumerate() {
            if *total > 0.0 {
                let own = place * n..(place + 1) * n;
                mean(&words[own.clone()], *total, &mut family[own]);
            }
        }
        let all: f64 = total.iter().sum();
        if all > 0.0 {
            let mut sums = vec![0.0; n];
            for own in words.chunks_exact(n) {
                for (sum, word) in sums.iter_mut().zip(own) {
                    *sum += word;
                }
            }
            let mut recorded = vec![0.0; n];
            mean(&sums, all, &mut recorded);
            self.silent = silent(feature, &recorded);
            // What is recorded, and what the rest is taken to show.
            let spoken = (all / corpus.whole).min(1.0);
            self.corpus = recorded
                .iter()
                .zip(&self.silent)
                .map(|(r, s)| spoken * r + (1.0 - spoken) * s)
                .collect();
        }
        self.known = total[..corpus.told].iter().map(|t| *t > 0.0).collect();
        self.family = family;
        self.places = &corpus.places;
        self
    }

    /// What a record of one outcome expects.
    pub(super) fn expects(&self, bit: usize) -> &[f64] {
        &self.recorded[bit * self.outcomes..(bit + 1) * self.outcomes]
    }

    /// What a family that is told apart shows, where any of it is recorded; else what a silent record is taken
    /// to show.
    pub(super) fn of_family(&self, family: usize) -> &[f64] {
        match self.places.get(family) {
            Some(place) if self.known.get(*place) == Some(&true) => {
                &self.family[place * self.outcomes..(place + 1) * self.outcomes]
            }
            _ => &self.silent,
        }
    }

    /// Probability of each outcome for a material of a family, of what is recorded of it at one age
    /// and at the other, added to `out` so many times.
    pub(super) fn add(&self, family: usize, [set, other]: [u64; 2], times: f64, out: &mut [f64]) {
        let (own, lent, rest) = self.shares(set, other);
        let alike = self.of_family(family);
        for ((o, f), s) in out.iter_mut().zip(alike).zip(&self.silent) {
            *o += times * rest * (FAMILY_SHARE * f + (1.0 - FAMILY_SHARE) * s);
        }
        for (share, set) in [(own, set), (lent, other)] {
            if share > 0.0 {
                let each = times * share / f64::from(set.count_ones());
                for bit in bits(set) {
                    for (o, p) in out.iter_mut().zip(self.expects(bit)) {
                        *o += each * p;
                    }
                }
            }
        }
    }

    /// How much the record at that age says, the record at the other age, and what stands in.
    fn shares(&self, set: u64, other: u64) -> (f64, f64, f64) {
        match (set, other) {
            (0, 0) => (0.0, 0.0, 1.0),
            (0, _) => {
                let lent = OTHER_AGE_STANDS * (1.0 - self.error);
                (0.0, lent, 1.0 - lent)
            }
            _ => (1.0 - self.error, 0.0, self.error),
        }
    }

    /// Probability of what was seen for every material, fresh and aged.
    pub(super) fn of_all(&self, feature: &Feature, table: &Table, seen: &[f64]) -> [Vec<f64>; 2] {
        let n = self.outcomes;
        let recorded: Vec<f64> = self
            .recorded
            .chunks_exact(n.max(1))
            .map(|r| dot(r, seen))
            .collect();
        let silent = dot(&self.silent, seen);
        let family: Vec<f64> = (0..table.families.len())
            .map(|f| dot(self.of_family(f), seen))
            .collect();
        let mean = |set: u64| {
            // Most records say one word.
            if set.is_power_of_two() {
                return recorded[set.trailing_zeros() as usize];
            }
            let sum: f64 = bits(set).map(|bit| recorded[bit]).sum();
            sum / f64::from(set.count_ones().max(1))
        };
        let columns = Age::BOTH.map(|age| feature.column(age).open());
        let one = |stand_in: f64, set: u64, other: u64| {
            let (own, lent, rest) = self.shares(set, other);
            let said = match set {
                0 if lent > 0.0 => lent * mean(other),
                0 => 0.0,
                _ => own * mean(set),
            };
            said + rest * stand_in
        };
        let mut out = Age::BOTH.map(|_| Vec::with_capacity(table.rows.len()));
        for (m, row) in table.rows.iter().enumerate() {
            let alike = family[usize::from(row.family)];
            let stand_in = FAMILY_SHARE * alike + (1.0 - FAMILY_SHARE) * silent;
            let [fresh, aged] = columns.map(|column| column.get(m));
            out[0].push(one(stand_in, fresh, aged));
            out[1].push(one(stand_in, aged, fresh));
        }
        out
    }

    /// Probability of what was seen of a liquid that does nothing.
    pub(super) fn no_effect(&self, feature: &Feature, seen: &[f64]) -> Option<f64> {
        let word = Response::NoEffect.word();
        let bit = feature.outcomes().position(word)?;
        Some(dot(self.expects(bit), seen))
    }

    /// What the corpus shows on the whole.
    pub(super) fn corpus(&self) -> &[f64] {
        &self.corpus
    }

    /// What noise shows: half chance, half what the corpus shows on the whole.
    pub(super) fn noise(&self) -> Vec<f64> {
        let uniform = 1.0 / self.outcomes.max(1) as f64;
        self.corpus.iter().map(|c| 0.5 * (uniform + c)).collect()
    }
}

/// What a record that does not speak of a test is taken to show, from what those show that do: the
/// same, but for a reagent that answers or does not.
fn silent(feature: &Feature, recorded: &[f64]) -> Vec<f64> {
    let Some(negative) = feature.outcomes().position(NEGATIVE) else {
        return recorded.to_vec();
    };
    let answered: f64 = 1.0 - recorded[negative];
    let mut out: Vec<f64> = recorded
        .iter()
        .map(|p| SILENT_ANSWERS * p / answered.max(f64::MIN_POSITIVE))
        .collect();
    out[negative] = 1.0 - SILENT_ANSWERS;
    out
}

/// Positions of the bits that are set.
pub(super) fn bits(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let bit = set.trailing_zeros() as usize;
            set &= set - 1;
            bit
        })
    })
}

fn record_error(feature: &Feature) -> f64 {
    let yes_or_no = feature.positive.is_some() && feature.false_positive.is_some();
    if yes_or_no || feature.laboratory {
        RECORD_ERROR_SURE
    } else {
        RECORD_ERROR
    }
}

/// Probability of reading each outcome, by the outcome that the record says.
fn readings(feature: &Feature, clean: bool) -> Vec<f64> {
    let n = feature.outcomes().len();
    if n == 1 {
        return vec![1.0];
    }
    if feature.liquid {
        // All liquids are read on one scale.
        static SCALE: OnceLock<Vec<f64>> = OnceLock::new();
        let whole = Response::ALL.iter().map(|r| r.word());
        return if whole.eq(feature.outcomes().iter()) {
            SCALE.get_or_init(|| graded(feature.outcomes())).clone()
        } else {
            graded(feature.outcomes())
        };
    }
    if let (Some(hit), Some(false_hit)) = (feature.positive, feature.false_positive)
        && n == 2
    {
        // The range on record is for crumbs as they come; a clean one is at its better end.
        let (hit, false_hit) = match feature.when_clean {
            Some(better) if clean => better,
            _ => (hit, false_hit),
        };
        return vec![hit, 1.0 - hit, false_hit, 1.0 - false_hit];
    }
    let mut out = Vec::with_capacity(n * n);
    for bit in 0..n {
        out.extend(looked(feature, bit));
    }
    out
}

/// A trained eye reads it right so often; what is left goes mostly to outcomes like it.
fn looked(feature: &Feature, bit: usize) -> Vec<f64> {
    let n = feature.outcomes().len();
    let mut out = vec![0.0; n];
    let right = feature.reliability;
    let like: Vec<usize> = feature
        .read_on
        .near
        .iter()
        .filter_map(|(a, b)| match (*a as usize == bit, *b as usize == bit) {
            (true, _) => Some(*b as usize),
            (_, true) => Some(*a as usize),
            _ => None,
        })
        .collect();
    let left = 1.0 - right;
    let (to_like, to_all) = if like.is_empty() {
        (0.0, left)
    } else {
        (0.7 * left, 0.3 * left)
    };
    out[bit] += right;
    for k in &like {
        out[*k] += to_like / like.len() as f64;
    }
    let others = n as f64 - 1.0;
    for (k, p) in out.iter_mut().enumerate() {
        if k != bit {
            *p += to_all / others;
        }
    }
    out
}

/// Ordinal confusion on the solubility scale; attack, melting and change of look lie beside it.
fn graded(outcomes: &TextColumn) -> Vec<f64> {
    let n = outcomes.len();
    let responses: Vec<Option<Response>> = outcomes.iter().map(Response::parse).collect();
    let mut out = Vec::with_capacity(n * n);
    for said in &responses {
        let Some(said) = said else {
            out.extend(vec![1.0; n]);
            continue;
        };
        let own: Vec<f64> = responses
            .iter()
            .map(|seen| seen.map_or(0.0, |seen| distance(*said, seen)))
            .collect();
        let total: f64 = own.iter().sum();
        out.extend(own.iter().map(|p| p / total));
    }
    out
}

fn distance(said: Response, seen: Response) -> f64 {
    let grades = f64::from(said.grade().abs_diff(seen.grade()));
    let off_scale = |r| matches!(r, Response::Attacked | Response::Melts | Response::Blanches);
    let kind = if said == seen {
        1.0
    } else if off_scale(said) || off_scale(seen) {
        // Attack is often seen as swelling or going; melting in warm water as swelling; bloom as
        // no effect.
        0.5
    } else {
        1.0
    };
    kind * GRADE_DECAY.powf(grades)
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
