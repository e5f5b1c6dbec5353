//! Codes of the lints: what records say. The examples are proved like those of the shape.

use super::{CodeEntry, bare, entry};

pub(super) const CODES: &[CodeEntry] = &[
    entry(
        "K0201",
        "no such record",
        "A record names another by its id: a family, the parts of a mixture, a carrier, a reagent, \
         the liquid and method of a removal route. An id that leads nowhere takes its line out of \
         every answer. Mend the spelling, or write the record that is missing.",
        "agent = \"acetton\"",
        "agent = \"acetone\"",
    ),
    entry(
        "K0202",
        "neither liquid nor test",
        "What a material answers to stands in [fresh], [aged] and [always] under the id of a liquid \
         or a test. Under any other key it is never weighed. A liquid and a test may not share an id.",
        "acetton = {is = \"dissolves\", by = \"memory\"}",
        "acetone = {is = \"dissolves\", by = \"memory\"}",
    ),
    entry(
        "K0203",
        "neither agent class nor liquid",
        "Harm to a layer, what a method delivers and what a carrier carries are given for an agent \
         class (alcohol, alkali, steam) or for the id of one liquid. A verdict under another word is \
         never found, and the liquid counts as unrecorded.",
        "alcohols = {is = \"harms\", by = \"practice\"}",
        "alcohol = {is = \"harms\", by = \"practice\"}",
    ),
    entry(
        "K0204",
        "no such place",
        "A removal route is bound to traits of a layer, to sites, or to layers by id; a method is \
         avoided on traits or conditions. Bound to anything else, the route never applies and the \
         warning is never given.",
        "on = [\"porus\"]",
        "on = [\"porous\"]",
    ),
    entry(
        "K0205",
        "not what a liquid does",
        "The effect of a liquid is one of eight: dissolves, partly dissolves, swells, swells slightly, \
         no effect, attacked, melts, blanches. Where sources disagree each has its own fact.",
        "acetone = {is = \"softens\", by = \"memory\"}",
        "acetone = {is = \"swells\", by = \"memory\"}",
    ),
    entry(
        "K0206",
        "not an outcome of the test",
        "A test lists its outcomes, and what a material or a layer shows is one or more of them. An \
         outcome outside the list cannot be matched with what is seen at the bench.",
        "uv = {is = \"organge\", by = \"memory\"}",
        "uv = {is = \"orange\", by = \"memory\"}",
    ),
    entry(
        "K0207",
        "not a verdict",
        "What an agent does to a layer that must stay is safe, test or harms: one word in each fact, \
         since each verdict keeps its own basis and reason.",
        "alcohol = {is = \"risky\", by = \"practice\"}",
        "alcohol = {is = \"test\", by = \"practice\"}",
    ),
    entry(
        "K0208",
        "not in the vocabulary",
        "Hazards, ways of ageing and clusters of tests are words of kb/vocab/words.toml. Two \
         spellings of one hazard would be two hazards, and a search for one would miss the other.",
        "hazards = {is = [\"flamable\"], by = \"practice\"}",
        "hazards = {is = [\"flammable\"], by = \"practice\"}",
    ),
    entry(
        "K0209",
        "word lists differ",
        "The words that the program knows and those that kb/vocab/words.toml explains are the same, \
         section by section. A word in only one of the two is either dropped or never explained.",
        "pore = \"drawn into the body\"",
        "pores = \"drawn into the body\"",
    ),
    entry(
        "K0210",
        "no such source",
        "The key of a published basis is the key of an entry in kb/sources. A fact whose source \
         cannot be looked up cannot be checked or cited.",
        "tg = {is = \"40 C\", by = \"deo2001, p. 64\"}",
        "tg = {is = \"40 C\", by = \"doe2001, p. 64\"}",
    ),
    entry(
        "K0211",
        "source unused",
        "No fact, no removal route and no rule of the program names the source. Either what it says \
         is still to be recorded, or the entry can go. Sources that only tests name are listed in \
         kb/exceptions/unused-sources.txt, a list that may only shrink.",
        "@misc{roe1999, title = {On resins}, annotation = {abstract opened}}",
        "@misc{doe2001b, title = {On waxes}, annotation = {abstract opened}}",
    ),
    entry(
        "K0212",
        "exception not needed",
        "A list of exceptions names only debts that stand. A line whose source is used by now, or is \
         gone, would hide the next debt of the same name.",
        "doe2001",
        "roe1999",
    ),
    entry(
        "K0213",
        "source not opened",
        "A published basis says that the writer saw the statement there. A source whose annotation \
         says that it was not opened cannot carry one: name the source that reports it with \
         `through`, or write \"memory\".",
        "tg = {is = \"40 C\", by = \"poe1950, p. 12\"}",
        "tg = {is = \"40 C\", by = \"poe1950 through doe2001, p. 12\"}",
    ),
    entry(
        "K0214",
        "locator leads nowhere",
        "A locator is something that the writer saw: a page or table with its number, a section, the \
         abstract, the whole posting. An empty mark, a question mark or a bare `p.` cannot be looked \
         up.",
        "tg = {is = \"40 C\", by = \"doe2001, p. ?\"}",
        "tg = {is = \"40 C\", by = \"doe2001, p. 64\"}",
    ),
    entry(
        "K0215",
        "unit of another dimension",
        "A temperature is given in degrees, a strength in pascals, an exposure limit in ppm or mg/m3. \
         A number in a unit of another dimension is a slip of the unit or of the field.",
        "tg = {is = \"40 MPa\", by = \"memory\"}",
        "tg = {is = \"40 C\", by = \"memory\"}",
    ),
    entry(
        "K0216",
        "limit without place or time",
        "An exposure limit holds in one jurisdiction and for one averaging time. Read as the mean of \
         a working day, a limit for 15 minutes would be many times too high.",
        "limit = [{is = \"500 ppm\", where = \"EU\", by = \"memory\"}]",
        "limit = [{is = \"500 ppm\", where = \"EU\", kind = \"8 h\", by = \"memory\"}]",
    ),
    entry(
        "K0217",
        "range out of order",
        "A range runs from low to high, and the years of main use lie within the years of use. Where \
         they do not, the dating of a restoration would contradict itself.",
        "main = {is = \"1900..1990\", by = \"memory\"}",
        "main = {is = \"1900..1950\", by = \"memory\"}",
    ),
    entry(
        "K0218",
        "number not believable",
        "Each numeric field has wide bounds of what can be true: a glass transition from -150 to \
         300 C, a refractive index from 1.3 to 3. Beyond them a point has slipped or a sign was \
         lost. A true value beyond a bound moves the bound.",
        "refractive-index = {is = \"15.1\", by = \"memory\"}",
        "refractive-index = {is = \"1.51\", by = \"memory\"}",
    ),
    entry(
        "K0219",
        "name of two records",
        "A name, trade word or foreign name serves one record of a kind; case, accents, hyphens and \
         blanks do not tell two names apart. A name that means two records would be answered with \
         either of them.",
        "also = [\"Dimethyl ketone\"]",
        "also = [\"grain alcohol\"]",
    ),
    entry(
        "K0220",
        "reserved word in a name",
        "The language ends a name at the first reserved word (over, on, from, with, or), so a name \
         that holds one is only found in quotes. Turn the name round or join its words with hyphens. \
         The canonical names of tests and carriers are exempt: their id stands in.",
        "also = [\"alcohol from grain\"]",
        "also = [\"grain alcohol\"]",
    ),
    entry(
        "K0221",
        "keys out of order",
        "The keys of a record stand in the order of kb/README.md, so that records can be read side \
         by side and a change shows as a change.",
        "family = \"natural-resin\"\nkinds = [\"coating\"]",
        "kinds = [\"coating\"]\nfamily = \"natural-resin\"",
    ),
    entry(
        "K0222",
        "names out of order",
        "Trade words and foreign names stand in alphabetical order, each once; case does not count. \
         So a name is found, or found missing, at a glance.",
        "also = [\"test varnish\", \"pine resin\"]",
        "also = [\"pine resin\", \"test varnish\"]",
    ),
    entry(
        "K0223",
        "molar volume does not fit",
        "Molar volume is molar mass over density, within 2 % for the difference of 20 and 25 C. Where \
         the first values of the three disagree one of them belongs to another substance, and \
         blends are reckoned from them.",
        "molar-volume = {is = \"94.0 ml/mol\", by = \"memory\"}",
        "molar-volume = {is = \"74.0 ml/mol\", by = \"memory\"}",
    ),
    entry(
        "K0224",
        "less than its water",
        "A dilute acid or ammonia is more than nine tenths water, so it does at least what cold water \
         does at the same age. Where it truly does less, a note says why.",
        "dilute-acid = {is = \"no effect\", by = \"memory\"}",
        "dilute-acid = {is = \"swells\", by = \"memory\"}",
    ),
    entry(
        "K0225",
        "heat taken for swelling",
        "No water goes into waxes, wax-resins, bitumens and hydrocarbon resins: what warm water does \
         to them it does by its heat, and that is `melts`.",
        "warm-water = {is = \"swells\", by = \"memory\"}",
        "warm-water = {is = \"melts\", by = \"memory\"}",
    ),
    entry(
        "K0226",
        "CAS number wrong",
        "The last digit of a CAS registry number checks the others: each digit before it, counted \
         from the right and times its position, adds up to it modulo ten. Safety data sheets are \
         ordered by this number.",
        "cas = \"67-64-2\"",
        "cas = \"67-64-1\"",
    ),
    entry(
        "K0227",
        "Teas fractions do not add up",
        "The three fractions are shares in per cent, so they make 100 within 1 for rounding. Another \
         sum shows a misread row of the table.",
        "teas = {is = \"47/42/21\", by = \"memory\"}",
        "teas = {is = \"47/32/21\", by = \"memory\"}",
    ),
    entry(
        "K0228",
        "mixture unlike its parts",
        "A mixture has at least two parts. What must stay meets every part, so the mixture is of the \
         class of its harshest one; and a carcinogenic, reprotoxic or restricted part makes the \
         mixture so.",
        "class = \"alcohol\"",
        "class = \"ketone-ester\"",
    ),
    entry(
        "K0229",
        "record too thin",
        "A material has a summary and answers to at least one liquid, on any basis. Without a \
         response it can neither be identified nor taken off; without a summary the reader cannot \
         tell whether it is the one that is meant.",
        "summary = \" \"",
        "summary = \"A resin of the tests.\"",
    ),
    entry(
        "K0230",
        "fact stated twice",
        "Two facts under one key are two sources or two conditions. The same fact copied would count \
         as two witnesses that agree.",
        "  {is = \"40 C\", by = \"memory\"},\n  {is = \"40 C\", by = \"memory\"},",
        "  {is = \"40 C\", by = \"memory\"},\n  {is = \"42 C\", by = \"practice\"},",
    ),
    entry(
        "K0231",
        "not carried",
        "A method delivers no class that its carrier does not take and no liquid that its carrier is \
         known not to carry: such a step is dropped from every plan, or fails at the bench. A single \
         liquid that a method names outright goes with it, whatever its class.",
        "delivers = [\"alcohol\"]",
        "delivers = [\"ketone-ester\"]",
    ),
    bare(
        "K0232",
        "removal route incomplete",
        "A route names a liquid or a method, and what to expect: without it a step cannot be judged \
         at the bench. A route that fails has no effect to expect.",
    ),
    entry(
        "K0233",
        "speech without meaning",
        "kb/vocab/speech.toml gives the words of a query their meaning: kinds for nouns, sites, \
         conditions and specimens for notes, outcomes of tests and effects of liquids for verbs. A \
         meaning that the corpus does not know makes the sentence fail when it is asked.",
        "varnish = [\"coatings\"]",
        "varnish = [\"coating\"]",
    ),
    bare(
        "K0234",
        "route beyond the record",
        "A removal route counts at either age and outranks what [aged] says of its liquid. One that \
         promises two grades more than the aged film is recorded to answer holds only while it is young, \
         and would be proposed where it fails: take it out, or mend the one that is wrong.",
    ),
    entry(
        "K0235",
        "group without figures",
        "`unifac` takes a molecule apart into the groups of the original UNIFAC table, each with its \
         number: blends are followed through their drying with them. A group that the table does not \
         know leaves the blend to ideal mixing.",
        "unifac = {is = [\"CH3CH2 1\"], by = \"memory\"}",
        "unifac = {is = [\"CH3 1\", \"CH2 1\", \"OH 1\"], by = \"memory\"}",
    ),
];
