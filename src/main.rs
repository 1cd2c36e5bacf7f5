//! The `leaklight` program: a window on a scene, or one of the subcommands.

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    leaklight::command::run(std::env::args_os())
}
