//! What every acceptance test shares.
