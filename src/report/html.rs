//! The report as one HTML file that needs nothing else.

use super::setting::{in_both, text};
use super::sheet_page::{bench_section, bench_style};
use super::view::{Card, ClientView, PlateGroup, ReportView, Span, StepsView, TableView};
use crate::chance::{Verdict, in_hundred};
use crate::chart::{Figure, NumberTable, capital, month_name, style_sheet};
use crate::units::UnitSystem;
use crate::units::notation::visible;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::fmt::Write;

pub(super) const REPORT_CSS: &str = include_str!("report.css");

/// The report as the text of one HTML file: no script, no font and no picture from elsewhere.
/// The same view gives the same bytes.
#[must_use]
pub fn html_page(view: &ReportView) -> String {
    let step = |id: &str| view.steps.iter().any(|steps| steps.id == id);
    let marks = [
        ("answers", "What to cut today", !view.cards.is_empty()),
        ("setup", "Bench sheet", view.bench.is_some()),
        ("glue-up", "Glue-up", step("glue-up")),
        ("on-site", "On site", step("on-site")),
        ("months", "Month by month", !view.walk.is_empty()),
        ("figures", "Figures", !view.groups.is_empty()),
        (
            "narrow",
            "What to measure next",
            !view.measure_next.is_empty(),
        ),
        ("inputs", "Numbers", !view.tables.is_empty()),
        ("sources", "Assumptions and sources", true),
        ("client", "Sheet for the client", true),
    ];
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "heartside " (env!("CARGO_PKG_VERSION")) };
                title { (view.piece) ": how its parts will move" }
                style { (PreEscaped(REPORT_CSS)) (PreEscaped(bench_style())) (PreEscaped(style_sheet())) (PreEscaped(month_rules())) }
            }
            body {
                a.skip href="#answers" { "To what to cut today" }
                div.sheet {
                    header {
                        h1 { (view.piece) }
                        (title_block(&view.title_block))
                        nav aria-label="On this page" {
                            ul {
                                @for (id, name, there) in marks {
                                    @if there { li { a href={ "#" (id) } { (name) } } }
                                }
                            }
                        }
                    }
                    main {
                        (cautions(&view.cautions))
                        (answers(&view.cards, view.units))
                        @if let Some(bench) = &view.bench { (bench_section(bench)) }
                        @for steps in &view.steps { (step_lines(steps)) }
                        @if !view.walk.is_empty() { (walk(&view.walk, view.walk_month)) }
                        @if !view.groups.is_empty() {
                            section aria-labelledby="figures" {
                                h2 #figures { "Figures" }
                                @for group in &view.groups { (plate_group(group)) }
                            }
                        }
                        @if !view.measure_next.is_empty() { (narrow(&view.measure_next)) }
                        @if !view.tables.is_empty() { (numbers(&view.tables)) }
                        (sources(view))
                        (client(&view.client, &view.piece))
                    }
                    footer.small {
                        @for (name, value) in &view.colophon { (name) " " (value) ". " }
                    }
                }
            }
        }
    };
    seen(page)
}

/// Markup as text, in which nothing acts instead of being seen.
fn seen(markup: Markup) -> String {
    visible(&markup.into_string()).into_owned()
}

/// The report in pieces, for a page that places them itself; the words are those of [`html_page`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pieces {
    /// One article a card, in the order of the view.
    pub cards: Vec<String>,
    /// The bench sheet; empty when nothing is cut.
    pub setup: String,
    /// The glue-up and the work on site, by their ids.
    pub steps: Vec<(&'static str, String)>,
    /// What to measure next; empty when nothing would narrow the answers.
    pub narrow: String,
    /// The numbers as tables.
    pub numbers: String,
    /// The sheet for the client.
    pub client: String,
}

/// The pieces of a report; they need [`page_style`] in the page's style.
#[must_use]
pub fn pieces(view: &ReportView) -> Pieces {
    let unless = |empty: bool, piece: Markup| {
        if empty { String::new() } else { seen(piece) }
    };
    Pieces {
        cards: view
            .cards
            .iter()
            .map(|card| seen(answer(card, view.units)))
            .collect(),
        setup: view
            .bench
            .as_ref()
            .map_or_else(String::new, |bench| seen(bench_section(bench))),
        steps: view
            .steps
            .iter()
            .map(|steps| (steps.id, seen(step_lines(steps))))
            .collect(),
        narrow: unless(view.measure_next.is_empty(), narrow(&view.measure_next)),
        numbers: unless(view.tables.is_empty(), numbers(&view.tables)),
        client: seen(client(&view.client, &view.piece)),
    }
}

/// The style that [`pieces`] and figures need: the report's own and the figures'.
#[must_use]
pub fn page_style() -> String {
    format!("{REPORT_CSS}{}{}", bench_style(), style_sheet())
}

fn title_block(rows: &[(String, String)]) -> Markup {
    html! {
        dl.block-title {
            @for (name, value) in rows { div { dt { (name) } dd { (text(value)) } } }
        }
    }
}

fn cautions(cautions: &[String]) -> Markup {
    html! {
        @if !cautions.is_empty() {
            section.caution aria-labelledby="cautions" {
                h2 #cautions { "Cautions" }
                ul { @for caution in cautions { li { (text(caution)) } } }
            }
        }
    }
}

fn answers(cards: &[Card], units: UnitSystem) -> Markup {
    let mut ordered: Vec<&Card> = cards.iter().collect();
    ordered.sort_by_key(|card| std::cmp::Reverse(card.verdict));
    let count = |verdict| cards.iter().filter(|card| card.verdict == verdict).count();
    let (fails, marginal, holds) = (
        count(Verdict::Fails),
        count(Verdict::Marginal),
        count(Verdict::Holds),
    );
    html! {
        section aria-labelledby="answers" {
            h2 #answers { "What to cut today, and what to change" }
            p {
                @if cards.is_empty() {
                    "The job asks for nothing to be cut or glued."
                } @else {
                    (capital(&tally(fails, "answer is to be redone", "answers are to be redone"))) ", "
                    (tally(marginal, "is marginal", "are marginal")) ", "
                    (tally(holds, "holds", "hold")) ". A chance counts draws in which every uncertain input took its own value."
                }
            }
            div.cards { @for card in ordered { (answer(card, units)) } }
        }
    }
}

fn tally(count: usize, one: &str, many: &str) -> String {
    match count {
        0 => format!("none {}", one.trim_start_matches("answer ")),
        1 => format!("1 {one}"),
        _ => format!("{count} {many}"),
    }
}

fn answer(card: &Card, units: UnitSystem) -> Markup {
    html! {
        article class={ "card " (card.verdict.word()) } {
            header {
                h3 { (text(&card.joint)) }
                span {
                    span.stamp { (card.verdict.word()) }
                    @if let Some(percent) = card.holds_chance_percent {
                        " " span.chance { "chance " (in_hundred(percent)) }
                    }
                }
            }
            @if let Some(big) = &card.size {
                @let (first, other) = in_both(big.size, units);
                p.cut {
                    (text(&big.before)) " " b { (text(&first)) } " " span.other { "(" (text(&other)) ")" } " " (text(&big.after))
                }
            }
            @if let Some(action) = &card.action { p.cut { (text(action)) } }
            @for then in &card.then { p { (text(then)) } }
            @if !card.reason.is_empty() { p.reason { (text(&card.reason)) } }
            @if !card.remedies.is_empty() {
                div.remedies {
                    p { "How to fix it" }
                    ul {
                        @for remedy in &card.remedies {
                            li { (text(&remedy.what)) ": chance then " (in_hundred(remedy.holds_chance_percent)) }
                        }
                    }
                }
            }
        }
    }
}

fn step_lines(steps: &StepsView) -> Markup {
    html! {
        section aria-labelledby=(steps.id) {
            h2 id=(steps.id) { (steps.heading) }
            ul.steps {
                @for line in &steps.lines { li.under[line.below] { (text(&line.words)) } }
            }
        }
    }
}

/// The rules by which the month chosen is the one shown.
fn month_rules() -> String {
    let mut css = ".walk:has(.bar input:checked) .hs .hs-m{display:none}".to_owned();
    for month in 0..12 {
        // Writing into a String cannot fail.
        let _ = write!(
            css,
            ".walk:has(#month-{month}:checked) .hs .hs-m{month}{{display:inline}}"
        );
    }
    css
}

fn walk(figures: &[Figure], chosen: usize) -> Markup {
    let shared = commonest(figures.iter().map(Figure::reading));
    html! {
        section.walk aria-labelledby="months" {
            h2 #months { "Month by month" }
            p { "Choose a month, or walk through them with the arrow keys: sections and gaps as they are at home in its middle, once the seasons repeat." }
            @if let Some(reading) = shared { p.small { (text(reading)) } }
            fieldset.bar {
                legend { "Month" }
                @for month in 0..12 {
                    label {
                        input type="radio" name="month" id={ "month-" (month) } aria-label=(month_name(month)) checked[month == chosen % 12] autocomplete="off";
                        span aria-hidden="true" { (month_name(month)[..1]) }
                    }
                }
            }
            div.figures {
                @for figure in figures {
                    (placed(figure, Span::Third, shared != Some(figure.reading())))
                }
            }
        }
    }
}

/// Figures under one heading; the sentence on how to read them that fits most stands once above them.
fn plate_group(group: &PlateGroup) -> Markup {
    let shared = commonest(group.plates.iter().map(|plate| plate.figure.reading()));
    html! {
        h3 { (text(&group.heading)) }
        @if let Some(reading) = shared { p.small { (text(reading)) } }
        div.figures {
            @for plate in &group.plates {
                (placed(&plate.figure, plate.span, shared != Some(plate.figure.reading())))
            }
        }
    }
}

/// The sentence that stands under at least two figures, and under most.
fn commonest<'a>(readings: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for reading in readings {
        match counts.iter_mut().find(|(known, _)| *known == reading) {
            Some((_, count)) => *count += 1,
            None => counts.push((reading, 1)),
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max().unwrap_or(0);
    let first = counts.iter().find(|(_, count)| *count == most)?;
    (most > 1).then_some(first.0)
}

/// A figure with its title, how to read it, and its numbers.
#[must_use]
pub fn plate(figure: &Figure, span: Span) -> Markup {
    placed(figure, span, true)
}

fn placed(figure: &Figure, span: Span, with_reading: bool) -> Markup {
    let class = match span {
        Span::Wide => "wide",
        Span::Half => "half",
        Span::Third => "third",
    };
    let picture = PreEscaped(figure.svg_inline());
    html! {
        figure class=(class) {
            figcaption {
                strong { (text(figure.title())) }
                @if with_reading { span.small { (text(figure.reading())) } }
            }
            @if span == Span::Wide {
                div.scroll tabindex="0" role="region" aria-label=(figure.title()) { (picture) }
            } @else {
                (picture)
            }
            details {
                summary { "The numbers" span.unseen { " of: " (figure.title()) } }
                div.scroll tabindex="0" role="region" aria-label={ "Numbers: " (figure.title()) } {
                    (table(figure.numbers(), None))
                }
            }
        }
    }
}

/// A table whose first column names the row.
fn table(numbers: &NumberTable, caption: Option<&str>) -> Markup {
    html! {
        table {
            @if let Some(caption) = caption { caption { (text(caption)) } }
            thead { tr { @for head in &numbers.heads { th scope="col" { (text(head)) } } } }
            tbody {
                @for row in &numbers.rows {
                    tr {
                        @for (i, cell) in row.iter().enumerate() {
                            @if i == 0 { th scope="row" { (text(cell)) } } @else { td { (text(cell)) } }
                        }
                    }
                }
            }
        }
    }
}

fn captioned(shown: &TableView) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(shown.caption) {
            (table(&shown.table, Some(&shown.caption)))
        }
    }
}

fn numbers(tables: &[TableView]) -> Markup {
    html! {
        section aria-labelledby="inputs" {
            h2 #inputs { "Numbers" }
            @for table in tables { (captioned(table)) }
        }
    }
}

fn narrow(inputs: &[(String, String, f64, f64)]) -> Markup {
    html! {
        section aria-labelledby="narrow" {
            h2 #narrow { "What to measure next" }
            p { "What the answers in doubt depend on most, and how wide they would still spread once it is measured." }
            div.scroll tabindex="0" role="region" aria-label="Table of inputs" {
                table {
                    thead { tr { th scope="col" { "Input" } th scope="col" { "What would narrow it" } th scope="col" { "Share of the spread" } th scope="col" { "Spread left then" } } }
                    tbody {
                        @for (input, measure, share, left) in inputs {
                            tr { th scope="row" { (text(input)) } td { (text(measure)) } td { (format!("{share:.0} %")) } td { (format!("{left:.0} %")) } }
                        }
                    }
                }
            }
        }
    }
}

fn sources(view: &ReportView) -> Markup {
    html! {
        section aria-labelledby="sources" {
            h2 #sources { "Assumptions and sources" }
            @if !view.warnings.is_empty() {
                h3 { "To know about these answers" }
                ul { @for warning in &view.warnings { li { (text(warning)) } } }
            }
            @if !view.assumptions.is_empty() {
                h3 { "What the numbers rest on" }
                ul { @for assumption in &view.assumptions { li { (text(assumption)) } } }
            }
        }
    }
}

fn client(sheet: &ClientView, piece: &str) -> Markup {
    html! {
        section.client aria-labelledby="client" {
            h2 #client { "Living with your " (piece) }
            @match sheet.keep_humidity_percent {
                Some([low, high]) => p.keep {
                    "Keep the air of the clearance between " b { (format!("{low:.0} %")) } " and " b { (format!("{high:.0} %")) } " relative humidity."
                },
                None => p.keep { "No joint sets a limit to the humidity of the room; an even climate is kindest to wood." },
            }
            @for first in &sheet.goes_first { p { (text(first)) } }
            @if !sheet.expect.is_empty() {
                h3 { "What to expect" }
                ul { @for line in &sheet.expect { li { (text(line)) } } }
            }
            p { "Wood takes up and gives off moisture with the air and moves across its grain as it does. Keep the piece away from radiators, stoves and direct sun, and put a hygrometer in the room." }
        }
    }
}
