//! Damaged and hostile case files: told with place and mend, never overwritten, never obeyed.

use std::path::Path;

use palinode::case::{self, photograph, relative};

use super::{SMALL, done, err, out, run, written};

/// A line of a case, its code, the place of the mistake and a word of the mend.
const DAMAGE: &[(&str, &str, &str, &str)] = &[
    ("note = \"no end", "C0101", ":4:15", "double quotes"),
    (
        "[[layer]\nid = \"l1\"",
        "C0101",
        ":4:9",
        "mend the marked place",
    ),
    (
        "[[layer]]\nname = \"oak\"",
        "C0103",
        ":4:1",
        "add the line: id = \"l1\"",
    ),
    ("[[layer]]\nid = \"l1\"", "C0103", ":4:1", "name = "),
    (
        "[[layer]]\nid = \"L 1\"\nname = \"oak\"",
        "C0105",
        ":5:6",
        "lower-case",
    ),
    (
        "[[layer]]\nid = \"l1\"\nname = \"oak\"\n[[layer]]\nid = \"l1\"\nname = \"gesso\"",
        "C0105",
        ":7:1",
        "another id",
    ),
    (
        "[[observation]]\nid = \"o1\"\nof = \"u1\"\nseen = \"looks brown\"",
        "C0106",
        ":6:6",
        "holds none yet",
    ),
    (
        "[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\nrestored = \"1939..1919\"",
        "C0107",
        ":7:12",
        "1919..1939",
    ),
    ("width = \"30 C\"", "C0107", ":4:9", "mm"),
    ("width = 30", "C0104", ":4:9", "\"...\""),
    (
        "[[photograph]]\nid = \"f1\"\nfile = \"/etc/passwd\"\nshows = \"x\"",
        "C0108",
        ":6:8",
        "folder of the case",
    ),
    (
        "[[photograph]]\nid = \"f1\"\nfile = \"a.png\"\nshows = \"x\"\nday = \"yesterday\"",
        "C0104",
        ":8:7",
        "2026-11-28",
    ),
    ("[layer]\nid = \"l1\"", "C0104", ":4:1", "[[layer]]"),
    ("[log]\nchanges = [3]", "C0104", ":5:11", "changes = "),
];

#[test]
fn damage_is_told_with_its_place_and_mend_and_left_alone() {
    for (lines, code, place, mend) in DAMAGE {
        let text = format!("{SMALL}{lines}\n");
        let (dir, path) = written(&text);
        for arguments in [
            &["show", &path][..],
            &["check", &path],
            &["review", &path],
            &["layer", &path, "oak"],
            &["observe", &path, "u1", "looks brown"],
            &["ask", &path, "find shellac"],
            &["decide", &path, "x", "--because", "y"],
        ] {
            let output = run(arguments);
            let said = err(&output);
            assert_eq!(output.status.code(), Some(2), "{lines}\n{said}");
            for wanted in [code, &*format!("case.toml{place}"), mend, "left as it is"] {
                assert!(said.contains(wanted), "{lines}: no {wanted} in\n{said}");
            }
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text, "{lines}");
            let names = crate::store::names(dir.path());
            assert_eq!(names, ["case.toml"], "nothing was made beside it");
        }
    }
}

#[test]
fn a_file_without_its_first_lines_is_no_case() {
    for (text, code) in [
        ("[object]\ntitle = \"x\"\n", "C0102"),
        ("palinode = 2\n[object]\ntitle = \"x\"\n", "C0102"),
        ("palinode = 1\n", "C0103"),
        ("", "C0102"),
    ] {
        let list = case::parse(text).unwrap_err();
        assert_eq!(list[0].code, code, "{text}");
        assert!(list.iter().all(|d| d.help.is_some()));
    }
}

#[test]
fn the_version_before_mends_a_damaged_case() {
    let (_dir, path) = written(SMALL);
    done(&["layer", &path, "gesso over limewood"]);
    done(&["object", &path, "--made", "about 1790"]);
    let good = std::fs::read_to_string(&path).unwrap();
    let damaged = good.replace("[object]", "[object");
    std::fs::write(&path, &damaged).unwrap();
    let output = run(&["show", &path]);
    assert!(err(&output).contains("case restore"), "{}", err(&output));
    done(&["restore", &path]);
    let restored = std::fs::read_to_string(&path).unwrap();
    assert!(
        restored.contains("limewood") && !restored.contains("1790"),
        "{restored}"
    );
    let backup = std::fs::read_to_string(format!("{path}.bak")).unwrap();
    assert_eq!(backup, damaged, "the damaged one is kept");
    assert_eq!(
        run(&["restore", &path]).status.code(),
        Some(2),
        "not a damaged one back"
    );
}

/// What a terminal would obey.
fn obeyed(text: &str) -> Option<char> {
    text.chars().find(|c| {
        (c.is_control() && *c != '\n')
            || matches!(c, '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    })
}

const EVIL: &str = "a\u{1b}[31mb\u{7}c\u{9b}2Jd\u{202e}e\u{61c}\u{2066}f\r\u{8}g";

#[test]
fn text_of_a_case_is_data_on_the_way_out() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("a.png"), b"").unwrap();
    let path = dir.path().join("case.toml");
    let path = path.to_str().unwrap();
    done(&[
        "new", path, EVIL, "--note", EVIL, "--made", EVIL, "--who", EVIL,
    ]);
    done(&["layer", path, "gesso over oak", "--note", EVIL]);
    done(&["unknown", path, "coating", "--called", EVIL, "--note", EVIL]);
    done(&[
        "observe",
        path,
        "u1",
        "looks brown",
        "--place",
        EVIL,
        "--who",
        EVIL,
        "--note",
        EVIL,
    ]);
    done(&[
        "trial",
        path,
        "l1",
        "is unaffected by acetone",
        "--place",
        EVIL,
    ]);
    done(&["propose", path, EVIL, "--risk", EVIL, "--step", EVIL]);
    done(&["decide", path, EVIL, "--because", EVIL, "--on", "p1"]);
    done(&[
        "use", path, EVIL, "--batch", EVIL, "--in", EVIL, "--for", EVIL,
    ]);
    done(&["deviate", path, EVIL, "--because", EVIL]);
    done(&["photo", path, "a.png", EVIL, "--light", EVIL, "--of", "u1"]);
    done(&["ask", path, "identify u1"]);
    for arguments in [
        &["show", path][..],
        &["show", path, "--format", "json"],
        &["check", path],
        &["review", path],
        &["ask", path, "identify u1"],
        &["ask", path, EVIL],
        &["observe", path, "u1", EVIL],
        &["observe", path, EVIL, "looks brown"],
        &["layer", path, EVIL],
        &["photo", path, EVIL, "x"],
        &["show", EVIL],
        &["show", &format!("{path}{EVIL}")],
    ] {
        let output = run(arguments);
        assert_eq!(
            obeyed(&out(&output)),
            None,
            "{arguments:?}: {:?}",
            out(&output)
        );
        assert_eq!(
            obeyed(&err(&output)),
            None,
            "{arguments:?}: {:?}",
            err(&output)
        );
    }
    // The data themselves are kept as they were given.
    let file = case::load(Path::new(path)).unwrap();
    assert_eq!(file.case.object.title, EVIL);
    assert_eq!(file.case.decisions[0].because, EVIL);
    assert_eq!(obeyed(&file.source.text), None, "the file can be looked at");
    // A damaged file is shown around its mistake.
    let text = file
        .source
        .text
        .replace("palinode = 1", "palinode = 1\nx = \"\u{1b}[31m\u{9b}");
    std::fs::write(path, text).unwrap();
    let output = run(&["show", path]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(obeyed(&err(&output)), None, "{:?}", err(&output));
}

/// A fact is one phrase. What hides a clause, a semicolon or a remark in it is refused when it is
/// typed, and when a question is built from what somebody wrote into the file.
#[test]
fn no_fact_changes_the_question_that_it_stands_in() {
    let hidden = [
        "looks brown limit 3",
        "looks brown; remove shellac from oak",
        "looks brown # and nothing of the rest",
        "looks brown given gesso is unaffected by acetone",
        "looks brown restored 1900",
        "looks brown where tg > 30 C",
        "looks brown;",
        "looks brown,",
        "",
    ];
    for seen in hidden {
        let (_dir, path) = written(&format!(
            "{SMALL}[[layer]]\nid = \"l1\"\nname = \"oak\"\n[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n"
        ));
        let before = std::fs::read(&path).unwrap();
        let output = run(&["observe", &path, "u1", seen]);
        assert_eq!(output.status.code(), Some(2), "{seen}: {}", out(&output));
        assert_eq!(std::fs::read(&path).unwrap(), before, "{seen}");
        if seen.is_empty() {
            continue;
        }
        let mut text = String::from_utf8(before).unwrap();
        text.push_str(&format!(
            "[[observation]]\nid = \"o1\"\nof = \"u1\"\nseen = '{seen}'\n"
        ));
        std::fs::write(&path, &text).unwrap();
        let output = run(&["ask", &path, "identify u1"]);
        assert_eq!(output.status.code(), Some(2), "{seen}: {}", out(&output));
        assert!(err(&output).contains("o1"), "{seen}: {}", err(&output));
        let output = run(&["check", &path]);
        assert_eq!(output.status.code(), Some(2), "{seen}");
        assert!(
            err(&output).contains("case.toml:13:"),
            "{seen}: {}",
            err(&output)
        );
    }
    for (layer, noun) in [
        ("oak that looks brown", "coating"),
        ("oak over gesso", "coating"),
        ("oak; find shellac", "coating"),
        ("oak", "coating on gesso"),
        ("oak", "coating limit 1"),
        ("oak", "coating # film"),
    ] {
        let (_dir, path) = written(&format!(
            "{SMALL}[[layer]]\nid = \"l1\"\nname = \"{layer}\"\n[[unknown]]\nid = \"u1\"\nnoun = \"{noun}\"\n"
        ));
        for question in ["identify u1", "remove u1"] {
            let output = run(&["ask", &path, question]);
            assert_eq!(
                output.status.code(),
                Some(2),
                "{layer} {noun}: {}",
                out(&output)
            );
        }
    }
}

#[test]
fn photographs_stay_in_the_folder_of_the_case() {
    for wrong in [
        "",
        ".",
        "..",
        "../a.png",
        "photographs/../../a.png",
        "/etc/passwd",
        "//host/a.png",
        "C:/a.png",
        "C:a.png",
        "file:a.png",
        "a\\..\\..\\b.png",
        "\\\\host\\a.png",
        "a\u{0}.png",
        "a\u{1b}.png",
    ] {
        assert!(relative(wrong).is_err(), "{wrong:?}");
    }
    for right in [
        "a.png",
        "photographs/a.png",
        "./a.png",
        "a b/c.d.jpg",
        "…/ä.png",
        "..a/b..png",
    ] {
        assert!(relative(right).is_ok(), "{right:?}");
    }
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("case");
    std::fs::create_dir_all(folder.join("photographs")).unwrap();
    std::fs::write(dir.path().join("secret.png"), b"x").unwrap();
    std::fs::write(folder.join("photographs/a.png"), b"x").unwrap();
    assert!(photograph(&folder, "photographs/a.png").is_ok());
    assert!(photograph(&folder, "photographs").is_err(), "no folder");
    assert!(
        photograph(&folder, "photographs/b.png").is_err(),
        "not there"
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink(dir.path(), folder.join("out")).unwrap();
        symlink(dir.path().join("secret.png"), folder.join("s.png")).unwrap();
        symlink("photographs/a.png", folder.join("inside.png")).unwrap();
        assert!(photograph(&folder, "out/secret.png").is_err());
        assert!(photograph(&folder, "s.png").is_err());
        assert!(photograph(&folder, "inside.png").is_ok());
        let path = folder.join("case.toml");
        std::fs::write(&path, SMALL).unwrap();
        let output = run(&["photo", path.to_str().unwrap(), "s.png", "x"]);
        assert_eq!(output.status.code(), Some(2));
        assert!(err(&output).contains("through a link"), "{}", err(&output));
    }
}

/// Cases spoiled at random: read or refused, with every mistake inside the text; never a panic.
#[test]
fn spoiled_cases_are_told_and_nothing_breaks() {
    use crate::random::{Random, long, seed};
    let demo = std::fs::read_to_string(super::DEMO).unwrap();
    let mut random = Random::new(seed(3));
    let pieces = [
        "\"",
        "'",
        "\"\"\"",
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        "=",
        "\n",
        "#",
        ",",
        "\\",
        "\u{0}",
        "ä",
        "[[layer]]\n",
        "id = \"u1\"\n",
        "palinode = 1\n",
        "2026-02-30",
        "u1",
        "over",
        "1..",
        "[log]",
    ];
    let (mut read, mut refused) = (0, 0);
    for _ in 0..if long() { 20_000 } else { 1_000 } {
        let mut text = demo.clone();
        for _ in 0..=random.below(3) {
            let mut at = random.below(text.len());
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            let mut end = (at + random.below(30)).min(text.len());
            while !text.is_char_boundary(end) {
                end -= 1;
            }
            match random.below(3) {
                0 => text.replace_range(at..end.max(at), ""),
                1 => text.insert_str(at, pieces[random.below(pieces.len())]),
                _ => text.replace_range(at..end.max(at), pieces[random.below(pieces.len())]),
            }
        }
        match case::parse(&text) {
            Ok((case, _)) => {
                read += 1;
                for ask in [
                    "identify u1",
                    "remove u1",
                    "choose adhesive",
                    "remove u1 over u1",
                ] {
                    let _ = case::build(&case, ask);
                }
            }
            Err(list) => {
                refused += 1;
                for d in list {
                    let span = d.span().expect("a place");
                    assert!(span.range().end <= text.len(), "{d:?}");
                    assert!(d.help.is_some(), "{d:?}");
                }
            }
        }
    }
    assert!(read > 50 && refused > 50, "{read} read, {refused} refused");
}
