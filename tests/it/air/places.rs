//! The built-in places.

use heartside::air::places::{built_in, find};
use heartside::air::{dew_point, equilibrium_moisture};

#[test]
fn no_row_of_the_table_is_lost() {
    let rows = include_str!("../../../src/air/places.csv").lines().count() - 1;
    assert_eq!(rows, 57 * 12);
    assert_eq!(built_in().len(), 57);
}

#[test]
fn every_place_is_a_plausible_one() {
    for place in built_in() {
        assert!(!place.source.is_empty(), "{place}");
        assert_eq!(place.status, "seen", "{place}");
        assert!(place.latitude_degrees.abs() <= 90.0 && place.longitude_degrees.abs() <= 180.0);
        for (month, printed) in place.months.iter().zip(place.printed_humidity_percent) {
            assert!(
                (-35.0..42.0).contains(&month.temperature.celsius()),
                "{place}"
            );
            // The mean of the hours lies above what mean temperature and dew point imply, by more
            // where days and nights differ much.
            let by_vapour = month.humidity.percent();
            assert!(
                (-3.5..14.0).contains(&(printed - by_vapour)),
                "{place}: printed {printed}, by vapour pressure {by_vapour}"
            );
        }
    }
}

#[test]
fn the_smooth_year_keeps_the_months() {
    for place in built_in() {
        for (kept, given) in place
            .outdoor_year()
            .monthly_means()
            .iter()
            .zip(&place.months)
        {
            assert!((kept.temperature.celsius() - given.temperature.celsius()).abs() < 1e-9);
            assert!(
                (kept.humidity.percent() - given.humidity.percent()).abs() < 0.05,
                "{place}: {kept:?} {given:?}"
            );
        }
    }
}

#[test]
fn january_of_chicago_is_that_of_the_station() {
    // TMY3 725300 monthly statistics: the dew point comes back from the vapour pressure.
    let chicago = find("Chicago").unwrap();
    assert_eq!(chicago.source, "TMY3 725300 monthly statistics");
    let text = include_str!("../../../src/air/places.csv");
    let row = text
        .lines()
        .find(|line| line.starts_with("Chicago,") && line.split(',').nth(6) == Some("1"))
        .unwrap();
    let cell = |index: usize| row.split(',').nth(index).unwrap().parse::<f64>().unwrap();
    assert!((chicago.months[0].temperature.celsius() - cell(7)).abs() < 1e-9);
    assert!((dew_point(chicago.months[0]).unwrap().celsius() - cell(8)).abs() < 1e-6);
}

#[test]
fn outdoor_wood_agrees_with_the_handbooks_cities() {
    // Wood Handbook Table 13-1 (outdoor EMC of cities, from memory), computed there from longer
    // means: January and July within 3 % moisture.
    for (city, january, july) in [
        ("Phoenix", 9.4, 6.2),
        ("Chicago", 14.2, 12.8),
        ("New Orleans", 14.9, 15.2),
        ("Denver", 10.7, 9.4),
    ] {
        let months = find(city).unwrap().months;
        for (month, given) in [(0, january), (6, july)] {
            let here = equilibrium_moisture(months[month]).percent();
            assert!(
                (here - given).abs() < 3.0,
                "{city}, month {month}: {here}, given {given}"
            );
        }
    }
}

#[test]
fn names_are_found_as_makers_write_them() {
    for (asked, name) in [
        ("denver", "Denver"),
        ("Denver, CO", "Denver"),
        ("Denver CO", "Denver"),
        ("Denver, United States", "Denver"),
        ("St. Louis", "St Louis"),
        ("Saint Louis, MO", "St Louis"),
        ("Montréal", "Montreal"),
        ("Seattle", "Seattle-Tacoma"),
        ("minneapolis", "Minneapolis-St Paul"),
        ("Rome", "Rome (Fiumicino)"),
        ("Rome, Italy", "Rome (Fiumicino)"),
    ] {
        assert_eq!(find(asked).unwrap().name, name, "{asked}");
    }
}

#[test]
fn a_near_miss_is_suggested_and_a_far_one_says_what_to_do() {
    let error = find("Chikago").unwrap_err();
    assert!(
        error
            .to_string()
            .contains("did you mean Chicago, IL, United States")
    );
    assert!(crate::refused(
        find("Denver, TX"),
        "no built-in place is called"
    ));
    let error = find("Xyzzy").unwrap_err().to_string();
    assert!(error.contains("a larger city nearby"), "{error}");
    assert!(find("").is_err());
}
