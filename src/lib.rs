//! `heartside` forecasts how the parts of a piece of furniture will move, and what to cut today so that every joint
//! lives through the driest and the wettest time of its year. (Heart side: the face of a board toward the pith; it tells
//! which way the board will cup.)
//!
//! These pages read in order, as a short book of wood movement. Each chapter is a room of the house and uses only the
//! chapters before it; its own page says what it answers, what it needs and where its numbers come from, and every formula
//! stands beside the function that works it out, with its source.
//!
//! # Contents
//!
//! | chapter | what it answers | its sources |
//! |---|---|---|
//! | [`units`] | quantities, their allowed ranges, shop notation in and out | international yard and pound (1959), standard gravity (1901) |
//! | [`numerics`] | plain kernels that know no wood | Ridders 1979, Gauss and Legendre |
//! | [`chance`] | spreads, draws, bands, what matters most, beliefs and measurements | Owen and Burley's scrambling of Sobol's points, Sobol 1993, Gelman et al., Kalman 1960 |
//! | [`species`] | what one wood is like | *Wood Handbook* (FPL-GTR-190) Tables 4-1 to 5-6, *Panel Paintings* (Getty 1998) |
//! | [`air`] | vapour, equilibrium moisture, a year of air, rooms | Hyland and Wexler, *Wood Handbook* Eq. 4-5, EN 15026, ISO 13788, typical-year weather files, two measured houses |
//! | [`moisture`] | a board's moisture through thickness and time, finishes | Siau 1984, Crank, *Wood Handbook* Table 16-3 |
//! | [`movement`] | shrinkage, width, thickness, cup and out-of-square, bow | *Wood Handbook* chs. 4 and 13, exact geometry, Timoshenko 1925 |
//! | [`rings`] | where the pith is, from a photo of the end grain | concentric rings fitted to line directions, measured on sawn discs |
//! | [`stock`] | resawing, locked-in strain, test strips, rest, milling | elementary beams; priors by judgement, held against a published scale |
//! | [`panel`] | bookmatch, slip-match and the layout that moves minimum | composite beams, the section map chained |
//! | [`piece`] | where each part sits: boxes, contacts, openings, chains that must close | exact geometry |
//! | [`joint`] | fits, bonds, the wood left, and the trade's joints made of them | shear-lag, Getty 1998, ISO 13910, *Wood Handbook* ch. 5 |
//! | [`carcass`] | panels pulled straight, shelves, glue-up stages, work on site | slender beams, NDS 3.5.2, *Wood Handbook* ch. 5 and on fastenings |
//! | [`job`] | the job file of one piece | - |
//! | [`forecast`] | all of it for one job, with chances | the chapters above |
//! | [`chart`], [`report`], [`page`], [`cli`] | the answers drawn, given, on a local page, on the command line | - |
//!
//! What was read in its source, what is recalled (*from memory*) and what is judgement is said at each number, and every
//! forecast lists it again.
//!
//! # Four answers, ten lines each
//!
//! **A width.** A walnut panel 14 in wide, flat-sawn, dries from 9 to 6 %:
//!
//! ```
//! use heartside::movement::{Face, RingStrains, Rings, Section, Shrinkage};
//! use heartside::{species::SpeciesTable, units::Length};
//!
//! let walnut = Shrinkage::of(SpeciesTable::built_in().find("black walnut")?);
//! let rings = Rings::Pith { depth: "3in".parse()?, offset: Length::ZERO };
//! let panel = Section { width: "14in".parse()?, thickness: "5/8in".parse()?, rings };
//! let dried = RingStrains::of(&walnut, "9%".parse()?, "6%".parse()?);
//! let moved = panel.moved(dried).ok_or("the pith is inside")?;
//! assert_eq!(format!("{:.1}", moved.width(Face::Bark)), "353.1 mm");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **A cup**, read off the same map; positive: the face is hollow.
//!
//! ```
//! use heartside::movement::{Face, RingStrains, Rings, Section, Shrinkage};
//! use heartside::{species::SpeciesTable, units::Length};
//!
//! let oak = Shrinkage::of(SpeciesTable::built_in().find("oak, white")?);
//! let rings = Rings::Pith { depth: "60mm".parse()?, offset: Length::ZERO };
//! let board = Section { width: "200mm".parse()?, thickness: "20mm".parse()?, rings };
//! let dried = RingStrains::of(&oak, "12%".parse()?, "7%".parse()?);
//! let cup = board.moved(dried).ok_or("the pith is inside")?.cup(Face::Bark);
//! assert_eq!(format!("{cup:.2}"), "0.81 mm");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **A bow.** The upper half of a 50 mm board whose core is 3 % wetter than its shell, freed by the saw and dried:
//!
//! ```
//! use heartside::movement::{curvature_of_moisture_slope, parabola_slope_percent_per_mm};
//! use heartside::units::Length;
//!
//! let (board, middle): (Length, Length) = ("50mm".parse()?, "25mm".parse()?);
//! let slope = parabola_slope_percent_per_mm(board, middle, board, 3.0);
//! let along_the_grain = 0.1 / 100.0 / 30.0; // 0.1 % from 30 % to oven-dry
//! let bend = curvature_of_moisture_slope(along_the_grain, -slope);
//! assert_eq!(format!("{:.2}", bend.rise_over("1200mm".parse()?)), "0.72 mm");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **A fit.** The first panel in a frame: today, in the driest and in the wettest time. How deep must the grooves be?
//!
//! ```
//! use heartside::joint::{Aim, Axis, Days, Fit, Motion, PartId, Term};
//!
//! let (panel, stile) = (PartId(0), PartId(1));
//! let motion = Motion::still(2, 3).with(panel, Axis::Width, &[1.0, 0.992, 1.003]);
//! let groove = Term::cut(stile, Axis::Width);
//! let opening = Term::known(stile, Axis::Length, "13 1/4in".parse()?);
//! let width = Term::known(panel, Axis::Width, "14in".parse()?);
//! let fit = Fit { share: 0.5, min: "1mm".parse()?, aim: Aim::Min, ..Fit::between(vec![opening, groove, groove], vec![width]) };
//! let cuts = fit.cut_interval(&motion, &Days { cut: 0, judged: 0..3 });
//! assert_eq!(cuts.choose(fit.aim).map(|depth| format!("{depth:.1} mm")), Some("11.1 mm".into()));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Without the default features these rooms and the forecast are all there is: no command line, no page, no charts.
//! A whole job does the same with the moisture of every day instead of an equilibrium ([`moisture`]), with every part that
//! counts, and with thousands of draws of all that a maker cannot know ([`forecast()`](forecast::forecast)):
//!
//! ```
//! let job = heartside::job::read(heartside::job::demo(), "hall-sideboard.toml")?;
//! assert_eq!(job.parts.len(), 15);
//! # Ok::<(), heartside::job::JobErrors>(())
//! ```
//!
//! The rooms stand in order; each uses only those above it.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        reason = "a test may stop on a surprise"
    )
)]

pub mod units;

pub mod numerics;

pub mod chance;

pub mod species;

pub mod air;

pub mod moisture;

pub mod movement;

pub mod rings;

pub mod stock;

pub mod panel;

pub mod piece;

pub mod joint;

pub mod carcass;

#[cfg_attr(
    not(feature = "job"),
    allow(
        dead_code,
        reason = "a job is then built in code, and no key of a file is read"
    )
)]
pub mod job;

pub mod forecast;

#[cfg(feature = "chart")]
pub mod chart;

#[cfg(feature = "report")]
pub mod report;

#[cfg(feature = "page")]
pub mod page;

#[cfg(feature = "cli")]
pub mod cli;
