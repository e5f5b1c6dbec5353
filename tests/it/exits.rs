//! The bench sums at the command line: what is missing, impossible or mistyped is said in words, with the
//! exit code that README and `--help` promise.

use std::process::Command;

/// A blend whose layer dissolves in all that would dissolve the target.
pub(crate) const IMPOSSIBLE: &str = "blend to dissolve paraloid b-72 (fresh) sparing shellac finish
  given shellac finish dissolves in ethanol, shellac finish dissolves in methanol,
    shellac finish dissolves in propan-2-ol, shellac finish dissolves in benzyl alcohol,
    shellac finish dissolves in 1-methoxypropan-2-ol,
    shellac finish is unaffected by isooctane, shellac finish is unaffected by water,
    shellac finish is unaffected by propylene carbonate
  using isooctane, white spirit, heptane";

/// Question, exit code, and words that say what is the matter.
const TABLE: &[(&str, i32, &[&str])] = &[
    // More solute than a vessel holds, nothing at all, less than nothing.
    (
        "prepare 250 ml of 300 % w/v paraloid b-72 in acetone",
        2,
        &["`300 % w/v` is no strength"],
    ),
    (
        "prepare 0 ml of 8 % w/v paraloid b-72 in acetone",
        2,
        &["`0 ml` is no amount"],
    ),
    (
        "ventilate 0 ml ethanol during 20 min in 60 m3 at 4 air changes",
        2,
        &["`0 ml` is no amount"],
    ),
    (
        "ventilate 80 ml ethanol during 20 min in 0 m3 at 4 air changes",
        2,
        &["the room cannot be `0 m3`"],
    ),
    (
        "choose adhesive for marble to marble carrying 12 kg on 0 cm2",
        2,
        &["an area above nothing"],
    ),
    // Units of another dimension, and a per cent of nobody knows what.
    (
        "prepare 250 mm of 8 % w/v paraloid b-72 in acetone",
        2,
        &["a volume or a mass"],
    ),
    (
        "ventilate 80 ml ethanol during 20 mm in 60 m3 at 4 air changes",
        2,
        &["Q0403", "20 mm"],
    ),
    (
        "prepare 250 ml of 8 % paraloid b-72 in acetone",
        2,
        &["`8 %` of what?", "% w/v"],
    ),
    // What no vessel does.
    (
        "prepare 250 ml of 8 % w/v paraloid b-72 in water",
        2,
        &[
            "water does not dissolve Paraloid B-72",
            "recorded to dissolve it",
        ],
    ),
    (
        "prepare 300 ml of acetone + isooctane + water 1:1:1",
        2,
        &["isooctane and water do not mix", "two layers"],
    ),
    (
        "prepare 300 ml of methanol + heptane 1:1",
        2,
        &["methanol and heptane do not mix"],
    ),
    (
        "prepare 100 ml of ethanol + water 3:7 with agar 3 %",
        2,
        &["agar does not gel ethanol", "it carries"],
    ),
    // What is not on file is not guessed.
    (
        "ventilate 20 ml glycerol during 30 min in 40 m3 at 2 air changes",
        3,
        &["unknown", "undetermined"],
    ),
    (
        "blend to dissolve dammar (aged) sparing marble using ethanol, isooctane, acetone",
        3,
        &["Undetermined", "Swab tests that would settle it"],
    ),
    // Nor are tests asked for that can lead to nothing.
    (
        "blend to dissolve dammar (aged) sparing oil paint (young) using ethanol, isooctane, acetone",
        3,
        &["Undetermined", "only isooctane may be used"],
    ),
    (
        "prepare 200 ml of benzyl alcohol + water 1:19",
        3,
        &["benzyl alcohol"],
    ),
    // All was searched and nothing is left: an answer, and no mistake.
    (IMPOSSIBLE, 1, &["No blend does it", "What emptied the set"]),
];

#[test]
fn what_cannot_be_told_is_said_with_its_exit_code() {
    for (query, code, words) in TABLE {
        let output = Command::new(env!("CARGO_BIN_EXE_palinode"))
            .args(["ask", query])
            .env("COLUMNS", "200")
            .output()
            .unwrap();
        let said = format!(
            "{}{}",
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        );
        assert_eq!(output.status.code(), Some(*code), "{query}\n{said}");
        for word in *words {
            assert!(said.contains(word), "{query}: no `{word}` in\n{said}");
        }
        // A figure is never told where the question was refused.
        if *code == 2 {
            assert!(output.stdout.is_empty(), "{query}\n{said}");
        }
    }
}

/// A gel of water takes in as much of a polar liquid as its record says, and no more.
#[test]
fn a_gel_takes_in_what_its_record_says() {
    let ask = |query: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_palinode"))
            .args(["ask", query])
            .env("COLUMNS", "200")
            .output()
            .unwrap();
        (
            output.status.code(),
            format!(
                "{}{}",
                String::from_utf8_lossy(&output.stdout),
                String::from_utf8_lossy(&output.stderr)
            ),
        )
    };
    let (code, said) = ask("prepare 100 ml of ethanol + water 1:9 with agar 3 %");
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains("ethanol up to 20 % in its gel of water"),
        "{said}"
    );
    // A mixture that the record of the gel names is carried, whatever is said of its parts alone.
    let (code, said) =
        ask("prepare 100 ml of acetone + water 1:1 with hydroxypropylmethyl cellulose 3 %");
    assert_eq!(code, Some(0), "{said}");
    // A cellulose ether bears more of it.
    let (code, said) =
        ask("prepare 100 ml of ethanol + water 1:3 with carboxymethyl cellulose 3 %");
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("up to 30 %"), "{said}");
    // How it is made comes from the record.
    assert!(said.contains("sprinkle the powder slowly"), "{said}");
}
