//! Runs the keypad's image in QEMU for a person: `cargo run` in `firmware-example/boards/emulator` calls it.
//!
//! `emulator IMAGE [--memory FILE] [--log FILE]`
//!
//! It says which port a console is to open, shows the display, and takes the arrow keys and Enter for the five keys;
//! with Shift, or as the capitals U, D, L, R and C, they are held; q ends it. The memory is a file: what was saved is there
//! at the next start. In a pipe it takes the same as lines (`up`, `hold centre`, `wait 500`, `screen`).

#[cfg(unix)]
mod lines;
#[cfg(unix)]
mod terminal;

#[cfg(unix)]
fn main() -> std::process::ExitCode {
    use std::io::IsTerminal;
    let started = options().and_then(|options| start(&options));
    let ended = started.and_then(|mut emulator| {
        let person = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
        let ended = if person { terminal::serve(&mut emulator) } else { lines::serve(&mut emulator) };
        ended.map_err(|error| error.to_string())
    });
    match ended {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            std::process::ExitCode::from(2)
        }
    }
}

#[cfg(not(unix))]
fn main() {
    eprintln!("the emulated keypad needs pseudo-terminals, so a system of the Unix kind");
}

#[cfg(unix)]
fn options() -> Result<bevelbook_tests::emulator::Options, String> {
    use bevelbook_tests::emulator::Options;
    use std::hash::{BuildHasher, RandomState};
    use std::path::PathBuf;
    const USAGE: &str = "usage: emulator IMAGE [--memory FILE] [--log FILE]";
    let (mut image, mut memory, mut log) = (None, None, None);
    let mut arguments = std::env::args_os().skip(1);
    while let Some(argument) = arguments.next() {
        let place = match argument.to_str() {
            Some("--memory") => &mut memory,
            Some("--log") => &mut log,
            Some(flag) if flag.starts_with('-') => return Err(format!("there is no flag {flag}\n{USAGE}")),
            _ if image.is_none() => {
                image = Some(PathBuf::from(argument));
                continue;
            }
            _ => return Err(USAGE.into()),
        };
        *place = Some(PathBuf::from(arguments.next().ok_or(USAGE)?));
    }
    let image = image.ok_or(USAGE)?;
    let memory = memory.unwrap_or_else(|| image.with_file_name("keypad.mem"));
    // A chip has a number of its own; it matters only where a journal is begun.
    let chip = RandomState::new().hash_one(std::process::id()) >> 24;
    Ok(Options { log, chip, ..Options::new(&image, &memory) })
}

#[cfg(unix)]
fn start(
    options: &bevelbook_tests::emulator::Options,
) -> Result<bevelbook_tests::emulator::Emulator, String> {
    use bevelbook_tests::emulator::{Emulator, available, make_memory};
    if !available() {
        return Err(
            "it needs QEMU; on Debian: apt-get install --no-install-recommends qemu-system-arm".into()
        );
    }
    make_memory(&options.memory).map_err(|error| error.to_string())?;
    let emulator = Emulator::start(options).map_err(|error| error.to_string())?;
    println!("the keypad's memory is {}", options.memory.display());
    println!("in another terminal: bevelbook bench --port {}", emulator.port().display());
    Ok(emulator)
}
