//! The bench sheet as HTML: a section of the report, and a page of its own.

use super::bench_sheet::BenchSheet;
use super::setting::text;
use super::text::day_words;
use crate::units::notation::visible;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const CSS: &str = include_str!("bench_sheet.css");

/// The paper that a sheet is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 8 1/2 x 11 in.
    Letter,
}

impl Paper {
    const fn css(self) -> &'static str {
        match self {
            Self::A4 => "@page{size:A4 portrait;margin:9mm}",
            Self::Letter => "@page{size:letter portrait;margin:0.35in}",
        }
    }
}

/// The style of the sheet, for the page that holds it.
pub(super) const fn bench_style() -> &'static str {
    CSS
}

/// The sheet alone, as the text of one HTML file that prints on one page.
#[must_use]
pub fn sheet_page(sheet: &BenchSheet, paper: Paper) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "heartside " (env!("CARGO_PKG_VERSION")) };
                title { (sheet.piece) ": bench sheet" }
                style { (PreEscaped(super::html::REPORT_CSS)) (PreEscaped(CSS)) (PreEscaped(paper.css())) }
            }
            body.alone { main { h1 { (sheet.piece) } (bench_section(sheet)) } }
        }
    };
    visible(&page.into_string()).into_owned()
}

/// The sheet as a section.
pub(super) fn bench_section(sheet: &BenchSheet) -> Markup {
    html! {
        section.bench aria-labelledby="setup" {
            h2 #setup { "Bench sheet, " (day_words(sheet.day)) }
            div.scroll tabindex="0" role="region" aria-label="Table of cuts" {
                table.cuts {
                    thead {
                        tr {
                            th scope="col" { "Part" }
                            th scope="col" { "Cut" }
                            th scope="col" { "From reference" }
                            th scope="col" { "Size" }
                            th scope="col" { "Depth" }
                            th scope="col" { "Set" }
                            th scope="col" { "Joint" }
                            th scope="col" { "Done" }
                        }
                    }
                    tbody {
                        @for row in sheet.rows() {
                            tr {
                                th scope="row" { (text(&row.part)) }
                                td { (text(&row.what)) }
                                td.num { (text(&row.places)) }
                                td.num { b { (text(&row.size)) } " " span.other { (text(&row.other)) } }
                                td.num { (text(&row.depth)) }
                                td { (row.setting) }
                                td.joint { (text(&row.joint)) }
                                td.tick { input type="checkbox" aria-label={ "Done: " (row.part) ", " (row.what) ", " (row.joint) } autocomplete="off"; }
                            }
                        }
                    }
                }
            }
            p.small { "From the reference end (left, front or bottom), edge or face to the near side of the cut. Set: cuts of one number are one tool setting; make the one marked trial first, in an off-cut." }
            div.lists {
                @for (title, lines) in sheet.lists() {
                    @if !lines.is_empty() {
                        div {
                            h3 { (title) }
                            ul { @for line in lines { li { (text(&line)) } } }
                        }
                    }
                }
            }
        }
    }
}
