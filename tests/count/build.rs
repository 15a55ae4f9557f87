//! Puts the memory layout of the emulated board where the linker finds it.

use std::path::PathBuf;
use std::{env, fs};

fn main() {
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets OUT_DIR"));
    // Flash and RAM of the two boards: lm3s6965evb (Cortex-M3) and microbit (Cortex-M0).
    let target = env::var("TARGET").expect("cargo sets TARGET");
    let (flash, ram) = if target.starts_with("thumbv6m") { ("256K", "16K") } else { ("256K", "64K") };
    let layout = format!(
        "MEMORY {{ FLASH : ORIGIN = 0x00000000, LENGTH = {flash} RAM : ORIGIN = 0x20000000, LENGTH = {ram} }}\n"
    );
    fs::write(out.join("memory.x"), layout).expect("OUT_DIR is writable");
    println!("cargo:rustc-link-search={}", out.display());
    println!("cargo:rustc-link-arg=-Tlink.x");
    println!("cargo:rerun-if-changed=build.rs");
}
