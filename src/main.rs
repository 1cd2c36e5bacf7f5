//! The `leaklight` program.
fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (mut scene, mut shot) = (None, None);
    let mut rest = arguments.iter();
    while let Some(word) = rest.next() {
        if word == "--shot" { shot = rest.next().map(Into::into) } else { scene = Some(word.into()) }
    }
    #[cfg(feature = "window")]
    if let Err(error) = leaklight::app::run(leaklight::app::WindowOptions { scene, shot }) {
        eprintln!("{error}");
        std::process::exit(1);
    }
}
