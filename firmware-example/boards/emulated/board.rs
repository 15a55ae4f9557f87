//! The build script of each emulated board. What differs lies in the board's folder, where the linker finds it: `memory.x`,
//! its memory, and `device.x`, what handles its interrupts.

fn main() {
    println!("cargo:rustc-link-search={}", env!("CARGO_MANIFEST_DIR"));
    for argument in ["--nmagic", "-Tlink.x", "-Tdefmt.x", "-Tnot-empty.x"] {
        println!("cargo:rustc-link-arg={argument}");
    }
    for script in ["memory.x", "device.x"] {
        println!("cargo:rerun-if-changed={script}");
    }
}
