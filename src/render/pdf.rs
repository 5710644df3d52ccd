//! Typst markup to a tagged PDF, in the process itself: no browser, no network, no font but the
//! embedded ones, no file but those handed in.

use super::RenderError;
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// Source Sans 3 under the Open Font License, cut down and renamed: `templates/fonts`.
const FONTS: [&[u8]; 2] = [
    include_bytes!("../../templates/fonts/RimeSans-Regular.ttf"),
    include_bytes!("../../templates/fonts/RimeSans-Bold.ttf"),
];

/// What every report shares.
struct Shared {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static SHARED: LazyLock<Shared> = LazyLock::new(|| {
    let fonts: Vec<Font> = FONTS
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .collect();
    Shared {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
    }
});

/// One report: its markup, and the pictures it names.
struct Sheet {
    main: Source,
    files: FxHashMap<FileId, Bytes>,
}

impl World for Sheet {
    fn library(&self) -> &LazyHash<Library> {
        &SHARED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &SHARED.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        match id == self.main.id() {
            true => Ok(self.main.clone()),
            false => Err(FileError::AccessDenied),
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHARED.fonts.get(index).cloned()
    }

    /// No clock: the same note gives the same bytes on any day.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// A file name as the markup says it.
fn file_id(name: &str) -> Result<FileId, RenderError> {
    let path = VirtualPath::new(format!("/{name}"))
        .map_err(|_| RenderError(format!("{name}: no file name for a PDF")))?;
    Ok(FileId::new(RootedPath::new(VirtualRoot::Project, path)))
}

/// The markup as a PDF: PDF/UA-1 where every letter is in the font, else tagged all the same.
///
/// # Errors
/// When the markup does not compile; the sentence has its line, which is that of the rendered template.
pub(super) fn pdf(
    name: &str,
    markup: String,
    files: BTreeMap<String, Vec<u8>>,
) -> Result<Vec<u8>, RenderError> {
    let files = files
        .into_iter()
        .map(|(name, data)| Ok((file_id(&name)?, Bytes::new(data))))
        .collect::<Result<_, RenderError>>()?;
    let sheet = Sheet {
        main: Source::new(file_id(name)?, markup),
        files,
    };
    let failed = |errors: &[SourceDiagnostic]| said(name, &sheet, errors);
    let document: PagedDocument = typst::compile(&sheet).output.map_err(|e| failed(&e))?;
    let options = |standards| PdfOptions {
        ident: Smart::Custom(format!("rimebook {}", env!("CARGO_PKG_VERSION"))),
        timestamp: None,
        standards,
        ..PdfOptions::default()
    };
    let accessible = PdfStandards::new(&[PdfStandard::Ua_1]).unwrap_or_default();
    match typst_pdf::pdf(&document, &options(accessible)) {
        Ok(pdf) => Ok(pdf),
        // A letter that the font lacks is shown as a box, and no reason to give no report.
        Err(_) => {
            let plain = options(PdfStandards::default());
            typst_pdf::pdf(&document, &plain).map_err(|e| failed(&e))
        }
    }
}

/// True when a picture of that name can be set.
pub(super) fn shows(name: &str, bytes: &[u8]) -> bool {
    let markup = format!("#image({})", super::prose::quoted(name));
    let files = BTreeMap::from([(name.to_owned(), bytes.to_vec())]);
    pdf("picture.typ", markup, files).is_ok()
}

fn said(name: &str, sheet: &Sheet, errors: &[SourceDiagnostic]) -> RenderError {
    let Some(error) = errors.first() else {
        return RenderError(format!("template {name}: the PDF could not be made"));
    };
    let line = sheet
        .range(error.span)
        .and_then(|range| sheet.main.lines().byte_to_line(range.start))
        .map_or_else(String::new, |line| {
            let text = sheet.main.text().lines().nth(line).unwrap_or("");
            format!(", rendered line {} (`{}`)", line + 1, text.trim())
        });
    RenderError(format!("template {name}{line}: {}", error.message))
}
