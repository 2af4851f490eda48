//! A new migration file rebuilds this crate.
fn main() {
    println!("cargo:rerun-if-changed=../../migrations");
}
