//! The report as one HTML file that needs nothing else.

use super::setting::{in_both, text};
use super::sheet_page::{bench_section, bench_style};
use super::text::day_words;
use super::view::{Card, ClientView, PlateGroup, ReportView, Span, StepsView, TableView};
use crate::chance::{HOLDS_PERCENT, Verdict, in_hundred};
use crate::chart::{Figure, NumberTable, capital, month_name, style_sheet};
use crate::forecast::InputShare;
use crate::units::notation::visible;
use crate::units::{Chance, UnitSystem};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use rayon::prelude::*;
use std::fmt::Write;

pub(super) const REPORT_CSS: &str = include_str!("report.css");

/// The report as the text of one HTML file: no script, no font and no picture from elsewhere.
/// The same view gives the same bytes.
#[must_use]
pub fn html_page(view: &ReportView) -> String {
    let step = |id: &str| view.steps.iter().find(|steps| steps.id == id);
    let marks = [
        ("answers", "What to change", true),
        ("setup", "Bench sheet", view.bench.is_some()),
        ("calendar", "Calendar", !view.calendar.is_empty()),
        ("on-site", "On site", step("on-site").is_some()),
        ("client", "Sheet for the client", true),
        ("decisions", "What decides", !view.cards.is_empty()),
        ("appendix", "Appendix", true),
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
                a.skip href="#answers" { "To what to change" }
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
                        (first_page(view))
                        @if let Some(bench) = &view.bench { (bench_section(bench)) }
                        (calendar_section(view))
                        @if let Some(steps) = step("glue-up") { (step_lines(steps)) }
                        @if let Some(steps) = step("on-site") { (step_lines(steps)) }
                        (client(&view.client, &view.piece))
                        (decisions(view))
                        (appendix(view))
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

/// The piece, the counts, three things to change, and the cautions.
fn first_page(view: &ReportView) -> Markup {
    let change: Vec<&Card> = worst_first(&view.cards)
        .into_iter()
        .filter(|card| card.verdict != Verdict::Holds)
        .collect();
    html! {
        section.first aria-labelledby="answers" {
            h2 #answers { "What to change" }
            p.counts { (counts(&view.cards)) }
            @if let Some(picture) = &view.picture {
                figure.wide {
                    figcaption { strong { (text(picture.title())) } span.small { (text(picture.reading())) } }
                    div.scroll tabindex="0" role="region" aria-label=(picture.title()) { (PreEscaped(picture.svg_inline())) }
                    (figure_numbers(picture))
                }
            }
            @if !change.is_empty() {
                ol.change { @for card in change.iter().take(FIRST_CHANGES) { (change_item(card)) } }
                @if change.len() > FIRST_CHANGES {
                    p.small { (change.len() - FIRST_CHANGES) " more are marginal: see What decides." }
                }
            }
            // The bench sheet has them where the work is done.
            @if view.bench.is_none() { (cautions(&view.cautions)) }
        }
    }
}

/// How many changes stand on the first page.
const FIRST_CHANGES: usize = 3;

/// One thing to change: verdict, chance, why, and the first remedy.
fn change_item(card: &Card) -> Markup {
    html! {
        li {
            span class={ "stamp " (card.verdict.word()) } { (card.verdict.word()) } " "
            b { (text(&card.joint)) }
            @if let Some(chance) = card.holds_chance { ", works in " (in_hundred(chance)) }
            ". " (text(&card.reason))
            @if let Some(remedy) = card.remedies.first() {
                p { "Best: " (text(&remedy.what)) "; then it works in " (in_hundred(remedy.holds_chance)) "." }
            } @else if let Some(action) = &card.action { p { (text(action)) } }
        }
    }
}

fn worst_first(cards: &[Card]) -> Vec<&Card> {
    let mut ordered: Vec<&Card> = cards.iter().collect();
    ordered.sort_by(|a, b| {
        let chance = |card: &Card| card.holds_chance.unwrap_or(Chance::CERTAIN);
        b.verdict
            .cmp(&a.verdict)
            .then(chance(a).total_cmp(&chance(b)))
    });
    ordered
}

fn calendar_section(view: &ReportView) -> Markup {
    html! {
        @if !view.calendar.is_empty() {
            section.calendar aria-labelledby="calendar" {
                h2 #calendar { "Calendar" }
                p.small { "The same days are in calendar.ics, beside this report." }
                div.scroll tabindex="0" role="region" aria-label="Days of the calendar" {
                    table {
                        thead { tr { th scope="col" { "Day" } th scope="col" { "What" } th scope="col" { "About" } } }
                        tbody {
                            @for day in &view.calendar {
                                tr { th scope="row" { (day_words(day.on)) } td { (day.what) } td { (text(&day.about)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What does not hold in full, the figures that carry a decision, and what holds as a table.
fn decisions(view: &ReportView) -> Markup {
    let ordered = worst_first(&view.cards);
    let (doubtful, holding): (Vec<&Card>, Vec<&Card>) = ordered
        .into_iter()
        .partition(|card| card.verdict != Verdict::Holds);
    html! {
        @if !view.cards.is_empty() {
            section.decide aria-labelledby="decisions" {
                h2 #decisions { "What decides" }
                p.small { "A chance counts draws in which every uncertain input took its own value." }
                @if doubtful.len() > FIRST_CHANGES {
                    ol.change start=(FIRST_CHANGES + 1) {
                        @for card in doubtful.iter().skip(FIRST_CHANGES) { (change_item(card)) }
                    }
                }
                @for group in plate_groups(&view.decisions) { (group) }
                @if !holding.is_empty() { (holding_table(&holding, view.units)) }
            }
        }
    }
}

/// What holds: a line each, its chance as a bar.
fn holding_table(cards: &[&Card], units: UnitSystem) -> Markup {
    html! {
        h3 { "What holds" }
        div.scroll tabindex="0" role="region" aria-label="What holds" {
            table.holding {
                thead { tr { th scope="col" { "Joint" } th scope="col" { "Do" } th scope="col" { "Works in" } } }
                tbody {
                    @for card in cards {
                        tr {
                            th scope="row" { (text(&card.joint)) }
                            td {
                                @if let Some(big) = &card.size {
                                    (text(&big.before)) " " b { (text(&in_both(big.size, units).0)) }
                                } @else if let Some(action) = &card.action { (text(action)) }
                            }
                            td.num {
                                @if let Some(chance) = card.holds_chance { (chance_bar(chance)) " " (in_hundred(chance)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A bar of a chance, its limit for `holds` marked.
fn chance_bar(chance: Chance) -> Markup {
    let width = format!("{:.0}", chance.percent().clamp(0.0, 100.0));
    html! {
        svg.chance-bar xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 8" width="100" height="8" aria-hidden="true" {
            rect.whole width="100" height="8" {}
            rect.part width=(width) height="8" {}
            rect.limit x=(HOLDS_PERCENT) width="1" height="8" {}
        }
    }
}

/// Everything else: folded on the screen, printed only when asked for.
fn appendix(view: &ReportView) -> Markup {
    html! {
        section.appendix aria-labelledby="appendix" {
            h2 #appendix { "Appendix" }
            p.print-choice {
                label { input #print-appendix type="checkbox" autocomplete="off"; " Print the appendix too" }
            }
            details.more {
                summary { "Month by month, every other figure, numbers and sources" }
                @if !view.cards.is_empty() {
                    section aria-labelledby="cards" {
                        h2 #cards { "Every answer" }
                        div.cards { @for card in worst_first(&view.cards) { (answer(card, view.units)) } }
                    }
                }
                @if !view.walk.is_empty() { (walk(&view.walk, view.walk_month)) }
                @if !view.groups.is_empty() {
                    section aria-labelledby="figures" {
                        h2 #figures { "Figures" }
                        @for group in plate_groups(&view.groups) { (group) }
                    }
                }
                @if !view.measure_next.is_empty() { (narrow(&view.measure_next)) }
                @if !view.tables.is_empty() { (numbers(&view.tables)) }
                (sources(view))
            }
        }
    }
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

fn counts(cards: &[Card]) -> Markup {
    html! {
        @if cards.is_empty() {
            "The job asks for nothing to be cut or glued."
        } @else {
            (capital(&super::statements::counted(cards))) "."
        }
    }
}

fn answer(card: &Card, units: UnitSystem) -> Markup {
    html! {
        article class={ "card " (card.verdict.word()) } {
            header {
                h3 { (text(&card.joint)) }
                span {
                    span.stamp { (card.verdict.word()) }
                    @if let Some(chance) = card.holds_chance {
                        " " span.chance { "chance " (in_hundred(chance)) }
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
                            li { (text(&remedy.what)) ": chance then " (in_hundred(remedy.holds_chance)) }
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

/// Groups of figures, put together beside each other: their numbers are most of the page.
fn plate_groups(groups: &[PlateGroup]) -> Vec<Markup> {
    groups.par_iter().map(plate_group).collect()
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
            div.scroll tabindex="0" role="region" aria-label=(figure.title()) { (picture) }
            (figure_numbers(figure))
        }
    }
}

fn figure_numbers(figure: &Figure) -> Markup {
    html! {
        details {
            summary { "The numbers" span.unseen { " of: " (figure.title()) } }
            div.scroll tabindex="0" role="region" aria-label={ "Numbers: " (figure.title()) } {
                (table(figure.numbers(), None))
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

fn narrow(inputs: &[InputShare]) -> Markup {
    html! {
        section aria-labelledby="narrow" {
            h2 #narrow { "What to measure next" }
            p { "What the answers in doubt depend on most, and how wide they would still spread once it is measured." }
            div.scroll tabindex="0" role="region" aria-label="Table of inputs" {
                table {
                    thead { tr { th scope="col" { "Input" } th scope="col" { "What would narrow it" } th scope="col" { "Share of the spread" } th scope="col" { "Spread left then" } } }
                    tbody {
                        @for one in inputs {
                            tr { th scope="row" { (text(&one.input)) } td { (text(&one.measure)) } td { (format!("{:.0} %", one.share.percent())) } td { (format!("{:.0} %", one.narrows_to.percent())) } }
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
            @match sheet.keep_humidity {
                Some([low, high]) => p.keep {
                    "Keep the air of the room between " b { (format!("{:.0} %", low.percent())) } " and " b { (format!("{:.0} %", high.percent())) } " relative humidity."
                },
                None => p.keep { "No joint sets a limit to the humidity of the room; an even climate is kindest to wood." },
            }
            @for sentence in &sheet.sentences { p { (text(sentence)) } }
            @if let Some(picture) = &sheet.picture {
                figure.wide {
                    figcaption { strong { (text(picture.title())) } }
                    div.scroll tabindex="0" role="region" aria-label=(picture.title()) { (PreEscaped(picture.svg_inline())) }
                    (figure_numbers(picture))
                }
            }
        }
    }
}
