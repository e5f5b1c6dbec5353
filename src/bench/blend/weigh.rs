//! From points in space to blends on a bench: how each dries, what its vapour and its fire cost, and
//! which few to show.

use super::liquids::{self, Candidate, Means};
use super::records;
use super::search::Mix;
use super::spheres::Known;
use crate::answer::blend::{Conflict, Flash, Mixing, Point, Practical};
use crate::answer::{Call, Entry, Part, Reason};
use crate::chem;
use crate::chem::drying::{Activity, BENCH_KELVIN, Left, partial_pressures, path};
use crate::chem::unifac::{Molecule, Unifac};
use crate::gate::{Passed, Sort};
use crate::model::scene::{Scene, Step};
use crate::model::{Basis, Class, Hansen, Verdict};

/// Share of the liquid to which the path is followed.
pub(super) const TO: f64 = 0.1;
/// Step of the path, of the starting volume.
const STEP: f64 = 0.01;
/// By how much a layer must be cleared beyond its margin on the way: what lies between two points of the
/// path. RED.
const SLACK: f64 = 0.01;
/// What a tenfold vapour hazard costs, in RED. Judgment: the sphere is not known better than a tenth.
const HAZARD_COST: f64 = 0.1;
/// What a flash point below 23 °C costs, in RED; half of it up to 60 °C. The borders are those of the
/// classes of flammable liquids (CLP, Annex I, 2.6; from memory); the cost is judgment.
const FIRE_COST: f64 = 0.1;
/// What RED itself costs: well inside is inside, and what is nearer to the centre is not worth the
/// vapour of a stronger liquid. Judgment.
const RED_COST: f64 = 0.5;
/// Vapour pressure below which a liquid stays in what it wets, pascal, and what each tenth of it costs,
/// in RED. Judgment: white spirit, at 250 Pa, is gone in the hour; benzyl alcohol, at 13 Pa, is not.
const LEAVES: f64 = 100.0;
const STAY_COST: f64 = 0.1;
/// What a third and a fourth liquid cost: they must be bought, measured and told in the report.
const PART_COST: f64 = 0.03;
/// What doubt about a liquid costs: a blend that is no more than a test comes after those that are.
const DOUBT_COST: f64 = 0.3;
/// Limit that stands in for one that is not on file, ppm, when blends are put in order: unknown is not
/// safe. It is never shown.
const STAND_IN: f64 = 10.0;
/// Share by volume that two blends may have in common and still count as different.
const ALIKE: f64 = 0.65;
/// Share of a liquid from which the doubt about it is a doubt about the blend.
const MATTERS: f64 = 0.1;

/// What all blends of one question share.
pub(super) struct Bench<'a> {
    pub(super) liquids: &'a [Candidate],
    pub(super) target: &'a Known,
    /// A layer without a sphere is judged by its record.
    pub(super) layers: &'a [Option<Known>],
    pub(super) scene: &'a Scene,
    pub(super) means: &'a Means,
    pub(super) conflicts: &'a [Conflict],
    /// Liquids of which the record, the sphere or the table leaves a doubt.
    pub(super) doubted: Vec<bool>,
    /// Steps of the proportions.
    pub(super) steps: u8,
    /// Whether the sphere, and not a margin of doubt, speaks for the blends.
    pub(super) sure: bool,
}

/// What a blend costs for what its liquids are, whatever their shares.
#[derive(Clone, Copy, Default)]
struct Own {
    fire: f64,
    stay: f64,
    parts: usize,
    doubted: bool,
}

impl Own {
    fn add(&mut self, it: &Candidate, doubted: bool) {
        let stays = (LEAVES / it.volatile.vapour_pressure).max(1.0).log10();
        self.fire = self.fire.max(fire_cost(it.flash));
        self.stay = self.stay.max(STAY_COST * stays);
        self.parts += 1;
        self.doubted |= doubted;
    }

    fn cost(self) -> f64 {
        self.fire
            + self.stay
            + PART_COST * self.parts.saturating_sub(2) as f64
            + if self.doubted { DOUBT_COST } else { 0.0 }
    }
}

/// Whether something leaves a blend with this liquid no more than a test.
pub(super) fn doubted(liquids: &[Candidate], scene: &Scene, conflicts: &[Conflict]) -> Vec<bool> {
    liquids
        .iter()
        .map(|c| {
            c.molecule.is_none()
                || conflicts.iter().any(|x| x.id == c.agent.head.id)
                || records::rows(&scene.layers, &[c])
                    .iter()
                    .any(|r| r.verdict != Some(Verdict::Safe))
        })
        .collect()
}

/// Why a blend was not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lost {
    /// Not inside of every sphere of the target.
    Target,
    /// It touches a layer while it dries.
    Path,
    /// An alcohol beside an alkane, and no groups to reckon with.
    Ideal,
    /// The gate refused it.
    Gate,
}

impl Bench<'_> {
    fn of<'b>(&'b self, mix: &Mix) -> (Vec<&'b Candidate>, Vec<f64>) {
        mix.parts()
            .map(|(k, units)| (&self.liquids[k], f64::from(units) / f64::from(self.steps)))
            .unzip()
    }

    /// The cost by which blends are gone through, with the vapour as of an ideal mixture.
    pub(super) fn first_cost(&self, mix: &Mix) -> f64 {
        let radius = self.target.main.radius.unwrap_or(1.0);
        let (mut moles, mut hazard, mut own) = (0.0, 0.0, Own::default());
        for (k, units) in mix.parts() {
            let liquid = &self.liquids[k];
            let n = f64::from(units) / liquid.volatile.molar_volume;
            moles += n;
            let ppm = liquid.limit.as_ref().map_or(STAND_IN, |l| l.ppm);
            hazard += n * liquid.volatile.vapour_pressure / ppm;
            own.add(liquid, self.doubted[k]);
        }
        RED_COST * mix.ra / radius + own.cost() + hazard_cost(hazard / moles * 1e6 / 101_325.0)
    }

    /// Follows a blend to the last tenth, and lets it pass the gate.
    pub(super) fn weigh(&self, mix: &Mix) -> Result<Practical, Lost> {
        let (parts, shares) = self.of(mix);
        let start = place(&parts, &shares).ok_or(Lost::Target)?;
        if self.sure && !self.target.inside_all(start) {
            return Err(Lost::Target);
        }
        let activity = activity(&parts);
        if matches!(activity, Activity::Ideal) && alcohol_and_alkane(&parts) {
            return Err(Lost::Ideal);
        }
        let volatile: Vec<_> = parts.iter().map(|c| c.volatile).collect();
        let way = path(&volatile, &activity, &shares, TO, STEP);
        let (points, least) = self.follow(&parts, &way)?;
        let ratio = ratio(mix);
        let steps = self.pass(&parts, &shares, &ratio)?;
        let pressures = partial_pressures(&volatile, &activity, &shares);
        let red = self.target.red(start);
        let mut out = Practical {
            rank: 0,
            call: Call::Recommended,
            parts: parts
                .iter()
                .zip(&shares)
                .map(|(c, s)| Part::new(Entry::of(&c.agent.head), *s))
                .collect(),
            ratio,
            start,
            red,
            solvent_until: points.iter().find(|p| p.red > 1.0).map(|p| p.left),
            path: points,
            least,
            mixing: match activity {
                Activity::Unifac(_) => Mixing::Unifac,
                Activity::Ideal => Mixing::Ideal,
            },
            hazard: liquids::hazard_of(&pressures, &parts, None),
            no_limit: parts
                .iter()
                .filter(|c| c.limit.is_none())
                .map(|c| c.agent.head.names.name.clone())
                .collect(),
            flash: lowest_flash(&parts),
            reasons: Vec::new(),
            records: records::rows(&self.scene.layers, &parts),
            score: self.score(
                mix,
                red,
                liquids::hazard_of(&pressures, &parts, Some(STAND_IN)),
            ),
            steps,
        };
        self.doubts(&mut out, &parts, &shares);
        Ok(out)
    }

    /// The points of a path, and the least RED to each layer on it; none for a layer without a sphere.
    /// Lost where there is no path, and where it touches a layer.
    fn follow(
        &self,
        parts: &[&Candidate],
        way: &[Left],
    ) -> Result<(Vec<Point>, Vec<Option<f64>>), Lost> {
        if way.is_empty() {
            return Err(Lost::Path);
        }
        let keep_out: Vec<(Hansen, f64)> = self
            .layers
            .iter()
            .flatten()
            .flat_map(|l| l.keep_out(self.sure))
            .collect();
        let mut points = Vec::with_capacity(way.len());
        let mut least: Vec<Option<f64>> = self
            .layers
            .iter()
            .map(|l| l.as_ref().map(|_| f64::INFINITY))
            .collect();
        for step in way {
            let at = place(parts, &step.shares).ok_or(Lost::Path)?;
            let touches = |(centre, radius): &(Hansen, f64)| {
                chem::distance(*centre, at) < radius * (1.0 + SLACK)
            };
            if keep_out.iter().any(touches) {
                return Err(Lost::Path);
            }
            let layers: Vec<Option<f64>> = self
                .layers
                .iter()
                .map(|l| l.as_ref().map(|l| l.red(at)))
                .collect();
            for (least, now) in least.iter_mut().zip(&layers) {
                if let (Some(least), Some(now)) = (least, now) {
                    *least = least.min(*now);
                }
            }
            points.push(Point {
                left: step.left,
                shares: step.shares.clone(),
                at,
                teas: chem::teas(at),
                red: self.target.red(at),
                layers,
            });
        }
        Ok((points, least))
    }

    /// Lets the blend pass the gate, layer by layer.
    fn pass(
        &self,
        parts: &[&Candidate],
        shares: &[f64],
        ratio: &str,
    ) -> Result<Vec<Passed<Step>>, Lost> {
        let names: Vec<&str> = parts
            .iter()
            .map(|c| c.agent.head.names.name.as_str())
            .collect();
        let agents: Vec<_> = parts
            .iter()
            .zip(shares)
            .map(|(c, s)| (&c.agent, *s))
            .collect();
        let called = format!("{} {ratio}", names.join(" + "));
        liquids::pass(&self.means.step(&agents, &called), self.scene).map_err(|_| Lost::Gate)
    }

    /// By which blends are put in order, with the vapour as it is reckoned; less is better.
    fn score(&self, mix: &Mix, red: f64, hazard: f64) -> f64 {
        let mut own = Own::default();
        for (k, _) in mix.parts() {
            own.add(&self.liquids[k], self.doubted[k]);
        }
        RED_COST * red + own.cost() + hazard_cost(hazard)
    }

    /// What makes a blend no more than a test.
    fn doubts(&self, it: &mut Practical, parts: &[&Candidate], shares: &[f64]) {
        let mut say = |text: String, basis: Basis| it.reasons.push(Reason { text, basis });
        if !self.sure {
            say(
                format!(
                    "RED {:.2}: between 0.8 and 1.3 the sphere cannot tell",
                    it.red
                ),
                Basis::Practice,
            );
        }
        for row in &it.records {
            if row.verdict != Some(Verdict::Safe) {
                say(
                    format!("{}: {}", row.layer, row.reason),
                    row.footing.or_practice(),
                );
            }
        }
        for (c, share) in parts.iter().zip(shares) {
            let conflict = self.conflicts.iter().find(|x| x.id == c.agent.head.id);
            if let Some(conflict) = conflict.filter(|_| *share >= MATTERS) {
                say(
                    format!("{}: the bench outranks the sphere", conflict.says),
                    Basis::Practice,
                );
            }
        }
        if it.mixing == Mixing::Ideal && parts.len() > 1 {
            say(
                "its drying is reckoned as of an ideal mixture: groups or figures of one of its \
                 liquids are missing"
                    .to_owned(),
                Basis::Practice,
            );
        }
        let conditional = it
            .steps
            .iter()
            .flat_map(|s| s.caveats().iter().filter(|c| c.rule.sort == Sort::OnlyIf));
        let rules: Vec<Reason> = conditional
            .map(|c| Reason {
                text: format!("{} ({})", c.rule.says, c.rule.why),
                basis: c.rule.basis.to_basis(),
            })
            .collect();
        for rule in rules {
            if !it.reasons.contains(&rule) {
                it.reasons.push(rule);
            }
        }
        if !it.reasons.is_empty() {
            it.call = Call::TestFirst;
        }
    }
}

/// Where a blend of these shares by volume lies.
fn place(parts: &[&Candidate], shares: &[f64]) -> Option<Hansen> {
    let list: Vec<(Hansen, f64)> = parts
        .iter()
        .zip(shares)
        .map(|(c, s)| (c.hansen, *s))
        .collect();
    chem::blend(&list)
}

/// Activity by groups where every liquid has them and the table knows every pair, else ideal.
pub(super) fn activity(parts: &[&Candidate]) -> Activity {
    let molecules: Option<Vec<&Molecule>> = parts.iter().map(|c| c.molecule.as_ref()).collect();
    molecules
        .and_then(|m| Unifac::new(&m, BENCH_KELVIN).ok())
        .map_or(Activity::Ideal, Activity::Unifac)
}

fn alcohol_and_alkane(parts: &[&Candidate]) -> bool {
    let has = |class| parts.iter().any(|c| c.agent.class == class);
    // A glycol ether is filed with the ketones and has its alcohol group all the same.
    let hydroxyl = parts.iter().any(|c| c.hansen.h >= 11.0);
    (has(Class::Alcohol) || hydroxyl) && has(Class::Aliphatic)
}

fn hazard_cost(ratio: f64) -> f64 {
    HAZARD_COST * ratio.max(1.0).log10()
}

fn fire_cost(flash: Flash) -> f64 {
    match flash {
        Flash::None => 0.0,
        Flash::At(c) if c > 60.0 => 0.0,
        Flash::At(c) if c >= 23.0 => 0.5 * FIRE_COST,
        Flash::At(_) | Flash::Unknown => FIRE_COST,
    }
}

/// The lowest of all; one that is not on file makes it unknown.
fn lowest_flash(parts: &[&Candidate]) -> Flash {
    let mut out = Flash::None;
    for c in parts {
        out = match (out, c.flash) {
            (_, Flash::Unknown) => return Flash::Unknown,
            (Flash::At(a), Flash::At(b)) => Flash::At(a.min(b)),
            (Flash::None, it) => it,
            (it, Flash::None) => it,
            (Flash::Unknown, _) => return Flash::Unknown,
        };
    }
    out
}

/// Parts by volume in the smallest whole numbers.
fn ratio(mix: &Mix) -> String {
    let gcd = |mut a: u8, mut b: u8| {
        while b > 0 {
            (a, b) = (b, a % b);
        }
        a
    };
    let by = mix.parts().map(|(_, u)| u).fold(0, gcd).max(1);
    let parts: Vec<String> = mix.parts().map(|(_, u)| (u / by).to_string()).collect();
    parts.join(":")
}

/// Whether two blends are much the same: what they have in common, by volume.
pub(super) fn alike(a: &[Part], b: &[Part]) -> bool {
    let common: f64 = a
        .iter()
        .filter_map(|part| {
            let other = b.iter().find(|other| other.id == part.id)?;
            Some(part.share.min(other.share))
        })
        .sum();
    common > ALIKE
}

/// The parts of a mix as [`alike`] wants them.
pub(super) fn named(liquids: &[Candidate], mix: &Mix, steps: u8) -> Vec<Part> {
    mix.parts()
        .map(|(k, u)| {
            let share = f64::from(u) / f64::from(steps);
            Part::new(Entry::of(&liquids[k].agent.head), share)
        })
        .collect()
}
