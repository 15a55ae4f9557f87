//! What the image takes of the chip, and how long its buses take. Each test prints its figures.

use crate::image::built;
use bevelbook_tests::image::Image;
use serde_json::Value;
use std::collections::BTreeMap;

/// Bounds that the image keeps; the aims for our part are 64 KiB of flash and 16 KiB of RAM with the stack. A Pico has
/// 2 MiB of flash and 264 KiB of RAM.
const FLASH_MOST: u32 = 140 * 1024;
const RAM_MOST: u32 = 10 * 1024;
const RAM_AND_STACK_MOST: u32 = 16 * 1024;

/// A whole picture, and a page with what goes before it on the bus, in bytes.
const PICTURE: f64 = 1024.0;
const WRITE: f64 = 1.0 + 2.0 + 64.0;
const READ: f64 = 1.0 + 2.0 + 1.0 + 64.0;

/// What a chip of this class takes for a page at most, in milliseconds (24xx256 data sheets; from memory, unconfirmed).
const CHIP_MS: f64 = 5.0;

pub(crate) fn static_ram(image: &Image) -> u32 {
    image.regions().iter().filter(|region| region.ram).map(|region| region.size).sum()
}

/// Whose a piece of code is, by the crate whose name comes first in its own. What was inlined counts for its caller.
fn owner(name: &str) -> &'static str {
    let owners = [
        "bevelbook_core",
        "bevelbook_keypad",
        "bevelbook_pico",
        "embassy",
        "embedded_graphics",
        "profont",
        "compiler_builtins",
        "defmt",
        "micromath",
        "heapless",
        "serde",
        "postcard",
        "core::",
    ];
    let first = owners.iter().filter_map(|owner| Some((name.find(owner)?, *owner))).min();
    first.map_or("other", |(_, owner)| owner)
}

#[test]
fn flash_and_ram_stay_within_their_bounds() {
    let image = Image::load(&built().image).unwrap();
    for region in image.regions() {
        println!("{:<14} {:>7} bytes", region.name, region.size);
    }
    let mut code: BTreeMap<&str, u32> = BTreeMap::new();
    for symbol in image.symbols().iter().filter(|symbol| symbol.code) {
        *code.entry(owner(&symbol.name)).or_default() += symbol.size;
    }
    code.iter().for_each(|(owner, size)| println!("code of {owner:<18} {size:>7} bytes"));
    let flash: u32 = image
        .regions()
        .iter()
        .filter(|region| region.name != ".bss" && region.name != ".uninit")
        .map(|region| region.size)
        .sum();
    let ram = static_ram(&image);
    println!("flash {flash} bytes, static RAM {ram} bytes");
    assert!(flash < FLASH_MOST, "{flash}");
    assert!(ram < RAM_MOST, "{ram}");
}

/// Checks what the running board says of itself; `figures` are the emulator's.
pub(crate) fn check_running(figures: &Value) {
    let ram = static_ram(&Image::load(&built().image).unwrap());
    let stack = u32::try_from(figures["stack"].as_u64().unwrap()).unwrap();
    println!("stack {stack} bytes at most, with static RAM {} bytes", ram + stack);
    assert!(stack > 1024, "it was not measured");
    assert!(stack <= crate::stack::proven().bytes(), "deeper than is proven");
    assert!(ram + stack < RAM_AND_STACK_MOST, "{}", ram + stack);

    // The clocks that the firmware set, read from the chip's registers.
    let [spi_hz, i2c_hz] = ["spi_hz", "i2c_hz"].map(|name| figures[name].as_f64().unwrap());
    let picture_ms = PICTURE * 8.0 / spi_hz * 1e3;
    // Nine bits a byte.
    let [write_ms, read_ms] = [WRITE, READ].map(|bytes| bytes * 9.0 / i2c_hz * 1e3);
    let saved_ms = write_ms + CHIP_MS + read_ms;
    println!("SPI {:.2} MHz: a whole picture {picture_ms:.2} ms", spi_hz / 1e6);
    println!(
        "I2C {:.0} kHz: a page written {write_ms:.2} ms and read {read_ms:.2} ms; saved in {saved_ms:.2} ms",
        i2c_hz / 1e3
    );
    assert!(spi_hz <= 10e6, "the display takes 10 MHz");
    assert!((300e3..=400e3).contains(&i2c_hz), "{i2c_hz}");
    assert!(picture_ms < 2.0 && saved_ms < 10.0);
}
