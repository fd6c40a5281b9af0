//! Pages to read: how to type, and how to write a scheme.

use minijinja::context;
use pulldown_cmark::{Event, Options, Parser, html};

use super::question::{Answer, Media, Question};
use crate::card::CAUTIONS;
use crate::problem::Problem;
use crate::translate::RULE;

/// How schemes are written, as it stands beside them.
const WRITING: &str = include_str!("../../plugins/README.md");

pub(super) fn typing(question: &Question) -> Result<Answer, Problem> {
    let methods = question.snapshot.tables.methods.rows();
    let row = |row: &std::sync::Arc<crate::method::MethodRow>| {
        context! { quantity => row.quantity.name(), name => row.name.as_str(), says => row.says.as_str(), neutral => row.neutral }
    };
    let page = context! { rule => RULE, cautions => CAUTIONS, methods => methods.iter().map(row).collect::<Vec<_>>() };
    read(question, "help.html", page)
}

pub(super) fn schemes(question: &Question) -> Result<Answer, Problem> {
    read(
        question,
        "writing.html",
        context! { writing => as_html(WRITING) },
    )
}

fn read(question: &Question, name: &str, page: minijinja::Value) -> Result<Answer, Problem> {
    Ok(Answer::ok(
        Media::Html,
        question
            .counter
            .templates
            .page(name, "/help", &question.snapshot, page)?,
    ))
}

/// Markdown as HTML; HTML that stands in it is shown and not obeyed.
fn as_html(markdown: &str) -> String {
    let shown = |event| match event {
        Event::Html(text) | Event::InlineHtml(text) => Event::Text(text),
        other => other,
    };
    let mut page = String::new();
    html::push_html(
        &mut page,
        Parser::new_ext(markdown, Options::ENABLE_TABLES).map(shown),
    );
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn html_in_markdown_is_shown_as_text() {
        let page = as_html("a <b onclick=x>b</b>\n\n<script>alert(1)</script>\n");
        assert!(!page.contains("<script") && !page.contains("<b "), "{page}");
        assert!(page.contains("&lt;script&gt;"), "{page}");
    }
}
