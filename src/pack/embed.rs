//! Build script: reads `kb`, refuses what is wrong with file, line and column, and writes the
//! pack that the program embeds.

#![forbid(unsafe_code)]
#![allow(
    dead_code,
    unreachable_pub,
    unused_imports,
    reason = "shares modules with the library"
)]
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a build script"
)]

#[path = "../corpus/mod.rs"]
mod corpus;
#[path = "../diag/mod.rs"]
mod diag;
#[path = "../index/mod.rs"]
mod index;
#[path = "../model/mod.rs"]
mod model;
#[path = "../order/mod.rs"]
mod order;
#[path = "mod.rs"]
mod pack;
#[path = "../span/mod.rs"]
mod span;
#[path = "../units/mod.rs"]
mod units;

use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use lzzzz::lz4_hc;

fn main() -> ExitCode {
    println!("cargo::rerun-if-env-changed=PALINODE_KB");
    println!("cargo::rerun-if-changed={}", folder().display());
    for module in [
        "corpus", "diag", "index", "model", "order", "pack", "span", "units",
    ] {
        println!("cargo::rerun-if-changed=src/{module}");
    }
    println!("cargo::rerun-if-env-changed=PALINODE_ORDER");
    if let Some(list) = std::env::var_os("PALINODE_ORDER") {
        lay_out(Path::new(&list));
    }
    println!("cargo::rerun-if-changed={SHEETS}");
    match sheets().and_then(|()| embed()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

/// Has the linker lay functions in the order of a list, and leave out tables that a program which aborts on a
/// panic never reads. What the list names and the program has not is no matter.
fn lay_out(list: &Path) {
    let root = std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(PathBuf::new, PathBuf::from);
    let list = root.join(list);
    println!("cargo::rerun-if-changed={}", list.display());
    let option = format!("-Wl,--symbol-ordering-file={}", list.display());
    let script = root.join(".cargo/ship.ld");
    println!("cargo::rerun-if-changed={}", script.display());
    let without_tables = format!("-Wl,-T,{}", script.display());
    for argument in [
        option.as_str(),
        "-Wl,--no-warn-symbol-ordering",
        without_tables.as_str(),
        "-Wl,--no-eh-frame-hdr",
    ] {
        println!("cargo::rustc-link-arg-bins={argument}");
    }
    println!("cargo::rerun-if-env-changed=PALINODE_SYMBOLS");
    if std::env::var_os("PALINODE_SYMBOLS").is_some() {
        // The names of functions hold a sum over the profile, so a program with names for `.ci/order` must
        // be built by the very profile that takes them off: the last word on it is the linker's.
        println!("cargo::rustc-link-arg-bins=-Wl,--strip-debug");
    }
}

/// The corpus of the program: ours, or the one to measure growth on.
fn folder() -> PathBuf {
    std::env::var_os("PALINODE_KB").map_or_else(|| PathBuf::from("kb"), PathBuf::from)
}

fn embed() -> Result<(), Box<dyn Error>> {
    let mut index = index::Builder::new()?;
    let mut pack = pack::Writer::new(pack::Form::Small(packed));
    let corpus = corpus::each(&folder(), |record| {
        index.add(&record)?;
        pack.add(record)?;
        Ok::<(), Box<dyn Error>>(())
    })?;
    if !corpus.findings.is_empty() {
        return Err(told(&corpus.findings).into());
    }
    let mut file = BufWriter::new(File::create(out()?.join("corpus.pack"))?);
    let besides = pack::Besides {
        version: &corpus.version,
        words: &corpus.words,
        speech: &corpus.speech,
        reagents: &corpus.reagents,
        index: &index.finish()?,
    };
    pack.finish(besides, &mut file)?;
    Ok(file.flush()?)
}

/// Where the citation styles lie.
const SHEETS: &str = "src/cite/styles";

/// Packs the citation styles, each behind its length.
fn sheets() -> Result<(), Box<dyn Error>> {
    for entry in std::fs::read_dir(SHEETS)? {
        let path = entry?.path();
        if path.extension().is_some_and(|it| it == "json") {
            let plain = std::fs::read(&path)?;
            let mut bytes = u32::try_from(plain.len())?.to_le_bytes().to_vec();
            bytes.extend(packed(&plain, &[]).ok_or("a citation style cannot be packed")?);
            let name = path.with_extension("lz4");
            std::fs::write(out()?.join(name.file_name().unwrap_or_default()), bytes)?;
        }
    }
    Ok(())
}

/// Where a build script may write.
fn out() -> Result<PathBuf, Box<dyn Error>> {
    Ok(PathBuf::from(
        std::env::var_os("OUT_DIR").ok_or("OUT_DIR is not set")?,
    ))
}

/// The shortest block there is, or nearly: a quarter less than one that is made in a hurry, and read as fast.
fn packed(plain: &[u8], dictionary: &[u8]) -> Option<Vec<u8>> {
    let mut block = vec![0; lzzzz::lz4::max_compressed_size(plain.len())];
    let mut packer = lz4_hc::Compressor::with_dict(dictionary, lz4_hc::CLEVEL_MAX).ok()?;
    let length = packer.next(plain, &mut block).ok()?;
    block.truncate(length);
    Some(block)
}

/// What is wrong with the corpus, a line a finding.
fn told(findings: &[corpus::Finding]) -> String {
    let lines: Vec<String> = findings
        .iter()
        .map(|f| {
            let help = f
                .diagnostic
                .help
                .as_deref()
                .map_or(String::new(), |h| format!(" ({h})"));
            format!(
                "kb/{}:{}:{}: {}: {}{help}",
                f.file, f.place.line, f.place.column, f.diagnostic.code, f.diagnostic.message
            )
        })
        .collect();
    format!(
        "the corpus has {} errors:\n{}",
        lines.len(),
        lines.join("\n")
    )
}
