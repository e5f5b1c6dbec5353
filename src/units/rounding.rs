//! Figures as a reader takes them in: rounded to what counts, or to what an instrument reads.

/// A figure with four figures that count.
#[must_use]
pub fn four_figures(value: f64) -> String {
    let text = match value.abs() {
        v if v >= 1000.0 => format!("{value:.0}"),
        v if v >= 100.0 => format!("{value:.1}"),
        v if v >= 10.0 => format!("{value:.2}"),
        v if v >= 0.01 || v == 0.0 => format!("{value:.3}"),
        _ => format!("{value:.2e}"),
    };
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A figure with three figures that count.
#[must_use]
pub fn three_figures(value: f64) -> String {
    let text = match value.abs() {
        v if v >= 100.0 => return format!("{value:.0}"),
        v if v >= 10.0 => format!("{value:.1}"),
        v if v >= 1.0 => format!("{value:.2}"),
        v if v >= 0.1 => format!("{value:.3}"),
        v if v >= 0.01 => format!("{value:.4}"),
        v if v >= 0.001 => format!("{value:.5}"),
        0.0 => return "0".to_owned(),
        _ => return format!("{value:.1e}"),
    };
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A figure rounded to what an instrument reads, with its last digit or limit of error.
#[must_use]
pub fn read_to(value: f64, digit: f64) -> String {
    let decimals = (-digit.log10()).ceil().clamp(0.0, 6.0);
    format!("{value:.*}", decimals as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_counts_stays() {
        assert_eq!(four_figures(1234.56), "1235");
        assert_eq!(four_figures(0.5), "0.5");
        assert_eq!(three_figures(0.012_345), "0.0123");
        assert_eq!(three_figures(0.0), "0");
        assert_eq!(read_to(12.345, 0.01), "12.35");
        assert_eq!(read_to(12.345, 1.0), "12");
    }
}
