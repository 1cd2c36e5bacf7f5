//! One thing that must happen before Rust starts: see `src/closed_output.c`.

fn main() {
    println!("cargo:rerun-if-changed=src/closed_output.c");
    if std::env::var_os("CARGO_CFG_UNIX").is_none() {
        return;
    }
    for object in cc::Build::new().file("src/closed_output.c").compile_intermediates() {
        println!("cargo:rustc-link-arg-bins={}", object.display());
    }
}
