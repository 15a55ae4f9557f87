//! What the core costs a keypad of the smallest kind: flash, RAM, and no floating point in software.
//!
//! `tests/budget` refers to every entry point that a keypad has a use for, without display and drivers, and is linked for
//! a processor without division or floating point. `cargo test -p bevelbook-tests --test budget -- --nocapture` prints
//! the figures.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use object::read::elf::ElfFile32;
use object::{Object, ObjectSection, ObjectSymbol, SymbolKind};
use std::path::Path;
use std::process::Command;

const TARGET: &str = "thumbv6m-none-eabi";

/// Code and constants, bytes: of the 256 KiB of a small controller it leaves nearly half to display, drivers and
/// memory. Our own aim, no source.
const FLASH: u64 = 144 * 1024;
/// What a keypad keeps of the core's types while it is on, bytes. Our own aim, no source.
const RAM: u64 = 10 * 1024;

/// What the image is made of.
struct Image {
    /// Bytes of each section that takes room, by name.
    sections: Vec<(String, u64)>,
    /// Name and size of what lies in RAM.
    kept: Vec<(String, u64)>,
    /// Every function.
    functions: Vec<String>,
}

impl Image {
    /// Builds `tests/budget` and reads it.
    fn built(name: &str, features: &[&str]) -> Self {
        let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let mut cargo = Command::new(env!("CARGO"));
        cargo.args(["build", "--release", "--target", TARGET, "--target-dir"]).arg(&folder);
        cargo.arg("--manifest-path").arg(tests.join("budget/Cargo.toml")).args(features);
        let built = cargo.env_remove("RUSTFLAGS").output().unwrap();
        let said = String::from_utf8_lossy(&built.stderr);
        assert!(built.status.success(), "is the target there? rustup target add {TARGET}\n{said}");
        let image = std::fs::read(folder.join(TARGET).join("release/bevelbook-budget")).unwrap();
        Self::read(&image)
    }

    fn read(image: &[u8]) -> Self {
        let elf: ElfFile32<'_> = ElfFile32::parse(image).unwrap();
        let section = |name| elf.section_by_name(name).map(|section| section.address());
        let ram: Vec<_> =
            [".data", ".bss"].into_iter().filter_map(|name| elf.section_by_name(name)).collect();
        assert!(section(".text").is_some(), "no code in the image");
        let sections = [".text", ".rodata", ".ARM.exidx", ".data", ".bss"].into_iter();
        let sections =
            sections.map(|name| (name.to_owned(), elf.section_by_name(name).map_or(0, |s| s.size())));
        let kept = elf.symbols().filter(|symbol| {
            symbol.size() > 0 && ram.iter().any(|section| symbol.section_index() == Some(section.index()))
        });
        let functions = elf.symbols().filter(|symbol| symbol.kind() == SymbolKind::Text);
        let name = |symbol: &object::read::elf::ElfSymbol32<'_, '_>| symbol.name().unwrap().to_owned();
        Self {
            sections: sections.collect(),
            kept: kept.map(|symbol| (name(&symbol), symbol.size())).collect(),
            functions: functions.map(|symbol| name(&symbol)).collect(),
        }
    }

    fn size(&self, names: &[&str]) -> u64 {
        self.sections.iter().filter(|(name, _)| names.contains(&name.as_str())).map(|(_, size)| size).sum()
    }

    /// The functions that calculate with floating point in software.
    fn floating(&self) -> Vec<&str> {
        self.functions.iter().map(String::as_str).filter(|name| floats(name)).collect()
    }
}

/// What calculates with half, single or double precision in the run-time ABI of the ARM architecture (IHI 0043, 4.1.2),
/// without `__aeabi_`.
const ARM: &str = "dadd ddiv dmul drsub dsub dneg cdcmpeq cdcmple cdrcmple dcmpeq dcmplt dcmple dcmpge dcmpgt dcmpun \
    fadd fdiv fmul frsub fsub fneg cfcmpeq cfcmple cfrcmple fcmpeq fcmplt fcmple fcmpge fcmpgt fcmpun \
    d2iz d2uiz d2lz d2ulz f2iz f2uiz f2lz f2ulz i2d ui2d l2d ul2d i2f ui2f l2f ul2f \
    d2f f2d h2f h2f_alt f2h f2h_alt d2h d2h_alt";

/// The same in GCC's library (GCC Internals, 4.2), without `__`; F stands for `sf` and `df`, I for `si` and `di`.
const GCC: &str = "addF3 subF3 mulF3 divF3 negF2 powiF2 cmpF2 unordF2 eqF2 neF2 geF2 ltF2 leF2 gtF2 fixFI fixunsFI \
    floatIF floatunIF extendsfdf2 extendhfsf2 truncdfsf2 truncsfhf2 truncdfhf2";

/// Whether a function of the compiler's run-time library calculates with floating point.
fn floats(name: &str) -> bool {
    if let Some(name) = name.strip_prefix("__aeabi_") {
        return ARM.split(' ').any(|listed| listed == name);
    }
    let precisions = ["sf", "df"].into_iter().flat_map(|float| ["si", "di"].map(|whole| (float, whole)));
    name.strip_prefix("__").is_some_and(|name| {
        precisions.into_iter().any(|(float, whole)| {
            GCC.split(' ').any(|listed| listed.replace('F', float).replace('I', whole) == name)
        })
    })
}

#[test]
fn the_core_fits_its_budget_of_flash_and_ram_and_links_no_floating_point() {
    let image = Image::built("budget", &[]);
    for (name, size) in &image.sections {
        println!("{name:<12}{size:>8}");
    }
    let (flash, ram) =
        (image.size(&[".text", ".rodata", ".ARM.exidx", ".data"]), image.size(&[".data", ".bss"]));
    println!("flash {flash} of {FLASH} bytes, RAM {ram} of {RAM} bytes:");
    for (name, size) in &image.kept {
        println!("  {size:>6} {name}");
    }
    assert!(flash <= FLASH, "{flash} bytes of flash, {FLASH} are allowed");
    assert!(ram <= RAM, "{ram} bytes of RAM, {RAM} are allowed");
    // The core has no state of its own: all of the RAM is what the image keeps by name.
    assert!(image.kept.iter().all(|(name, _)| name.contains("bevelbook_budget")), "{:?}", image.kept);
    assert_eq!(image.size(&[".data"]), 0);
    // Were nothing of the core linked, all of this would hold as well.
    for part in ["prism_at", "offset", "to_wire", "judge_pair", "point_for"] {
        assert!(image.functions.iter().any(|name| name.contains(part)), "{part} is not in the image");
    }
    assert_eq!(image.floating(), [""; 0]);
}

#[test]
fn one_division_in_floating_point_is_found() {
    let image = Image::built("budget-float", &["--features", "float"]);
    let found = image.floating();
    assert!(found.contains(&"__aeabi_fdiv"), "{found:?}");
}

#[test]
fn functions_of_floating_point_are_told_from_those_of_integers() {
    for name in
        ["__aeabi_fadd", "__aeabi_cdrcmple", "__aeabi_ul2d", "__muldf3", "__fixunsdfdi", "__floatunsisf"]
    {
        assert!(floats(name), "{name}");
    }
    for name in ["__aeabi_uidivmod", "__aeabi_lmul", "__aeabi_memcpy4", "__muldi3", "__udivsi3", "memcpy"] {
        assert!(!floats(name), "{name}");
    }
}
