//! What a bibliography may ask of the library that reads it: that follows whatever leads on, abbreviation,
//! link or brace, as deep as it goes, so that a circle, or a text made for it, would end the program.

use std::collections::HashMap;
use std::ops::Range;

use biblatex::{Bibliography, Entry, ParseError, RawBibliography, RawChunk};

/// Deepest braces, and most abbreviations or links one behind the other.
const DEEPEST: usize = 64;
/// Bytes that the abbreviations of one field may stand for.
const LONGEST: usize = 1 << 16;
/// Bytes that those of a whole file may stand for.
const LONGEST_OF_ALL: usize = 1 << 24;
/// Entries that one may take what it lacks from, each as often as it is come to.
const MOST_LINKS: usize = 1 << 10;
/// Fields that lead to other entries, from which what is missing is taken.
const LINKS: [&str; 2] = ["crossref", "xdata"];

/// Why a bibliography is not read.
pub(super) struct Unreadable {
    pub(super) at: Range<usize>,
    pub(super) why: String,
    pub(super) help: &'static str,
}

impl From<ParseError> for Unreadable {
    fn from(error: ParseError) -> Self {
        Self {
            at: error.span,
            why: format!("not BibLaTeX: {}", error.kind),
            help: "an entry reads @article{key, author = {…}, title = {…}, date = {…}}",
        }
    }
}

/// The entries of a text, abbreviations and links followed.
pub(super) fn read(text: &str) -> Result<Bibliography, Unreadable> {
    if let Some(at) = too_deep(text) {
        return Err(Unreadable {
            at: at..at + 1,
            why: format!("braces more than {DEEPEST} deep"),
            help: "close the braces before this one",
        });
    }
    let raw = RawBibliography::parse(text)?;
    abbreviations(&raw)?;
    links(&raw)?;
    Ok(Bibliography::from_raw(raw)?)
}

/// Where the first brace stands that is too deep.
fn too_deep(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    let mut bytes = text.bytes().enumerate();
    while let Some((at, byte)) = bytes.next() {
        match byte {
            b'\\' => {
                // What is escaped opens and closes nothing.
                bytes.next();
            }
            b'{' if depth == DEEPEST => return Some(at),
            b'{' => depth += 1,
            b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}

/// What an abbreviation comes to.
#[derive(Clone, Copy)]
enum Reach {
    /// It is being followed: who comes to it again goes in a circle.
    Open,
    /// So many bytes.
    Bytes(usize),
}

/// Whether every abbreviation ends, and soon.
fn abbreviations(raw: &RawBibliography<'_>) -> Result<(), Unreadable> {
    let known: HashMap<&str, &[biblatex::Spanned<RawChunk<'_>>]> = raw
        .abbreviations
        .iter()
        .map(|pair| (pair.key.v, &pair.value.v[..]))
        .collect();
    let mut reached = HashMap::new();
    let mut all = 0_usize;
    let fields = raw.entries.iter().flat_map(|entry| &entry.v.fields);
    for pair in fields {
        all += length(&pair.value.v, &known, &mut reached, 0)?;
        if all > LONGEST_OF_ALL {
            return Err(Unreadable {
                at: pair.value.span.clone(),
                why: "abbreviations that stand for too much".to_owned(),
                help: "write out what they stand for",
            });
        }
    }
    Ok(())
}

/// Bytes that a field stands for.
fn length<'s>(
    field: &[biblatex::Spanned<RawChunk<'s>>],
    known: &HashMap<&'s str, &[biblatex::Spanned<RawChunk<'s>>]>,
    reached: &mut HashMap<&'s str, Reach>,
    depth: usize,
) -> Result<usize, Unreadable> {
    let mut sum = 0_usize;
    for chunk in field {
        let refused = |why: String| Unreadable {
            at: chunk.span.clone(),
            why,
            help: "let an abbreviation stand for a text: @string{jaic = {Journal of …}}",
        };
        let own = match chunk.v {
            RawChunk::Normal(_) => 0,
            RawChunk::Abbreviation(name) => match (reached.get(name), known.get(name)) {
                (Some(Reach::Open), _) => {
                    return Err(refused(format!(
                        "the abbreviation `{name}` stands for itself"
                    )));
                }
                (Some(Reach::Bytes(bytes)), _) => *bytes,
                // A month, or an error that is told when it is read.
                (None, None) => 0,
                (None, Some(_)) if depth == DEEPEST => {
                    return Err(refused(format!(
                        "more than {DEEPEST} abbreviations one behind the other"
                    )));
                }
                (None, Some(value)) => {
                    reached.insert(name, Reach::Open);
                    let plain: usize = value
                        .iter()
                        .map(|it| match it.v {
                            RawChunk::Normal(text) => text.len(),
                            // However little it stands for, it is a piece of text.
                            RawChunk::Abbreviation(_) => 1,
                        })
                        .sum();
                    let bytes = plain + length(value, known, reached, depth + 1)?;
                    reached.insert(name, Reach::Bytes(bytes));
                    bytes
                }
            },
        };
        sum += own;
        if sum > LONGEST {
            return Err(refused(
                "abbreviations that stand for too much in one field".to_owned(),
            ));
        }
    }
    Ok(sum)
}

/// Whether every entry that takes what it lacks from others comes to an end, and soon.
fn links(raw: &RawBibliography<'_>) -> Result<(), Unreadable> {
    let is_link = |key: &str| LINKS.iter().any(|link| link.eq_ignore_ascii_case(key));
    let places: Vec<(&str, Range<usize>)> = raw
        .entries
        .iter()
        .filter_map(|entry| {
            let mut fields = entry.v.fields.iter();
            let link = fields.find(|pair| is_link(pair.key.v))?;
            Some((entry.v.key.v, link.value.span.clone()))
        })
        .collect();
    if places.is_empty() {
        return Ok(());
    }
    // Read with the links under names that lead nowhere, so that they can be asked for.
    let mut apart = raw.clone();
    for pair in apart
        .entries
        .iter_mut()
        .flat_map(|entry| &mut entry.v.fields)
    {
        for (link, other) in LINKS.iter().zip(APART) {
            if link.eq_ignore_ascii_case(pair.key.v) {
                pair.key.v = other;
            }
        }
    }
    let apart = Bibliography::from_raw(apart)?;
    let mut reached = HashMap::new();
    for (key, at) in places {
        let Some(entry) = apart.get(key) else {
            continue;
        };
        if let Err(why) = followed(&apart, entry, &mut reached, 0) {
            return Err(Unreadable {
                at,
                why,
                help: "let a link (crossref, xdata) lead to an entry that leads no further",
            });
        }
    }
    Ok(())
}

/// Names of the links where they are to lead nowhere.
const APART: [&str; 2] = ["apart-crossref", "apart-xdata"];

/// How many entries one leads to, itself among them.
fn followed<'b>(
    all: &'b Bibliography,
    entry: &'b Entry,
    reached: &mut HashMap<&'b str, Option<usize>>,
    depth: usize,
) -> Result<usize, String> {
    let key = entry.key.as_str();
    match reached.get(key) {
        Some(Some(count)) => return Ok(*count),
        Some(None) => return Err(format!("the links of `{key}` lead back to it")),
        None if depth == DEEPEST => {
            return Err(format!("more than {DEEPEST} links one behind the other"));
        }
        None => reached.insert(key, None),
    };
    let mut count = 1_usize;
    for other in linked(entry).iter().filter_map(|other| all.get(other)) {
        count += followed(all, other, reached, depth + 1)?;
        if count > MOST_LINKS {
            return Err(format!("`{key}` leads to more than {MOST_LINKS} entries"));
        }
    }
    reached.insert(key, Some(count));
    Ok(count)
}

/// The keys that an entry leads to. A field that names none is told when it is read.
fn linked(entry: &Entry) -> Vec<String> {
    let [crossref, xdata] = APART;
    let one = entry.get_as::<String>(crossref).ok();
    let several = entry.get_as::<Vec<String>>(xdata).unwrap_or_default();
    one.into_iter().chain(several).collect()
}

#[cfg(test)]
mod tests {
    use super::read;

    fn refused(text: &str) -> String {
        match read(text) {
            Ok(_) => panic!("read: {text}"),
            Err(error) => {
                assert!(
                    text.get(error.at.clone()).is_some(),
                    "{text}: {:?}",
                    error.at
                );
                error.why
            }
        }
    }

    #[test]
    fn what_leads_to_itself_is_refused() {
        for text in [
            "@string{a = a} @article{k, title = a}",
            "@string{a = b} @string{b = {x} # a} @article{k, title = {x} # a}",
        ] {
            assert!(refused(text).contains("stands for itself"), "{text}");
        }
        for text in [
            "@article{a, crossref = {a}}",
            "@article{a, CrossRef = {b}} @book{b, xdata = {c, a}} @xdata{c, title = {x}}",
            "@article{a, ids = {b}, crossref = {b}}",
            "@string{s = {a}} @article{a, xdata = s}",
        ] {
            assert!(refused(text).contains("lead back to it"), "{text}");
        }
    }

    #[test]
    fn what_goes_too_deep_or_far_is_refused() {
        let chain = |n: usize| -> String {
            let next = |k: usize| format!("@string{{a{k} = a{}}}", k + 1);
            let all: String = (0..n).map(next).collect();
            format!("{all}@string{{a{n} = {{x}}}} @article{{k, title = a0}}")
        };
        assert!(read(&chain(20)).is_ok());
        assert!(refused(&chain(30_000)).contains("one behind the other"));
        let doubled: String = (1..40)
            .map(|k| format!("@string{{a{k} = a{} # a{}}}", k - 1, k - 1))
            .collect();
        let doubled = format!("@string{{a0 = {{x}}}}{doubled}@article{{k, title = a39}}");
        assert!(refused(&doubled).contains("too much"));
        let linked: String = (1..40)
            .map(|k| {
                format!(
                    "@xdata{{a{k}, xdata = {{a{}, b{}}}}}@xdata{{b{k}, xdata = {{a{}}}}}",
                    k - 1,
                    k - 1,
                    k - 1
                )
            })
            .collect();
        let linked = format!(
            "@xdata{{a0, title = {{x}}}}@xdata{{b0, year = 1990}}{linked}@book{{k, xdata = {{a39}}}}"
        );
        assert!(refused(&linked).contains("leads to more"));
        let braces = |n: usize| {
            format!(
                "@book{{k, title = {{{}x{}}}}}",
                "{".repeat(n),
                "}".repeat(n)
            )
        };
        assert!(read(&braces(40)).is_ok());
        assert!(refused(&braces(100_000)).contains("braces more than"));
        let commands = format!(
            "@book{{k, title = {{{}x{}}}}}",
            "\\emph{".repeat(50_000),
            "}".repeat(50_000)
        );
        assert!(refused(&commands).contains("braces more than"));
    }

    #[test]
    fn what_ends_is_followed() {
        let text = "@string{jaic = {Journal}} @article{k, title = {x}, journaltitle = jaic, month = jan, \
                    crossref = {b}} @book{b, publisher = {Press}, date = {1990}} @book{c, xdata = {k, b}}";
        let Ok(all) = read(text) else {
            panic!("{}", refused(text))
        };
        assert_eq!(all.len(), 3);
        assert!(
            all.get("k")
                .is_some_and(|it| it.get("journaltitle").is_some())
        );
        assert!(read("@article{k, title = {a \\{ b}, year = 1990}").is_ok());
    }
}
