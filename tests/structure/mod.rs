//! The repository itself: what the pages promise is there, and imports point one way.

mod dependencies;
mod imports;
mod pages;
mod readme;

use std::path::{Path, PathBuf};

/// The folder of the package.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A page of the package, as text.
fn page(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Every Rust file below a folder of the package, sorted. An absent folder gives none.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = vec![];
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for path in entries.map(|entry| entry.path()) {
        if path.is_dir() {
            found.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}
