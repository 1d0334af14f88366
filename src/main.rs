fn main() -> std::process::ExitCode {
    segue::cli::main()
}
