//! The web crate of gaugeglass.
