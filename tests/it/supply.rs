//! What the program is made of: licences that its own licence can live with, no part twice without a
//! reason, and nothing that talks to a network. All of it read offline, from what `cargo` has on disk.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Licences (SPDX ids) that let us hand the program on under MIT or Apache-2.0 with a notice.
const LICENCES: [&str; 11] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Parts that stand in the program in two versions, each with who wants the older one. The list may
/// only shrink.
const TWICE: [(&str, &str); 5] = [
    ("embedded-io", "postcard offers both, uses neither"),
    ("getrandom", "of the random numbers in tantivy's columns"),
    ("nom", "of the parser of tantivy's own queries"),
    ("rand_core", "as getrandom"),
    ("syn", "macros, at build time only"),
];

/// Crates that open sockets.
const NETWORK: [&str; 9] = [
    "async-std",
    "curl",
    "hyper",
    "mio",
    "native-tls",
    "reqwest",
    "rustls",
    "socket2",
    "ureq",
];

/// Packages that the program is built from, tests and benches left out.
fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--offline", "--format-version", "1"])
        .args(["--filter-platform", host()])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{error}");
    let data: Value = serde_json::from_slice(&output.stdout).unwrap();
    let nodes: BTreeMap<&str, &Value> = data["resolve"]["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|node| (node["id"].as_str().unwrap(), node))
        .collect();
    let mut wanted: BTreeSet<&str> = BTreeSet::new();
    let mut next = vec![data["resolve"]["root"].as_str().unwrap()];
    while let Some(id) = next.pop() {
        if !wanted.insert(id) {
            continue;
        }
        for dependency in nodes[id]["deps"].as_array().unwrap() {
            let kinds = dependency["dep_kinds"].as_array().unwrap();
            if kinds.iter().any(|kind| kind["kind"] != "dev") {
                next.push(dependency["pkg"].as_str().unwrap());
            }
        }
    }
    data["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|package| wanted.contains(package["id"].as_str().unwrap()))
        .cloned()
        .collect()
}

/// The triple of this machine, as the compiler says it.
fn host() -> &'static str {
    if cfg!(all(target_os = "linux", target_arch = "x86_64")) {
        "x86_64-unknown-linux-gnu"
    } else if cfg!(all(target_os = "linux", target_arch = "aarch64")) {
        "aarch64-unknown-linux-gnu"
    } else if cfg!(all(target_os = "macos", target_arch = "aarch64")) {
        "aarch64-apple-darwin"
    } else {
        "x86_64-pc-windows-msvc"
    }
}

/// Whether an SPDX expression can be met with what we allow. The old form `A/B` means `A OR B`.
fn allowed(expression: &str) -> bool {
    let expression = expression.replace('/', " OR ");
    expression.split(" AND ").all(|part| {
        part.trim_matches(['(', ')', ' '])
            .split(" OR ")
            .any(|licence| LICENCES.contains(&licence.trim_matches(['(', ')', ' '])))
    })
}

#[test]
fn licences_can_live_with_ours() {
    assert!(allowed("(MIT OR GPL-3.0-only) AND Unicode-3.0"));
    assert!(!allowed("GPL-3.0-only") && !allowed("MIT AND MPL-2.0") && !allowed(""));
    let packages = packages();
    assert!(packages.len() > 50, "{}", packages.len());
    let bad: Vec<String> = packages
        .iter()
        .filter(|p| !allowed(p["license"].as_str().unwrap_or_default()))
        .map(|p| format!("{}: {}", p["name"], p["license"]))
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn no_part_stands_twice_without_a_reason() {
    let mut versions: BTreeMap<String, usize> = BTreeMap::new();
    for package in packages() {
        let name = package["name"].as_str().unwrap().to_owned();
        *versions.entry(name).or_default() += 1;
    }
    let twice: Vec<&str> = versions
        .iter()
        .filter(|(_, count)| **count > 1)
        .map(|(name, _)| name.as_str())
        .collect();
    let known: Vec<&str> = TWICE.iter().map(|(name, _)| *name).collect();
    assert_eq!(
        twice, known,
        "a part that stands twice, or one that does no more"
    );
}

#[test]
fn nothing_in_it_talks_to_a_network() {
    for package in packages() {
        let name = package["name"].as_str().unwrap();
        assert!(!NETWORK.contains(&name), "{name}");
    }
    // What the program asks of the system: names in the table of its dynamic symbols.
    let program = std::fs::read(Path::new(env!("CARGO_BIN_EXE_palinode"))).unwrap();
    let names = |name: &str| {
        let wanted = format!("\0{name}\0").into_bytes();
        program.windows(wanted.len()).any(|bytes| bytes == wanted)
    };
    if cfg!(target_os = "linux") {
        assert!(names("write"), "the table of symbols was not found");
        for call in [
            "socket",
            "connect",
            "bind",
            "listen",
            "accept4",
            "getaddrinfo",
            "sendto",
        ] {
            assert!(!names(call), "the program calls `{call}`");
        }
    }
}
