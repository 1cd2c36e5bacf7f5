//! One test binary, so that the window is linked once. Beside the unit tests in `src/`.

mod advise;
mod build_list;
mod building;
mod catalogue;
mod commands;
mod edit;
mod end_to_end;
mod facts;
mod lesson;
mod output;
#[cfg(feature = "window")]
mod panels;
mod published;
mod scenes;
mod solve;
mod structure;
mod template;
