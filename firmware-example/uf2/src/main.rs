//! `bevelbook-uf2 rp2040|rp2350 IMAGE FILE.uf2`: writes the file that is dragged onto a board.

use bevelbook_uf2::{BLOCK, Chip, elf, encode};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let told = match arguments.as_slice() {
        [chip, image, file] => Chip::named(chip).map(|chip| (chip, image, file)),
        _ => None,
    };
    let Some((chip, image, file)) = told else {
        eprintln!("usage: bevelbook-uf2 rp2040|rp2350 IMAGE FILE.uf2");
        return ExitCode::from(2);
    };
    match convert(chip, image, file) {
        Ok(blocks) => {
            println!("{file}: {blocks} blocks");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("error: {why}");
            ExitCode::from(4)
        }
    }
}

/// How many blocks were written.
fn convert(chip: Chip, image: &str, file: &str) -> Result<usize, String> {
    let bytes = std::fs::read(image).map_err(|error| format!("cannot read {image}: {error}"))?;
    let pieces = elf::pieces(&bytes).map_err(|error| format!("{image}: {error}"))?;
    let blocks = encode(chip, &pieces).map_err(|error| format!("{image}: {error}"))?;
    std::fs::write(file, &blocks).map_err(|error| format!("cannot write {file}: {error}"))?;
    Ok(blocks.len() / BLOCK)
}
