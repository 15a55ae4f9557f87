//! The build script of each emulated board. What differs lies in the board's folder, where the linker finds it: `memory.x`,
//! its memory, and `device.x`, what handles its interrupts. `not-empty.x`, beside this, checks that the image has code.

fn main() {
    for folder in [".", "../emulated"] {
        println!("cargo:rustc-link-search={}/{folder}", env!("CARGO_MANIFEST_DIR"));
    }
    for argument in ["--nmagic", "-Tlink.x", "-Tdefmt.x", "-Tnot-empty.x"] {
        println!("cargo:rustc-link-arg={argument}");
    }
    for script in ["memory.x", "device.x", "../emulated/not-empty.x"] {
        println!("cargo:rerun-if-changed={script}");
    }
}
