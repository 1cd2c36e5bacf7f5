//! One test binary, so that the window is linked once. Beside the unit tests in `src/`.

mod building;
mod catalogue;
#[cfg(feature = "window")]
mod panels;
mod commands;
mod facts;
mod output;
mod published;
mod scenes;
mod solve;
