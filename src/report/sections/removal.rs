//! A plan of removal: the steps that are live, what was ruled out, where the liquids lie.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::super::Material;
use super::super::document::{Block, Line, line, text};
use super::super::figure::{Dot, Mark, Triangle, triangle};
use super::super::grounds::Grounds;
use super::super::words::list;
use super::blend::percent;
use super::{Figures, based, call, grounded, nothing, strong, typed};
use crate::answer::{LayerHarm, Remove, RuledOut, Rung};
use crate::chem;
use crate::model::{Kind, Library, Value, Verdict};

/// A step in words.
pub(super) fn step(rung: &Rung) -> String {
    let step = rung.step.get();
    let mut out = step.method.head.names.name.clone();
    if let Some(agent) = &step.agent {
        out.push_str(&format!(" with {}", agent.head.names.name));
    }
    if let Some(carrier) = &step.carrier {
        out.push_str(&format!(" in {}", carrier.head.names.name));
    }
    out
}

pub(super) fn removal(
    it: &Remove,
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    blocks: &mut Vec<Block>,
) {
    if let Some(after) = &it.after {
        blocks.push(Block::Paragraph(line(format!(
            "This plan holds when: {after}."
        ))));
    }
    if let Some(leave) = &it.leave {
        let mut words = vec![strong("Leaving it is an answer: ")];
        words.extend(based(&leave.text, &leave.basis, grounds));
        blocks.push(Block::Warning(words));
    }
    if !it.before.is_empty() {
        blocks.push(Block::Paragraph(line("Before anything else:")));
        let list = it
            .before
            .iter()
            .map(|b| based(format!("{}: {}", b.what, b.why), &b.basis, grounds))
            .collect();
        blocks.push(Block::List(list));
    }
    if it.ladder.is_empty() {
        blocks.push(nothing("There is no step that nothing forbids."));
    } else {
        blocks.push(ladder(it, grounds));
        for rung in &it.ladder {
            blocks.push(Block::Terms(vec![(
                format!("{}. {}", rung.rank, step(rung)),
                bench(rung),
            )]));
        }
        if it.considered > it.ladder.len() {
            blocks.push(nothing(&format!(
                "{} steps were weighed that nothing forbids; the {} above differ most in what they do.",
                it.considered,
                it.ladder.len()
            )));
        }
    }
    if let Some(drawing) = solubility(it, material) {
        let drawn = triangle(&figures.next(), &drawing);
        blocks.push(figures.block(
            drawn,
            "Where the liquids of this plan lie in the solubility triangle.",
        ));
    }
    ruled_out(it, grounds, blocks);
    for next in &it.next {
        blocks.push(Block::Paragraph(vec![strong("What follows")]));
        removal(next, material, grounds, figures, blocks);
    }
}

fn ladder(it: &Remove, grounds: &mut Grounds<'_>) -> Block {
    let mut told = BTreeMap::new();
    let rows = it
        .ladder
        .iter()
        .map(|rung| {
            let name = step(rung);
            let said = format!("{name}: {}", rung.effect.response);
            let on = grounds.on(
                &said,
                &rung.effect.places,
                &rung.effect.sources,
                &rung.effect.basis,
            );
            let effect = grounded(effect(rung), on);
            let layers = on_layers(&rung.harm, Some((rung.rank, &mut told)), grounds);
            let why = conditions(it, rung, grounds);
            vec![
                line(rung.rank.to_string()),
                line(name),
                line(call(rung.call)),
                effect,
                if layers.is_empty() {
                    line("–")
                } else {
                    layers
                },
                if why.is_empty() { line("–") } else { why },
            ]
        })
        .collect();
    Block::table(
        "Steps that nothing forbids, mildest first",
        &[
            "Rank",
            "Step",
            "Call",
            "Effect",
            "On the layers",
            "Reasons and conditions",
        ],
        rows,
    )
}

/// What a step does to the old material, and of how much of what it may be that is on record.
fn effect(rung: &Rung) -> String {
    let it = &rung.effect;
    if it.covers >= 0.995 && it.unknown < 0.005 {
        return it.response.clone();
    }
    let unknown = if it.unknown < 0.005 {
        String::new()
    } else {
        format!("; for {:.0} % nothing is recorded", 100.0 * it.unknown)
    };
    format!(
        "{} (recorded for {:.0} % of what it may be{unknown})",
        it.response,
        100.0 * it.covers
    )
}

/// Reasons and conditions of a step that are not told elsewhere: those of its layers stand beside it,
/// and what comes before every step stands above.
fn conditions(it: &Remove, rung: &Rung, grounds: &mut Grounds<'_>) -> Line {
    let mut said: Vec<String> = rung
        .harm
        .iter()
        .map(|harm| format!("{}: {}", harm.layer, harm.reason))
        .chain(it.before.iter().map(|b| b.what.clone()))
        .collect();
    let mut out = Line::new();
    let reasons = rung
        .reasons
        .iter()
        .map(|reason| (reason.text.clone(), reason.basis.clone()));
    let caveats = rung
        .step
        .caveats()
        .iter()
        .map(|caveat| (caveat.rule.says.to_owned(), caveat.rule.basis.to_basis()));
    for (says, basis) in reasons.chain(caveats) {
        if said.contains(&says) {
            continue;
        }
        if !out.is_empty() {
            out.push(text("; "));
        }
        out.extend(based(&says, &basis, grounds));
        said.push(says);
    }
    out
}

/// Steps at which a verdict on a layer was told first, by its words.
type Told = BTreeMap<String, usize>;

/// What a step does to the layers: layers of which the same is said stand together, and what an earlier
/// step of the same plan said is not said again.
fn on_layers(
    harms: &[LayerHarm],
    mut told: Option<(usize, &mut Told)>,
    grounds: &mut Grounds<'_>,
) -> Line {
    let mut groups: Vec<(String, Line, Vec<String>)> = Vec::new();
    for harm in harms {
        let verdict = harm.verdict.map_or("not recorded", Verdict::word);
        let what = if harm.layer.is_empty() {
            "by rule"
        } else {
            &harm.layer
        };
        let says = format!(
            "{verdict}{}{}{}",
            if harm.sheltered {
                ", sheltered by what lies above"
            } else {
                ""
            },
            if harm.reason.is_empty() { "" } else { ", " },
            harm.reason
        );
        let places: Vec<_> = harm.place.iter().cloned().collect();
        let on = grounds.on(
            &format!("{what}: {says}"),
            &places,
            &harm.footing.sources(),
            harm.footing.word(),
        );
        match groups.iter_mut().find(|(s, o, _)| *s == says && *o == on) {
            Some((.., layers)) if layers.iter().any(|it| it == what) => {}
            Some((.., layers)) => layers.push(what.to_owned()),
            None => groups.push((says, on, vec![what.to_owned()])),
        }
    }
    let mut out = Line::new();
    let mut before: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for (says, on, layers) in groups {
        let said = format!("{}: {says}", list(&layers));
        if let Some((rank, told)) = &mut told {
            let first = *told.entry(said.clone()).or_insert(*rank);
            if first != *rank {
                before.entry(first).or_default().extend(layers);
                continue;
            }
        }
        if !out.is_empty() {
            out.push(text("; "));
        }
        out.extend(grounded(said, on));
    }
    for (rank, layers) in before {
        if !out.is_empty() {
            out.push(text("; "));
        }
        out.push(text(format!("{}: as at step {rank}", list(&layers))));
    }
    out
}

/// What is done and watched at the bench.
fn bench(rung: &Rung) -> Line {
    let mut out = Line::new();
    let mut add = |name: &str, value: &str| {
        if !value.is_empty() {
            if !out.is_empty() {
                out.push(text(" "));
            }
            out.push(strong(format!("{name}: ")));
            let value = value.replace("..", " to ");
            let end = if value.ends_with(['.', '!']) { "" } else { "." };
            out.push(text(format!("{value}{end}")));
        }
    };
    add("Contact", &rung.dwell);
    add("Then", rung.then.as_deref().unwrap_or(""));
    add("Watch", &rung.watch);
    add("Stop", &rung.stop);
    add("Clearance", &rung.clearance);
    let hazards: Vec<&str> = rung.hazards.iter().map(|h| h.word()).collect();
    add("Hazards", &hazards.join(", "));
    out.push(text(" "));
    out.push(strong("In the case file: "));
    out.push(typed(rung.step.get().id()));
    out
}

fn ruled_out(it: &Remove, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    // What is refused for the same reasons stands in one row.
    let mut rows: Vec<(Vec<&RuledOut>, String, Line)> = Vec::new();
    for row in &it.ruled_out {
        let why = on_layers(&row.harm, None, grounds);
        let same = rows.iter_mut().find(|(first, effect, own)| {
            *effect == row.effect && *own == why && any_method(first[0]) == any_method(row)
        });
        match same {
            Some((rows, ..)) => rows.push(row),
            None => rows.push((vec![row], row.effect.clone(), why)),
        }
    }
    if rows.is_empty() {
        return;
    }
    let rows = rows
        .into_iter()
        .map(|(rows, effect, why)| {
            let names: Vec<String> = rows.iter().map(|row| named(row)).collect();
            let by = if any_method(rows[0]) {
                ", by any method"
            } else {
                ""
            };
            vec![line(format!("{}{by}", list(&names))), line(effect), why]
        })
        .collect();
    blocks.push(Block::table(
        "Ruled out, and why",
        &["Step", "Effect on the old material", "Reason"],
        rows,
    ));
}

fn any_method(row: &RuledOut) -> bool {
    row.method.is_none() && row.agent.is_some()
}

fn named(row: &RuledOut) -> String {
    match (&row.method, &row.agent) {
        (Some(method), Some(agent)) => format!("{} with {}", method.name, agent.name),
        (Some(only), None) | (None, Some(only)) => only.name.clone(),
        (None, None) => row.id.clone(),
    }
}

/// Liquids that are drawn at most: more numbers would lie on one another.
const LIQUIDS: usize = 14;

/// The liquids of a plan in the triangle: live ones first, then those ruled out. None where fewer
/// than two of them have fractions on file.
fn solubility(it: &Remove, material: &Material<'_>) -> Option<Triangle> {
    let mut marks: BTreeMap<String, Mark> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    let live = it
        .ladder
        .iter()
        .filter_map(|rung| rung.step.get().agent.as_ref())
        .map(|agent| (agent.head.id.clone(), Mark::Live));
    let out = it
        .ruled_out
        .iter()
        .filter_map(|row| row.agent.as_ref())
        .map(|agent| (agent.id.clone(), Mark::Out));
    for (id, mark) in live.chain(out) {
        if let Entry::Vacant(free) = marks.entry(id) {
            order.push(free.key().clone());
            free.insert(mark);
        }
    }
    let dots: Vec<Dot> = order
        .iter()
        .filter_map(|id| {
            let (name, at) = fractions(material, id)?;
            Some(Dot {
                name,
                at,
                mark: marks[id],
            })
        })
        .take(LIQUIDS)
        .collect();
    (dots.len() > 1).then(|| Triangle {
        dots,
        remark: "Places come from published fractions where they are on file, else from Hansen \
                 parameters. They show which liquids are alike; they prove nothing of an aged film."
            .to_owned(),
        ..Triangle::default()
    })
}

/// The name of a liquid, and its fractions in per cent: as recorded, else from its Hansen parameters.
fn fractions(material: &Material<'_>, id: &str) -> Option<(String, (f64, f64, f64))> {
    let index = material.pack.position(Kind::Agent, id)?;
    let record = material.pack.record(Kind::Agent, index)?;
    let head = record.head();
    let of = |key: &str| {
        head.facts
            .get(key)
            .iter()
            .find_map(|fact| match &fact.value {
                Value::Teas(d, p, h) => Some((*d, *p, *h)),
                Value::Hansen(it) => chem::teas(*it),
                _ => None,
            })
    };
    let at = percent(of("teas").or_else(|| of("hansen"))?)?;
    Some((head.names.name.clone(), at))
}
