//! How far long work has come, on the terminal of whoever waits for it.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Work that is done sooner shows nothing.
const QUIET: Duration = Duration::from_millis(700);
/// Least time between two lines.
const EVERY: Duration = Duration::from_millis(200);

/// A watcher that tells standard error, where that is a terminal. It never stops the work: the
/// interrupt key ends the program.
pub(super) fn watcher() -> Option<impl FnMut(f64) -> bool> {
    if !std::io::stderr().is_terminal() {
        return None;
    }
    let mut begun: Option<Instant> = None;
    let mut told: Option<Instant> = None;
    Some(move |done: f64| {
        let now = Instant::now();
        let start = *begun.get_or_insert(now);
        let mut stderr = std::io::stderr().lock();
        if done >= 1.0 {
            if told.is_some() {
                let _ = write!(stderr, "\r{:40}\r", "");
                let _ = stderr.flush();
            }
            begun = None;
            told = None;
        } else if now - start > QUIET && told.is_none_or(|t| now - t > EVERY) {
            told = Some(now);
            let _ = write!(
                stderr,
                "\rweighing blends: {:3.0} % (Ctrl-C ends it)",
                100.0 * done
            );
            let _ = stderr.flush();
        }
        true
    })
}
