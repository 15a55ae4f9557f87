//! What a pointer to code may say, where the code itself does not.
//!
//! A call through a pointer counts as a call of every function that its rule names and whose address is taken somewhere: it
//! lies as a word in what is stored, or is made of a number. What has no rule may call whatever address is taken and is
//! named by no rule. So a rule that names too much makes the bound larger; one that names too little leaves what it does not
//! name to all the others.

/// Who calls through a pointer, and whom.
#[derive(Clone, Copy, Debug)]
pub struct Pointer {
    /// Parts of the callers' names.
    pub callers: &'static [&'static str],
    /// Where the pointer was read, bytes behind another: in a table of methods the first lies at 12, behind size and
    /// alignment. Anywhere, if it is empty.
    pub offsets: &'static [u32],
    /// Parts of the names of whom they call, or whole ones behind a `=`.
    pub callees: &'static [&'static str],
}

/// A function that is entered again while it runs, at most so many times in all.
#[derive(Clone, Copy, Debug)]
pub struct Nested {
    /// Its name.
    pub function: &'static str,
    /// How many of its frames lie on the stack at most.
    pub times: u32,
}

/// Code that is not in the image: what it may take of the stack, whoever of these calls through a pointer.
#[derive(Clone, Copy, Debug)]
pub struct Outside {
    /// Part of the caller's name.
    pub caller: &'static str,
    /// Bytes.
    pub bytes: u32,
}

/// All that is stated of an image.
#[derive(Clone, Copy, Debug)]
pub struct Rules {
    /// Calls through pointers. The first that fits counts; each fits some function of the image.
    pub pointers: &'static [&'static [Pointer]],
    /// Recursion.
    pub nested: &'static [Nested],
    /// The chip's own code.
    pub outside: &'static [Outside],
    /// What tells a panic; a panic while it tells one included, so many lie on the stack at most.
    pub panic: Nested,
    /// What the processor puts on the stack when it takes an interrupt, with the word that aligns it.
    pub exception: u32,
}

/// Eight registers and a word that aligns them (Armv7-M Architecture Reference Manual, B1.5.7; from memory, unconfirmed).
pub const EXCEPTION: u32 = 36;
/// With the registers of the floating-point unit: 26 words and one that aligns them (Armv8-M, as above).
pub const EXCEPTION_WITH_FLOATS: u32 = 108;

const WRITE_STR: &str = "core::fmt::Write>::write_str";

/// What holds of every board.
const POINTERS: &[Pointer] = &[
    // The pieces of a text, each with the function that writes it.
    Pointer { callers: &["core::fmt::write"], offsets: &[4], callees: FORMATTERS },
    // A text's writer: `str`, `char`, arguments, in this order.
    Pointer { callers: &["core::fmt"], offsets: &[12], callees: &[WRITE_STR] },
    Pointer {
        callers: &["core::fmt"],
        offsets: &[16],
        callees: &["core::fmt::Write>::write_char", "core::fmt::Write::write_char"],
    },
    Pointer {
        callers: &["core::fmt"],
        offsets: &[20],
        callees: &["core::fmt::Write>::write_fmt", "core::fmt::Write::write_fmt"],
    },
    // A closure that changes nothing, as the lines of a list; the tables of such closures also say how one is called once.
    Pointer {
        callers: &["app::view::list", "Ladder::map"],
        offsets: &[20],
        callees: &["{{closure}}", "FnOnce::call_once{{vtable.shim}}"],
    },
    // Which part of a lens's figures is compared; which part of a card is read.
    Pointer {
        callers: &["bevelbook_core::tolerance"],
        offsets: &[],
        callees: &[
            "bevelbook_core::tolerance::compare",
            "bevelbook_core::tolerance::look",
            "=core::ops::function::FnOnce::call_once",
        ],
    },
    Pointer { callers: &["app::job::read_card"], offsets: &[], callees: &["app::job::"] },
];

/// What holds of the boards that are emulated with all that is in them.
const EMULATED: &[Pointer] = &[
    // A byte of the log goes where the board sends it.
    Pointer {
        callers: &["defmt::encoding", "_defmt_"],
        offsets: &[],
        callees: &["bevelbook_emulator::", "bevelbook_emulated::", "bevelbook_an505::"],
    },
];

/// What holds of a Pico and a Pico 2.
const EMBASSY: &[Pointer] = &[
    // A task is polled by its executor, and woken by what it waits for.
    Pointer {
        callers: &["embassy_executor::raw::Executor::poll", "SWI_IRQ_1"],
        offsets: &[36],
        callees: &["TaskStorage<F>::poll"],
    },
    Pointer {
        callers: &["_embassy_time_schedule_wake", "waitqueue", "embassy_time_queue_utils"],
        offsets: &[0, 4, 8, 12],
        callees: &["embassy_executor::raw::waker"],
    },
    // The USB device asks its serial port.
    Pointer {
        callers: &["embassy_usb::", "usb::__run_task"],
        offsets: &[12, 16, 20, 24, 28, 32, 36, 40, 44, 48],
        callees: &["as embassy_usb::Handler>", "embassy_usb::Handler::"],
    },
];

/// Whoever writes a value into a text.
const FORMATTERS: &[&str] = &[
    "core::fmt::Display>::fmt",
    "core::fmt::LowerHex>::fmt",
    "core::fmt::Debug>::fmt",
    "core::fmt::UpperHex>::fmt",
];

const NESTED: &[Nested] = &[
    // A text's pieces are texts with pieces again: a line, of it a value, of that a part, of that a figure.
    Nested { function: "core::fmt::write", times: 5 },
];

/// The board that QEMU emulates, and what is built as it is.
pub const BARE: Rules = Rules {
    pointers: &[POINTERS, EMULATED],
    nested: NESTED,
    outside: &[],
    panic: Nested { function: "__rustc::rust_begin_unwind", times: 2 },
    exception: EXCEPTION,
};

/// A Pico or a Pico 2: reading the flash chip's number calls the chip's own code, which is not in the image; what that
/// takes is a guess. It is called at the start alone, where the stack is nowhere near its deepest.
pub const PICO: Rules = Rules {
    pointers: &[POINTERS, EMBASSY],
    outside: &[Outside { caller: "flash::ram_helpers", bytes: 256 }],
    ..BARE
};
