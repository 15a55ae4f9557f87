//! Gives the linker its scripts and the RP2040's memory, whatever folder cargo was called from.
//!
//! Flash begins with 256 bytes that the boot ROM copies and runs first; they come with embassy-rp.

#![allow(clippy::expect_used, reason = "a build that fails says why")]

use std::path::PathBuf;
use std::{env, fs};

/// 2 MiB of flash, the least that a Pico has; 264 KiB of RAM in one piece (RP2040 datasheet, 2.6).
const LAYOUT: &str = "MEMORY {
    BOOT2 : ORIGIN = 0x10000000, LENGTH = 0x100
    FLASH : ORIGIN = 0x10000100, LENGTH = 2048K - 0x100
    RAM   : ORIGIN = 0x20000000, LENGTH = 264K
}
";

fn main() {
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets OUT_DIR"));
    fs::write(out.join("memory.x"), LAYOUT).expect("OUT_DIR is writable");
    println!("cargo:rustc-link-search={}", out.display());
    for argument in ["--nmagic", "-Tlink.x", "-Tlink-rp.x", "-Tdefmt.x"] {
        println!("cargo:rustc-link-arg-bins={argument}");
    }
    println!("cargo:rerun-if-changed=build.rs");
}
