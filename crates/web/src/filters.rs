//! How templates show values; each hands over to `show`.
#![expect(
    unreachable_pub,
    reason = "the attribute makes a type wider than the function it stands on"
)]

/// Pence as pounds.
#[askama::filter_fn]
pub(crate) fn pounds(pence: &i64, _: &dyn askama::Values) -> askama::Result<String> {
    Ok(crate::show::pounds(*pence))
}
