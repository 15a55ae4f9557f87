//! What runs beside the loop, from an interrupt of its own, while the loop waits for the memory.

use embassy_executor::{InterruptExecutor, SendSpawner, SpawnError, SpawnToken};
use embassy_rp::interrupt;
use embassy_rp::interrupt::{InterruptExt, Priority};

static EXECUTOR: InterruptExecutor = InterruptExecutor::new();

#[interrupt]
#[allow(unsafe_code, reason = "the executor is polled from its own interrupt and from nowhere else")]
unsafe fn SWI_IRQ_1() {
    // SAFETY: this is the interrupt that `start` gives to the executor.
    unsafe { EXECUTOR.on_interrupt() }
}

/// Where tasks are started.
#[derive(Clone, Copy)]
pub(crate) struct Beside(SendSpawner);

/// Makes it ready.
pub(crate) fn start() -> Beside {
    interrupt::SWI_IRQ_1.set_priority(Priority::P2);
    Beside(EXECUTOR.start(interrupt::SWI_IRQ_1))
}

impl Beside {
    /// Starts a task, which is there once.
    pub(crate) fn run<S: Send>(self, task: Result<SpawnToken<S>, SpawnError>) {
        match task {
            Ok(task) => self.0.spawn(task),
            Err(_) => defmt::error!("a task was started twice"),
        }
    }
}
