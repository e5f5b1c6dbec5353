//! The query language: tokens, tree, formatter, completion, mistakes.

use std::time::{Duration, Instant};

use palinode::lang::ast::{Condition, Explain, File, Prep, Query, Relation, TestKind};
use palinode::lang::lex::{LONGEST_TEXT, lex};
use palinode::lang::reserved::{Keyword, Verb};
use palinode::lang::token::TokenKind;
use palinode::lang::{Expected, Role, expected_at, format, parse};

use crate::random::{Random, long, seed};
use crate::seeds::bodies::fingerprint;

/// The ten examples of the design, section 5.
const DESIGN: &[&str] = &[
    "find consolidant about \"flaking paint\" where tg > 30 C and removable with ethanol when aged \
     rank by shrinkage",
    "identify coating on oil gilding over gesso restored 1890..1935\n  that fluoresces orange \
     under uv-a, dissolves in ethanol (crumb, 1 min), is unaffected by white spirit",
    "remove shellac (film) from water gilding (flaking) over bole over gesso over limewood \
     without water",
    "let old = identify adhesive (deep joint 12 mm) on glazed earthenware\n  that swells in \
     acetone (crumb, 30 min), is unaffected by water, looks yellowed;\nremove old from overglaze \
     gilding over glaze over earthenware given glaze is unaffected by acetone",
    "choose adhesive for walnut to walnut where stable to 35 C reversible for 50 years without \
     water",
    "compare paraloid b-72, isinglass, epoxy by tg, shrinkage, removal on limewood",
    "blend to dissolve dammar (aged) sparing oil paint (young) using ethanol, isooctane, acetone",
    "prepare 250 ml of 8 % w/v paraloid b-72 in ethyl acetate",
    "ventilate 80 ml ethanol + acetone 1:1 during 20 min in 60 m3 at 4 air changes",
    "explain identify coating on bronze that fluoresces yellow under uv-a, turns blue with \
     diphenylamine (clean crumb)",
];

fn parsed(text: &str) -> File {
    parse(text).unwrap_or_else(|errors| panic!("{text}\n{errors:#?}"))
}

fn query(text: &str) -> Query {
    parsed(text).statements.remove(0).query
}

fn formatted(text: &str) -> String {
    format(&parsed(text), text)
}

#[test]
fn design_examples_parse_and_format() {
    for text in DESIGN {
        let file = parsed(text);
        let once = format(&file, text);
        let again = parsed(&once);
        assert_eq!(format(&again, &once), once);
        assert_eq!(fingerprint(&again), fingerprint(&file), "{once}");
        assert!(
            once.lines().all(|line| line.chars().count() <= 80),
            "{once}"
        );
    }
}

#[test]
fn a_tree_holds_what_was_typed() {
    let Query::Find(find) = query(DESIGN[0]) else {
        panic!("find");
    };
    assert_eq!(find.name.text(), "consolidant");
    assert_eq!(find.about.expect("about").value, "flaking paint");
    let Condition::And(parts) = find.condition.expect("where").value else {
        panic!("and");
    };
    let Condition::Test(test) = &parts[1] else {
        panic!("a test");
    };
    let TestKind::Property {
        words,
        relation: Relation::Phrases(phrases),
        when,
    } = &test.kind
    else {
        panic!("phrases");
    };
    assert_eq!(words[0].text, "removable");
    assert_eq!(phrases[0].prep.value, Prep::With);
    assert_eq!(when.as_ref().expect("when")[0].text, "aged");

    let Query::Remove(remove) = query(DESIGN[2]) else {
        panic!("remove");
    };
    let layers: Vec<String> = remove
        .from
        .layers
        .iter()
        .map(|layer| layer.name.text())
        .collect();
    assert_eq!(layers, ["water gilding", "bole", "gesso", "limewood"]);
    assert_eq!(remove.from.layers[0].notes[0].words[0].text, "flaking");

    let file = parsed(DESIGN[3]);
    assert_eq!(file.statements.len(), 2);
    assert_eq!(
        file.statements[0].binding.as_ref().expect("let").text,
        "old"
    );

    let explained = parsed("explain empty find x");
    let explain = explained.statements[0].explain.expect("explain");
    assert_eq!(explain.value, Explain::Empty);
}

#[test]
fn observations_keep_their_parts() {
    let text = "identify coating that not tried, does not dissolve in ethanol, glaze is not \
                attacked by acetone, probably dissolves, surface ph is 8.5, beva 371 film swells, \
                melts at 60..70 C, turns blue with diphenylamine in sulphuric acid (crumb)";
    let Query::Identify(identify) = query(text) else {
        panic!("identify");
    };
    let seen: Vec<(String, bool, bool, String, usize)> = identify
        .that
        .expect("that")
        .value
        .iter()
        .map(|seen| {
            (
                seen.lead
                    .as_ref()
                    .map_or_else(String::new, palinode::lang::ast::Name::text),
                seen.is.is_some(),
                seen.negated.is_some(),
                palinode::lang::ast::join(&seen.words),
                seen.phrases.len(),
            )
        })
        .collect();
    let row = |lead: &str, is, not, words: &str, phrases| {
        (lead.to_owned(), is, not, words.to_owned(), phrases)
    };
    assert_eq!(
        seen,
        [
            row("", false, true, "tried", 0),
            row("does", false, true, "dissolve", 1),
            row("glaze", true, true, "attacked", 1),
            row("", false, false, "probably dissolves", 0),
            row("surface ph", true, false, "", 0),
            row("", false, false, "beva 371 film swells", 0),
            row("", false, false, "melts", 1),
            row("", false, false, "turns blue", 2),
        ]
    );
}

#[test]
fn a_name_without_its_number_can_be_told() {
    let Query::Find(find) = query("find acetone 5 min") else {
        panic!("find");
    };
    let (words, span) = find.name.before_number().expect("a number");
    assert_eq!(palinode::lang::ast::join(words), "acetone");
    assert_eq!(span.slice("find acetone 5 min"), "5 min");
    let Query::Find(find) = query("find b-72") else {
        panic!("find");
    };
    assert_eq!(find.name.before_number(), None);
}

fn kind(kind: &TokenKind) -> &'static str {
    match kind {
        TokenKind::Word => "word",
        TokenKind::Keyword(_) => "reserved",
        TokenKind::Int(_) => "int",
        TokenKind::Dec(_) => "dec",
        TokenKind::Span(_) => "span",
        TokenKind::Ratio(_) => "ratio",
        TokenKind::Unit(_) => "unit",
        TokenKind::Text(_) => "text",
        _ => "sign",
    }
}

#[test]
fn lexical_table() {
    let table: &[(&str, &[(&str, &str)])] = &[
        ("12mm", &[("int", "12"), ("unit", "mm")]),
        ("12 mm", &[("int", "12"), ("unit", "mm")]),
        ("12\n mm", &[("int", "12"), ("unit", "mm")]),
        ("mm", &[("word", "mm")]),
        ("b72", &[("word", "b72")]),
        ("b-72", &[("word", "b-72")]),
        ("uv-a", &[("word", "uv-a")]),
        ("aw2", &[("word", "aw2")]),
        ("4a", &[("word", "4a")]),
        ("2k lacquer", &[("word", "2k"), ("word", "lacquer")]),
        ("-72paraloid", &[("int", "-72"), ("word", "paraloid")]),
        ("12mm-thick", &[("word", "12mm-thick")]),
        ("2-propanol", &[("word", "2-propanol")]),
        ("1,2-dichloroethane", &[("word", "1,2-dichloroethane")]),
        (
            "1,1,1-trichloroethane",
            &[("word", "1,1,1-trichloroethane")],
        ),
        (
            "n,n-dimethylformamide",
            &[("word", "n,n-dimethylformamide")],
        ),
        ("n-butanol", &[("word", "n-butanol")]),
        (
            "3,3'-diaminobenzidine",
            &[("word", "3,3'-diaminobenzidine")],
        ),
        ("painter's", &[("word", "painter's")]),
        ("d’or", &[("word", "d’or")]),
        ("5..10", &[("span", "5..10")]),
        ("5..10mm", &[("span", "5..10"), ("unit", "mm")]),
        ("1890..", &[("span", "1890..")]),
        ("..1935", &[("span", "..1935")]),
        ("-20..-5 C", &[("span", "-20..-5"), ("unit", "C")]),
        ("antiquity..now", &[("span", "antiquity..now")]),
        ("1950..now", &[("span", "1950..now")]),
        ("now", &[("word", "now")]),
        ("1:3", &[("ratio", "1:3")]),
        ("1:1:2", &[("ratio", "1:1:2")]),
        ("-20 C", &[("int", "-20"), ("unit", "C")]),
        ("b -20", &[("word", "b"), ("int", "-20")]),
        ("35 °C", &[("int", "35"), ("unit", "°C")]),
        ("35℃", &[("int", "35"), ("unit", "℃")]),
        ("5 µm", &[("int", "5"), ("unit", "µm")]),
        ("8%w/v", &[("int", "8"), ("unit", "%w/v")]),
        ("8 % w/v", &[("int", "8"), ("unit", "% w/v")]),
        ("8 % of", &[("int", "8"), ("unit", "%"), ("word", "of")]),
        ("4 air changes", &[("int", "4"), ("unit", "air changes")]),
        ("50 lux h", &[("int", "50"), ("unit", "lux h")]),
        ("20 MPa^0.5", &[("int", "20"), ("unit", "MPa^0.5")]),
        ("20 MPa", &[("int", "20"), ("unit", "MPa")]),
        ("60 m³", &[("int", "60"), ("unit", "m³")]),
        ("0.5 g/ml", &[("dec", "0.5"), ("unit", "g/ml")]),
        ("5 mmol", &[("int", "5"), ("word", "mmol")]),
        ("over", &[("reserved", "over")]),
        ("overpaint", &[("word", "overpaint")]),
        ("of", &[("word", "of")]),
        ("“a b”", &[("text", "“a b”")]),
        ("„a b“", &[("text", "„a b“")]),
        ("«a b»", &[("text", "«a b»")]),
        ("a<=5", &[("word", "a"), ("sign", "<="), ("int", "5")]),
        ("a≥5", &[("word", "a"), ("sign", "≥"), ("int", "5")]),
        ("a # b", &[("word", "a")]),
        ("1, 2", &[("int", "1"), ("sign", ","), ("int", "2")]),
        ("Paraloid® B-72", &[("word", "Paraloid"), ("word", "B-72")]),
        ("über", &[("word", "über")]),
    ];
    for (text, wanted) in table {
        let lexed = lex(text);
        assert!(lexed.errors.is_empty(), "{text}: {:#?}", lexed.errors);
        let found: Vec<(&str, &str)> = lexed
            .tokens
            .iter()
            .map(|token| (kind(&token.kind), token.span.slice(text)))
            .collect();
        assert_eq!(found, *wanted, "{text}");
    }
}

#[test]
fn tokens_and_trivia_tile_the_text() {
    let remarks = "# é\r\n find coating #x\n\n where tg > 35\t°C # end";
    for text in DESIGN.iter().copied().chain([remarks]) {
        let lexed = lex(text);
        let mut spans: Vec<_> = lexed
            .tokens
            .iter()
            .map(|token| token.span)
            .chain(lexed.trivia.iter().map(|trivia| trivia.span))
            .collect();
        spans.sort_unstable();
        let mut at = 0;
        for span in spans {
            assert_eq!(span.range().start, at, "{text}");
            at = span.range().end;
        }
        assert_eq!(at, text.len());
    }
}

#[test]
fn limits_are_kept() {
    let long = format!("find {}", "a".repeat(64 * 1024));
    assert_eq!(parse(&long).expect_err("long")[0].code, "Q0101");
    let nested = |depth| format!("find a where {}b{}", "(".repeat(depth), ")".repeat(depth));
    assert!(parse(&nested(64)).is_ok());
    assert_eq!(parse(&nested(65)).expect_err("deep")[0].code, "Q0203");
    assert_eq!(parse(&nested(30_000)).expect_err("deep")[0].code, "Q0203");
}

#[test]
fn long_texts_take_no_time() {
    let fill = |piece: &str, head: &str| {
        let times = (64 * 1024 - head.len()) / piece.len();
        format!("{head}{}", piece.repeat(times))
    };
    let texts = [
        fill("a ", "find "),
        fill("1 mm ", "find a "),
        fill("a and ", "find b where "),
        fill("known(a) and ", "find b where "),
        fill("(a) and ", "find b where "),
        fill("a in b, ", "identify c that "),
        fill("a 5 b ", "identify c that "),
        fill("over a ", "remove b from c "),
        fill("(a) ", "remove b from c "),
        fill("find a; ", ""),
        fill("fnd a; ", ""),
        fill("find a\n", ""),
        fill(";", ""),
        fill("#\n", ""),
        fill("5-", "find "),
        fill("1:", "find "),
        fill("1,", "find "),
        fill("a-", "find "),
        fill("\"", "find "),
        fill("limit 1 ", "find a "),
        fill("a or b and ", "find c where "),
    ];
    for text in texts {
        let start = Instant::now();
        let result = parse(&text);
        if let Ok(file) = &result {
            let once = format(file, &text);
            // Indents may take a text past the limit.
            assert!(once.len() > LONGEST_TEXT || parse(&once).is_ok());
        }
        let _ = expected_at(&text, text.len());
        // Generous: a debug build on a busy machine. A parser that is not
        // linear takes minutes.
        assert!(start.elapsed() < Duration::from_secs(10), "{text:.40}");
    }
}

#[test]
fn no_text_makes_it_panic() {
    let signs: Vec<char> = "abz 059.,;:()\"'“”#-–+<>=%°µ²\n\r\t\u{200b}é/[&|!≤…"
        .chars()
        .collect();
    let mut random = Random::new(seed(7));
    let rounds = if long() { 200_000 } else { 4_000 };
    for round in 0..rounds {
        let seed = DESIGN[round % DESIGN.len()];
        let mut text: Vec<char> = seed.chars().collect();
        for _ in 0..=random.below(4) {
            if text.is_empty() {
                break;
            }
            let at = random.below(text.len());
            match random.below(4) {
                0 => {
                    text.remove(at);
                }
                1 => text.insert(at, *random.pick(&signs)),
                2 => text[at] = *random.pick(&signs),
                _ => text.truncate(at.max(1)),
            }
        }
        let text: String = text.into_iter().collect();
        let _ = expected_at(&text, random.below(text.len() + 1));
        match parse(&text) {
            Ok(file) => {
                let once = format(&file, &text);
                let again = parsed(&once);
                assert_eq!(format(&again, &once), once, "{text:?}");
                assert_eq!(fingerprint(&again), fingerprint(&file), "{text:?}");
            }
            Err(errors) => {
                assert!(!errors.is_empty());
                for error in errors {
                    for label in &error.labels {
                        let range = label.span.range();
                        assert!(text.get(range).is_some(), "{text:?}\n{error:#?}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_formatter_keeps_remarks() {
    let text = "# top\n\n# next\nlet old = # the unknown\n  identify   coating # what\n# where\n \
                on bronze # alloy\n  limit 3 # few\n  # seen\n  that is tacky, # first\n   # second\n \
                is dull ; # end\n\n\n# then\nremove old from bronze; # done\n# last\n";
    let wanted = "\
# top

# next
let old =  # the unknown
    identify coating  # what
    # where
    on bronze  # alloy
  # seen
  that is tacky,  # first
    # second
    is dull
  limit 3  # few
;  # end

# then
remove old from bronze  # done
# last
";
    let once = formatted(text);
    for remark in text.match_indices('#') {
        let line = text[remark.0..].lines().next().expect("a line").trim_end();
        assert!(once.contains(line), "{line} is lost:\n{once}");
    }
    assert_eq!(formatted(&once), once);
    assert_eq!(fingerprint(&parsed(&once)), fingerprint(&parsed(text)));
    assert_eq!(once, wanted);
}

fn expects(text: &str) -> Vec<Expected> {
    let offset = text.find('|').expect("a cursor");
    expected_at(&text.replacen('|', "", 1), offset)
}

#[test]
fn completion_asks_for_what_may_follow() {
    let verbs = expects("|");
    assert!(verbs.contains(&Expected::Word(Verb::Find.word())));
    assert!(verbs.contains(&Expected::Word("let")));
    assert!(verbs.contains(&Expected::Word("explain")));
    assert!(verbs.contains(&Expected::Word("edition")));
    assert_eq!(expects("find |"), [Expected::Name(Role::Kind)]);
    assert_eq!(expects("find co|"), [Expected::Name(Role::Kind)]);
    let clauses = expects("find coating limit 3 |");
    assert!(clauses.contains(&Expected::Keyword(Keyword::Where)));
    assert!(
        !clauses.contains(&Expected::Keyword(Keyword::Limit)),
        "given already"
    );
    assert!(
        !clauses.contains(&Expected::Keyword(Keyword::That)),
        "no clause of find"
    );
    assert!(clauses.contains(&Expected::Sign(";")));
    assert_eq!(expects("remove x from |"), [Expected::Name(Role::Layer)]);
    assert_eq!(
        expects("remove x from wat| over y"),
        [Expected::Name(Role::Layer)]
    );
    assert!(expects("remove x from water |").contains(&Expected::More(Role::Layer)));
    assert!(expects("find a where tg > |").contains(&Expected::Quantity));
    assert!(expects("identify a that dissolves in |").contains(&Expected::Name(Role::Agent)));
    assert_eq!(expects("find a about |"), [Expected::Text]);
    assert!(expects("find a; |").contains(&Expected::Word(Verb::Remove.word())));
    assert!(!expects("find a; |").contains(&Expected::Word("edition")));
    assert_eq!(expects("find a # re|"), []);
    assert_eq!(expects("find a about \"te|"), []);
    assert_eq!(expects("fnd |"), []);
    for text in DESIGN {
        for offset in 0..=text.len() {
            let _ = expected_at(text, offset);
        }
    }
}

/// A unit or a minus with a sign of its own inside a name is the same name after formatting: found by
/// fuzzing.
#[test]
fn signs_in_names_are_the_same_after_formatting() {
    for text in [
        "find film 35℉",
        "find film 35 °C",
        "find film −35",
        "find film 3 µm grade",
    ] {
        let Ok(file) = parse(text) else {
            panic!("{text}");
        };
        let once = format(&file, text);
        let again = parse(&once).unwrap();
        assert_eq!(fingerprint(&file), fingerprint(&again), "{text}");
        assert_eq!(format(&again, &once), once);
    }
}
