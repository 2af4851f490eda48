//! The sign that the workshop writes before its sums, known while a request is answered.

use axum::extract::{Request, State};
use axum::middleware::Next;
use axum::response::Response;
use records::{Store, workshop};

tokio::task_local! {
    static SIGN: String;
}

/// Where nobody chose another.
const USUAL: &str = "£";

/// Answers a request with the workshop's own sign at hand.
pub(crate) async fn known(State(store): State<Store>, request: Request, next: Next) -> Response {
    let rules = workshop::money(&store).await.unwrap_or_default();
    SIGN.scope(rules.currency, next.run(request)).await
}

/// The sign.
pub(crate) fn sign() -> String {
    SIGN.try_with(Clone::clone)
        .unwrap_or_else(|_| USUAL.to_owned())
}

/// The sign as it stands before a figure: letters keep a space from it.
pub(crate) fn before_figure() -> String {
    let sign = sign();
    if sign.chars().any(char::is_alphabetic) {
        format!("{sign}\u{a0}")
    } else {
        sign
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_word_keeps_a_space_from_the_figure_and_a_sign_does_not() {
        assert_eq!(before_figure(), "£");
        let words = SIGN.scope("kr".to_owned(), async { before_figure() }).await;
        assert_eq!(words, "kr\u{a0}");
        let sum = SIGN
            .scope("€".to_owned(), async { crate::show::pounds(123_456) })
            .await;
        assert_eq!(sum, "€1,234.56");
    }
}
