//! The `segue` program: a thin face over the library.

fn main() -> std::process::ExitCode {
    segue::cli::main()
}
