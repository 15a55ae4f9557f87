//! QEMU with the keypad in it.

use super::machine::{Contacts, PICTURE_BYTES, picture_of};
use super::{Debugger, HOLD, Key, Machine, PRESS, Picture, Qmp, QmpError, REST};
use crate::image::address_of;
use serde_json::{Value, json};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// How long anything may take on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// The program.
const QEMU: &str = "qemu-system-arm";

/// What its two control ports are called, and the sockets on which they listen.
const QMP: &str = "qmp";
const GDB: &str = "gdb";

/// The bytes of the EEPROM.
const MEMORY_BYTES: usize = 32_768;

/// Whether QEMU is installed.
#[must_use]
pub fn available() -> bool {
    let version = Command::new(QEMU).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
    version.is_ok_and(|status| status.success())
}

/// Makes the file that stands for the EEPROM, blank, unless it is there.
///
/// # Errors
/// It cannot be made, or a file of that name has another size.
pub fn make_memory(path: &Path) -> io::Result<()> {
    match fs::metadata(path) {
        Ok(found) if found.len() == MEMORY_BYTES as u64 => Ok(()),
        Ok(found) => Err(io::Error::other(format!(
            "{} has {} bytes; the memory of a keypad has {MEMORY_BYTES}. It was left as it is",
            path.display(),
            found.len()
        ))),
        Err(error) if error.kind() == io::ErrorKind::NotFound => fs::write(path, vec![0xff; MEMORY_BYTES]),
        Err(error) => Err(error),
    }
}

/// Where the log's frames go.
#[derive(Clone, Debug)]
pub enum LogTo {
    /// Nowhere.
    Nowhere,
    /// Into a file, from its beginning.
    File(PathBuf),
    /// To whoever listens on this socket.
    Socket(PathBuf),
}

/// What the emulator is started with.
#[derive(Clone, Debug)]
pub struct Options {
    /// The image.
    pub image: PathBuf,
    /// The board that it is for.
    pub machine: Machine,
    /// The file that stands for the EEPROM.
    pub memory: PathBuf,
    /// Whether a clock chip, which knows the time of this machine, is on the memory's bus.
    pub clock: bool,
    /// Where the log goes, in defmt's frames.
    pub log: LogTo,
    /// The chip's number, of 48 bits.
    pub chip: u64,
    /// Nanoseconds an instruction as a power of two: time then runs by instructions and is repeatable.
    pub counted: Option<u8>,
    /// Whether it stands still until it is told to go on.
    pub stopped: bool,
}

impl Options {
    /// The usual: time runs by the clock, the log goes nowhere.
    #[must_use]
    pub fn new(image: &Path, memory: &Path) -> Self {
        let (machine, image, memory) = (Machine::of(image), image.to_path_buf(), memory.to_path_buf());
        let (log, chip) = (LogTo::Nowhere, 0x1234_5678);
        Self { image, machine, memory, clock: false, log, chip, counted: None, stopped: false }
    }

    fn arguments(&self, folder: &Path) -> Vec<String> {
        let log = match &self.log {
            LogTo::Nowhere => "null".into(),
            LogTo::File(file) => format!("file:{}", file.display()),
            LogTo::Socket(socket) => format!("unix:{}", socket.display()),
        };
        let mut arguments: Vec<String> = Vec::new();
        let mut add = |flag: &str, value: String| arguments.extend([flag.to_owned(), value]);
        add("-display", "none".into());
        add("-monitor", "none".into());
        add("-serial", "pty".into());
        add("-serial", log);
        for port in [QMP, GDB] {
            add(&format!("-{port}"), format!("unix:{},server=on,wait=off", folder.join(port).display()));
        }
        add("-drive", format!("if=none,id=memory,format=raw,file={}", self.memory.display()));
        add("-device", format!("at24c-eeprom,bus=i2c,address=0x50,rom-size={MEMORY_BYTES},drive=memory"));
        add("-kernel", self.image.display().to_string());
        if let Some(shift) = self.counted {
            add("-icount", format!("shift={shift}"));
            add("-rtc", "clock=vm".into());
        }
        if self.clock {
            add("-device", "ds1338,bus=i2c,address=0x68".into());
        }
        arguments.extend(self.machine.arguments(self.chip, folder));
        if self.stopped {
            arguments.push("-S".into());
        }
        arguments
    }
}

/// A keypad that runs. Dropping it is a power cut.
#[derive(Debug)]
pub struct Emulator {
    child: Child,
    qmp: Qmp,
    folder: TempDir,
    port: PathBuf,
    contacts: Contacts,
    /// Where the keypad counts its milliseconds; none in another image.
    clock: Option<u32>,
    /// Where its picture lies, if that is in RAM.
    shown: Option<u32>,
}

impl Emulator {
    /// Starts it.
    ///
    /// # Errors
    /// QEMU does not start, or ends at once.
    pub fn start(options: &Options) -> Result<Self, QmpError> {
        let folder = TempDir::new()?;
        let socket = folder.path().join(QMP);
        let said = folder.path().join("said");
        let mut child = Command::new(QEMU)
            .args(options.arguments(folder.path()))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(fs::File::create(&said)?)
            .spawn()?;
        let begun = Instant::now();
        let mut qmp = loop {
            match Qmp::open(&socket) {
                Ok(qmp) => break qmp,
                Err(error) if begun.elapsed() > PATIENCE || child.try_wait()?.is_some() => {
                    let why = fs::read_to_string(&said).unwrap_or_default() + &error.to_string();
                    let _ = child.kill();
                    return Err(QmpError::Refused { command: "to start".into(), why });
                }
                Err(_) => std::thread::sleep(Duration::from_millis(5)),
            }
        };
        let port = port_of(&qmp.tell("query-chardev", &json!({}))?)?;
        let contacts = Contacts::of(options.machine, folder.path())?;
        let place = |name| address_of(&options.image, name);
        let shown = if options.machine == Machine::An505 { place("SHOWN") } else { None };
        Ok(Self { child, qmp, folder, port, contacts, clock: place("NOW_MS"), shown })
    }

    /// The pseudo-terminal that a console opens.
    #[must_use]
    pub fn port(&self) -> &Path {
        &self.port
    }

    /// The conversation with QEMU, for more than is here.
    pub const fn qmp(&mut self) -> &mut Qmp {
        &mut self.qmp
    }

    /// Stops the processor, and says what is to be done with it.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn debugger(&self) -> io::Result<Debugger> {
        Debugger::attach(&self.folder.path().join(GDB))
    }

    /// Resets it, as its reset button does; its RAM keeps what no start clears.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn reset(&mut self) -> Result<(), QmpError> {
        self.qmp.tell("system_reset", &json!({})).map(drop)
    }

    /// Closes or opens contacts.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn contacts(&mut self, keys: &[Key], closed: bool) -> Result<(), QmpError> {
        self.contacts.set(&mut self.qmp, keys, closed)
    }

    /// Presses a key for `held` of the keypad's time, and lets it rest.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn key(&mut self, key: Key, held: Duration) -> Result<(), QmpError> {
        self.contacts(&[key], true)?;
        self.pass(held)?;
        self.contacts(&[key], false)?;
        self.pass(REST)
    }

    /// Lets time pass for the keypad: on a busy machine its clock stands still meanwhile.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn pass(&mut self, time: Duration) -> Result<(), QmpError> {
        let Some(clock) = self.clock else {
            std::thread::sleep(time);
            return Ok(());
        };
        let begun = Instant::now();
        let until = self.now(clock)? + time;
        loop {
            let left = until.saturating_sub(self.now(clock)?);
            if left.is_zero() || begun.elapsed() > PATIENCE {
                return Ok(());
            }
            std::thread::sleep(left);
        }
    }

    fn now(&mut self, clock: u32) -> Result<Duration, QmpError> {
        let bytes = self.peek(clock, 8)?.try_into();
        let ms =
            bytes.map(u64::from_le_bytes).map_err(|_| QmpError::NotUnderstood("a short reading".into()))?;
        Ok(Duration::from_millis(ms))
    }

    /// A short press.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn press(&mut self, key: Key) -> Result<(), QmpError> {
        self.key(key, PRESS)
    }

    /// A long press.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn hold(&mut self, key: Key) -> Result<(), QmpError> {
        self.key(key, HOLD)
    }

    /// What the display shows.
    ///
    /// # Errors
    /// QEMU is gone, or saves what is no picture of this display.
    pub fn picture(&mut self) -> Result<Picture, QmpError> {
        if let Some(shown) = self.shown {
            return Ok(picture_of(&self.peek(shown, PICTURE_BYTES)?));
        }
        let path = self.folder.path().join("picture");
        self.qmp.tell("screendump", &json!({ "filename": path }))?;
        let bytes = fs::read(&path)?;
        Picture::from_pixmap(&bytes)
            .ok_or_else(|| QmpError::NotUnderstood("a picture of another display".into()))
    }

    /// Saves what the display shows as PNG, where QEMU has a display.
    ///
    /// # Errors
    /// QEMU is gone or cannot write there.
    pub fn save_picture(&mut self, path: &Path) -> Result<(), QmpError> {
        self.qmp.tell("screendump", &json!({ "filename": path, "format": "png" })).map(drop)
    }

    /// Reads `len` bytes of the keypad's memory space from `address`, as its processor sees them.
    ///
    /// # Errors
    /// QEMU is gone.
    pub fn peek(&mut self, address: u32, len: usize) -> Result<Vec<u8>, QmpError> {
        let path = self.folder.path().join("peek");
        self.qmp.tell("memsave", &json!({ "val": address, "size": len, "filename": path }))?;
        Ok(fs::read(&path)?)
    }

    /// Ends it at once, as kill -9 does.
    ///
    /// # Errors
    /// It cannot be waited for.
    pub fn cut_power(mut self) -> io::Result<()> {
        self.child.kill()?;
        self.child.wait().map(drop)
    }
}

impl Drop for Emulator {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The first line's pseudo-terminal.
fn port_of(lines: &Value) -> Result<PathBuf, QmpError> {
    let lines = lines.as_array().map(Vec::as_slice).unwrap_or_default();
    let line = lines.iter().find(|line| line["label"] == "serial0");
    let name = line.and_then(|line| line["filename"].as_str()).and_then(|name| name.strip_prefix("pty:"));
    name.map(PathBuf::from).ok_or_else(|| QmpError::NotUnderstood(format!("{lines:?}")))
}
