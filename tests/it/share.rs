//! A share of cases with its interval, as tests print it.

/// Wilson score interval at 95 % (Wilson 1927).
pub(crate) fn wilson(hits: usize, n: usize) -> (f64, f64) {
    if n == 0 {
        return (0.0, 1.0);
    }
    let (z, n) = (1.959_964_f64, n as f64);
    let p = hits as f64 / n;
    let centre = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    (centre - half, centre + half)
}

/// Prints a share under a name.
pub(crate) fn count(name: &str, hits: usize, n: usize) {
    let (low, high) = wilson(hits, n);
    println!(
        "{name}: {hits} of {n} (Wilson 95 %: {:.0}-{:.0} %)",
        100.0 * low,
        100.0 * high
    );
}
