//! Feeds `book_file` whatever the fuzzer thinks of.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bevelbook_hostile::feed("book_file", bytes));
