//! Puts the memory layout of the emulated board and its vectors where the linker finds them.

use std::path::PathBuf;
use std::{env, fs};

/// lm3s6965evb: 256 KiB of flash, 64 KiB of RAM. The last words of it are in no section: what is kept across a start.
const MEMORY: &str = "
MEMORY { FLASH : ORIGIN = 0x00000000, LENGTH = 256K  RAM : ORIGIN = 0x20000000, LENGTH = 64K - 32 }
__kept = ORIGIN(RAM) + LENGTH(RAM);
";

/// Interrupts that are not handled lead to the default handler.
const DEVICE: &str = "PROVIDE(Uart0 = DefaultHandler);\n";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or("cargo sets no OUT_DIR")?);
    for (name, text) in [("memory.x", MEMORY), ("device.x", DEVICE)] {
        fs::write(out.join(name), text)?;
    }
    println!("cargo:rustc-link-search={}", out.display());
    for argument in ["--nmagic", "-Tlink.x", "-Tdefmt.x", "-Tnot-empty.x"] {
        println!("cargo:rustc-link-arg={argument}");
    }
    println!("cargo:rerun-if-changed=build.rs");
    Ok(())
}
