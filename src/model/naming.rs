//! Folds names, so that case, accents, hyphens and spaces do not keep a user from a record.

use unicode_normalization::UnicodeNormalization;

/// Folds a name: lower case, no accents, letters and digits only. `Paraloid B-72`, `paraloid b72`
/// and `PARALOID B 72` fold to the same.
#[must_use]
pub fn fold(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    if name.is_ascii() {
        // Nothing to take apart: most of what is typed and most of what is on file.
        out.extend(plain(name).map(char::from));
        return out;
    }
    for c in name.nfd().filter(|c| c.is_alphanumeric()) {
        match c {
            'ß' => out.push_str("ss"),
            'œ' | 'Œ' => out.push_str("oe"),
            'æ' | 'Æ' => out.push_str("ae"),
            'ø' | 'Ø' => out.push('o'),
            'ł' | 'Ł' => out.push('l'),
            _ => out.extend(c.to_lowercase()),
        }
    }
    out
}

/// Whether a name folds to what is folded.
#[must_use]
pub fn folds_to(name: &str, folded: &str) -> bool {
    if name.is_ascii() {
        plain(name).eq(folded.bytes())
    } else {
        fold(name) == folded
    }
}

/// The bytes that an ASCII name folds to.
fn plain(name: &str) -> impl Iterator<Item = u8> {
    let told = name.bytes().filter(u8::is_ascii_alphanumeric);
    told.map(|b| b.to_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::{fold, folds_to};

    #[test]
    fn spelling_does_not_matter() {
        assert_eq!(fold("Paraloid B-72"), fold("paraloid b72"));
        assert_eq!(fold("Weißleim"), fold("weissleim"));
        assert_eq!(fold("résine"), fold("RESINE"));
        assert_eq!(fold("—"), "");
        for name in ["Paraloid B-72", "Weißleim", "—", ""] {
            assert!(folds_to(name, &fold(name)), "{name}");
            assert!(
                !folds_to(name, "paraloid b72") && !folds_to(name, "x"),
                "{name}"
            );
        }
    }
}
