//! The built-in places.

use heartside::air::places::{built_in, find};
use heartside::air::{dew_point, equilibrium_moisture};

#[test]
fn no_row_of_the_table_is_lost() {
    let rows = include_str!("../../../src/air/places/tmy.csv")
        .lines()
        .count()
        - 1;
    assert_eq!(rows, 57 * 12);
    let added = include_str!("../../../src/air/places/dwd.csv")
        .lines()
        .count()
        - 1;
    assert_eq!(added, 101 * 12);
    assert_eq!(built_in().len(), 158);
}

#[test]
fn every_place_is_a_plausible_one() {
    for place in built_in() {
        assert!(!place.source.is_empty(), "{place}");
        assert!(
            ["seen", "derived", "memory"].contains(&place.status.as_str()),
            "{place}"
        );
        assert!(place.latitude_degrees.abs() <= 90.0 && place.longitude_degrees.abs() <= 180.0);
        for (month, printed) in place.months.iter().zip(place.printed_humidity_percent) {
            assert!(
                (-35.0..42.0).contains(&month.temperature.celsius()),
                "{place}"
            );
            // Of monthly reports the humidity is without the swing of days, below what the dew point of the mean vapour
            // pressure gives in cold months.
            // Buenos Aires in August is listed as an anomaly.
            let lowest = match place.name.as_str() {
                "Buenos Aires (Ezeiza)" => -19.0,
                _ if place.status == "seen" => -3.5,
                _ => -13.0,
            };
            // The mean of the hours lies above what mean temperature and dew point imply, by more
            // where days and nights differ much.
            let by_vapour = month.humidity.percent();
            assert!(
                (lowest..14.0).contains(&(printed - by_vapour)),
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
    let text = include_str!("../../../src/air/places/tmy.csv");
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

/// Great-circle distances between stations, by hand (haversine, 6371 km): Denver to Chicago 1460 km or so.
#[test]
fn the_nearest_place_comes_first() {
    use heartside::air::places::{Coordinates, nearest};
    use heartside::units::spanned::ReadNotation;
    let point = Coordinates::read("39.74,-104.99").unwrap();
    assert_eq!(Coordinates::read("39.74N 104.99W").unwrap(), point);
    let found = nearest(point);
    assert_eq!(found.len(), built_in().len());
    assert_eq!(found[0].1.name, "Denver");
    assert!(found.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    let chicago = found
        .iter()
        .find(|(_, place)| place.name == "Chicago")
        .unwrap();
    assert!((1420.0..1500.0).contains(&chicago.0), "{}", chicago.0);
    for wrong in ["39", "abc,1", "95,1", "10,200"] {
        assert!(Coordinates::read(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn places_are_searched_by_name_and_country_and_say_their_climate() {
    use heartside::air::places::search;
    assert_eq!(search(None, None).len(), 158);
    assert!(
        search(Some("port"), Some("US"))
            .iter()
            .any(|place| place.name.starts_with("Portland"))
    );
    assert!(
        search(None, Some("uk"))
            .iter()
            .all(|place| place.country == "United Kingdom")
    );
    assert!(search(None, Some("Germany")).len() >= 3);
    let words = |name: &str| find(name).unwrap().climate_words();
    assert!(
        words("Denver").contains("cold winters, very dry heated rooms"),
        "{}",
        words("Denver")
    );
    assert!(
        words("Miami").contains("no heating season"),
        "{}",
        words("Miami")
    );
    assert!(
        words("London").contains("mild winters"),
        "{}",
        words("London")
    );
    for place in built_in() {
        assert!(place.heated_humidity_percent() > 1.0, "{place}");
        let [driest, dampest] = place.outdoor_emc_percent();
        assert!(
            3.0 < driest && driest < dampest && dampest < 26.0,
            "{place}: {driest} {dampest}"
        );
    }
}
