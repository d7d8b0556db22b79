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
//! | [`species`] | what one wood is like | *Wood Handbook* (FPL-GTR-190) Tables 4-1 to 5-6, *Panel Paintings* (Getty 1998), ANC-18 (1951) |
//! | [`air`] | vapour, equilibrium moisture, a year of air, rooms | Hyland and Wexler, *Wood Handbook* Eq. 4-5, EN 15026, ISO 13788, typical-year weather files, two measured houses |
//! | [`moisture`] | a board's moisture through thickness and time, finishes | Siau 1984, Crank, *Wood Handbook* Table 16-3 |
//! | [`movement`] | shrinkage, width, thickness, cup and out-of-square, bow | *Wood Handbook* chs. 4 and 13, exact geometry, Timoshenko 1925 |
//! | [`stock`] | resawing, locked-in strain, test strips, rest, milling | elementary beams; priors by judgement, held against a published scale |
//! | [`panel`] | bookmatch, slip-match and the placing that moves least | composite beams, the section map chained |
//! | [`piece`] | where each part sits: boxes, contacts, openings, chains that must close | exact geometry |
//! | [`joint`] | fits, bonds, the wood left, and the trade's joints made of them | shear-lag, Getty 1998, ISO 13910, *Wood Handbook* ch. 5 |
//! | [`carcass`] | panels pulled straight, shelves, glue-up stages, work on site | slender beams, NDS 3.5.2, *Wood Handbook* ch. 5 and on fastenings |
//! | [`job`] | the job file of one piece | - |
//! | [`forecast`] | all of it for one job, with chances | the chapters above |
//! | [`chart`], [`report`], [`page`], [`cli`] | the answers drawn, told, on a local page, on the command line | - |
//!
//! What was read in its source, what is recalled (*from memory*) and what is judgement is said at each number, and every
//! forecast lists it again.
//!
//! # One thread, from air to a cut
//!
//! A walnut door panel, 14 in wide and flat-sawn, stands at 9 % moisture in the shop and will live in a heated house. How
//! deep must the grooves in its frame be cut today?
//!
//! ```
//! use heartside::air::{AirState, equilibrium_moisture};
//! use heartside::joint::fit::FitWords;
//! use heartside::joint::{Aim, Axis, Days, Fit, Greatest, Motion, PartId, Term, When};
//! use heartside::movement::{Face, RingStrains, Rings, Section, Shrinkage};
//! use heartside::species::SpeciesTable;
//! use heartside::units::notation::{humidity, length, millimetres, moisture, temperature};
//! use heartside::units::Length;
//!
//! // Air to moisture: what thin wood comes to in the driest and in the wettest time of the house.
//! let room = temperature("70F")?;
//! let today = moisture("9%")?;
//! let driest = equilibrium_moisture(AirState::new(room, humidity("26%")?));
//! let wettest = equilibrium_moisture(AirState::new(room, humidity("55%")?));
//! assert!((driest.percent() - 5.5).abs() < 0.05 && (wettest.percent() - 10.1).abs() < 0.05);
//!
//! // Moisture to movement: the wood's shrinkage, and the section with its rings.
//! let walnut = Shrinkage::of(SpeciesTable::built_in().find("black walnut")?);
//! let panel = Section {
//!     width: length("14in")?,
//!     thickness: length("5/8in")?,
//!     rings: Rings::Pith { depth: length("3in")?, offset: Length::ZERO },
//! };
//! let width = |at| {
//!     let moved = panel.moved(RingStrains::of(&walnut, today, at));
//!     moved.map_or(panel.width, |moved| moved.width(Face::Bark))
//! };
//! assert_eq!(millimetres(width(driest)), "352.7 mm");
//! assert_eq!(millimetres(width(wettest)), "356.5 mm");
//!
//! // Movement to a cut: a fit is a host less a guest on every day; here on three.
//! let (panel_id, stile) = (PartId(0), PartId(1));
//! let mut motion = Motion::still(2, 3);
//! for (day, at) in [today, driest, wettest].into_iter().enumerate() {
//!     motion.ratios_mut(panel_id, Axis::Width)[day] = width(at) / panel.width;
//! }
//! let groove = Term::cut(stile, Axis::Width);
//! let fit = Fit {
//!     name: "door panel in its frame".into(),
//!     host: vec![Term::known(stile, Axis::Length, length("13 1/4in")?), groove, groove],
//!     guest: vec![Term::known(panel_id, Axis::Width, panel.width)],
//!     share: 0.5, // held at its centre: half of the room at either edge
//!     least: length("1mm")?,
//!     greatest: Greatest::Holding { reach: groove, least: length("5mm")? },
//!     given: None,
//!     aim: Aim::Least,
//!     when: When::Always,
//!     words: FitWords {
//!         cut: "groove",
//!         dimension: "deep",
//!         gap: "room between the panel's edge and the bottom of the groove".into(),
//!         too_tight: "the panel pushes the frame apart".into(),
//!         too_loose: "the panel slips out of the groove".into(),
//!     },
//! };
//! let days = Days { cut: 0, judged: 0..3 };
//! let depth = fit.cut_interval(&motion, &days).choose(fit.aim).unwrap_or_default();
//! // Half of what the panel stands over the opening at its widest, and 1 mm of room.
//! assert_eq!(millimetres(Length::computed_mm(depth)), "11 mm");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A whole job does the same with the moisture of every day instead of an equilibrium ([`moisture`]), with every part that
//! counts, and with thousands of draws of all that a maker cannot know ([`forecast()`](forecast::forecast)):
//!
//! ```
//! let job = heartside::job::read(heartside::job::demo(), "hall-sideboard.toml")?;
//! assert_eq!(job.parts.len(), 13);
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

pub mod stock;

pub mod panel;

pub mod piece;

pub mod joint;

pub mod carcass;

pub mod job;

pub mod forecast;

pub mod chart;

pub mod report;

pub mod page;

pub mod cli;
