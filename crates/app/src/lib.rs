//! The app crate of gaugeglass.
