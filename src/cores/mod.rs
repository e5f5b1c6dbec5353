//! Two pieces of work at once, where the machine has two cores. What comes out does not depend on
//! which was done first.

/// Does one piece of work beside another. Where no thread is to be had, they are done one after the
/// other.
pub fn both<A: Send, B>(beside: impl Fn() -> A + Sync, here: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let other = std::thread::Builder::new().spawn_scoped(scope, &beside);
        let own = here();
        let other = match other {
            Ok(thread) => thread
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            Err(_) => beside(),
        };
        (other, own)
    })
}

#[cfg(test)]
mod tests {
    use super::both;

    #[test]
    fn each_comes_back_in_its_place() {
        let words = ["gesso".to_owned(), "bole".to_owned()];
        let nested = || both(|| words[0].len(), || 2);
        assert_eq!(
            both(nested, || words.join(" over ")),
            ((5, 2), "gesso over bole".to_owned())
        );
    }
}
