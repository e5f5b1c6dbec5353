//! Codes of names, units, types and evaluation.

use super::{CodeEntry, bare, entry};

pub(super) const CODES: &[CodeEntry] = &[
    entry(
        "Q0301",
        "no such name",
        "The corpus knows no record of that name and of the kind that stands here. Case, accents, \
         hyphens and spaces do not count; trade names and names in German, French, Italian and \
         Spanish will do. A studio may add its own in a folder laid over the corpus.",
        "identify shelac",
        "identify shellac",
    ),
    entry(
        "Q0302",
        "mixture not recorded",
        "Several liquids joined by `+` name a mixture, and only recorded mixtures have recorded \
         effects. Give each liquid an observation of its own, or add the mixture to a studio folder.",
        "identify coating that dissolves in ethanol + turpentine",
        "identify coating that dissolves in ethanol, dissolves in turpentine",
    ),
    entry(
        "Q0303",
        "word already taken",
        "The word after `let` names one thing in this text. It may not be a name of the corpus, \
         which would then mean two things, nor stand after `let` twice.",
        "let shellac = identify coating that looks brown; remove shellac from oak",
        "let old = identify coating that looks brown; remove old from oak",
    ),
    entry(
        "Q0304",
        "note that says nothing here",
        "Parentheses hold what the noun or the observation is like: where a material sits, whether \
         it is later or original, its age; the state of a layer; the specimen of a test, the time, \
         how sure it is, and whether a blank answered.",
        "identify coating (flim) that looks brown",
        "identify coating (film) that looks brown",
    ),
    entry(
        "Q0305",
        "observation with another subject",
        "What stands after `that` is said of the unknown. Results on the layers beneath go in a \
         `given` clause.",
        "identify coating on glaze that glaze is unaffected by acetone",
        "identify coating on glaze that looks brown given glaze is unaffected by acetone",
    ),
    entry(
        "Q0306",
        "observation without its object",
        "The verb wants the liquid or the test that it speaks of; without it the sentence says that \
         something happened, and not with what.",
        "identify coating that dissolves",
        "identify coating that dissolves in ethanol",
    ),
    entry(
        "Q0307",
        "reading not in the corpus",
        "The corpus holds outcomes in words for this test, not numbers. Name the outcome, or leave \
         the reading out.",
        "identify coating that is 2 mm",
        "identify coating that is brittle",
    ),
    entry(
        "Q0308",
        "unknown verb of the bench",
        "The verb is not one of those with which the corpus describes what a liquid does: \
         dissolves, partly dissolves, swells, softens, is unaffected by, whitens, melts in.",
        "identify coating that dissolvs in ethanol",
        "identify coating that dissolves in ethanol",
    ),
    entry(
        "Q0309",
        "unknown outcome",
        "The test has other outcomes. They stand in its record; common other words are known too.",
        "identify coating that fluoresces oragne under uv",
        "identify coating that fluoresces orange under uv",
    ),
    entry(
        "Q0310",
        "not in this stack",
        "A result in `given` speaks of a layer of the stack, or of the unknown as `it`.",
        "remove shellac from oak given glaze is unaffected by acetone",
        "remove shellac from oak given oak is unaffected by acetone",
    ),
    entry(
        "Q0311",
        "unknown question about a field",
        "The words that ask whether a field is recorded are `known` and `unknown`.",
        "find adhesive where knwon(tg)",
        "find adhesive where known(tg)",
    ),
    entry(
        "Q0312",
        "condition without its liquid",
        "A condition on what a liquid does names the liquid: `removable with ethanol`, `dissolves in acetone \
         when aged`.",
        "find adhesive where removable with 5 ml",
        "find adhesive where removable with ethanol",
    ),
    entry(
        "Q0313",
        "no such field",
        "Records of this kind have no field of that name. The fields of each kind stand in \
         `kb/README.md`; trade words such as `flash point` are known too.",
        "find adhesive where tgg > 30 C",
        "find adhesive where tg > 30 C",
    ),
    entry(
        "Q0314",
        "field of another kind of record",
        "The field exists, but records of this kind do not have it: a layer has no glass \
         transition. The message says which kinds have it.",
        "find layer where tg > 30 C",
        "find material where tg > 30 C",
    ),
    entry(
        "Q0315",
        "word that the field cannot hold",
        "The field holds words of a closed list, and this is none of them. The nearest are named.",
        "find material where ageing is yelows",
        "find material where ageing is yellows",
    ),
    entry(
        "Q0316",
        "things that do not stand side by side",
        "`compare` sets records of one kind beside one another, by fields that they share; at the most \
         12 of them.",
        "compare shellac, ethanol by density",
        "compare shellac, dammar by density",
    ),
    entry(
        "Q0317",
        "nothing that goes in anew",
        "`choose` takes what a conservator puts in: a coating, adhesive, consolidant or fill, a family \
         or a material. Overpaint, metal paint and deposits are only taken off.",
        "choose deposit for marble",
        "choose coating for marble",
    ),
    entry(
        "Q0318",
        "no mark of the score",
        "A choice is ranked by the marks of its score: reversibility, use, ageing, strength, tg, \
         refractive-index, shrinkage, health, working-time. The first that is named counts most.",
        "choose adhesive for marble rank by colour",
        "choose adhesive for marble rank by strength",
    ),
    entry(
        "Q0319",
        "no liquid to allow",
        "`allowing` names a liquid that the law restricts. A material is not let in so: ask for it by its \
         name, and the answer says what speaks against it.",
        "choose adhesive for marble allowing epoxy",
        "choose adhesive for marble allowing dichloromethane",
    ),
    bare(
        "Q0320",
        "too many observations",
        "One question takes 120 observations at the most: weighing each against the rest costs more \
         than their number. Give each test once, with its clearest result.",
    ),
    entry(
        "Q0321",
        "which material was tried?",
        "Where several materials come off in turn, a result in `given` names the one it was had on.",
        "remove beeswax over shellac from oak given it dissolves in acetone",
        "remove beeswax over shellac from oak given shellac dissolves in acetone",
    ),
    entry(
        "Q0322",
        "nothing a blend is worked out for",
        "A blend is worked out to dissolve something, or to swell what no longer dissolves. Other ways \
         of taking a thing off are planned by `remove`.",
        "blend to soften dammar using ethanol, acetone",
        "blend to dissolve dammar using ethanol, acetone",
    ),
    entry(
        "Q0323",
        "one liquid makes no blend",
        "`using` names the liquids at hand: two of them or more. Left out, all solvents of the corpus \
         are weighed that nothing excludes.",
        "blend to dissolve dammar using ethanol",
        "blend to dissolve dammar using ethanol, acetone",
    ),
    entry(
        "Q0324",
        "no sum for it",
        "After `with` stand a balance, a cylinder, a flask or a gelling agent, and in `ventilate` the mixing \
         factor. The same code is given where a sum wants a density or a molar mass that is not on file, \
         and where a solid is measured by volume.",
        "prepare 250 ml of 8 % w/v paraloid b-72 in acetone with spoon",
        "prepare 250 ml of 8 % w/v paraloid b-72 in acetone with balance 0.1 g",
    ),
    entry(
        "Q0325",
        "figure that no bench has",
        "Amounts, strengths and times are above zero and within what a studio makes; a strength by volume \
         or weight is below the whole; a stock is at least as strong as what is made of it; a range \
         cannot be weighed.",
        "prepare 250 ml of 300 % w/v paraloid b-72 in acetone",
        "prepare 250 ml of 30 % w/v paraloid b-72 in acetone",
    ),
    entry(
        "Q0326",
        "recipe without its basis",
        "A strength says of what: grams in 100 ml (% w/v), grams in 100 g (% w/w), millilitres in 100 ml (% \
         v/v), mol/l. Mixtures say their parts, buffers their pH, resins their liquid. What is left out is \
         made in several ways, which differ.",
        "prepare 250 ml of 8 % paraloid b-72 in acetone",
        "prepare 250 ml of 8 % w/v paraloid b-72 in acetone",
    ),
    entry(
        "Q0327",
        "which of the two was tried?",
        "A result in `given` without a subject is one of what is to come off. Behind a result on a layer it \
         could be read of that layer as well, and either reading would be unsafe where the other was meant: \
         name it again.",
        "remove shellac from gesso given gesso is harmed by water, is unaffected by ethanol",
        "remove shellac from gesso given gesso is harmed by water, gesso is unaffected by ethanol",
    ),
    entry(
        "Q0328",
        "all of several records",
        "`show all` shows one record with every note and source. Of many it would be a book: say what to show \
         of each.",
        "find varnish show all",
        "find dammar show all",
    ),
    entry(
        "Q0330",
        "prior that does not add up",
        "`with prior` gives each material or family a share in per cent, each once, 90 % in all at \
         most: a tenth is kept for what the corpus does not hold.",
        "identify coating with prior 80 % shellac, 40 % wax that looks brown",
        "identify coating with prior 40 % shellac, 20 % wax that looks brown",
    ),
    entry(
        "Q0401",
        "no such unit",
        "Units are written in one way, with capitals where they have them: `C`, `K`, `MPa`, `ml`. \
         Imperial and shortened units are known, and refused with the unit to use.",
        "prepare 250 ML of 8 % w/v isinglass",
        "prepare 250 ml of 8 % w/v isinglass",
    ),
    entry(
        "Q0402",
        "value of another sort",
        "A field of years wants years from earlier to later, a depth wants a length, a field of \
         words wants words.",
        "identify coating restored 2090 that looks brown",
        "identify coating restored 1950 that looks brown",
    ),
    entry(
        "Q0403",
        "unit of another dimension",
        "Each field has a dimension: a glass transition is a temperature, a molar mass a mass to an \
         amount. The message lists the units that fit.",
        "find adhesive where tg > 30 mm",
        "find adhesive where tg > 30 C",
    ),
    bare(
        "Q0501",
        "clause not there yet",
        "Nothing earns this code any more: every clause of the statements that are answered is read. \
         It stays here so that it never means anything else.",
    ),
    bare(
        "Q0502",
        "statement not there yet",
        "The statement is in the grammar of edition 1, and its engine does not answer it yet. \
         All are answered by now; the code stays, so that it never means anything else.",
    ),
    bare(
        "Q0503",
        "the gate lets no such thing be made",
        "Liquids that must not meet, a flammable liquid warmed to near its flash point, a liquid that the law \
         restricts: no recipe is given. What the law restricts is answered where `allowing` names it.",
    ),
    bare(
        "Q0504",
        "recorded not to work",
        "The records say that the liquid does not dissolve this, that the gelling agent does not carry it, or \
         that two liquids part into layers. What is not recorded is no such mistake: it is answered, with \
         the advice to try a gram.",
    ),
];
