// The data of the crate of ICU that this is compiled into (`ICU4X_DATA_DIR`, `.cargo/config.toml`), but for the orders
// that single languages have of their own, which are a megabyte of the program: lists of references are sorted as
// English is, and that is the order which all others start from.
mod all {
    include!(concat!(core::env!("CARGO_MANIFEST_DIR"), "/data/mod.rs"));
}
pub use all::*;

/// A provider that has no order of a single language. To ask for one is an error, and never another order.
#[macro_export]
macro_rules! no_collation_tailoring {
    ($provider:ty) => {
        impl icu_provider::DataProvider<icu::collator::provider::CollationTailoringV1> for $provider {
            fn load(
                &self,
                request: icu_provider::DataRequest,
            ) -> Result<
                icu_provider::DataResponse<icu::collator::provider::CollationTailoringV1>,
                icu_provider::DataError,
            > {
                Err(icu_provider::DataErrorKind::IdentifierNotFound.with_req(
                    <icu::collator::provider::CollationTailoringV1 as icu_provider::DataMarker>::INFO,
                    request,
                ))
            }
        }
    };
}
pub use no_collation_tailoring as impl_collation_tailoring_v1;
