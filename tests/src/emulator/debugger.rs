//! The processor, stopped and sent elsewhere: what a debugger does over QEMU's port for one (the remote serial protocol of
//! the GNU debugger, as its manual describes it).

use std::io::{self, Read, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;
use std::time::Duration;

/// How long it may take until the processor comes to a place.
const COMES: Duration = Duration::from_secs(60);

/// The number of the program counter among the registers of a Cortex-M.
const PROGRAM_COUNTER: u8 = 15;

/// A processor that stands still. Dropping it lets it go on.
#[derive(Debug)]
pub struct Debugger(UnixStream);

impl Debugger {
    /// Stops the processor.
    ///
    /// # Errors
    /// QEMU does not answer.
    pub fn attach(socket: &Path) -> io::Result<Self> {
        let stream = UnixStream::connect(socket)?;
        stream.set_read_timeout(Some(COMES))?;
        let mut debugger = Self(stream);
        // It takes a register by its number from whoever has asked what it calls them.
        for what in ["qXfer:features:read:target.xml:0,800", "?"] {
            debugger.send(what)?;
            debugger.answer()?;
        }
        Ok(debugger)
    }

    /// Lets it run until it comes to `address`, where it stands still again.
    ///
    /// # Errors
    /// It does not come there.
    pub fn run_until(&mut self, address: u32) -> io::Result<()> {
        self.must(&format!("Z0,{address:x},2"))?;
        self.send("c")?;
        self.answer()?;
        self.must(&format!("z0,{address:x},2"))
    }

    /// Makes it go on at `address`, once it goes on.
    ///
    /// # Errors
    /// QEMU does not answer.
    pub fn send_to(&mut self, address: u32) -> io::Result<()> {
        self.must(&format!("P{PROGRAM_COUNTER:x}={:08x}", address.swap_bytes()))
    }

    fn must(&mut self, what: &str) -> io::Result<()> {
        self.send(what)?;
        loop {
            match self.answer()? {
                answer if answer == "OK" => return Ok(()),
                // That it stands still it says unasked, too.
                answer if answer.starts_with('T') => {}
                answer => return Err(io::Error::other(format!("{what}: {answer}"))),
            }
        }
    }

    fn send(&mut self, what: &str) -> io::Result<()> {
        let sum = what.bytes().fold(0_u8, u8::wrapping_add);
        write!(self.0, "${what}#{sum:02x}")
    }

    /// The next packet that comes.
    fn answer(&mut self) -> io::Result<String> {
        let mut answer = Vec::new();
        let mut byte = [0];
        while !answer.ends_with(b"#") {
            self.0.read_exact(&mut byte)?;
            // What is before a packet acknowledges the one that was sent.
            if byte != *b"$" && !(answer.is_empty() && byte == *b"+") {
                answer.push(byte[0]);
            }
        }
        self.0.read_exact(&mut [0; 2])?;
        self.0.write_all(b"+")?;
        answer.pop();
        Ok(String::from_utf8_lossy(&answer).into_owned())
    }
}

impl Drop for Debugger {
    fn drop(&mut self) {
        let _ = self.must("D");
    }
}
