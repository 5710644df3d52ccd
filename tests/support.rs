//! What several test modules share: compiling a text, reading a case, running the binary.

use rimebook::compile::{Compiled, compile};
use rimebook::diagnostic::annotated;
use rimebook::source::Source;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Folder of the case files.
pub fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

/// Folder of the example notes.
pub fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

/// Compiles a text under a short name, so that no machine's paths stand in snapshots.
pub fn note(text: &str) -> Compiled {
    compile(Source::new("note.job", text))
}

/// Compiles a case file under its bare file name.
pub fn case(path: &Path) -> Compiled {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    // Bytes, not a string: a case may hold a byte-order mark or foreign line endings.
    let bytes = std::fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    compile(
        Source::from_bytes(name.into_owned(), bytes)
            .unwrap_or_else(|e| panic!("{}: {e}", path.display())),
    )
}

/// The sentences of one rule's findings.
pub fn findings<'a>(compiled: &'a Compiled, code: &str) -> Vec<&'a str> {
    let of = |f: &&rimebook::findings::Finding| f.rule.code.id == code;
    compiled
        .findings()
        .found
        .iter()
        .filter(of)
        .map(|f| f.text.as_str())
        .collect()
}

/// What `rimebook check` prints of a note, without colour.
pub fn rendered(compiled: &Compiled) -> String {
    compiled
        .report()
        .iter()
        .map(|diagnostic| annotated(&compiled.source, diagnostic, false) + "\n\n")
        .collect()
}

/// Every file of a folder and its folders, sorted.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries {
        let path = entry.expect("a folder entry").path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Runs the binary in a folder of its own.
///
/// ```text
/// Run::new().file("a.job", "…").args(["check", "a.job"]).go().fails(1)
/// ```
pub struct Run {
    folder: tempfile::TempDir,
    arguments: Vec<String>,
    input: Vec<u8>,
    variables: Vec<(&'static str, &'static str)>,
}

impl Run {
    /// An empty folder and no arguments.
    pub fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder for the test"),
            arguments: Vec::new(),
            input: Vec::new(),
            variables: Vec::new(),
        }
    }

    /// Puts a file into the folder.
    pub fn file(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.folder.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
        std::fs::write(path, content).expect("a file");
        self
    }

    /// Sets the arguments.
    pub fn args<const N: usize>(mut self, arguments: [&str; N]) -> Self {
        self.arguments = arguments.map(str::to_owned).to_vec();
        self
    }

    /// Sets what stands on standard input.
    pub fn stdin(mut self, input: impl Into<Vec<u8>>) -> Self {
        self.input = input.into();
        self
    }

    /// Sets an environment variable.
    pub fn env(mut self, name: &'static str, value: &'static str) -> Self {
        self.variables.push((name, value));
        self
    }

    /// Prepares the folder in a way of one's own: links, modes.
    pub fn with(self, prepare: impl FnOnce(&Path)) -> Self {
        prepare(self.folder.path());
        self
    }

    /// Runs it.
    pub fn go(self) -> Outcome {
        let input = self.folder.path().join("standard-input");
        // A file rather than a pipe: the binary may stop reading early, and a pipe would then fail.
        std::fs::write(&input, &self.input).expect("standard input");
        let output = Command::new(env!("CARGO_BIN_EXE_rimebook"))
            .args(&self.arguments)
            .envs(self.variables.iter().copied())
            .current_dir(self.folder.path())
            .stdin(Stdio::from(
                std::fs::File::open(&input).expect("standard input"),
            ))
            .output()
            .expect("the binary runs");
        Outcome {
            folder: Some(self.folder),
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).expect("standard output is UTF-8"),
            stderr: String::from_utf8(output.stderr).expect("standard error is UTF-8"),
        }
    }
}

/// What a run gave.
#[derive(Debug)]
pub struct Outcome {
    /// Where it ran, with what it left there, when that was a folder of its own.
    pub folder: Option<tempfile::TempDir>,
    /// Exit code; `None` when a signal ended it.
    pub code: Option<i32>,
    /// Standard output.
    pub stdout: String,
    /// Standard error.
    pub stderr: String,
}

impl Outcome {
    /// Runs the binary once more in the same folder.
    pub fn again<const N: usize>(self, arguments: [&str; N]) -> Self {
        let folder = self.folder.expect("a folder of its own");
        Run {
            folder,
            arguments: Vec::new(),
            input: Vec::new(),
            variables: Vec::new(),
        }
        .args(arguments)
        .go()
    }

    /// Where a file of the folder lies.
    pub fn path(&self, name: &str) -> PathBuf {
        let folder = self.folder.as_ref().expect("a folder of its own");
        folder.path().join(name)
    }

    /// What a file of the folder holds afterwards.
    pub fn holds(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("a file of the folder")
    }

    /// Asserts the exit code.
    #[track_caller]
    pub fn exits(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{self:#?}");
        self
    }

    /// Asserts that standard output holds a text.
    #[track_caller]
    pub fn says(self, text: &str) -> Self {
        assert!(self.stdout.contains(text), "no `{text}` in {self:#?}");
        self
    }

    /// Asserts that standard error holds a text, and that it is no panic.
    #[track_caller]
    pub fn complains(self, text: &str) -> Self {
        assert!(self.stderr.contains(text), "no `{text}` in {self:#?}");
        assert!(!self.stderr.contains("panicked"), "{self:#?}");
        self
    }
}
