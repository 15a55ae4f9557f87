//! The keypad on a page in a browser: the library as WebAssembly, and what a page calls of it.
//!
//! All that the keypad does is in `bevelbook-keypad`; this crate only wires. The page (`page/`) gives it the keys' levels
//! and the time, and shows its picture. The page asks, the module never calls: it imports nothing, so the browser gives
//! it neither network nor clock nor storage.
//!
//! - `surface`: the functions that the page calls. `keypad`: one keypad with its memory and the time.
//! - `orders`: demo orders, handed over the link as a console does it.
mod keypad;
mod orders;
mod ram;
mod surface;
