//! Scene files and what is said about bad ones.

mod files;
