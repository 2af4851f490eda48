//! The records crate of gaugeglass.
