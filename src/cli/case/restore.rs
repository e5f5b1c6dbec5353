//! `palinode case restore`

use clap::Args;

use super::{CasePath, fail};
use crate::case;
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::render::safe;
use crate::store::{Lock, RealDisk, StoreError, backup_of, swap};

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Restore {
    #[command(flatten)]
    case: CasePath,
}

impl Restore {
    /// Puts the version before the last change in the place of the case, which becomes the backup in
    /// turn: to restore twice is to change nothing.
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let path = self.case.file();
        let backup = backup_of(&path);
        if let Err(error) = case::load(&backup) {
            return match error {
                case::ReadError::Io { .. } => fail::plain(
                    &format!("{}: there is no version before", backup.display()),
                    "a case has one after its first change",
                    output,
                ),
                error => fail::unread(&error, output),
            };
        }
        let done = Lock::take(&path).and_then(|lock| swap(&RealDisk, &lock));
        match done {
            Ok(()) => {
                output.text(&format!(
                    "{} is the version before the last change; what it was lies in {}\n",
                    safe(&path.display().to_string()),
                    safe(&backup.display().to_string())
                ));
                Exit::Answered
            }
            Err(StoreError::Io { error, .. }) if error.kind() == std::io::ErrorKind::NotFound => {
                fail::plain(
                    &format!("{}: there is no such case", path.display()),
                    &format!("its version before lies in {}: copy that", backup.display()),
                    output,
                )
            }
            Err(error) => fail::unwritten(&error, output),
        }
    }
}
