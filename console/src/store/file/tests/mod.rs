//! Situations of a book in a file, in a folder that vanishes afterwards.

mod daily;
mod damage;
mod durable;
mod files;
mod forget;
mod lines;
mod older;
mod replaced;
mod restore;
