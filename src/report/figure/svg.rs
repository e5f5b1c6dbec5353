//! A small writer of SVG: shapes in drawing order, text escaped, numbers with at most two places.

use std::fmt::Write;

use super::Figure;

/// Ink, and the darker of two papers (contrast 15:1 on white).
pub(super) const INK: &str = "#1c2329";
/// Lines that only help the eye (contrast over 4.5:1 on white).
pub(super) const FAINT: &str = "#5f6a72";
/// Filling of what the figure is about.
pub(super) const FULL: &str = "#2f4858";
/// Light filling.
pub(super) const PALE: &str = "#e9e4da";
/// Size of letters, in units of the drawing.
pub(super) const LETTER: f64 = 13.0;

/// Hatchings, each told from the others in grey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hatch {
    /// Lines that rise.
    Rising,
    /// Lines that fall.
    Falling,
    /// Dots.
    Dots,
    /// Upright lines.
    Upright,
    /// Lying lines.
    Level,
    /// Crossed lines.
    Crossed,
}

impl Hatch {
    pub(super) const ALL: [Self; 6] = [
        Self::Rising,
        Self::Dots,
        Self::Level,
        Self::Falling,
        Self::Upright,
        Self::Crossed,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Rising => "rising",
            Self::Falling => "falling",
            Self::Dots => "dots",
            Self::Upright => "upright",
            Self::Level => "level",
            Self::Crossed => "crossed",
        }
    }

    const fn drawn(self) -> &'static str {
        match self {
            Self::Rising => "<path d=\"M-2 10L10 -2M6 14L14 6\"/>",
            Self::Falling => "<path d=\"M-2 -2L14 14M-2 10L2 14M10 -2L14 2\"/>",
            Self::Dots => {
                "<circle cx=\"3\" cy=\"3\" r=\"0.7\"/><circle cx=\"9\" cy=\"9\" r=\"0.7\"/>"
            }
            Self::Upright => "<path d=\"M3 0V12M9 0V12\"/>",
            Self::Level => "<path d=\"M0 3H12M0 9H12\"/>",
            Self::Crossed => "<path d=\"M0 6H12M6 0V12\"/>",
        }
    }
}

/// A drawing in the making.
pub(super) struct Svg {
    id: String,
    width: f64,
    body: String,
    hatches: Vec<Hatch>,
}

impl Svg {
    /// A drawing. `id` is unlike that of every other figure of the page.
    pub(super) fn new(id: &str, width: f64) -> Self {
        Self {
            id: id.to_owned(),
            width,
            body: String::new(),
            hatches: Vec::new(),
        }
    }

    /// The filling of a hatching.
    pub(super) fn hatch(&mut self, hatch: Hatch) -> String {
        if !self.hatches.contains(&hatch) {
            self.hatches.push(hatch);
        }
        format!("url(#{}-{})", self.id, hatch.name())
    }

    /// A rectangle. `extra` holds further attributes, of our own making only.
    pub(super) fn rect(&mut self, x: f64, y: f64, w: f64, h: f64, fill: &str, extra: &str) {
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"{}{extra}/>",
            n(x),
            n(y),
            n(w.max(0.0)),
            n(h.max(0.0)),
            if extra.is_empty() { "" } else { " " }
        );
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), extra: &str) {
        let _ = writeln!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" {extra}/>",
            n(from.0),
            n(from.1),
            n(to.0),
            n(to.1)
        );
    }

    /// A run of straight lines, closed or open.
    pub(super) fn path(&mut self, points: &[(f64, f64)], closed: bool, extra: &str) {
        let mut d = String::new();
        for (k, (x, y)) in points.iter().enumerate() {
            let _ = write!(d, "{}{} {}", if k == 0 { "M" } else { "L" }, n(*x), n(*y));
        }
        if closed {
            d.push('Z');
        }
        let _ = writeln!(self.body, "<path d=\"{d}\" {extra}/>");
    }

    /// A circle.
    pub(super) fn circle(&mut self, at: (f64, f64), r: f64, extra: &str) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {extra}/>",
            n(at.0),
            n(at.1),
            n(r)
        );
    }

    /// A line of text, its base line at `y`.
    pub(super) fn text(&mut self, x: f64, y: f64, text: &str, extra: &str) {
        let _ = writeln!(
            self.body,
            "<text x=\"{}\" y=\"{}\"{}{extra}>{}</text>",
            n(x),
            n(y),
            if extra.is_empty() { "" } else { " " },
            escape(text)
        );
    }

    /// Lines of text below one another, cut so that each fits `width`. Returns how many there are.
    pub(super) fn lines(&mut self, x: f64, y: f64, text: &str, width: f64, extra: &str) -> usize {
        let lines = wrap(text, width);
        for (k, line) in lines.iter().enumerate() {
            self.text(x, y + k as f64 * LETTER * 1.25, line, extra);
        }
        lines.len()
    }

    /// The finished figure.
    pub(super) fn finish(self, height: f64, title: &str, description: &str) -> Figure {
        let (id, width) = (&self.id, self.width);
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" \
             aria-labelledby=\"{id}-t {id}-d\" font-family=\"system-ui, sans-serif\" \
             font-size=\"{LETTER}\" fill=\"{INK}\">\n<title id=\"{id}-t\">{}</title>\n\
             <desc id=\"{id}-d\">{}</desc>\n",
            n(width),
            n(height),
            escape(title),
            escape(description)
        );
        if !self.hatches.is_empty() {
            svg.push_str("<defs>\n");
            for hatch in &self.hatches {
                let _ = writeln!(
                    svg,
                    "<pattern id=\"{id}-{}\" width=\"12\" height=\"12\" \
                     patternUnits=\"userSpaceOnUse\"><rect width=\"12\" height=\"12\" \
                     fill=\"#fff\"/><g stroke=\"{INK}\" stroke-width=\"1\" fill=\"{INK}\">{}</g>\
                     </pattern>",
                    hatch.name(),
                    hatch.drawn()
                );
            }
            svg.push_str("</defs>\n");
        }
        let _ = writeln!(
            svg,
            "<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>",
            n(width),
            n(height)
        );
        svg.push_str(&self.body);
        svg.push_str("</svg>\n");
        Figure {
            svg,
            width: self.width.round() as u32,
            title: title.to_owned(),
            description: description.to_owned(),
        }
    }
}

/// A number with at most two places; what is no number is nought.
fn n(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Text as it may stand in SVG; what is no text for XML becomes a sign for it.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in crate::report::words::clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// About how wide a text is, in letters of a size. The letters are the reader's own sans serif, so the
/// widest that is usual is taken: of DejaVu Sans, which has 0.6 of its size on the mean, with 0.3 for
/// the thin letters.
pub(super) fn width_at(text: &str, size: f64) -> f64 {
    text.chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | '.' | ',' | ';' | ':' | '\'' | '|' | ' ' | '(' | ')' => 0.36,
            'f' | 'r' | 't' | '-' => 0.42,
            'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.96,
            c if c.is_uppercase() => 0.72,
            _ => 0.63,
        })
        .sum::<f64>()
        * size
}

/// The same in letters of the usual size.
pub(super) fn width(text: &str) -> f64 {
    width_at(text, LETTER)
}

/// Letters with weight are wider than plain ones by about so much.
pub(super) const BOLD: f64 = 1.12;

/// Breaks a text into lines that fit a width. A word that is too long is cut.
pub(super) fn wrap(text: &str, limit: f64) -> Vec<String> {
    wrap_at(text, limit, LETTER)
}

/// The same in letters of a size. A word is broken behind a hyphen first.
pub(super) fn wrap_at(text: &str, limit: f64, size: f64) -> Vec<String> {
    let limit = limit.max(4.0 * size);
    let fits = |text: &str| width_at(text, size) <= limit;
    let mut out: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let mut space = true;
        for piece in word.split_inclusive('-') {
            let gap = if space { " " } else { "" };
            space = false;
            let joined = out.last().map(|line| format!("{line}{gap}{piece}"));
            if let (Some(joined), Some(line)) = (joined.filter(|it| fits(it)), out.last_mut()) {
                *line = joined;
                continue;
            }
            let mut rest = piece;
            while !fits(rest) {
                let at = rest
                    .char_indices()
                    .map(|(at, _)| at)
                    .skip(1)
                    .take_while(|at| fits(&rest[..*at]))
                    .last()
                    .unwrap_or(rest.len());
                out.push(rest[..at].to_owned());
                rest = &rest[at..];
            }
            out.push(rest.to_owned());
        }
    }
    if out.is_empty() {
        out.push(String::new());
    }
    out
}

/// At most so many lines that fit a width; what is left over ends in dots.
pub(super) fn lines_of(text: &str, limit: f64, size: f64, most: usize) -> Vec<String> {
    let mut lines = wrap_at(text, limit, size);
    if lines.len() > most {
        let rest = lines.split_off(most.max(1) - 1).join(" ");
        lines.push(fit_at(&rest, limit, size));
    }
    lines
}

/// A text of one line that fits a width, cut with dots if need be.
pub(super) fn fit(text: &str, limit: f64) -> String {
    fit_at(text, limit, LETTER)
}

/// The same in letters of a size.
pub(super) fn fit_at(text: &str, limit: f64, size: f64) -> String {
    if width_at(text, size) <= limit {
        return text.to_owned();
    }
    let mut cut = text.to_owned();
    while cut.pop().is_some() {
        let dotted = format!("{}…", cut.trim_end());
        if width_at(&dotted, size) <= limit {
            return dotted;
        }
    }
    "…".to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_broken() {
        assert_eq!(n(1.0), "1");
        assert_eq!(n(1.25), "1.25");
        assert_eq!(n(-0.001), "0");
        assert_eq!(n(f64::NAN), "0");
        assert_eq!(n(f64::INFINITY), "0");
    }

    #[test]
    fn text_cannot_leave_its_place() {
        let mut svg = Svg::new("f1", 100.0);
        svg.text(
            0.0,
            0.0,
            "</text><script>alert(1)</script>\u{1b}[31m\"'&",
            "",
        );
        let figure = svg.finish(10.0, "a <title>", "b </desc>");
        assert!(!figure.svg.contains("<script"));
        assert!(!figure.svg.contains('\u{1b}'));
        assert_eq!(figure.svg.matches("</desc>").count(), 1);
        assert_eq!(figure.svg.matches("</title>").count(), 1);
    }

    #[test]
    fn long_words_are_cut_and_lines_fit() {
        let lines = wrap("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa bb cc", 60.0);
        assert!(lines.iter().all(|l| width(l) <= 60.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), "a".repeat(32) + "bbcc");
    }
}
