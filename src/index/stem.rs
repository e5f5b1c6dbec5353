//! How text becomes words: lower case, no longer than 40 letters, brought to their English stem
//! (Snowball's English algorithm). The search library has the same chain, with the stems of some
//! twenty other languages in the program beside it.

use frostem::{Algorithm, Stemmer};
use tantivy::tokenizer::{
    LowerCaser, RemoveLongFilter, SimpleTokenizer, TextAnalyzer, Token, TokenFilter, TokenStream,
    Tokenizer, TokenizerManager,
};

/// Name of the chain in the schema.
pub(super) const ANALYZER: &str = "english";
/// What is longer is an address or a formula: nobody types it.
const LONGEST: usize = 40;

/// The chain.
fn analyzer() -> TextAnalyzer {
    TextAnalyzer::builder(SimpleTokenizer::default())
        .filter(RemoveLongFilter::limit(LONGEST))
        .filter(LowerCaser)
        .filter(English)
        .build()
}

/// The chain under its name beside the plain ones, for whoever writes an index.
pub(super) fn tokenizers() -> TokenizerManager {
    let manager = TokenizerManager::default();
    manager.register(ANALYZER, analyzer());
    manager
}

/// The words of a text.
pub(super) fn words(text: &str) -> Vec<String> {
    let mut analyzer = analyzer();
    let mut out = Vec::new();
    let mut stream = analyzer.token_stream(text);
    stream.process(&mut |token| out.push(token.text.clone()));
    out
}

#[derive(Clone)]
struct English;

#[derive(Clone)]
struct Stemming<T>(T);

struct Stems<T> {
    words: T,
    stemmer: Stemmer,
}

impl TokenFilter for English {
    type Tokenizer<T: Tokenizer> = Stemming<T>;

    fn transform<T: Tokenizer>(self, tokenizer: T) -> Self::Tokenizer<T> {
        Stemming(tokenizer)
    }
}

impl<T: Tokenizer> Tokenizer for Stemming<T> {
    type TokenStream<'a> = Stems<T::TokenStream<'a>>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Self::TokenStream<'a> {
        Stems {
            words: self.0.token_stream(text),
            stemmer: Stemmer::new(Algorithm::English),
        }
    }
}

impl<T: TokenStream> TokenStream for Stems<T> {
    fn advance(&mut self) -> bool {
        let more = self.words.advance();
        if more {
            let token = self.words.token_mut();
            let stem = self.stemmer.stem(&token.text).into_owned();
            token.text = stem;
        }
        more
    }

    fn token(&self) -> &Token {
        self.words.token()
    }

    fn token_mut(&mut self) -> &mut Token {
        self.words.token_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::words;

    /// Pairs from the sample vocabulary of the English algorithm's own page (snowballstem.org, "The
    /// English (Porter2) stemming algorithm"; from memory).
    #[test]
    fn words_are_brought_to_their_stem() {
        for (word, stem) in [
            ("consigned", "consign"),
            ("consistency", "consist"),
            ("knackeries", "knackeri"),
            ("knightly", "knight"),
            ("kneeling", "kneel"),
        ] {
            assert_eq!(words(word), [stem]);
        }
        assert_eq!(
            words("Swollen GLUES, gessoes!"),
            ["swollen", "glue", "gesso"]
        );
        assert_eq!(words(&"a".repeat(41)), Vec::<String>::new());
    }
}
