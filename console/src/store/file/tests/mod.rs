//! Situations of a book in a file, in a folder that vanishes afterwards.

mod daily;
mod damage;
mod durable;
mod files;
mod older;
mod replaced;
mod restore;
