//! Finishes beside the handbook's table: their files, their proxies, and the command that lists them.

use super::close;
use assert_cmd::Command;
use heartside::moisture::{
    ExclusionTest, Finish, board_slowed, exclusion_table, finish_files, finishes, fit_permeance,
};
use heartside::species::Status;
use serde_json::Value;

/// Rows of each file, and how many of them are used; a row without a permeance bears out one of the table.
#[test]
fn every_file_parses_and_every_row_is_used_or_bears_out_another() {
    let files = finish_files();
    let counts: Vec<(&str, usize)> = files
        .iter()
        .map(|(file, rows)| (*file, rows.len()))
        .collect();
    assert_eq!(
        counts,
        [
            ("fpl_rp_462_finish_exclusion.csv", 18),
            ("quoted_finish_exclusion.csv", 16),
            ("finish_proxies.csv", 32)
        ]
    );
    let mut missing: Vec<String> = Vec::new();
    for (file, rows) in &files {
        for row in rows {
            assert!(!row.source.is_empty(), "{file}: {}", row.finish);
            assert_eq!(
                row.proxy.is_some(),
                row.status == Status::Judgement,
                "{file}: {}",
                row.finish
            );
            if row.permeance_kg_per_m2_s_pa.is_some() {
                assert!(Finish::thinnest(&row.finish).is_ok(), "{}", row.finish);
                continue;
            }
            // A quotation of the table: within 2 points of what is there, save the one conflict.
            let same = exclusion_table()
                .iter()
                .find(|own| own.finish == row.finish && own.coats == row.coats);
            if let Some(own) = same {
                let apart = (own.day14_percent.unwrap() - row.day14_percent.unwrap()).abs();
                assert!(
                    apart < 2.0 || row.note.contains("CONFLICT"),
                    "{}: {apart}",
                    row.finish
                );
            } else {
                if row.day14_percent.unwrap() > 0.0 || row.day1_percent.is_some() {
                    let fitted = fit_permeance(&ExclusionTest::HANDBOOK, row.measured_percent());
                    missing.push(format!("{file}|{}|{}|{fitted:.4e}", row.finish, row.coats));
                }
            }
        }
    }
    assert!(
        missing.is_empty(),
        "rows without a permeance:\n{}",
        missing.join("\n")
    );
}

/// Permeances of read and recalled rows fit their figures; those of proxies are the proxy's.
#[test]
fn permeances_fit_their_figures() {
    for (file, rows) in finish_files() {
        for row in rows {
            let Some(permeance) = row.permeance_kg_per_m2_s_pa else {
                continue;
            };
            if permeance.is_infinite() {
                assert_eq!(row.day14_percent, Some(0.0));
                continue;
            }
            if row.status != Status::Judgement {
                let fitted = fit_permeance(&ExclusionTest::HANDBOOK, row.measured_percent());
                close(permeance / fitted, 1.0, 2e-3);
            }
            assert!(
                row.residual_points() < 5.0,
                "{file}: {} {}",
                row.finish,
                row.residual_points()
            );
            if let (Some(low), Some(high)) = (row.low14_percent, row.high14_percent) {
                let middle = row.day14_percent.unwrap();
                assert!(low <= middle && middle <= high, "{file}: {}", row.finish);
            }
        }
    }
}

fn list(arguments: &[&str]) -> Value {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .arg("finishes")
        .args(arguments)
        .arg("--json")
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn the_command_lists_names_coats_and_how_much_each_slows() {
    let all = list(&[]);
    assert_eq!(all["finishes"].as_array().unwrap().len(), finishes().len());
    let shellac = list(&["shellac"]);
    let coats: Vec<u64> = shellac["finishes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["coats"].as_u64().unwrap())
        .collect();
    assert_eq!(coats, [1, 2, 3, 4, 5, 6]);
    let slowed: Vec<f64> = shellac["finishes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["slowed_times"].as_f64().unwrap())
        .collect();
    assert!(
        slowed.windows(2).all(|pair| pair[0] < pair[1]) && slowed[0] > 1.0,
        "{slowed:?}"
    );
    let danish = &list(&["danish oil"])["finishes"][1];
    assert_eq!(danish["status"], "judgement");
    assert_eq!(danish["day14_high_percent"], 3.0);
    assert!(danish["proxy"].as_str().unwrap().contains("Tung oil"));
    assert_eq!(list(&["none"])["finishes"], serde_json::json!([]));
    let unknown = Command::cargo_bin("heartside")
        .unwrap()
        .args(["finishes", "xyzzy"])
        .output()
        .unwrap();
    assert_eq!(unknown.status.code(), Some(2));
    close(board_slowed(Finish::bare()), 1.0, 1e-12);
}

#[test]
fn the_figure_draws_every_finish_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("finishes.svg");
    Command::cargo_bin("heartside")
        .unwrap()
        .args(["finishes", "lacquer", "--svg", file.to_str().unwrap()])
        .assert()
        .success();
    let svg = std::fs::read_to_string(&file).unwrap();
    assert!(svg.contains("Nitrocellulose lacquer, 3 coats"), "{svg}");
}
