//! What a test should show of each material: what its record says, blurred by reading error, and
//! what stands in where the record is silent or does not speak for the specimen at hand.

use std::borrow::Cow;
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

/// What is read off a specimen, outcome by outcome, where the record is right. A flat table: one row of
/// outcomes after the other.
pub(super) struct Readings {
    outcomes: usize,
    /// By recorded outcome.
    recorded: Cow<'static, [f64]>,
}

impl Readings {
    /// Off a specimen that is clean or of unknown state.
    pub(super) fn new(feature: &Feature, clean: bool) -> Self {
        Self {
            outcomes: feature.outcomes().len(),
            recorded: readings(feature, clean),
        }
    }

    /// What a record of one outcome expects.
    pub(super) fn expects(&self, bit: usize) -> &[f64] {
        &self.recorded[bit * self.outcomes..(bit + 1) * self.outcomes]
    }
}

/// What a record expects, as probabilities of each outcome.
pub(super) struct Expectation<'a> {
    readings: Readings,
    error: f64,
    /// Places of the families that are told apart.
    places: &'a [usize],
    /// Flat rows of outcomes. One by place: what the family shows, or, where nothing is recorded of it, what is
    /// expected where nobody speaks; that of all who are not told apart is always the latter. After these what
    /// the corpus shows on the whole, the silent records among it.
    rows: Vec<f64>,
}

/// Sums over the records, made anew for each test.
#[derive(Default)]
pub(super) struct Tally {
    /// Weights of the words, a row of outcomes by place.
    words: Vec<f64>,
    /// Weight of what is recorded, by place.
    total: Vec<f64>,
    /// Weights of the words in the whole corpus, and what they expect.
    sums: Vec<f64>,
    recorded: Vec<f64>,
}

/// So many noughts, where there was something else.
pub(super) fn cleared(list: &mut Vec<f64>, length: usize) {
    list.clear();
    list.resize(length, 0.0);
}

impl<'a> Expectation<'a> {
    /// Of a test on a specimen, clean or of unknown state, from what the corpus shows of it and those
    /// families that are told apart.
    pub(super) fn new(
        feature: &Feature,
        clean: bool,
        corpus: &'a Weighed,
        tally: &mut Tally,
    ) -> Self {
        let readings = Readings::new(feature, clean);
        let n = readings.outcomes;
        let told = corpus.told;
        // A record of several words expects their mean, so the words' weights add up first, and what
        // they expect is reckoned once a family.
        let Tally {
            words,
            total,
            sums,
            recorded,
        } = tally;
        cleared(words, (told + 1) * n);
        for column in [&feature.fresh, &feature.aged] {
            column.for_each_present(&corpus.materials, |(place, weight), set| {
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
                    for (o, p) in out.iter_mut().zip(readings.expects(bit)) {
                        *o += word / total * p;
                    }
                }
            }
        };
        let mut rows = vec![0.0; (told + 2) * n];
        let (families, rest) = rows.split_at_mut(told * n);
        let (silent, whole) = rest.split_at_mut(n);
        total.clear();
        total.extend(
            words
                .chunks_exact(n.max(1))
                .map(|own| own.iter().sum::<f64>()),
        );
        let all: f64 = total.iter().sum();
        if all > 0.0 {
            cleared(sums, n);
            for own in words.chunks_exact(n.max(1)) {
                for (sum, word) in sums.iter_mut().zip(own) {
                    *sum += word;
                }
            }
            cleared(recorded, n);
            mean(sums, all, recorded);
            silence(feature, recorded, silent);
            // What is recorded, and what the rest is taken to show.
            let spoken = (all / corpus.whole).min(1.0);
            for ((o, r), s) in whole.iter_mut().zip(&*recorded).zip(&*silent) {
                *o = spoken * r + (1.0 - spoken) * s;
            }
        } else {
            silent.fill(1.0 / n.max(1) as f64);
            whole.copy_from_slice(silent);
        }
        let rows_of = families.chunks_exact_mut(n.max(1));
        let words_of = words.chunks_exact(n.max(1));
        for ((own, words), total) in rows_of.zip(words_of).zip(&*total) {
            if *total > 0.0 {
                mean(words, *total, own);
            } else {
                own.copy_from_slice(silent);
            }
        }
        Self {
            readings,
            error: record_error(feature),
            places: &corpus.places,
            rows,
        }
    }

    /// What a family that is told apart shows, where any of it is recorded; else what a silent record is taken
    /// to show.
    pub(super) fn of_family(&self, family: usize) -> &[f64] {
        match self.places.get(family) {
            Some(place) => &self.rows[place * self.readings.outcomes..][..self.readings.outcomes],
            None => self.silent(),
        }
    }

    /// What is expected where neither the record nor its family speaks.
    fn silent(&self) -> &[f64] {
        let n = self.readings.outcomes;
        &self.rows[self.rows.len() - 2 * n..][..n]
    }

    /// Probability of each outcome for a material of a family, of what is recorded of it at one age
    /// and at the other, added to `out` so many times.
    pub(super) fn add(&self, family: usize, [set, other]: [u64; 2], times: f64, out: &mut [f64]) {
        let (own, lent, rest) = self.shares(set, other);
        let alike = self.of_family(family);
        for ((o, f), s) in out.iter_mut().zip(alike).zip(self.silent()) {
            *o += times * rest * (FAMILY_SHARE * f + (1.0 - FAMILY_SHARE) * s);
        }
        for (share, set) in [(own, set), (lent, other)] {
            if share > 0.0 {
                let each = times * share / f64::from(set.count_ones());
                for bit in bits(set) {
                    for (o, p) in out.iter_mut().zip(self.readings.expects(bit)) {
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
        let n = self.readings.outcomes;
        let recorded: Vec<f64> = self
            .readings
            .recorded
            .chunks_exact(n.max(1))
            .map(|r| dot(r, seen))
            .collect();
        let silent = dot(self.silent(), seen);
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
        Some(dot(self.readings.expects(bit), seen))
    }

    /// What the corpus shows on the whole.
    pub(super) fn corpus(&self) -> &[f64] {
        &self.rows[self.rows.len() - self.readings.outcomes..]
    }

    /// What noise shows: half chance, half what the corpus shows on the whole.
    pub(super) fn noise(&self) -> impl Iterator<Item = f64> {
        let uniform = 1.0 / self.readings.outcomes.max(1) as f64;
        self.corpus().iter().map(move |c| 0.5 * (uniform + c))
    }
}

/// What a record that does not speak of a test is taken to show, from what those show that do: the
/// same, but for a reagent that answers or does not.
fn silence(feature: &Feature, recorded: &[f64], out: &mut [f64]) {
    out.copy_from_slice(recorded);
    let Some(negative) = feature.outcomes().position(NEGATIVE) else {
        return;
    };
    let answered: f64 = 1.0 - recorded[negative];
    for p in &mut *out {
        *p = SILENT_ANSWERS * *p / answered.max(f64::MIN_POSITIVE);
    }
    out[negative] = 1.0 - SILENT_ANSWERS;
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
fn readings(feature: &Feature, clean: bool) -> Cow<'static, [f64]> {
    let n = feature.outcomes().len();
    if n == 1 {
        return Cow::Borrowed(&[1.0]);
    }
    if feature.liquid {
        // All liquids are read on one scale.
        static SCALE: OnceLock<Vec<f64>> = OnceLock::new();
        let whole = Response::ALL.iter().map(|r| r.word());
        return if whole.eq(feature.outcomes().iter()) {
            Cow::Borrowed(SCALE.get_or_init(|| graded(feature.outcomes())))
        } else {
            Cow::Owned(graded(feature.outcomes()))
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
        return Cow::Owned(vec![hit, 1.0 - hit, false_hit, 1.0 - false_hit]);
    }
    let mut out = vec![0.0; n * n];
    for (bit, row) in out.chunks_exact_mut(n.max(1)).enumerate() {
        looked(feature, bit, row);
    }
    Cow::Owned(out)
}

/// A trained eye reads it right so often; what is left goes mostly to outcomes like it.
fn looked(feature: &Feature, bit: usize, out: &mut [f64]) {
    let right = feature.reliability;
    let near = feature.read_on.near.iter();
    let near = near.map(|(a, b)| (usize::from(*a), usize::from(*b)));
    let like = near.filter_map(|(a, b)| match (a == bit, b == bit) {
        (true, _) => Some(b),
        (_, true) => Some(a),
        _ => None,
    });
    let alike = like.clone().count();
    let left = 1.0 - right;
    let (to_like, to_all) = if alike == 0 {
        (0.0, left)
    } else {
        (0.7 * left, 0.3 * left)
    };
    out[bit] += right;
    for k in like {
        out[k] += to_like / alike as f64;
    }
    let others = out.len() as f64 - 1.0;
    for (k, p) in out.iter_mut().enumerate() {
        if k != bit {
            *p += to_all / others;
        }
    }
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
