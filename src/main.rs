//! The `leaklight` program: a window on a scene, or one of the subcommands.

fn main() -> std::process::ExitCode {
    leaklight::command::run(std::env::args_os())
}
