//! Reads the firmware's log: its frames on the standard input, and a line for each on the standard output, at once.
//!
//! `bevelbook-log IMAGE`, where IMAGE is the ELF file that runs on the board: the words are in it and not in the frames.
//!
//! A line is `SECONDS LEVEL MESSAGE`, seconds since the board's start; it has no line ends within. Bytes that make no frame
//! (whoever reads came in the middle of one, or the board was reset or lost some) are one line `- lost …`; what follows
//! the next zero byte is read again. A frame carries no checksum, so rubbish may by chance read as a line.

use defmt_decoder::{DecodeError, Encoding, Frame, StreamDecoder, Table};
use std::io::{Read, Write};
use std::process::ExitCode;

/// What a run of bytes that is no frame is told as.
const LOST: &str = "- lost bytes that are no frame";

fn main() -> ExitCode {
    let Some(image) = std::env::args_os().nth(1) else {
        eprintln!("usage: bevelbook-log IMAGE < FRAMES");
        return ExitCode::from(2);
    };
    match read(image.as_ref()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{}: {why}", image.display());
            ExitCode::FAILURE
        }
    }
}

fn read(image: &std::path::Path) -> Result<(), String> {
    let bytes = std::fs::read(image).map_err(|error| error.to_string())?;
    let table = Table::parse(&bytes).map_err(|error| format!("{error:#}"))?;
    let table = table.ok_or("the image logs nothing: it has no table of words")?;
    if table.encoding() != Encoding::Rzcobs {
        return Err("frames without a mark between them: whoever comes late cannot read them".into());
    }
    let mut decoder = table.new_stream_decoder();
    let (mut input, mut output) = (std::io::stdin().lock(), std::io::stdout().lock());
    let mut piece = [0; 1024];
    loop {
        let many = input.read(&mut piece).map_err(|error| error.to_string())?;
        if many == 0 {
            return Ok(());
        }
        decoder.received(&piece[..many]);
        write_lines(&mut *decoder, &mut output).map_err(|error| error.to_string())?;
    }
}

/// Writes the frames that are complete.
fn write_lines(decoder: &mut dyn StreamDecoder, output: &mut impl Write) -> std::io::Result<()> {
    loop {
        match decoder.decode() {
            Ok(frame) => writeln!(output, "{}", line(&frame))?,
            Err(DecodeError::Malformed) => writeln!(output, "{LOST}")?,
            Err(DecodeError::UnexpectedEof) => return output.flush(),
        }
    }
}

fn line(frame: &Frame<'_>) -> String {
    let time = frame.display_timestamp().map_or_else(|| "-".into(), |time| time.to_string());
    let level = frame.level().map_or("print", |level| level.as_str());
    format!("{time} {level} {}", frame.display_message()).replace(['\r', '\n'], " ")
}
