//! The image, built once, and the file that is dragged onto the board.

use bevelbook_tests::build::{BuildError, root, run, target};
use bevelbook_uf2::{BLOCK, elf};
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

/// The image and the file.
pub(crate) struct Built {
    pub(crate) image: PathBuf,
    pub(crate) file: PathBuf,
}

/// Builds them; the board has a lock and a profile of its own, and so a target folder.
pub(crate) fn built() -> &'static Built {
    static BUILT: OnceLock<Result<Built, BuildError>> = OnceLock::new();
    BUILT.get_or_init(build).as_ref().unwrap_or_else(|why| panic!("{why}"))
}

fn build() -> Result<Built, BuildError> {
    let what = "Pico's image";
    let mut command = Command::new(root().join("firmware-example/boards/pico/build"));
    let said = run(what, command.env("CARGO_TARGET_DIR", target("boards").unwrap()))?;
    let lines: Vec<&str> = said.lines().collect();
    match lines.as_slice() {
        [.., image, file] => Ok(Built { image: image.into(), file: file.into() }),
        _ => Err(BuildError { what, why: said }),
    }
}

#[test]
fn the_file_holds_every_byte_of_the_image_and_it_is_not_empty() {
    let Built { image, file } = built();
    let image = std::fs::read(image).unwrap();
    let pieces = elf::pieces(&image).unwrap();
    let bytes: usize = pieces.iter().map(|piece| piece.bytes.len()).sum();
    assert!(bytes > 64 * 1024, "{bytes} bytes are no keypad");
    let file = std::fs::read(file).unwrap();
    let word = |block: &[u8], at: usize| u32::from_le_bytes(block[at..at + 4].try_into().unwrap());
    let mut flash = vec![None; 1 << 21];
    for block in file.chunks(BLOCK) {
        let at = (word(block, 12) - 0x1000_0000) as usize;
        flash[at..at + 256].iter_mut().zip(&block[32..]).for_each(|(place, byte)| *place = Some(*byte));
    }
    for piece in &pieces {
        let at = (piece.address - 0x1000_0000) as usize;
        let stored = flash[at..at + piece.bytes.len()].iter().copied();
        assert!(stored.eq(piece.bytes.iter().copied().map(Some)), "{:#010x}", piece.address);
    }
    // The 256 bytes that start everything else are there, and end in their sum.
    assert!(pieces.iter().any(|piece| piece.address == 0x1000_0000 && piece.bytes.len() == 256));
}
