//! One test binary, so that the window is linked once. Beside the unit tests in `src/`.

mod published;
mod scenes;
