//! The papers crate of gaugeglass.
