//! The `rimebook` command; everything is in the library.

fn main() -> std::process::ExitCode {
    rimebook::cli::run()
}
