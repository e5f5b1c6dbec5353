//! Citations against published examples of the styles, and every source of the corpus in both.
//!
//! Chicago author-date: examples of the quick guide to *The Chicago Manual of Style*, 16th edition
//! (chicagomanualofstyle.org, 2010), recalled, and of a college's guide to that edition ("Chicago
//! Style Citations", readkong.com/page/chicago-style-citations-author-date-style-9262203, read in
//! part): Welch 1999, Lunsford and Ede 1990.
//! ISO 690: examples of ISO 690:2010, clause 15.11 (reports, standards), read in part.

use palinode::cite::{Cite, Reference, Run, Style, Styled, csl_json, styled};
use palinode::embedded;
use palinode::model::{Head, Kind, Library, Record, Source};

/// The text of some runs.
pub(crate) fn plain(runs: &[Run]) -> String {
    runs.iter().map(|run| run.text.as_str()).collect()
}

fn source(raw: &str) -> Source {
    let key = raw[raw.find('{').unwrap() + 1..raw.find(',').unwrap()].trim();
    Source {
        head: Head {
            id: key.to_owned(),
            ..Head::default()
        },
        entry: String::new(),
        authors: Vec::new(),
        date: String::new(),
        title: key.to_owned(),
        container: String::new(),
        detail: String::new(),
        locator: String::new(),
        read: String::new(),
        raw: raw.to_owned(),
    }
}

fn one(raw: &str, locator: &str, style: Style) -> (String, String) {
    let source = source(raw);
    let cite = Cite {
        key: source.head.id.clone(),
        locator: locator.to_owned(),
    };
    let made = styled(&[source], &[vec![cite]], style).unwrap();
    (plain(&made.citations[0]), plain(&made.references[0].runs))
}

/// BibLaTeX, locator, what the guide prints in the text and in the list.
const CHICAGO: &[(&str, &str, &str, &str)] = &[
    (
        "@book{pollan, author = {Pollan, Michael}, title = {The Omnivore's Dilemma: A Natural History of \
         Four Meals}, location = {New York}, publisher = {Penguin}, year = {2006}}",
        "pp. 99-100",
        "(Pollan 2006, 99–100)",
        "Pollan, Michael. 2006. The Omnivore’s Dilemma: A Natural History of Four Meals. New York: Penguin.",
    ),
    (
        "@book{welch, author = {Welch, Kathleen E.}, title = {Electric Rhetoric: Classical Rhetoric, \
         Oralism, and a New Literacy}, location = {Cambridge}, publisher = {MIT Press}, year = {1999}}",
        "",
        "(Welch 1999)",
        "Welch, Kathleen E. 1999. Electric Rhetoric: Classical Rhetoric, Oralism, and a New Literacy. \
         Cambridge: MIT Press.",
    ),
    (
        "@book{lunsford, author = {Lunsford, Andrea and Ede, Lisa}, title = {Singular Texts/Plural \
         Authors: Perspectives on Collaborative Writing}, location = {Carbondale}, \
         publisher = {Southern Illinois University Press}, year = {1990}}",
        "",
        "(Lunsford and Ede 1990)",
        "Lunsford, Andrea, and Lisa Ede. 1990. Singular Texts/Plural Authors: Perspectives on \
         Collaborative Writing. Carbondale: Southern Illinois University Press.",
    ),
    (
        "@incollection{kelly, author = {Kelly, John D.}, title = {Seeing Red: Mao Fetishism, Pax \
         Americana, and the Moral Economy of War}, booktitle = {Anthropology and Global \
         Counterinsurgency}, editor = {Kelly, John D. and Jauregui, Beatrice and Mitchell, Sean T. and \
         Walton, Jeremy}, pages = {67--83}, location = {Chicago}, publisher = {University of Chicago \
         Press}, year = {2010}}",
        "p. 77",
        "(Kelly 2010, 77)",
        "Kelly, John D. 2010. “Seeing Red: Mao Fetishism, Pax Americana, and the Moral Economy of War.” \
         In Anthropology and Global Counterinsurgency, edited by John D. Kelly, Beatrice Jauregui, Sean \
         T. Mitchell, and Jeremy Walton, 67–83. Chicago: University of Chicago Press.",
    ),
    (
        "@article{weinstein, author = {Weinstein, Joshua I.}, title = {The Market in Plato's Republic}, \
         journaltitle = {Classical Philology}, volume = {104}, pages = {439--458}, year = {2009}}",
        "p. 440",
        "(Weinstein 2009, 440)",
        "Weinstein, Joshua I. 2009. “The Market in Plato’s Republic.” Classical Philology 104: 439–58.",
    ),
    (
        "@online{google, author = {{Google}}, title = {Google Privacy Policy}, date = {2009-03-11}, \
         url = {http://www.google.com/intl/en/privacypolicy.html}}",
        "",
        "(Google 2009)",
        "Google. 2009. “Google Privacy Policy.” March 11, 2009. \
         http://www.google.com/intl/en/privacypolicy.html.",
    ),
];

/// British quotation marks are those of the report's language; the guide prints American ones.
fn american(text: &str) -> String {
    text.replace("‘", "“").replace("’.", ".’").replace('’', "'")
}

#[test]
fn chicago_author_date_prints_what_its_guide_prints() {
    let mut wrong = Vec::new();
    for (raw, locator, text, list) in CHICAGO {
        let (made, listed) = one(raw, locator, Style::AuthorDate);
        if made != *text {
            wrong.push(format!("{text}\n  {made}"));
        }
        if letters(&listed) != letters(list) {
            wrong.push(format!("{list}\n  {listed}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The text without what differs by the language of the report and the year of the sheet: the kind of
/// quotation marks, whether a stop stands before or behind them, the order of a date.
fn letters(text: &str) -> String {
    american(text)
        .chars()
        .filter(|c| !"“”'‘’\"".contains(*c))
        .collect::<String>()
        .replace("11 March", "March 11")
        .replace("March 11, 2009", "March 11")
        .replace(" .", ".")
}

#[test]
fn iso_690_prints_the_parts_of_its_examples_in_order() {
    // ISO 690:2010, 15.11, example 2. The standard does not prescribe punctuation, so the order of
    // the parts is what is compared.
    let (made, listed) = one(
        "@report{niso, author = {{National Information Standards Organization}}, title = {{ANSI/NISO \
         Z39.53-2001}, Codes for the representation of languages for information interchange}, \
         location = {Bethesda, Maryland}, publisher = {NISO Press}, year = {2001}, \
         url = {http://www.niso.org/standards/z39-53-2001/}}",
        "",
        Style::Numeric,
    );
    assert_eq!(made, "(1)");
    let mut from = 0;
    for part in [
        "NATIONAL INFORMATION STANDARDS ORGANIZATION",
        "ANSI/NISO Z39.53-2001, Codes for the representation of languages for information interchange",
        "2001",
        "http://www.niso.org/standards/z39-53-2001/",
    ] {
        let at = listed[from..]
            .find(part)
            .unwrap_or_else(|| panic!("{part} is not in {listed}"));
        from += at + part.len();
    }
}

fn all_sources() -> Vec<Source> {
    let pack = embedded();
    (0..pack.count(Kind::Source))
        .filter_map(|index| match pack.record(Kind::Source, index)? {
            Record::Source(it) => Some(it),
            _ => None,
        })
        .collect()
}

fn everything(style: Style) -> (Vec<Source>, Styled) {
    let sources = all_sources();
    let groups: Vec<Vec<Cite>> = sources
        .iter()
        .map(|source| {
            vec![Cite {
                key: source.head.id.clone(),
                locator: "p. 3".to_owned(),
            }]
        })
        .collect();
    let made = styled(&sources, &groups, style).unwrap();
    (sources, made)
}

#[test]
fn every_source_of_the_corpus_is_cited_with_its_title_in_both_styles() {
    for style in [Style::AuthorDate, Style::Numeric] {
        let (sources, made) = everything(style);
        assert_eq!(made.references.len(), sources.len());
        let mut bad = Vec::new();
        for source in &sources {
            let reference: &Reference = made
                .references
                .iter()
                .find(|it| it.key == source.head.id)
                .unwrap();
            let text = folded(&plain(&reference.runs));
            if !text.contains(&folded(&source.title)) {
                bad.push(format!("{}: {}", source.head.id, plain(&reference.runs)));
            }
        }
        assert!(
            bad.is_empty(),
            "{} of {}:\n{}",
            bad.len(),
            sources.len(),
            bad.join("\n")
        );
        assert!(made.citations.iter().all(|runs| !plain(runs).is_empty()));
    }
}

/// Letters and figures only: styles change capitals and quotation marks.
fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

#[test]
fn a_record_cannot_make_a_link_that_runs() {
    let (_, listed) = one(
        "@online{bad, title = {<script>alert(1)</script>}, url = {javascript:alert(1)}, year = {2020}}",
        "",
        Style::AuthorDate,
    );
    assert!(listed.contains("<script>"), "text stays text: {listed}");
    let source = source("@online{bad, title = {A}, url = {javascript:alert(1)}, year = {2020}}");
    let cite = Cite {
        key: "bad".to_owned(),
        locator: String::new(),
    };
    let made = styled(&[source], &[vec![cite]], Style::AuthorDate).unwrap();
    let urls: Vec<&String> = made.references[0]
        .runs
        .iter()
        .filter_map(|r| r.url.as_ref())
        .collect();
    assert!(urls.is_empty(), "{urls:?}");
}

#[test]
fn csl_json_holds_type_names_dates_and_pages() {
    let text = csl_json(&[source(
        "@article{bomford, author = {van Bomford, D. and Kirby, J.}, title = {On swabs}, journal = \
         {Studies}, volume = {3}, number = {4}, pages = {1--9}, date = {1999-05-02}, doi = {10.1/x}, \
         annotation = {abstract read}}",
    )]);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let it = &value[0];
    assert_eq!(it["type"], "article-journal");
    assert_eq!(it["author"][0]["non-dropping-particle"], "van");
    assert_eq!(it["author"][0]["family"], "Bomford");
    assert_eq!(
        it["issued"]["date-parts"][0],
        serde_json::json!([1999, 5, 2])
    );
    assert_eq!(it["page"], "1-9");
    assert_eq!(it["issue"], "4");
    assert_eq!(it["DOI"], "10.1/x");
    assert_eq!(it["note"], "abstract read");
}

#[test]
fn the_exported_biblatex_is_read_again_as_the_same_sources() {
    let sources = all_sources();
    let text = palinode::cite::biblatex(&sources);
    let read = biblatex::Bibliography::parse(&text).unwrap();
    assert_eq!(read.len(), sources.len());
    for source in &sources {
        let entry = read.get(&source.head.id).unwrap();
        assert!(!entry.fields.is_empty(), "{}", source.head.id);
    }
}

/// Letters with signs are sorted by the letter, not behind z: ISO/IEC 14651 and the *Chicago Manual*, 16th
/// edition, 16.67 (from memory).
#[test]
fn the_list_is_sorted_as_a_reader_looks_it_up() {
    let names = [
        "Zucker",
        "Østergård",
        "Åberg",
        "Aaron",
        "Abel",
        "Škoda",
        "Skeat",
        "Sloan",
        "Éluard",
        "Eliot",
        "Emery",
        "Oster",
        "Oudry",
    ];
    let sources: Vec<Source> = names
        .iter()
        .enumerate()
        .map(|(i, name)| {
            source(&format!(
                "@book{{k{i}, author = {{{name}, A.}}, title = {{T}}, year = {{2000}}}}"
            ))
        })
        .collect();
    let cites: Vec<Vec<Cite>> = sources
        .iter()
        .map(|it| {
            vec![Cite {
                key: it.head.id.clone(),
                locator: String::new(),
            }]
        })
        .collect();
    let made = styled(&sources, &cites, Style::AuthorDate).unwrap();
    let sorted: Vec<String> = made
        .references
        .iter()
        .map(|it| plain(&it.runs).split(',').next().unwrap().to_owned())
        .collect();
    assert_eq!(
        sorted,
        [
            "Aaron",
            "Abel",
            "Åberg",
            "Eliot",
            "Éluard",
            "Emery",
            "Oster",
            "Østergård",
            "Oudry",
            "Skeat",
            "Škoda",
            "Sloan",
            "Zucker"
        ]
    );
}

/// An address that the library cannot read takes nothing else of the entry with it.
#[test]
fn an_address_beyond_ascii_costs_no_more_than_itself() {
    for (url, shown) in [
        ("https://example.org/grün", true),
        ("https://münze.example.org/a", false),
        ("no address", false),
    ] {
        let raw = format!(
            "@online{{k, author = {{Elm, Ada}}, title = {{Of Gilding}}, year = {{2001}}, url = {{{url}}}}}"
        );
        for style in [Style::AuthorDate, Style::Numeric] {
            let (_, text) = one(&raw, "", style);
            for part in ["Of Gilding", "2001"] {
                assert!(text.contains(part), "{url}: {text}");
            }
            assert!(text.to_lowercase().contains("elm"), "{url}: {text}");
            assert_eq!(text.contains("https://"), shown, "{url}: {text}");
        }
    }
}
