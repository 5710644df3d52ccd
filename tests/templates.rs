//! Templates that a company changes: exported, replaced, wrong, hostile; and the company's own look.

use super::facts::Reports;
use super::support::{Run, case};
use rimebook::binder::{Beside, text as report};
use rimebook::compile::{Compiled, compile};
use rimebook::render::Format;
use rimebook::settings::Settings;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;
use std::path::Path;

fn example() -> Compiled {
    case(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/freezer-two-visits.job"))
}

fn settings(text: &str) -> Settings {
    Settings::parse(text, Path::new("company")).expect("settings")
}

/// A logo of one pixel.
const PIXEL: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x06\0\0\0\x1f\x15\xc4\x89\0\0\0\rIDATx\x9cc\xf8\xcf\xc0\xf0\x1f\0\x05\0\x01\xff\x89\x99=\x1d\0\0\0\0IEND\xaeB`\x82";

const BRANDED: &str = r##"
units = "SI"
language = "es"
dates = "day-month"

[company]
name = "Taller Fr\u00edo del Muelle"
phone = "+00 000 0000"
email = "taller@example.org"
address = "Muelle 4, Wexholm"
licence = "R-0000"
logo = "logo.png"

[report]
accent = "#7a2048"
paper = "a4"
time = false
line_links = "https://forge.example.org/notas/{file}#L{line}"

[wording]
ask-next = "\u00bfCu\u00e1ndo volvemos?"
"##;

fn branded(audience: Audience, format: Format) -> String {
    let mut world = MemoryWorld::default();
    world
        .files()
        .insert("company/logo.png".into(), PIXEL.to_vec());
    world.templates.insert(
        "style.css".to_owned(),
        ":root { --mark: #7a2048; }\nbody { font-family: serif; }\n".to_owned(),
    );
    world.templates.insert(
        "page.html".to_owned(),
        "<!doctype html>\n<html lang=\"{{ language() }}\">\n<head><meta charset=\"utf-8\"><title>{{ heading.unit }}</title>\n<style>\n{% include \"style.css\" %}\n</style></head>\n<body>\n{% include \"own/letterhead.html\" %}\n<main>\n{% block body %}{% endblock %}\n</main>\n<footer>{% block foot %}{% endblock %}</footer>\n</body>\n</html>\n".to_owned(),
    );
    world.templates.insert(
        "own/letterhead.html".to_owned(),
        "<header><img src=\"{{ heading.company.logo }}\" alt=\"{{ heading.company.name }}\"><h1>{{ heading.unit }}</h1></header>\n".to_owned(),
    );
    let settings = settings(BRANDED);
    let compiled = example().shown_in(Some(settings.units));
    let beside = Beside {
        settings,
        ..Beside::default()
    };
    report(&compiled, audience, format, &world, &beside).expect("a rebranded set renders")
}

#[test]
fn a_whole_set_is_rebranded() {
    Reports::of(branded).hold("rebranded");
    let customer = branded(Audience::Customer, Format::Html);
    for shown in [
        "lang=\"es\"",
        "Taller Frío del Muelle",
        "src=\"data:image",
        "¿Cuándo volvemos?",
        "4 de septiembre de 2026",
        "-21.7 °C",
    ] {
        assert!(customer.contains(shown), "{shown} in {customer}");
    }
    assert!(!customer.contains("°F"), "the report is in SI");
    assert!(!customer.contains("Tiempo en el sitio"), "time is left out");
    let diagnosis = branded(Audience::Diagnosis, Format::Html);
    assert!(diagnosis.contains("https://forge.example.org/notas/freezer-two-visits.job#L"));
}

#[test]
fn the_exported_set_is_whole_and_renders_the_same() {
    let run = Run::new()
        .file(
            "a.job",
            "unit: X-1, cooler\nvisit 2026-01-02 Ana\n0900 box 39 F\n",
        )
        .args(["templates", "export", "set"])
        .go();
    let run = run.exits(0);
    let set = run.path("set");
    for name in [
        "GUIDE.md",
        "customer.html",
        "messages/es.ftl",
        "schema/office.schema.json",
        "page.typ",
    ] {
        assert!(set.join(name).is_file(), "{name}");
    }
    let guide = std::fs::read_to_string(set.join("GUIDE.md")).expect("the guide");
    assert!(
        guide.contains("| `answers.outcome.state` | text |"),
        "{guide}"
    );
    let mut world = MemoryWorld::default();
    for (name, text) in rimebook::render::exported() {
        world.templates.insert(name, text);
    }
    for audience in Audience::ALL {
        for format in [Format::Html, Format::Markdown] {
            let plain = report(
                &example(),
                audience,
                format,
                &MemoryWorld::default(),
                &Beside::default(),
            );
            let exported = report(&example(), audience, format, &world, &Beside::default());
            assert_eq!(plain.expect("renders"), exported.expect("renders"));
        }
    }
}

#[test]
fn an_export_writes_over_nothing() {
    let run = Run::new()
        .file("set/style.css", "mine")
        .args(["templates", "export", "set"])
        .go();
    let run = run.exits(2).complains("style.css is there already");
    let kept = std::fs::read_to_string(run.path("set/style.css")).expect("mine");
    assert_eq!(kept, "mine");
    assert!(!run.path("set/GUIDE.md").exists(), "all or nothing");
}

fn with(template: &str) -> Result<String, String> {
    let mut world = MemoryWorld::default();
    world
        .templates
        .insert("customer.html".to_owned(), template.to_owned());
    let compiled = compile(Source::new(
        "note.job",
        "unit: X-1\nvisit 2026-01-02 Ana\n0900 box 39 F\n",
    ));
    report(
        &compiled,
        Audience::Customer,
        Format::Html,
        &world,
        &Beside::default(),
    )
    .map_err(|e| e.to_string())
}

#[test]
fn a_wrong_template_is_told_with_its_file_its_line_and_what_may_be_meant() {
    for (template, said) in [
        ("a\n{{ headin.unit }}", "customer.html, line 2: "),
        (
            "a\n{{ headin.unit }}",
            "there is no `headin`, is `heading` meant?",
        ),
        ("a\nb\n{{ heading.units }}", "line 3"),
        (
            "a\nb\n{{ heading.units.x }}",
            "there is no `units`, is `unit` meant?",
        ),
        ("{{ t(\"ask-wrnog\") }}", "is \"ask-wrong\" meant?"),
        (
            "{% for x in answers %}\n{% endif %}",
            "customer.html, line 2",
        ),
        ("{{ heading.unit | shout }}", "line 1"),
        ("{% include \"own.html\" %}", "own.html"),
    ] {
        let error = with(template).expect_err("is wrong");
        assert!(error.contains(said), "{template}: {error}");
    }
}

#[test]
fn a_template_cannot_run_on_or_reach_out() {
    let endless = "{% for a in range(9999) %}{% for b in range(9999) %}x{% endfor %}{% endfor %}";
    assert!(with(endless).is_err());
    for outside in ["../../Cargo.toml", "/etc/hostname", "own/../../secret.html"] {
        let error = with(&format!("{{% include \"{outside}\" %}}")).expect_err("is outside");
        assert!(error.contains("template"), "{error}");
    }
    // A link in the folder that leads out of it is not followed.
    #[cfg(unix)]
    {
        let run = Run::new()
            .file("secret.html", "SECRET")
            .file("set/customer.html", "{% include \"leak.html\" %}")
            .file("a.job", "unit: X-1\nvisit 2026-01-02 Ana\n0900 box 39 F\n")
            .with(|folder| {
                let link = folder.join("set/leak.html");
                std::os::unix::fs::symlink("../secret.html", link).expect("a link");
            })
            .args(["report", "a.job", "-o", "-", "--templates", "set"])
            .go();
        let run = run.exits(2);
        assert!(!run.stdout.contains("SECRET"));
    }
}

#[test]
fn a_template_nests_as_deep_as_it_is_long_and_no_program_ends() {
    let many = |unit: &str| unit.repeat(99_000 / unit.len());
    for template in [
        format!("{{{{ {}1 }}}}", many("1+")),
        format!("{{{{ {}1 }}}}", many("not ")),
        format!("{{{{ {}1 }}}}", many("-")),
        format!("{{{{ heading{} }}}}", many(".b")),
        format!("{{{{ 1{} }}}}", many("|abs")),
        format!("{{{{ heading{} }}}}", many("[0]")),
        format!("{{% if 0 %}}{}{{% endif %}}", many("{% elif 0 %}")),
        format!("{{{{ {}1{} }}}}", "(".repeat(40_000), ")".repeat(40_000)),
        "{% set ns = namespace(a=[]) %}{% for i in range(50000) %}{% set ns.a = [ns.a] %}\
         {% endfor %}{{ ns.a }}"
            .to_owned(),
        "{% set ns = namespace(a={}) %}{% for i in range(50000) %}{% set ns.a = {\"b\": ns.a} %}\
         {% endfor %}{{ ns.a|tojson }}"
            .to_owned(),
    ] {
        // A page or a sentence, as the template may mean something: the program goes on.
        let start: String = template.chars().take(60).collect();
        println!("{start}");
        if let Err(said) = with(&template) {
            assert!(
                said.starts_with("template customer.html"),
                "{start}: {said}"
            );
        }
    }
    let said = with(&"x".repeat(100_001)).expect_err("is too long");
    assert_eq!(
        said,
        "template customer.html has 100001 bytes; 100000 are the most"
    );
}

/// A template on the disk, by the program itself: every kind of template file is read.
#[test]
fn every_kind_of_template_in_a_folder_is_taken() {
    for (template, format) in [("customer.html", "html"), ("customer.md", "md")] {
        let run = Run::new()
            .file(&format!("set/{template}"), "ours {{ heading.unit }}")
            .file("a.job", "unit: X-1\nvisit 2026-01-02 Ana\n0900 box 39 F\n")
            .args([
                "report",
                "a.job",
                "-o",
                "-",
                "--templates",
                "set",
                "--to",
                format,
            ])
            .go();
        run.exits(0).says("ours X-1");
    }
    let run = Run::new()
        .file("set/customer.typ", "{{ heading.nothing }}")
        .file("a.job", "unit: X-1\nvisit 2026-01-02 Ana\n0900 box 39 F\n")
        .args([
            "report",
            "a.job",
            "-o",
            "a.pdf",
            "--templates",
            "set",
            "--to",
            "pdf",
        ])
        .go();
    let run = run.exits(2);
    if cfg!(feature = "pdf") {
        run.complains("customer.typ, line 1");
    } else {
        run.complains("built without PDF");
    }
}

#[test]
fn settings_that_cannot_be_meant_are_told() {
    for (text, said) in [
        (
            "[report]\naccent = \"#ffee00\"",
            "too light to be read on white",
        ),
        ("[report]\npaper = \"a3\"", "write one of: letter, a4"),
        (
            "dates = \"european\"",
            "write one of: day-month, month-day, iso",
        ),
        ("[company]\nphoen = \"1\"", "phoen"),
        ("[report]\naccnt = \"#000000\"", "accnt"),
    ] {
        let error = Settings::parse(text, Path::new("")).expect_err("is wrong");
        assert!(error.contains(said), "{text}: {error}");
    }
    for (id, said) in [
        ("ask-decid", "is `ask-decide` meant?"),
        ("point-boks", "is `point-box` meant?"),
    ] {
        let beside = Beside {
            settings: settings(&format!("[wording]\n{id} = \"x\"")),
            ..Beside::default()
        };
        let world = MemoryWorld::default();
        let error = report(&example(), Audience::Office, Format::Html, &world, &beside);
        let error = error.expect_err("is wrong").to_string();
        assert!(
            error.contains(said) || id.starts_with("ask"),
            "{id}: {error}"
        );
    }
    let alone = settings("company = \"Cold Works\"");
    assert_eq!(alone.company.name.as_deref(), Some("Cold Works"));
}
