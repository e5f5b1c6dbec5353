//! Ten scenarios of our own, reasoned by hand before they were run. Objects are invented.

use palinode::answer::{Choose, Reversal, Rule};

use super::choose;

fn offered(it: &Choose, id: &str) -> bool {
    it.choices.iter().any(|c| c.id == id)
}

fn lost_to(it: &Choose, id: &str) -> Option<Rule> {
    it.lost.iter().find(|l| l.id == id).map(|l| l.rule)
}

fn after(it: &Choose, id: &str, years: u32) -> Reversal {
    let choice = it
        .choices
        .iter()
        .find(|c| c.id == id)
        .unwrap_or_else(|| panic!("{id}"));
    choice
        .forecast
        .iter()
        .find(|o| o.years == years)
        .unwrap()
        .verdict
}

/// Wood: a chair rail of walnut, a room at 35 C in summer. Glues of skin and fish do not soften dry and
/// open with water: offered. Water is a test on bare wood, so they come out with care, not freely.
/// An acrylic of 40 C has no margin only under load; polyurethane foam glue is refused.
#[test]
fn wood() {
    let it =
        choose("choose adhesive for walnut to walnut where stable to 35 C reversible for 50 years");
    assert!(offered(&it, "hide-glue") && offered(&it, "fish-glue"));
    assert_eq!(lost_to(&it, "polyurethane-glue"), Some(Rule::Refused));
    assert!(!offered(&it, "epoxy"));
    assert!(after(&it, "hide-glue", 50) <= Reversal::WithCare);
}

/// Gilding: flaking burnished gold over bole and gesso, and no water is wanted near it. Every glue goes on
/// in water and is lost to `without`; what goes on in alcohol stays, to be tried first.
#[test]
fn gilding() {
    let it = choose(
        "choose consolidant for water gilding (flaking) over bole over gesso over limewood without water",
    );
    for id in ["isinglass", "rabbit-skin-glue", "fish-glue"] {
        assert_eq!(lost_to(&it, id), Some(Rule::Without), "{id}");
    }
    assert!(offered(&it, "poly-ethyl-oxazoline"));
}

/// Ceramic: a glazed earthenware dish. The body is weak: an epoxy would break it beside the join. B-72 comes
/// out with acetone, which glaze bears and the porous body wants tried.
#[test]
fn ceramic() {
    let it = choose("choose adhesive for fired clay to fired clay reversible for 100 years");
    assert!(offered(&it, "paraloid-b-72"));
    assert!(!offered(&it, "epoxy"));
    assert_eq!(lost_to(&it, "hide-glue"), Some(Rule::Refused));
    assert!(it.pairs.iter().any(|p| p.barrier.id == "paraloid-b-72"));
}

/// Glass: sound clear glass shows every join: an epoxy made for glass matches its index better than a
/// cellulose ether; shellac is refused.
#[test]
fn glass() {
    let it = choose("choose adhesive for glass to glass");
    assert!(offered(&it, "paraloid-b-72"));
    assert!(
        offered(&it, "hydrogenated-epoxy")
            || it.pairs.iter().any(|p| p.over.id == "hydrogenated-epoxy")
    );
    assert_eq!(lost_to(&it, "shellac"), Some(Rule::Refused));
    let b72 = it.choices.iter().find(|c| c.id == "paraloid-b-72").unwrap();
    assert!(
        b72.marks
            .iter()
            .any(|m| m.criterion.word() == "refractive-index")
    );
}

/// Stone: a marble bust of 40 kg. A thermoplastic creeps under a standing load unless the area is large;
/// the pair of barrier and epoxy carries, and rods are spoken of.
#[test]
fn stone() {
    let it = choose("choose adhesive for marble to marble carrying 40 kg on 60 cm2");
    assert!(it.pairs.iter().any(|p| p.over.id == "epoxy"));
    assert!(!it.pins.is_empty());
    assert_eq!(lost_to(&it, "portland-cement"), Some(Rule::Refused));
}

/// Metal: a silver dish. What gives off acid or sulphur is out; B-72 goes on in solvent and comes off again
/// for a century, for silver bears acetone.
#[test]
fn metal() {
    let it = choose("choose coating for silver reversible for 100 years");
    assert!(offered(&it, "paraloid-b-72"));
    assert!(after(&it, "paraloid-b-72", 50) <= Reversal::WithCare);
    assert!(matches!(
        lost_to(&it, "cellulose-nitrate"),
        Some(Rule::Refused | Rule::Emissions | Rule::Hazard)
    ));
}

/// Ivory: water swells it and warmth splits it. Warm glue is lost to the gate or to the record; a resin in
/// solvent stays, to be tried first.
#[test]
fn ivory() {
    let it = choose("choose adhesive for ivory to ivory");
    assert!(offered(&it, "paraloid-b-72"));
    assert_eq!(lost_to(&it, "isinglass"), Some(Rule::Application));
    assert_eq!(lost_to(&it, "hide-glue"), Some(Rule::Application));
}

/// Plaster: a broken cast. Water wets it: adhesives in water are no first choice. B-72 in acetone, which
/// gypsum bears, comes out again.
#[test]
fn plaster() {
    let it = choose("choose fill for gypsum plaster body");
    assert!(
        offered(&it, "b-72-filler")
            || offered(&it, "cellulose-plaster-filler")
            || !it.lost.is_empty()
    );
    assert!(lost_to(&it, "polyester-filler").is_some());
}

/// Paper: a torn print. Paste and cellulose ethers are the trade's; every tape is refused, whatever it is
/// sold as.
#[test]
fn paper() {
    let it = choose("choose adhesive for paper");
    assert!(offered(&it, "starch-paste") && offered(&it, "methyl-cellulose"));
    for tape in [
        "masking-tape",
        "rubber-tape",
        "cellophane-backed-tape",
        "acrylic-tape",
    ] {
        assert_eq!(lost_to(&it, tape), Some(Rule::Refused), "{tape}");
    }
}

/// Textile: dyed cloth that bleeds in water. What goes on in water is lost; BEVA is set by warmth, without
/// any, and stays to be tried.
#[test]
fn textile() {
    let it = choose("choose adhesive for dyed textile where light is 150000 lux h");
    for id in ["starch-paste", "methyl-cellulose", "eva-dispersion"] {
        assert_eq!(lost_to(&it, id), Some(Rule::Application), "{id}");
    }
    assert!(offered(&it, "beva-371"));
    assert!(
        it.light.iter().any(|l| l.text.contains("fades for itself")),
        "{:?}",
        it.light
    );
}

/// Common practice: matt, porous paint gets no varnish of any resin. One that is left out of the list would stand
/// there alone, and first.
#[test]
fn matt_paint() {
    for layer in [
        "casein-paint",
        "glue-paint",
        "gum-watercolour",
        "lime-fresco",
        "painted-bark",
        "secco-wall-paint",
    ] {
        let it = choose(&format!("choose coating for {layer}"));
        let offered: Vec<&str> = it.choices.iter().map(|c| c.id.as_str()).collect();
        assert!(offered.is_empty(), "{layer}: {offered:?}");
    }
}
