//! Hands a checked choice to its engine.

use super::Session;
use super::find::leaves_of;
use crate::answer::{self, JoinLoad};
use crate::choose::{Ask, choose, load};
use crate::model::{Kind, Library, Truth};
use crate::remove::Barred;
use crate::resolve::CheckedChoose;

impl Session<'_> {
    pub(super) fn choice(&self, it: &CheckedChoose, notes: &mut Vec<String>) -> answer::Choose {
        let mut among = it.thing.what.among.clone();
        if !it.without_materials.is_empty() {
            if among.is_empty() {
                among = (0..self.pack.count(Kind::Material))
                    .filter(|m| self.serves(it, *m))
                    .collect();
            }
            among.retain(|m| !it.without_materials.contains(m));
        }
        let condition: Vec<Truth> = match &it.condition {
            None => Vec::new(),
            Some(condition) => (0..self.pack.count(Kind::Material))
                .map(|k| {
                    self.pack
                        .record(Kind::Material, k)
                        .map_or(Truth::Unknown, |record| self.holds(condition, &record))
                })
                .collect(),
        };
        let leaves: Vec<&str> = leaves_of(it.condition.as_ref())
            .into_iter()
            .map(|(_, text)| text)
            .collect();
        if it.thing.site.is_none() {
            notes.push(format!(
                "where it will sit was not stated: taken as {}; say `(film)`, `(open joint)`, `(deep \
                 joint)` or `(pores)`",
                it.site
            ));
        }
        if it.warmest.is_none() {
            notes.push(format!(
                "no warmest day was stated: {:.0} C is assumed; say `where stable to 35 C`",
                crate::choose::USUAL_WARMEST
            ));
        }
        let arm_m = it.thing.arm_mm.map(|mm| mm / 1000.0);
        let join = it.load.map(|(newtons, area_m2)| JoinLoad {
            newtons,
            area_m2,
            arm_m,
            stress_mpa: area_m2.map(|area| load::highest_stress(newtons, area, arm_m)),
        });
        if let Some(load) = join {
            match (load.area_m2, load.arm_m) {
                (None, _) => notes.push(
                    "no area was stated, so the stress is not known: write `carrying 4 kg on 10 cm2`"
                        .to_owned(),
                ),
                (Some(_), Some(_)) => notes.push(
                    "the edge stress is that of a square break of this area: nothing was said of its \
                     shape"
                        .to_owned(),
                ),
                (Some(_), None) => notes.push(
                    "the load is taken as spread evenly; for a part that juts out say how far: \
                     `adhesive (lever 150 mm)`"
                        .to_owned(),
                ),
            }
        }
        let ask = Ask {
            purpose: it.purpose,
            called: it.thing.called.clone(),
            families: it.thing.what.families.clone(),
            among,
            layers: it.layers.clone(),
            to: it.to.clone(),
            site: it.site,
            depth_mm: it.thing.depth_mm,
            load: join,
            warmest: it.warmest,
            lux_hours: it.lux_hours,
            years: it.years,
            barred: Barred {
                agents: it.without_agents.clone(),
                classes: it.without_classes.clone(),
                methods: it.without_methods.clone(),
            },
            permitted: it.allowing.clone(),
            condition,
            condition_text: leaves.join(" and "),
            rank: it.rank.clone(),
            limit: it.limit.unwrap_or(0),
            now: self.now,
        };
        choose(self.pack, &ask)
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
