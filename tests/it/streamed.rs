//! A corpus that is read and packed record by record is what it is when it is read whole.

use std::borrow::Cow;
use std::fs;
use std::path::Path;

use lz4_flex::block::compress_with_dict;
use palinode::corpus::{self, Corpus, Finding};
use palinode::embedded;
use palinode::index::{self, Bytes, Index};
use palinode::model::{Agent, Hazard, Kind, Library, Record};
use palinode::pack::{self, Besides, Form, Pack, WriteError, Writer};

fn kb() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/kb"))
}

/// What a folder gives record by record.
fn each(dir: &Path) -> (Vec<Record>, Corpus) {
    let mut records = Vec::new();
    let corpus = corpus::each(dir, |record| {
        records.push(record);
        Ok::<(), std::convert::Infallible>(())
    })
    .unwrap();
    (records, corpus)
}

fn besides(corpus: &Corpus) -> Besides<'_, Vec<u8>> {
    Besides {
        version: &corpus.version,
        words: &corpus.words,
        speech: &corpus.speech,
        reagents: &corpus.reagents,
        index: &[],
    }
}

#[test]
fn record_by_record_is_as_whole() {
    let whole = corpus::load(kb(), Vec::new()).unwrap();
    let (records, corpus) = each(kb());
    assert!(records == whole.records);
    assert_eq!(corpus.version, whole.version);
    assert!(corpus.words == whole.words && corpus.exceptions == whole.exceptions);
    assert!(corpus.findings.is_empty() && corpus.sources.is_empty());
}

#[test]
fn what_is_wrong_is_told_alike() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let file = dir.path().join(name);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(file, text).unwrap();
    };
    let copied = |name: &str| fs::read_to_string(kb().join(name)).unwrap();
    write("materials/shellac.toml", &copied("materials/shellac.toml"));
    write("materials/a-b.toml", &copied("materials/shellac.toml"));
    write("materials/broken.toml", "id = \"broken\"\nname = [\n");
    write("layers/gesso.toml", "id = \"gesso\"\nnonsense = 3\n");
    write("sources/b.bib", "@book{two, title = {A}, date = {1900}}\n");
    write(
        "sources/c.bib",
        "@book{one, title = {B}}\n\n@book{two, title = {C}}\n",
    );
    write("sources/d.bib", "@book{open, title = {");
    write("vocab/words.toml", "[role]\nfoil = 7\n");
    let told = |findings: &[Finding]| -> Vec<String> {
        findings
            .iter()
            .map(|f| format!("{:?} {:?}", f.place, f.diagnostic))
            .collect()
    };
    let whole = corpus::load(dir.path(), Vec::new()).unwrap();
    let (records, corpus) = each(dir.path());
    assert!(told(&whole.findings).len() > 6);
    assert_eq!(told(&corpus.findings), told(&whole.findings));
    // The vocabulary is read first, and nothing is given away once something is wrong.
    assert_eq!(records.len(), 0);
}

#[test]
fn of_the_same_records_comes_the_same_pack() {
    let (mut records, corpus) = each(kb());
    let whole = |records: &[Record]| {
        let index = index::build(records).unwrap();
        let besides = Besides {
            version: &corpus.version,
            words: &corpus.words,
            speech: &corpus.speech,
            reagents: &corpus.reagents,
            index: &index,
        };
        pack::write(records, besides, Form::Small(packed)).unwrap()
    };
    let first = whole(&records);
    records.reverse();
    assert!(first == whole(&records));
    let pack = Pack::open(Cow::Owned(first)).unwrap();
    assert_eq!(pack.identity(), embedded().identity());
    assert!(pack.index_files().eq(embedded().index_files()));
    assert!(pack.table() == embedded().table());
}

/// The ten best are the first ten of all: what is left out to be quick does not belong among them.
#[test]
fn a_few_of_the_best_are_the_first_of_all() {
    let pack = embedded();
    let files = pack.static_index_files().unwrap();
    let files = files.into_iter().map(|(n, b)| (n, Bytes::Static(b)));
    let counts = Kind::ALL.map(|kind| pack.count(kind));
    let index = Index::open(files.collect(), counts).unwrap();
    let words = [
        "flaking gilding",
        "gilding",
        "soluble nylon",
        "oil paint over gesso",
        "animal glue",
        "cellulose nitrate film",
        "the",
        "dry ice shellac",
        "paper paper",
    ];
    for kind in [None, Some(Kind::Source), Some(Kind::Material)] {
        for words in words {
            let all = index.search(words, kind, 100_000).unwrap();
            let few = index.search(words, kind, 10).unwrap();
            assert_eq!(few.len(), all.len().min(10));
            assert_eq!(index.count(words, kind).unwrap(), all.len());
            for (few, all) in few.iter().zip(&all) {
                // The library adds up in another order.
                assert!((few.2 - all.2).abs() < 1e-4 * all.2, "{words} {kind:?}");
            }
        }
    }
}

/// More records than a dictionary is made of: those that came before it, and those after, are read back.
#[test]
fn records_beyond_the_first_are_packed_as_they_come() {
    let (records, corpus) = each(kb());
    let material = records
        .iter()
        .find(|record| record.head().id == "shellac")
        .unwrap();
    let families = records.iter().filter(|r| r.kind() == Kind::Family);
    let copies = 400;
    let copy = |n: usize| {
        let mut copy = material.clone();
        if let Record::Material(it) = &mut copy {
            it.head.id = format!("shellac-{n:04}");
            it.head.summary = format!("number {n}");
        }
        copy
    };
    let mut writer = Writer::new(Form::Small(packed));
    (0..copies).for_each(|n| writer.add(copy(n)).unwrap());
    assert!(matches!(
        writer.add(copy(7)),
        Err(WriteError::OutOfOrder(id)) if id == "shellac-0007"
    ));
    families.for_each(|family| writer.add(family.clone()).unwrap());
    assert!(matches!(
        writer.add(copy(copies)),
        Err(WriteError::OutOfOrder(_))
    ));
    let mut bytes = Vec::new();
    writer.finish(besides(&corpus), &mut bytes).unwrap();
    let one = postcard::to_allocvec(material).unwrap().len();
    assert!(copies * one > 6 << 20, "too few copies of {one} bytes");
    assert!(bytes.len() < copies * one / 2);
    let pack = Pack::open(Cow::Owned(bytes)).unwrap();
    assert_eq!(pack.count(Kind::Material), copies);
    for n in 0..copies {
        assert_eq!(
            pack.position(Kind::Material, &format!("shellac-{n:04}")),
            Some(n)
        );
        assert!(pack.record(Kind::Material, n) == Some(copy(n)));
    }
}

/// A family that is not there is told with the place of who names it, although the record was forgotten.
#[test]
fn an_unknown_family_is_told_with_its_place() {
    let (records, corpus) = each(kb());
    let materials: Vec<Record> = records
        .into_iter()
        .filter(|r| r.kind() == Kind::Material)
        .collect();
    let error = pack::write(&materials, besides(&corpus), Form::Plain).unwrap_err();
    let first = materials[0].head();
    let place = format!("{}:{}: `{}`", first.place.file, first.place.line, first.id);
    assert!(error.to_string().starts_with(&place), "{error}");
}

/// What every rule asks of a liquid is kept in its head beside the facts that state it: the two may not part,
/// nor where a studio's own record is laid over ours.
#[test]
fn the_head_of_a_liquid_says_what_its_facts_say() {
    let agree = |agent: &Agent| {
        let words = agent.head.facts.words("hazards");
        let hazards: Vec<Hazard> = words.into_iter().filter_map(Hazard::parse).collect();
        assert_eq!(agent.hazards, hazards, "{}", agent.head.id);
        assert_eq!(agent.hansen, agent.head.facts.hansen(), "{}", agent.head.id);
    };
    let pack = embedded();
    let equipment = pack.equipment();
    equipment.agents.iter().for_each(|agent| agree(agent));
    assert!(equipment.agents.iter().any(|a| a.hazards.len() > 2));

    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("solvents")).unwrap();
    let file = dir.path().join("solvents/ethanol.toml");
    let facts = "hazards = {is = [\"carcinogen\"], by = \"memory\"}\n\
                 hansen = {is = \"1/2/3\", by = \"memory\"}";
    fs::write(file, format!("id = \"ethanol\"\n[facts]\n{facts}\n")).unwrap();
    let over = corpus::load(dir.path(), pack.all_records()).unwrap();
    assert_eq!(over.findings, Vec::new());
    let ethanol = over.records.iter().find_map(|record| match record {
        Record::Agent(it) if it.head.id == "ethanol" => Some(it),
        _ => None,
    });
    let ethanol = ethanol.unwrap();
    agree(ethanol);
    assert!(ethanol.hazards.contains(&Hazard::Carcinogen));
}

fn packed(plain: &[u8], dictionary: &[u8]) -> Option<Vec<u8>> {
    Some(compress_with_dict(plain, dictionary))
}

/// A name has its length in half a number, and one that is longer is told and not cut.
#[test]
fn a_name_of_64_kb_is_refused_and_a_shorter_one_found() {
    let (records, corpus) = each(kb());
    let pack = |length: usize| {
        let name = "é".repeat(length / 2);
        let mut own: Vec<Record> = records
            .iter()
            .filter(|r| r.kind() == Kind::Family || r.head().id == "shellac")
            .cloned()
            .collect();
        for record in &mut own {
            if let Record::Material(it) = record {
                it.head.names.name.clone_from(&name);
            }
        }
        let form = Form::Small(packed);
        let bytes = pack::write(&own, besides(&corpus), form)?;
        let pack = Pack::open(Cow::Owned(bytes)).unwrap();
        assert_eq!(pack.named(&name, None), [(Kind::Material, 0)]);
        Ok::<(), WriteError>(())
    };
    pack((1 << 16) - 2).unwrap();
    let refused = pack(1 << 16).unwrap_err().to_string();
    assert!(
        refused.starts_with("materials/shellac.toml:")
            && refused.contains("a name of `shellac` has 64 KB"),
        "{refused}"
    );
}
