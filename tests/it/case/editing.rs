//! What an edit leaves alone, and what it writes.

use std::fs;
use std::path::Path;

use palinode::case::{self, Mark, difference};

use super::{DEMO, SMALL, done, err, run, written};

/// A case as a person might keep it: remarks, an order of its own, keys that nobody reads, odd
/// spacing, quotes of every sort.
const BY_HAND: &str = r#"# kept by hand since 2024

palinode=1     # the format

[object]  # the thing itself
title   =   'A "box"'
heigth = "120 mm" # a slip, kept
x-inventory = { shelf = 3, room = "B" }

# the ground comes first here

[[layer]]
id = "l2"   # from the top down!
name = "oak"

[studio]
# nobody reads this table
client = "not here"
list = [
  1, # one
  2,
]

[[unknown]]
id = "u1"
called = """
the dark
varnish"""
noun = "coating"

[[observation]]
of = "u1"
id = "o7"
seen = 'looks brown'
# doubtful, see photograph
[observation.extra]
lux = 50

[[observation]]
id = "o3"
of = "u1"
seen = "is brittle" # by needle

# the end
"#;

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::to_owned).collect()
}

#[test]
fn comments_order_and_unknown_keys_survive_every_edit() {
    let (dir, path) = written(BY_HAND);
    fs::write(dir.path().join("a.png"), b"").unwrap();
    let mut before = lines(BY_HAND);
    for arguments in [
        &[
            "observe",
            &path,
            "u1",
            "dissolves in ethanol (crumb, 1 min), is unaffected by water",
        ][..],
        &["trial", &path, "l2", "is unaffected by ethanol"],
        &["layer", &path, "gesso"],
        &["ask", &path, "remove u1"],
        &["unknown", &path, "adhesive (open joint)"],
        &["photo", &path, "a.png", "front"],
        &["use", &path, "ethanol", "--amount", "20 ml"],
        &["propose", &path, "leave it"],
        &["decide", &path, "leave it", "--because", "it is historic"],
        &["deviate", &path, "waxed it", "--because", "asked to"],
        &["object", &path, "--made", "about 1800"],
        &["ask", &path, "identify u1"],
    ] {
        done(arguments);
        let after = lines(&fs::read_to_string(&path).unwrap());
        let gone: Vec<String> = difference(&before, &after)
            .into_iter()
            .filter(|(mark, _)| *mark == Mark::Gone)
            .map(|(_, line)| line)
            .collect();
        assert!(gone.is_empty(), "{arguments:?} took away {gone:?}");
        before = after;
    }
    let text = before.join("\n");
    assert!(
        text.ends_with("# the end") || text.contains("# the end\n"),
        "{text}"
    );
    let case = case::load(Path::new(&path)).unwrap().case;
    let ids: Vec<&str> = case.observations.iter().map(|it| it.id.as_str()).collect();
    assert_eq!(ids, ["o7", "o3", "o8", "o9"]);
    assert_eq!(
        case.unknowns[0].called.as_deref(),
        Some("the dark\nvarnish")
    );
    // The slip is told by `check`, with what was meant.
    let output = run(&["check", &path]);
    assert_eq!(output.status.code(), Some(0));
    assert!(err(&output).contains("case.toml:7:1"), "{}", err(&output));
    assert!(err(&output).contains("`height`"), "{}", err(&output));
}

/// Sections stand in one order, whatever the order of the commands, and the log stands last.
#[test]
fn sections_keep_their_order_and_the_log_stands_last() {
    let (_dir, path) = written(SMALL);
    done(&["decide", &path, "go on", "--because", "it is safe"]);
    done(&["unknown", &path, "coating"]);
    done(&["layer", &path, "oak"]);
    done(&["ask", &path, "identify u1"]);
    done(&["observe", &path, "u1", "looks brown"]);
    let text = fs::read_to_string(&path).unwrap();
    let place = |word: &str| {
        text.find(word)
            .unwrap_or_else(|| panic!("no {word} in\n{text}"))
    };
    let order = [
        "[object]",
        "[[layer]]",
        "[[unknown]]",
        "[[observation]]",
        "[[question]]",
        "[[decision]]",
        "[log]",
    ];
    let places: Vec<usize> = order.iter().map(|it| place(it)).collect();
    assert!(places.is_sorted(), "{text}");
    // One fact a line.
    assert!(
        text.contains(
            "\nid = \"o1\"\nof = \"u1\"\nseen = \"looks brown\"\nday = 2026-11-28\nwho = \"AB\"\n"
        ),
        "{text}"
    );
}

#[test]
fn line_ends_and_byte_order_mark_stay() {
    let text = format!("\u{feff}{}", BY_HAND.replace('\n', "\r\n"));
    let (_dir, path) = written(&text);
    done(&["object", &path, "--made", "about 1800"]);
    let after = fs::read_to_string(&path).unwrap();
    assert!(after.starts_with('\u{feff}'));
    assert_eq!(after.matches('\n').count(), after.matches("\r\n").count());
    let added: Vec<(Mark, String)> = difference(&lines(&text), &lines(&after))
        .into_iter()
        .filter(|(mark, _)| *mark != Mark::Kept)
        .collect();
    assert!(
        added.iter().all(|(mark, _)| *mark == Mark::Come),
        "{added:?}"
    );
}

#[test]
fn the_log_is_only_added_to_and_ids_are_never_given_twice() {
    let (_dir, path) = written(SMALL);
    done(&["layer", &path, "oak"]);
    done(&["unknown", &path, "coating"]);
    done(&["observe", &path, "u1", "looks brown", "is brittle"]);
    let first = case::load(Path::new(&path)).unwrap().case;
    // Somebody takes the last observation out by hand.
    let text = fs::read_to_string(&path).unwrap();
    let from = text.rfind("\n[[observation]]").unwrap();
    let to = text.find("\n[log]").unwrap();
    fs::write(&path, format!("{}{}", &text[..from], &text[to..])).unwrap();
    done(&["observe", &path, "u1", "looks glossy"]);
    let second = case::load(Path::new(&path)).unwrap().case;
    let ids: Vec<&str> = second
        .observations
        .iter()
        .map(|it| it.id.as_str())
        .collect();
    assert_eq!(ids, ["o1", "o3"], "o2 was given before");
    assert_eq!(second.changes[..first.changes.len()], first.changes[..]);
    let last = second.changes.last().unwrap();
    assert_eq!(
        (last.did.as_str(), last.who.as_str(), last.at.as_str()),
        ("observe", "AB", "2026-11-28T12:00:00Z")
    );
    assert_eq!(last.ids, ["o3"]);
}

#[test]
fn the_same_commands_write_the_same_bytes_and_nothing_is_written_for_nothing() {
    let write = || {
        let (dir, path) = written(SMALL);
        done(&["layer", &path, "oak"]);
        done(&["unknown", &path, "coating", "--restored", "1919..1939"]);
        done(&["observe", &path, "u1", "looks brown", "--place", "here"]);
        done(&["ask", &path, "identify u1"]);
        (dir, fs::read(&path).unwrap(), path)
    };
    let (_one, first, path) = write();
    let (_two, second, _) = write();
    assert!(first == second);
    done(&["ask", &path, "identify u1"]);
    done(&["review", &path, "--update"]);
    done(&["object", &path, "--title", "A box"]);
    assert!(fs::read(&path).unwrap() == first, "nothing had changed");
}

/// Read and written without a change the demo is the same.
#[test]
fn the_demo_is_written_as_the_program_writes() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("case.toml");
    let text = fs::read_to_string(DEMO).unwrap();
    fs::write(&path, &text).unwrap();
    let path = path.to_str().unwrap();
    done(&["object", path, "--aim", "another"]);
    let after = fs::read_to_string(path).unwrap();
    let changed: Vec<(Mark, String)> = difference(&lines(&text), &lines(&after))
        .into_iter()
        .filter(|(mark, _)| *mark != Mark::Kept)
        .collect();
    assert_eq!(
        changed.len(),
        3,
        "one line another, one of the log: {changed:?}"
    );
}
