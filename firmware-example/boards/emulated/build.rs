//! Puts a check where a board's linker finds it: that the image has code. A linker script that is not found leaves an empty
//! image that "succeeds".

use std::path::PathBuf;
use std::{env, fs};

const NOT_EMPTY: &str = "ASSERT(SIZEOF(.text) > 16384, \"the image is empty: link arguments were lost\");\n";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or("cargo sets no OUT_DIR")?);
    fs::write(out.join("not-empty.x"), NOT_EMPTY)?;
    println!("cargo:rustc-link-search={}", out.display());
    println!("cargo:rerun-if-changed=build.rs");
    Ok(())
}
