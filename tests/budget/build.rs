//! A bare image: it begins at `_start`, and what nothing refers to is left out.

fn main() {
    println!("cargo:rustc-link-arg=-e_start");
    println!("cargo:rustc-link-arg=--gc-sections");
    println!("cargo:rerun-if-changed=build.rs");
}
