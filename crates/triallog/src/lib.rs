//! The triallog crate of gaugeglass.
