//! The `palinode` program: everything lives in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    palinode::cli::run(std::env::args_os())
}
