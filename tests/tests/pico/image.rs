//! The images, built once, and the files that are dragged onto the boards.
//!
//! The Pico 2's image is checked here and nowhere run: there is no emulator of its chip.

use bevelbook_tests::build::{BuildError, root, run, target};
use bevelbook_tests::image::Image;
use bevelbook_uf2::{BLOCK, Chip, PAYLOAD, elf};
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

/// An image and its file.
pub(crate) struct Built {
    pub(crate) image: PathBuf,
    pub(crate) file: PathBuf,
}

/// The Pico's.
pub(crate) fn built() -> &'static Built {
    static BUILT: OnceLock<Result<Built, BuildError>> = OnceLock::new();
    BUILT.get_or_init(|| build("pico")).as_ref().unwrap_or_else(|why| panic!("{why}"))
}

/// The Pico 2's.
pub(crate) fn built_2() -> &'static Built {
    static BUILT: OnceLock<Result<Built, BuildError>> = OnceLock::new();
    BUILT.get_or_init(|| build("pico2")).as_ref().unwrap_or_else(|why| panic!("{why}"))
}

/// Builds them; the boards have a lock and a profile of their own, and so a target folder.
fn build(board: &str) -> Result<Built, BuildError> {
    let what = "Pico's image";
    let mut command = Command::new(root().join("firmware-example/boards").join(board).join("build"));
    let said = run(what, command.env("CARGO_TARGET_DIR", target("boards").unwrap()))?;
    let lines: Vec<&str> = said.lines().collect();
    match lines.as_slice() {
        [.., image, file] => Ok(Built { image: image.into(), file: file.into() }),
        _ => Err(BuildError { what, why: said }),
    }
}

const FLASH: u32 = 0x1000_0000;

fn word(bytes: &[u8], at: usize) -> u32 {
    u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap())
}

/// The flash after a file was dragged onto the board: none where nothing was written.
fn flash(built: &Built, chip: Chip) -> Vec<Option<u8>> {
    let file = std::fs::read(&built.file).unwrap();
    let mut flash = vec![None; 1 << 21];
    for block in file.chunks(BLOCK) {
        assert_eq!(word(block, 28), chip.family());
        let at = (word(block, 12) - FLASH) as usize;
        flash[at..at + PAYLOAD].iter_mut().zip(&block[32..]).for_each(|(place, byte)| *place = Some(*byte));
    }
    flash
}

/// Every byte of the image is in its place, and it is a whole keypad.
fn check_whole(built: &Built, flash: &[Option<u8>]) {
    let image = std::fs::read(&built.image).unwrap();
    let pieces = elf::pieces(&image).unwrap();
    let bytes: usize = pieces.iter().map(|piece| piece.bytes.len()).sum();
    assert!(bytes > 64 * 1024, "{bytes} bytes are no keypad");
    for piece in &pieces {
        let at = (piece.address - FLASH) as usize;
        let stored = flash[at..at + piece.bytes.len()].iter().copied();
        assert!(stored.eq(piece.bytes.iter().copied().map(Some)), "{:#010x}", piece.address);
    }
}

/// The vectors at `at`: the stack begins at the end of RAM, and the start is code, with the bit of Thumb code (ARMv6-M and
/// ARMv8-M reference manuals, "The vector table", from memory, unconfirmed).
fn check_vectors(built: &Built, start: &[u8], at: usize, end_of_ram: u32) {
    let [stack, reset] = [word(start, at), word(start, at + 4)];
    assert_eq!(stack, end_of_ram);
    let image = Image::load(&built.image).unwrap();
    assert_eq!(reset, image.find("Reset").unwrap().address | 1);
}

fn start_of(flash: &[Option<u8>]) -> Vec<u8> {
    flash[..4096].iter().map(|byte| byte.unwrap()).collect()
}

#[test]
fn the_picos_file_holds_every_byte_of_the_image_and_begins_as_its_boot_rom_wants() {
    let flash = flash(built(), Chip::Rp2040);
    check_whole(built(), &flash);
    // 256 bytes that start everything else; the emulator checks their sum. The vectors stand behind them.
    check_vectors(built(), &start_of(&flash), 256, 0x2000_0000 + 264 * 1024);
}

#[test]
fn the_pico_2s_file_holds_every_byte_of_the_image_and_says_to_its_boot_rom_what_it_is() {
    let flash = flash(built_2(), Chip::Rp2350);
    check_whole(built_2(), &flash);
    let start = start_of(&flash);
    // Nothing names another table of vectors, so that at the start of flash is taken (RP2350 data sheet, 5.9.5).
    check_vectors(built_2(), &start, 0, 0x2000_0000 + 512 * 1024);
    let begins: Vec<usize> =
        (0..start.len()).step_by(4).filter(|at| word(&start, *at) == 0xffff_ded3).collect();
    let [at] = begins.as_slice() else { panic!("one block in the first 4 KiB, not {begins:x?}") };
    // The least that is valid: an executable for this chip's Arm processors, secure; the end of the items, one word of
    // them; the way to the next block, which is none; the end (5.9.5.1).
    let block: [u32; 5] = std::array::from_fn(|n| word(&start, at + 4 * n));
    assert_eq!(block, [0xffff_ded3, 0x1021_0142, 0x0000_01ff, 0, 0xab12_3579]);
}
