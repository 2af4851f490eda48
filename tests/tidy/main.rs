//! House rules as tests.
