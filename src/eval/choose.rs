//! Hands a checked choice to its engine.

use super::Session;
use super::find::leaves_of;
use crate::answer::{self, JoinLoad};
use crate::choose::{Ask, USUAL_WARMEST, choose, load};
use crate::model::{Kind, Library, Truth};
use crate::resolve::CheckedChoose;

impl Session<'_> {
    pub(super) fn choice(&self, it: &CheckedChoose, notes: &mut Vec<String>) -> answer::Choose {
        let join = join(it);
        notes.extend(assumed(it, join));
        let leaves: Vec<&str> = leaves_of(it.condition.as_ref())
            .into_iter()
            .map(|(_, text)| text)
            .collect();
        let ask = Ask {
            purpose: it.purpose,
            called: it.thing.called.clone(),
            families: it.thing.what.families.clone(),
            among: self.among(it),
            layers: it.layers.clone(),
            to: it.to.clone(),
            site: it.site,
            depth_mm: it.thing.depth_mm,
            load: join,
            warmest: it.warmest,
            lux_hours: it.lux_hours,
            years: it.years,
            barred: it.barred.clone(),
            permitted: it.allowing.clone(),
            condition: self.truths(it),
            condition_text: leaves.join(" and "),
            rank: it.rank.clone(),
            limit: it.limit.unwrap_or(0),
            now: self.now,
        };
        choose(self.pack, &ask)
    }

    /// The materials to keep to, by number, without those that are barred; empty for any.
    fn among(&self, it: &CheckedChoose) -> Vec<usize> {
        let mut among = it.thing.what.among.clone();
        if !it.without_materials.is_empty() {
            if among.is_empty() {
                among = (0..self.pack.count(Kind::Material))
                    .filter(|m| self.serves(it, *m))
                    .collect();
            }
            among.retain(|m| !it.without_materials.contains(m));
        }
        among
    }

    /// Truth of the condition, by material number; empty where there is none.
    fn truths(&self, it: &CheckedChoose) -> Vec<Truth> {
        let Some(condition) = &it.condition else {
            return Vec::new();
        };
        (0..self.pack.count(Kind::Material))
            .map(|k| {
                self.pack
                    .record(Kind::Material, k)
                    .map_or(Truth::Unknown, |record| self.holds(condition, &record))
            })
            .collect()
    }

    /// Whether a material serves as what is asked for.
    fn serves(&self, it: &CheckedChoose, material: usize) -> bool {
        let table = self.pack.table();
        let Some(row) = table.rows.get(material) else {
            return false;
        };
        let families = &it.thing.what.families;
        let family = &table.families[row.family as usize].0;
        (families.is_empty() || families.contains(family))
            && row.roles.iter().any(|r| r.word() == it.purpose.word())
    }
}

/// The load on the join, with its highest stress where the area was stated.
fn join(it: &CheckedChoose) -> Option<JoinLoad> {
    let arm_m = it.thing.arm_mm.map(|mm| mm / 1000.0);
    it.load.map(|(newtons, area_m2)| JoinLoad {
        newtons,
        area_m2,
        arm_m,
        stress_mpa: area_m2.map(|area| load::highest_stress(newtons, area, arm_m)),
    })
}

/// What was not stated, and as what it is taken.
fn assumed(it: &CheckedChoose, join: Option<JoinLoad>) -> Vec<String> {
    let mut out = Vec::new();
    if it.thing.site.is_none() {
        out.push(format!(
            "where it will sit was not stated: taken as {}; say `(film)`, `(open joint)`, `(deep \
             joint)` or `(pores)`",
            it.site
        ));
    }
    if it.warmest.is_none() {
        out.push(format!(
            "no warmest day was stated: {USUAL_WARMEST:.0} C is assumed; say `where stable to 35 C`"
        ));
    }
    if let Some(load) = join {
        let says = match (load.area_m2, load.arm_m) {
            (None, _) => {
                "no area was stated, so the stress is not known: write `carrying 4 kg on 10 cm2`"
            }
            (Some(_), Some(_)) => {
                "the edge stress is that of a square break of this area: nothing was said of its \
                 shape"
            }
            (Some(_), None) => {
                "the load is taken as spread evenly; for a part that juts out say how far: \
                 `adhesive (lever 150 mm)`"
            }
        };
        out.push(says.to_owned());
    }
    out
}
