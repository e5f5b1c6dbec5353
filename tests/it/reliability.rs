//! The reliability diagram of the calibration: what was said against how often it was so.
//! `PALINODE_WRITE=1 cargo test probability_means` draws it afresh.

use std::fmt::Write as _;

use crate::calibration::Said;

const SIDE: f64 = 320.0;
const LEFT: f64 = 56.0;
const TOP: f64 = 16.0;
/// Fewest draws of a bin that is drawn.
const LEAST: usize = 10;

/// Half the width of the 95 % Wilson interval, with its middle (Wilson 1927; from memory).
fn wilson(so: f64, n: f64) -> (f64, f64) {
    let z = 1.96_f64;
    let middle = (so + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (so * (1.0 - so) / n + z * z / (4.0 * n * n)).sqrt();
    (middle, half)
}

/// The diagram.
pub(crate) fn svg(materials: &[Said], families: &[Said]) -> String {
    let x = |p: f64| LEFT + SIDE * p;
    let y = |p: f64| TOP + SIDE * (1.0 - p);
    let (width, height) = (LEFT + SIDE + 16.0, TOP + SIDE + 84.0);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" \
         font-family=\"sans-serif\" font-size=\"11\">\n\
         <title>What was said against how often it was so</title>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n"
    );
    for k in 0..=5 {
        let p = f64::from(k) / 5.0;
        let _ = write!(
            out,
            "<path d=\"M{:.1} {:.1}H{:.1}M{:.1} {:.1}V{:.1}\" stroke=\"#dddddd\" fill=\"none\"/>\n\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{:.0} %</text>\n\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{:.0} %</text>\n",
            x(0.0),
            y(p),
            x(1.0),
            x(p),
            y(0.0),
            y(1.0),
            x(0.0) - 6.0,
            y(p) + 4.0,
            100.0 * p,
            x(p),
            y(0.0) + 16.0,
            100.0 * p,
        );
    }
    let _ = writeln!(
        out,
        "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" stroke=\"#888888\" stroke-dasharray=\"4 3\"/>",
        x(0.0),
        y(0.0),
        x(1.0),
        y(1.0)
    );
    for (said, colour, square) in [(materials, "#1b5e8a", false), (families, "#b3541e", true)] {
        let mut line = String::new();
        for k in 0..10 {
            let own: Vec<&Said> = said
                .iter()
                .filter(|s| ((10.0 * s.said) as usize).min(9) == k)
                .collect();
            if own.len() < LEAST {
                continue;
            }
            let n = own.len() as f64;
            let mean = own.iter().map(|s| s.said).sum::<f64>() / n;
            let so = own.iter().filter(|s| s.so).count() as f64 / n;
            let (middle, half) = wilson(so, n);
            let _ = write!(
                line,
                "{}{:.1} {:.1}",
                if line.is_empty() { "M" } else { "L" },
                x(mean),
                y(so)
            );
            let _ = writeln!(
                out,
                "<path d=\"M{:.1} {:.1}V{:.1}\" stroke=\"{colour}\" stroke-opacity=\"0.5\" \
                 stroke-width=\"2\"><title>{} draws</title></path>",
                x(mean),
                y((middle - half).max(0.0)),
                y((middle + half).min(1.0)),
                own.len(),
            );
            // Told apart by shape as well as by colour.
            let _ = if square {
                writeln!(
                    out,
                    "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"7\" height=\"7\" fill=\"{colour}\"/>",
                    x(mean) - 3.5,
                    y(so) - 3.5
                )
            } else {
                writeln!(
                    out,
                    "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"3.5\" fill=\"{colour}\"/>",
                    x(mean),
                    y(so)
                )
            };
        }
        let _ = writeln!(
            out,
            "<path d=\"{line}\" stroke=\"{colour}\" fill=\"none\" stroke-width=\"1.2\"/>"
        );
    }
    let below = y(0.0);
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">probability that was said of the \
         first</text>\n\
         <text transform=\"translate(14 {:.1}) rotate(-90)\" text-anchor=\"middle\">share of draws \
         in which it was so</text>\n\
         <circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"3.5\" fill=\"#1b5e8a\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\">material</text>\n\
         <rect x=\"{:.1}\" y=\"{:.1}\" width=\"7\" height=\"7\" fill=\"#b3541e\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\">family</text>\n\
         <text x=\"{:.1}\" y=\"{:.1}\">bars: 95 % by Wilson; {} draws</text>\n</svg>\n",
        x(0.5),
        below + 34.0,
        y(0.5),
        x(0.0) + 4.0,
        below + 56.0,
        x(0.0) + 14.0,
        below + 60.0,
        x(0.0) + 80.5,
        below + 52.5,
        x(0.0) + 94.0,
        below + 60.0,
        x(0.0) + 140.0,
        below + 60.0,
        materials.len(),
    );
    out
}

/// Writes it beside the data.
pub(crate) fn write(materials: &[Said], families: &[Said]) {
    let path = format!(
        "{}/tests/calibration/reliability.svg",
        env!("CARGO_MANIFEST_DIR")
    );
    std::fs::write(path, svg(materials, families)).expect("the diagram");
}

/// Wilson 1927 as in common tables: 8 of 10 lie between 0.490 and 0.943 (from memory).
#[test]
fn the_bars_are_wilsons() {
    let (middle, half) = wilson(0.8, 10.0);
    assert!((middle - half - 0.490).abs() < 1e-3, "{}", middle - half);
    assert!((middle + half - 0.943).abs() < 1e-3, "{}", middle + half);
}

/// The diagram that is linked from the docs is there.
#[test]
fn the_diagram_is_on_file() {
    let path = format!(
        "{}/tests/calibration/reliability.svg",
        env!("CARGO_MANIFEST_DIR")
    );
    let text =
        std::fs::read_to_string(path).expect("PALINODE_WRITE=1 cargo test probability_means");
    assert!(text.starts_with("<svg") && text.trim_end().ends_with("</svg>"));
}
