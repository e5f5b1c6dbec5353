//! `kb/README.md`, the page for who writes a record: its list of rules is that of the lints.

use palinode::diag::code_entry;
use palinode::lint::LINTS;

use crate::written;

const FILE: &str = "kb/README.md";
const FROM: &str = "<!-- rules: written by a test, PALINODE_WRITE=1 cargo test page -->\n";
const TO: &str = "<!-- end of rules -->\n";

/// The rules as the page shows them.
fn rules() -> String {
    let mut out = String::from("\n| rule | code | what it finds | why |\n|---|---|---|---|\n");
    for lint in LINTS {
        let title = code_entry(lint.code).map_or("", |entry| entry.title);
        out.push_str(&format!(
            "| {} | `{}` | {} | {} |\n",
            lint.name,
            lint.code,
            title.replace('|', "\\|"),
            lint.why.replace('|', "\\|")
        ));
    }
    out.push('\n');
    out
}

/// The page with the rules in place.
fn page(found: &str) -> String {
    let (before, rest) = found.split_once(FROM).expect("where the rules start");
    let (_, after) = rest.split_once(TO).expect("where the rules end");
    format!("{before}{FROM}{}{TO}{after}", rules())
}

#[test]
fn the_page_lists_the_rules_each_with_its_reason() {
    let wanted = page(&written::read(FILE));
    written::holds(FILE, &wanted, |_| {
        format!("the rules in {FILE} are not those of the lints")
    });
    for lint in LINTS {
        assert!(
            !lint.why.is_empty() && code_entry(lint.code).is_some(),
            "{}",
            lint.name
        );
    }
}
