//! Free text of a note in a report: Markdown, made inert.

use crate::source::visible;
use std::borrow::Cow;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd, html};

/// Free text as HTML. A single paragraph is given without its `<p>`, to sit in a list or a cell.
pub fn html(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    html::push_html(&mut out, events(text).into_iter());
    out.truncate(out.trim_end().len());
    out
}

/// Text as it is, in HTML: between tags and in an attribute with either kind of quote. Strokes stay
/// strokes: addresses and dates are full of them.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in visible(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Free text as Typst markup; a single paragraph stands without a break about it.
pub fn typst(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    // What closes each open tag.
    let mut closing: Vec<&str> = Vec::new();
    let mut is_code = false;
    for event in events(text) {
        match event {
            Event::Start(tag) => {
                let (open, close) = match tag {
                    Tag::Paragraph => ("#parbreak();", "#parbreak();"),
                    Tag::Emphasis => ("#emph[", "];"),
                    Tag::Strong => ("#strong[", "];"),
                    Tag::BlockQuote(_) => ("#quote(block: true)[", "];"),
                    Tag::List(Some(_)) => ("#enum(", ");"),
                    Tag::List(None) => ("#list(", ");"),
                    Tag::Item => ("[", "],"),
                    Tag::CodeBlock(_) => {
                        is_code = true;
                        ("", "")
                    }
                    Tag::Link { dest_url, .. } => {
                        out.push_str("#link(");
                        out.push_str(&quoted(&dest_url));
                        (")[", "];")
                    }
                    _ => ("", ""),
                };
                out.push_str(open);
                closing.push(close);
            }
            Event::End(tag) => {
                is_code &= !matches!(tag, TagEnd::CodeBlock);
                out.push_str(closing.pop().unwrap_or(""));
            }
            Event::Code(code) => {
                out.push_str(&format!("#raw({});", quoted(&code)));
            }
            Event::Text(text) if is_code => {
                out.push_str(&format!("#raw(block: true, {});", quoted(&text)));
            }
            Event::Text(text) => out.push_str(&typst_text(&text)),
            Event::HardBreak => out.push_str("#linebreak();"),
            Event::Rule => out.push_str("#line(length: 100%);"),
            _ => {}
        }
    }
    out
}

/// Text as it is, in Typst markup: nothing in it can be read as markup.
pub fn typst_text(text: &str) -> String {
    // The semicolon ends the expression: what follows may be a bracket of the template.
    format!("#{};", quoted(text))
}

/// Text as a Typst string.
pub fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Free text as Markdown events, made inert: raw HTML becomes text, pictures become their caption, links
/// keep only the schemes a reader expects, headings become paragraphs (a note's text has no place in
/// the report's own outline).
///
/// A line that begins with a sign of Markdown's begins with that sign: `> 41 F` is no quotation. Lists are
/// read where they follow on lines of their own.
fn events(text: &str) -> Vec<Event<'static>> {
    let text = visible(text);
    owned_events(&literal_start(&text))
}

/// The text with a backslash before what would make its first line a block of another kind.
fn literal_start(text: &str) -> Cow<'_, str> {
    let start = text.trim_start();
    let sign = start.starts_with(['>', '#', '-', '+', '*', '`', '~', '=', '|', '['])
        && !start.starts_with("**")
        && !is_link(start);
    let digits = start.bytes().take_while(u8::is_ascii_digit).count();
    let number = digits > 0 && start[digits..].starts_with(['.', ')']);
    let is_emphasis = start.starts_with('*')
        && start[1..].starts_with(|c: char| !c.is_whitespace())
        && start[1..].contains('*');
    let is_code = start.starts_with('`') && !start.starts_with("```") && start[1..].contains('`');
    match (sign && !is_emphasis && !is_code, number) {
        (true, _) => Cow::Owned(format!("\\{start}")),
        (false, true) => Cow::Owned(format!("{}\\{}", &start[..digits], &start[digits..])),
        (false, false) => Cow::Borrowed(text),
    }
}

/// `[words](address) …`, and no definition of one.
fn is_link(text: &str) -> bool {
    text.starts_with('[')
        && text
            .find(']')
            .is_some_and(|end| text[end + 1..].starts_with('('))
}

/// Deeper than this, a list in a list in a quotation is only text: a page has no room for more.
const DEEPEST: usize = 4;

fn owned_events(text: &str) -> Vec<Event<'static>> {
    let mut depth = 0usize;
    let mut link_open = Vec::new();
    let mut in_image = 0usize;
    let mut paragraphs = 0usize;
    let mut blocks = 0usize;
    let mut events = Vec::new();
    for event in Parser::new_ext(text, Options::empty()) {
        let event = event.into_static();
        let event = match event {
            Event::Start(Tag::BlockQuote(_) | Tag::List(_))
                if {
                    depth += 1;
                    depth > DEEPEST
                } =>
            {
                continue;
            }
            Event::End(TagEnd::BlockQuote(_) | TagEnd::List(_))
                if {
                    depth = depth.saturating_sub(1);
                    depth >= DEEPEST
                } =>
            {
                continue;
            }
            Event::Start(Tag::Item) | Event::End(TagEnd::Item) if depth > DEEPEST => continue,
            Event::Html(raw) | Event::InlineHtml(raw) => Event::Text(raw),
            Event::Start(Tag::HtmlBlock | Tag::Heading { .. }) => Event::Start(Tag::Paragraph),
            Event::End(TagEnd::HtmlBlock | TagEnd::Heading(_)) => Event::End(TagEnd::Paragraph),
            Event::Start(Tag::Image { .. }) => {
                in_image += 1;
                continue;
            }
            Event::End(TagEnd::Image) => {
                in_image -= 1;
                continue;
            }
            Event::Start(Tag::Link { ref dest_url, .. }) => {
                let kept = in_image == 0 && is_expected(dest_url);
                link_open.push(kept);
                if !kept {
                    continue;
                }
                event
            }
            Event::End(TagEnd::Link) => {
                if link_open.pop() != Some(true) {
                    continue;
                }
                event
            }
            // A line that the technician broke stays broken.
            Event::SoftBreak => Event::HardBreak,
            other => other,
        };
        match &event {
            Event::Start(Tag::Paragraph) => paragraphs += 1,
            Event::Start(Tag::List(_) | Tag::CodeBlock(_) | Tag::BlockQuote(_)) | Event::Rule => {
                blocks += 1
            }
            _ => {}
        }
        events.push(event);
    }
    if paragraphs == 1 && blocks == 0 {
        events.retain(|e| {
            !matches!(
                e,
                Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph)
            )
        });
    }
    events
}

fn is_expected(url: &str) -> bool {
    ["https://", "http://", "mailto:", "tel:"]
        .iter()
        .any(|scheme| {
            url.get(..scheme.len())
                .is_some_and(|start| start.eq_ignore_ascii_case(scheme))
        })
}

/// Free text as a Markdown list item or paragraph: raw HTML inert, further lines indented.
pub fn markdown_item(text: &str) -> String {
    inert(&literal_start(text)).replace('\n', "\n  ")
}

/// Free text in a Markdown table cell: one line, no cell divider.
pub fn markdown_cell(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in inert(text).chars() {
        match c {
            // Readers of tables do not agree on a divider after more than one backslash.
            '|' if out.ends_with('\\') => out.push_str("&#124;"),
            '|' => out.push_str("\\|"),
            '\n' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Text in which no `&…;` is read as a letter; an `&` that begins none stays, so that an e-mail reads well.
fn without_entities(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        out.push(c);
        if c == '&' {
            let rest = &text[at + 1..];
            let word = rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '#'));
            if word.is_some_and(|end| end > 0 && rest[end..].starts_with(';')) {
                out.push_str("amp;");
            }
        }
    }
    out
}

/// Text in which neither raw HTML nor a picture can be read as such, nor a link with a scheme that a reader
/// does not expect, nor a definition of one.
pub fn inert(text: &str) -> String {
    let text = visible(text);
    let text = without_entities(&text);
    let mut out = String::with_capacity(text.len() + 16);
    let mut backslashes = 0usize;
    for (at, c) in text.char_indices() {
        let rest = &text[at + c.len_utf8()..];
        // After an odd number of backslashes the sign is a letter already, and one more would free it.
        let is_letter = backslashes % 2 == 1;
        match c {
            '<' if is_letter => out.push('<'),
            '<' => out.push_str("&lt;"),
            '!' if rest.starts_with('[') && !is_letter => out.push_str("\\!"),
            ']' if rest.starts_with(':') => out.push_str("]\\"),
            ']' if rest.starts_with('(') && !is_expected(rest[1..].trim_start()) => {
                out.push_str("]\\");
            }
            c => out.push(c),
        }
        backslashes = if c == '\\' { backslashes + 1 } else { 0 };
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_in_a_note_stays_text() {
        assert_eq!(
            html("a <b>bold</b> & <script>x</script>"),
            "a &lt;b&gt;bold&lt;/b&gt; &amp; &lt;script&gt;x&lt;/script&gt;"
        );
        assert_eq!(
            escaped("a/b <i> \"q\" 'q' &"),
            "a/b &lt;i&gt; &quot;q&quot; &#39;q&#39; &amp;"
        );
        assert_eq!(html("[go](javascript:alert(1))"), "go");
        assert_eq!(html("![pixel](https://example.org/p.png)"), "pixel");
        assert_eq!(
            html("[doc](https://example.org)"),
            "<a href=\"https://example.org\">doc</a>"
        );
        assert_eq!(html("# 2 fan dead"), "# 2 fan dead");
        assert_eq!(html("> 41 F throw out"), "&gt; 41 F throw out");
        assert_eq!(html("- 5 F on the display"), "- 5 F on the display");
        assert_eq!(html("``` swallowed"), "``` swallowed");
        assert_eq!(html("[1]: http://x/y"), "[1]: http://x/y");
        assert_eq!(html("12. visit"), "12. visit");
        assert_eq!(
            html("*loud* and `code`"),
            "<em>loud</em> and <code>code</code>"
        );
        assert_eq!(
            inert("Gable & Finch &lt; &#60;"),
            "Gable & Finch &amp;lt; &amp;#60;"
        );
        assert_eq!(
            inert("[pay](JavaScript:alert(1)) [ok](https://example.org)\n[1]: javascript:x"),
            "[pay]\\(JavaScript:alert(1)) [ok](https://example.org)\n[1]\\: javascript:x"
        );
        assert_eq!(
            typst("a *b* #let x = 1 \"q\" [l](https://example.org)"),
            "#\"a \";#emph[#\"b\";];#\" #let x = 1 \\\"q\\\" \";#link(\"https://example.org\")[#\"l\";];"
        );
        assert_eq!(markdown_cell("a | <i>\nb"), "a \\| &lt;i> b");
        assert_eq!(
            inert(r"dirt \![p](https://e.example/p)"),
            r"dirt \![p](https://e.example/p)"
        );
        assert_eq!(html("a\0b\u{1b}[2J"), "a␀b␛[2J");
        assert_eq!(inert("a\0b"), "a␀b");
    }

    /// What a reader of Markdown makes of a text: pictures, raw HTML, links to where none expects one,
    /// and cells beside the one that it stands in.
    fn live(text: &str) -> Vec<String> {
        let events = Parser::new_ext(text, Options::ENABLE_TABLES);
        let mut cells = 0;
        let mut live: Vec<String> = events
            .filter(|event| {
                cells += usize::from(matches!(event, Event::Start(Tag::TableCell)));
                match event {
                    Event::Start(Tag::Image { .. }) | Event::Html(_) | Event::InlineHtml(_) => true,
                    Event::Start(Tag::Link { dest_url, .. }) => !is_expected(dest_url),
                    _ => false,
                }
            })
            .map(|event| format!("{event:?}"))
            .collect();
        if cells > 2 {
            live.push(format!("{cells} cells"));
        }
        live
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(4_000))]

        /// Pictures, tags and dividers in a note are text in Markdown, whatever stands before them.
        #[test]
        fn nothing_in_markdown_is_live(
            parts in proptest::collection::vec(
                proptest::sample::select(vec![
                    "\\", "!", "[", "]", "(", ")", "<", ">", "|", ":", "`", "&", "&#33;", ";", " ", "\n",
                    "p", "![p](https://e.example/p.png)", "[1]: javascript:x", "[p](javascript:x)",
                    "<img src=x>", "<https://e.example>", "*", "_", "\"", "'", "/", "[1]", "#",
                ]),
                0..14,
            )
        ) {
            let text = parts.concat();
            for written in [
                inert(&text),
                format!("- {}", markdown_item(&text)),
                format!("| a |\n|---|\n| {} |", markdown_cell(&text)),
            ] {
                proptest::prop_assert!(live(&written).is_empty(), "{text:?}\n{written}\n{:?}", live(&written));
            }
        }
    }
}
