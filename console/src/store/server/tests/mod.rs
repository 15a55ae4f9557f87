//! How a server is reached: what is typed, what files and the environment say. What a server answers is tried with a real
//! one.

mod address;
mod way;
