//! Hands a `blend` to its engine with what is known of the target.

use super::Session;
use super::remove::likely;
use crate::answer::Blend;
use crate::bench::blend::{Ask, blend};
use crate::model::scene::{Origin, Scene, Target};
use crate::model::{Age, Kind, Library, Record, Site};
use crate::resolve::CheckedBlend;

impl Session<'_> {
    /// Works out a blend, and tells the watcher how far it has come.
    pub(super) fn blend(&mut self, it: &CheckedBlend) -> Blend {
        let ask = self.blend_question(it);
        let mut silent = |_: f64| true;
        match &mut self.watch {
            Some(watch) => blend(self.pack, &ask, watch.as_mut()),
            None => blend(self.pack, &ask, &mut silent),
        }
    }

    /// The question, with a `let` name and its trials looked up.
    pub(super) fn blend_question(&self, it: &CheckedBlend) -> Ask {
        let bound = it
            .target
            .what
            .binding
            .as_ref()
            .and_then(|name| self.bindings.get(name));
        let mut tried = it.tried.clone();
        tried.extend(bound.iter().flat_map(|b| b.tried.iter().cloned()));
        let candidates: Vec<(usize, f64)> = match bound {
            Some(b) => likely(&b.posterior),
            None => it.target.what.among.iter().map(|m| (*m, 1.0)).collect(),
        };
        // Only a material that was named outright lends its sphere: what was identified is not certain.
        let material = match (&it.target.what.among[..], bound) {
            ([one], None) => match self.pack.record(Kind::Material, *one) {
                Some(Record::Material(material)) => Some(material),
                _ => None,
            },
            _ => None,
        };
        let age = it.target.age.or_else(|| bound.and_then(|b| b.thing.age));
        let hazards = match bound {
            Some(b) => b.posterior.hazards.clone(),
            None => self.hidden_hazards(&candidates),
        };
        Ask {
            does: it.action,
            called: it.target.called.clone(),
            material,
            age,
            tried,
            scene: Scene {
                layers: it.layers.clone(),
                materials: self.suspects(&candidates),
                target: Target {
                    candidates,
                    site: it.target.site.unwrap_or(Site::Film),
                    depth_mm: it.target.depth_mm,
                    origin: Origin::Later,
                    aged: match age {
                        Some(Age::Fresh) => 0.05,
                        _ => 0.95,
                    },
                    thick: it.target.thick,
                    tried: Vec::new(),
                    hazards,
                },
                permitted: it.allowing.clone(),
            },
            using: it.using.clone(),
            limit: it.limit.unwrap_or(0),
        }
    }
}
