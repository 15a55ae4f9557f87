//! Runs the keypad's image in QEMU for a person: `cargo run` in a folder of an emulated board calls it.
//!
//! `emulator IMAGE [--memory FILE] [--log FILE]`; `--help` says what they are. It says which port a console is to open,
//! shows the display, and takes the keyboard for the five keys; in a pipe it takes the same as lines.

#[cfg(unix)]
mod lines;
#[cfg(unix)]
mod options;
#[cfg(unix)]
mod terminal;

#[cfg(unix)]
fn main() -> std::process::ExitCode {
    use std::process::ExitCode;
    let ended = match options::asked() {
        Ok(None) => {
            print!("{}", options::HELP);
            return ExitCode::SUCCESS;
        }
        Ok(Some(asked)) => serve(&asked),
        Err(why) => Err(why),
    };
    match ended {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

#[cfg(not(unix))]
fn main() {
    eprintln!("the emulated keypad needs pseudo-terminals, so a system of the Unix kind");
}

/// Runs the keypad until its person quits.
#[cfg(unix)]
fn serve(asked: &options::Asked) -> Result<(), String> {
    use bevelbook_tests::emulator::{Emulator, LogFile, LogTo, available, make_memory};
    use std::io::IsTerminal;
    if !available() {
        return Err(
            "it needs QEMU; on Debian: apt-get install --no-install-recommends qemu-system-arm".into()
        );
    }
    let mut options = asked.emulator.clone();
    make_memory(&options.memory).map_err(|error| error.to_string())?;
    let log = asked.log.as_deref().map(LogFile::create).transpose().map_err(|error| error.to_string())?;
    if let Some(log) = &log {
        options.log = LogTo::Socket(log.socket().to_path_buf());
    }
    // Declared before the emulator and so dropped after it: the lines end when it does.
    let _following;
    let mut emulator = Emulator::start(&options).map_err(|error| error.to_string())?;
    _following = log.map(|log| log.follow(&options.image)).transpose().map_err(|error| error.to_string())?;
    println!("the keypad's memory is {}", options.memory.display());
    println!("in another terminal: bevelbook bench --port {}", emulator.port().display());
    let person = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    let ended = if person { terminal::serve(&mut emulator) } else { lines::serve(&mut emulator) };
    ended.map_err(|error| error.to_string())
}
