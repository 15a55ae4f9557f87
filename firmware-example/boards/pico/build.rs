//! Gives the linker its scripts and the chip's memory, whatever folder cargo was called from.

#![allow(clippy::expect_used, reason = "a build that fails says why")]

use std::path::PathBuf;
use std::{env, fs};

/// The RP2040 of a Pico: 2 MiB of flash, the least that one has; 264 KiB of RAM in one piece (RP2040 datasheet, 2.6). Flash
/// begins with 256 bytes that the boot ROM copies and runs first; they come with embassy-rp.
const RP2040: &str = "MEMORY {
    BOOT2 : ORIGIN = 0x10000000, LENGTH = 0x100
    FLASH : ORIGIN = 0x10000100, LENGTH = 2048K - 0x100
    RAM   : ORIGIN = 0x20000000, LENGTH = 264K
}
";

/// The RP2350 of a Pico 2: 4 MiB of flash, and 512 KiB of RAM in one piece (RP2350 datasheet, 2.2 and 4.2, from memory,
/// unconfirmed). Its boot ROM runs flash as it is. It looks in the first 4 KiB for a block that says what the image is
/// (5.9.5), which comes with embassy-rp; here it stands behind the vectors, which must be first.
const RP2350: &str = "MEMORY {
    FLASH : ORIGIN = 0x10000000, LENGTH = 4096K
    RAM   : ORIGIN = 0x20000000, LENGTH = 512K
}
SECTIONS {
    .start_block : ALIGN(4) { KEEP(*(.start_block)) } > FLASH
} INSERT AFTER .vector_table;
_stext = ADDR(.start_block) + SIZEOF(.start_block);
";

fn main() {
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets OUT_DIR"));
    let target = env::var("TARGET").expect("cargo sets TARGET");
    let rp2350 = target.starts_with("thumbv8m");
    fs::write(out.join("memory.x"), if rp2350 { RP2350 } else { RP2040 }).expect("OUT_DIR is writable");
    println!("cargo:rustc-check-cfg=cfg(rp2350)");
    println!("cargo:rustc-link-search={}", out.display());
    let scripts: &[&str] =
        if rp2350 { &["-Tlink.x", "-Tdefmt.x"] } else { &["-Tlink.x", "-Tlink-rp.x", "-Tdefmt.x"] };
    for argument in [&["--nmagic"], scripts].concat() {
        println!("cargo:rustc-link-arg-bins={argument}");
    }
    if rp2350 {
        println!("cargo:rustc-cfg=rp2350");
    }
    println!("cargo:rerun-if-changed=build.rs");
}
