//! How templates show values; each hands over to `show`.

/// Pence as pounds.
#[askama::filter_fn]
pub(crate) fn pounds(pence: &i64, _: &dyn askama::Values) -> askama::Result<String> {
    Ok(crate::show::pounds(*pence))
}
