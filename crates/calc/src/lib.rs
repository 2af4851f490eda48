//! The calc crate of gaugeglass.
