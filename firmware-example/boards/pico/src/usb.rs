//! The serial port over USB.
//!
//! The device runs beside the loop, so that it answers the host while the loop waits for the memory.
//! Two pipes lie between. What the keypad sends while no program has the port open (it raises DTR when it opens it) is
//! dropped; while the one to the host has no room for a frame, none is taken. What the host sends too fast it has to send
//! later: USB makes it wait.

use crate::beside::Beside;
use bevelbook_core::link::MAX_WIRE;
use core::convert::Infallible;
use embassy_futures::join::join3;
use embassy_rp::peripherals::USB;
use embassy_rp::usb::{Driver, InterruptHandler};
use embassy_rp::{Peri, bind_interrupts};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::pipe::Pipe;
use embassy_usb::class::cdc_acm::{CdcAcmClass, Receiver, Sender, State};
use embassy_usb::driver::EndpointError;
use embassy_usb::{Builder, Config};
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use static_cell::StaticCell;

/// Bytes of one packet, the most at full speed (USB 2.0, 5.8.3).
const PACKET: usize = 64;

/// Vendor and product: a number that pid.codes keeps for private tests. Who makes more than one for others needs another.
const IDS: (u16, u16) = (0x1209, 0x0001);

/// What is on its way to the host: one frame, whatever its length.
static TO_HOST: Pipe<CriticalSectionRawMutex, MAX_WIRE> = Pipe::new();
/// What has come from it: a packet in the pipe, and another behind it.
static FROM_HOST: Pipe<CriticalSectionRawMutex, { 2 * PACKET }> = Pipe::new();

bind_interrupts!(struct Irqs {
    USBCTRL_IRQ => InterruptHandler<USB>;
});

/// The keypad's end of the port.
pub(crate) struct Port(());

/// Starts the device; it calls itself by `id`, so that the host tells two keypads apart.
pub(crate) fn start(beside: Beside, usb: Peri<'static, USB>, id: u64) -> Port {
    beside.run(run(Driver::new(usb, Irqs), serial_number(id)));
    Port(())
}

/// The id as 16 hexadecimal digits.
fn serial_number(id: u64) -> &'static str {
    static DIGITS: StaticCell<[u8; 16]> = StaticCell::new();
    let digits: [u8; 16] = core::array::from_fn(|n| {
        let digit = (id >> (60 - 4 * n) & 15) as u8;
        if digit < 10 { b'0' + digit } else { b'a' + digit - 10 }
    });
    core::str::from_utf8(DIGITS.init(digits)).unwrap_or_default()
}

#[embassy_executor::task]
async fn run(driver: Driver<'static, USB>, serial_number: &'static str) {
    let mut config = Config::new(IDS.0, IDS.1);
    config.manufacturer = Some("bevelbook");
    config.product = Some("bevelbook keypad");
    config.serial_number = Some(serial_number);
    // A large display with every pixel lit takes most of it.
    config.max_power = 250;
    static DESCRIPTORS: StaticCell<([u8; 96], [u8; 16], [u8; 64])> = StaticCell::new();
    static STATE: StaticCell<State<'static>> = StaticCell::new();
    let (descriptor, bos, control) = DESCRIPTORS.init(([0; 96], [0; 16], [0; 64]));
    let state = STATE.init(State::new());
    let mut builder = Builder::new(driver, config, descriptor, bos, &mut [], control);
    let class = CdcAcmClass::new(&mut builder, state, PACKET as u16);
    let mut device = builder.build();
    let (mut sender, mut receiver) = class.split();
    join3(device.run(), send(&mut sender), receive(&mut receiver)).await;
}

async fn send(sender: &mut Sender<'static, Driver<'static, USB>>) {
    loop {
        sender.wait_connection().await;
        // A packet that does not go out is lost with its connection.
        let _ = send_connected(sender).await;
    }
}

async fn send_connected(sender: &mut Sender<'static, Driver<'static, USB>>) -> Result<(), EndpointError> {
    let mut packet = [0; PACKET];
    loop {
        let many = TO_HOST.read(&mut packet).await;
        if !sender.dtr() {
            continue;
        }
        sender.write_packet(&packet[..many]).await?;
        // A full packet says that more follows: an empty one says that none does.
        if many == PACKET && TO_HOST.is_empty() {
            sender.write_packet(&[]).await?;
        }
    }
}

async fn receive(receiver: &mut Receiver<'static, Driver<'static, USB>>) {
    let mut packet = [0; PACKET];
    loop {
        receiver.wait_connection().await;
        while let Ok(many) = receiver.read_packet(&mut packet).await {
            FROM_HOST.write_all(&packet[..many]).await;
        }
    }
}

impl ErrorType for Port {
    type Error = Infallible;
}

impl ReadReady for Port {
    fn read_ready(&mut self) -> Result<bool, Infallible> {
        Ok(!FROM_HOST.is_empty())
    }
}

impl Read for Port {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize, Infallible> {
        Ok(FROM_HOST.try_read(buffer).unwrap_or(0))
    }
}

impl WriteReady for Port {
    /// Whether the longest frame has room.
    fn write_ready(&mut self) -> Result<bool, Infallible> {
        Ok(TO_HOST.free_capacity() >= MAX_WIRE)
    }
}

impl Write for Port {
    /// Never waits: what was written without asking, and finds no room, is dropped.
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        Ok(TO_HOST.try_write(bytes).unwrap_or(bytes.len()))
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
