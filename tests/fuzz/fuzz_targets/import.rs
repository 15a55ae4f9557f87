//! Feeds `import` whatever the fuzzer thinks of.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bevelbook_hostile::feed("import", bytes));
