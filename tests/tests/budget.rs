//! What the core costs a keypad of the smallest kind: flash, RAM, and no floating point in software.
//!
//! `tests/budget` refers to every entry point that a keypad has a use for, without display and drivers, and is linked for
//! a processor without division or floating point. `cargo test -p bevelbook-tests --test budget -- --nocapture` prints
//! the figures.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_tests::image::{Image, Region, Symbol, floats};
use std::path::Path;
use std::process::Command;

const TARGET: &str = "thumbv6m-none-eabi";

/// Code and constants, bytes: of the 256 KiB of a small controller it leaves 117 to display, drivers and memory. Our own
/// aim, no source.
const FLASH: u32 = 139 * 1024;
/// What a keypad keeps of the core's types while it is on, bytes. Our own aim, no source.
const RAM: u32 = 10 * 1024;

/// Builds `tests/budget` and reads it.
fn built(name: &str, features: &[&str]) -> Image {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["build", "--release", "--target", TARGET, "--target-dir"]).arg(&folder);
    cargo.arg("--manifest-path").arg(tests.join("budget/Cargo.toml")).args(features);
    let built = cargo.env_remove("RUSTFLAGS").output().unwrap();
    let said = String::from_utf8_lossy(&built.stderr);
    assert!(built.status.success(), "is the target there? rustup target add {TARGET}\n{said}");
    Image::load(&folder.join(TARGET).join("release/bevelbook-budget")).unwrap()
}

/// The functions that calculate with floating point in software.
fn floating(image: &Image) -> Vec<&str> {
    image
        .symbols()
        .iter()
        .filter(|symbol| symbol.code)
        .map(|symbol| &*symbol.name)
        .filter(|name| floats(name))
        .collect()
}

#[test]
fn the_core_fits_its_budget_of_flash_and_ram_and_links_no_floating_point() {
    let image = built("budget", &[]);
    for region in image.regions() {
        println!("{:<24}{:>8}", region.name, region.size);
    }
    let size = |ram| {
        image.regions().iter().filter(|region| region.ram == ram).map(|region| region.size).sum::<u32>()
    };
    let (flash, ram) = (size(false), size(true));
    println!("flash {flash} of {FLASH} bytes, RAM {ram} of {RAM} bytes:");
    let holds =
        |region: &Region, at| region.ram && (region.address..region.address + region.size).contains(&at);
    let in_ram = |symbol: &&Symbol| image.regions().iter().any(|region| holds(region, symbol.address));
    let kept: Vec<_> = image.symbols().iter().filter(|symbol| symbol.size > 0).filter(in_ram).collect();
    for symbol in &kept {
        println!("  {:>6} {}", symbol.size, symbol.name);
    }
    assert!(flash <= FLASH, "{flash} bytes of flash, {FLASH} are allowed");
    assert!(ram <= RAM, "{ram} bytes of RAM, {RAM} are allowed");
    // The core has no state of its own: all of the RAM is what the image keeps by name, and none of it begins as anything.
    assert!(kept.iter().all(|symbol| symbol.name.contains("bevelbook_budget")), "{kept:?}");
    assert!(image.regions().iter().all(|region| region.name != ".data"), "{:?}", image.regions());
    // Were nothing of the core linked, all of this would hold as well.
    for part in ["prism_at", "offset", "to_wire", "judge_pair", "point_for"] {
        assert!(
            image.symbols().iter().any(|symbol| symbol.code && symbol.name.contains(part)),
            "{part} is not in the image"
        );
    }
    assert_eq!(floating(&image), [""; 0]);
}

#[test]
fn one_division_in_floating_point_is_found() {
    let image = built("budget-float", &["--features", "float"]);
    let found = floating(&image);
    assert!(found.contains(&"__aeabi_fdiv"), "{found:?}");
}
