use heartside::species::*;
#[test]
fn probe() {
    let t = SpeciesTable::built_in();
    println!("records {}", t.all().len());
    for row in tables::trade_names().unwrap() {
        let r = heartside::units::Region::ALL
            .into_iter()
            .find(|r| row.region.starts_with(r.word()))
            .unwrap();
        match t.in_region(Some(r)).look_up(&row.trade_name) {
            Ok(n) => {
                if n.species.name != row.member && matches!(n.species.kind, Kind::Wood) {
                    println!(
                        "{} {} -> {} not {}",
                        row.trade_name, row.region, n.species.name, row.member
                    )
                }
            }
            Err(e) => println!("ERR {e}"),
        }
    }
    for r in tables::selected().unwrap() {
        let s = t.find(&r.species).unwrap();
        println!(
            "{:24} {:5.2} {:5.2} F{:4} spread {:.2} {:.2} n{} {} | {:?}",
            s.name,
            s.radial_percent(),
            s.tangential_percent(),
            s.fiber_saturation().value,
            s.source_spread[1],
            s.source_spread[0],
            s.witnesses.len(),
            s.shrinkage
                .tangential_percent
                .source
                .chars()
                .take(30)
                .collect::<String>(),
            s.movement_class()
        );
    }
    for r in tables::tropix().unwrap() {
        let s = t.find(&r.species);
        match s {
            Ok(s) => {
                if (s.radial_percent() - r.radial_percent).abs() > 1e-9 {
                    println!("tropix {} {}", r.species, s.radial_percent())
                }
            }
            Err(e) => println!("{e}"),
        }
    }
    for s in t.all() {
        if s.source_spread[0] > 0.2 || s.source_spread[1] > 0.2 {
            println!("wide {} {:?}", s.name, s.source_spread);
            for w in &s.witnesses {
                println!(
                    "   {:?} {:?} {}",
                    w.percent_per_percent(),
                    w.status,
                    w.source.chars().take(40).collect::<String>()
                )
            }
        }
    }
}

#[test]
fn fits() {
    use heartside::moisture::*;
    for (f, rows) in finish_files() {
        for r in rows {
            if r.permeance_kg_per_m2_s_pa.is_none() {
                println!(
                    "FIT|{f}|{}|{}|{:.4e}",
                    r.finish,
                    r.coats,
                    fit_permeance(&ExclusionTest::HANDBOOK, r.measured_percent())
                );
            }
        }
    }
}
