//! The `gaugeglass` program.
fn main() {}
