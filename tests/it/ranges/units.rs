//! Every quantity over its row: in and out, there and back, printed and read.

use super::*;
use heartside::units::notation;
use heartside::units::{
    Angle, Curvature, Duration, Force, LineLoad, Mass, RangeError, RelativeHumidity, Stress,
    Temperature, UnitSystem,
};

/// What is kept of a value from outside.
type Kept = fn(f64) -> Result<f64, RangeError>;

const QUANTITIES: [(Bounds, Kept); 12] = [
    (Bounds::LENGTH, |v| Length::from_mm(v).map(|q| q.mm())),
    (Bounds::MOISTURE, |v| {
        MoistureContent::from_percent(v).map(|q| q.percent())
    }),
    (Bounds::HUMIDITY, |v| {
        RelativeHumidity::from_percent(v).map(|q| q.percent())
    }),
    (Bounds::TEMPERATURE, |v| {
        Temperature::from_celsius(v).map(|q| q.celsius())
    }),
    (Bounds::STRAIN, |v| Strain::from_ratio(v).map(|q| q.ratio())),
    (Bounds::CURVATURE, |v| {
        Curvature::from_per_mm(v).map(|q| q.per_mm())
    }),
    (Bounds::ANGLE, |v| {
        Angle::from_degrees(v).map(|q| q.degrees())
    }),
    (Bounds::STRESS, |v| Stress::from_mpa(v).map(|q| q.mpa())),
    (Bounds::FORCE, |v| {
        Force::from_newtons(v).map(|q| q.newtons())
    }),
    (Bounds::LINE_LOAD, |v| {
        LineLoad::from_newtons_per_mm(v).map(|q| q.newtons_per_mm())
    }),
    (Bounds::MASS, |v| Mass::from_grams(v).map(|q| q.grams())),
    (Bounds::DURATION, |v| {
        Duration::from_seconds(v).map(|q| q.seconds())
    }),
];

/// Written as text and as data and read back, to the last bits; shop notation is read as data, too.
fn comes_back<T>(value: T, bits: f64, of: fn(T) -> f64) -> Result<(), TestCaseError>
where
    T: Copy
        + std::fmt::Display
        + std::str::FromStr
        + serde::Serialize
        + serde::de::DeserializeOwned,
    T::Err: std::fmt::Display,
{
    let near = |read: f64| (read - bits).abs() <= 4.0 * f64::EPSILON * bits.abs();
    let fails = |error: &dyn std::fmt::Display| TestCaseError::fail(error.to_string());
    let text = value.to_string();
    let read: T = text.parse().map_err(|error| fails(&error))?;
    prop_assert!(near(of(read)), "{} was read as {}", text, read);
    let data = serde_json::to_string(&value).map_err(|error| fails(&error))?;
    prop_assert!(data.parse::<f64>().is_ok(), "{} is no plain number", data);
    for data in [data, format!("{text:?}")] {
        let read: T = serde_json::from_str(&data).map_err(|error| fails(&error))?;
        prop_assert!(near(of(read)), "{} was read as {}", data, read);
    }
    Ok(())
}

#[test]
fn data_outside_the_table_is_refused_with_its_row() {
    let error = serde_json::from_str::<Length>("1e9").unwrap_err();
    assert!(error.to_string().contains("length"), "{error}");
    let error = serde_json::from_str::<Length>("\"12\"").unwrap_err();
    assert!(error.to_string().contains("unit"), "{error}");
    assert_eq!(
        serde_json::from_str::<Strain>("0.25").unwrap().ratio(),
        0.25
    );
    assert!(serde_json::from_str::<Strain>("\"1/4\"").is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn a_quantity_comes_back_from_text_and_from_data(share in 0.0..=1.0_f64) {
        let at = |row: Bounds| (row.min + share * (row.max - row.min)).clamp(row.min, row.max);
        let v = at(Bounds::LENGTH);
        comes_back(Length::from_mm(v).unwrap(), v, Length::mm)?;
        let v = at(Bounds::MOISTURE);
        comes_back(MoistureContent::from_percent(v).unwrap(), v, MoistureContent::percent)?;
        let v = at(Bounds::HUMIDITY);
        comes_back(RelativeHumidity::from_percent(v).unwrap(), v, RelativeHumidity::percent)?;
        let v = at(Bounds::TEMPERATURE);
        comes_back(Temperature::from_celsius(v).unwrap(), v, Temperature::celsius)?;
        let v = at(Bounds::ANGLE);
        comes_back(Angle::from_degrees(v).unwrap(), v, Angle::degrees)?;
        let v = at(Bounds::STRESS);
        comes_back(Stress::from_mpa(v).unwrap(), v, Stress::mpa)?;
        let v = at(Bounds::FORCE);
        comes_back(Force::from_newtons(v).unwrap(), v, Force::newtons)?;
        let v = at(Bounds::LINE_LOAD);
        comes_back(LineLoad::from_newtons_per_mm(v).unwrap(), v, LineLoad::newtons_per_mm)?;
        let v = at(Bounds::MASS);
        comes_back(Mass::from_grams(v).unwrap(), v, Mass::grams)?;
        let v = at(Bounds::DURATION);
        comes_back(Duration::from_seconds(v).unwrap(), v, Duration::seconds)?;
    }

    /// A value inside its row is kept to the last bit; one a hair outside, or none at all, is refused by name.
    #[test]
    fn a_value_is_kept_or_refused_by_name(share in 0.0..=1.0_f64, beyond in 1e-9..1e9_f64) {
        for (bounds, kept) in QUANTITIES {
            let value = bounds.min + share * (bounds.max - bounds.min);
            prop_assert_eq!(kept(value.min(bounds.max)), Ok(value.min(bounds.max)));
            let step = beyond * bounds.max.abs().max(1.0);
            for outside in [bounds.min - step, bounds.max + step, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let words = kept(outside).unwrap_err().to_string();
                prop_assert!(words.contains(bounds.label), "{}", words);
            }
        }
    }

    #[test]
    fn other_units_of_one_quantity_agree(
        mm in inside(Bounds::LENGTH), celsius in inside(Bounds::TEMPERATURE), ratio in inside(Bounds::STRAIN),
        degrees in inside(Bounds::ANGLE), seconds in inside(Bounds::DURATION), humid in inside(Bounds::HUMIDITY),
        chord in inside(Bounds::BOARD_LENGTH),
    ) {
        prop_assert!(near(Length::from_mm_unchecked(mm).inches() * 25.4, mm, 1e-15));
        let warm = Temperature::computed_celsius(celsius);
        prop_assert!(((warm.fahrenheit() - 32.0) / 1.8 - celsius).abs() < 1e-12);
        prop_assert!((warm.kelvin() - 273.15 - celsius).abs() < 1e-12 && warm.kelvin() > 0.0);
        prop_assert!(near(strain(ratio).microstrain() * 1e-6, ratio, 1e-15));
        prop_assert!(near(Angle::computed_degrees(degrees).radians().to_degrees(), degrees, 1e-14));
        let time = Duration::computed_seconds(seconds);
        prop_assert!(near(Duration::computed_days(time.days()).seconds(), seconds, 1e-15));
        prop_assert!(near(RelativeHumidity::computed_percent(humid).fraction() * 100.0, humid, 1e-15));
        // A bend and its rise: there and back, and four times the rise over twice the chord.
        let bend = Curvature::of_rise(Length::from_mm_unchecked(mm), Length::from_mm_unchecked(chord));
        prop_assert!(near(bend.rise_over(Length::from_mm_unchecked(chord)).mm(), mm, 1e-14));
        prop_assert!(near(bend.rise_over(Length::from_mm_unchecked(2.0 * chord)).mm(), 4.0 * mm, 1e-14));
    }

    /// What the program prints in either system, it reads again, as near as it was printed.
    #[test]
    fn what_is_printed_is_read_again(
        newtons in inside(Bounds::FORCE), load in inside(Bounds::LINE_LOAD), grams in inside(Bounds::MASS),
        celsius in inside(Bounds::TEMPERATURE), mpa in inside(Bounds::MODULUS), share in inside(Bounds::SHARE),
    ) {
        for system in [UnitSystem::Inch, UnitSystem::Metric] {
            let first = |text: String| text.split(" (").next().unwrap_or_default().to_owned();
            let text = first(notation::force_shown(Force::computed_newtons(newtons), system));
            // Half a pound is 2.2 N; an end of the range may be rounded past it.
            if newtons.abs() < Bounds::FORCE.max - 5.0 {
                let read = notation::force(&text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
                prop_assert!((read.newtons() - newtons).abs() < 2.3, "{}", text);
            }
            let text = first(notation::line_load_shown(LineLoad::computed_newtons_per_mm(load), system));
            if load < Bounds::LINE_LOAD.max - 0.1 {
                let read = notation::line_load(&text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
                prop_assert!((read.newtons_per_mm() - load).abs() < 0.001, "{}", text);
            }
            let text = first(notation::mass_shown(Mass::computed_grams(grams), system));
            if grams > 1.0 && grams < Bounds::MASS.max - 10.0 {
                let read = notation::mass(&text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
                prop_assert!((read.grams() - grams).abs() < 1.5, "{}", text);
            }
            let text = first(notation::temperature_shown(Temperature::computed_celsius(celsius), system));
            if celsius > Bounds::TEMPERATURE.min + 1.0 && celsius < Bounds::TEMPERATURE.max - 1.0 {
                let read = notation::temperature(&text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
                prop_assert!((read.celsius() - celsius).abs() < 0.3, "{}", text);
            }
            let text = first(notation::stress_shown(Stress::computed_mpa(mpa), system));
            if mpa < Bounds::STRESS.max * 0.99 {
                let read = notation::stress(&text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
                prop_assert!((read.mpa() - mpa).abs() < 0.01 + 0.05 * mpa, "{}: {} for {}", text, read.mpa(), mpa);
            }
        }
        let text = notation::percent_shown(share);
        prop_assert!((notation::percent(&text).unwrap() - share).abs() < 0.051, "{}", text);
    }

    /// Whatever a row holds, written out plainly with its unit, is read to the last digit.
    #[test]
    fn what_is_written_with_its_unit_is_read(
        humid in inside(Bounds::HUMIDITY), degrees in inside(Bounds::ANGLE), mpa in inside(Bounds::STRESS),
        newtons in inside(Bounds::FORCE), load in inside(Bounds::LINE_LOAD), grams in inside(Bounds::MASS),
        seconds in inside(Bounds::DURATION), micro in inside(Bounds::LOCKED_IN),
    ) {
        prop_assert_eq!(notation::humidity(&format!("{humid}%")).unwrap().percent(), humid);
        prop_assert_eq!(notation::angle(&format!("{degrees} deg")).unwrap().degrees(), degrees);
        prop_assert_eq!(notation::stress(&format!("{mpa} MPa")).unwrap().mpa(), mpa);
        prop_assert_eq!(notation::force(&format!("{newtons} N")).unwrap().newtons(), newtons);
        prop_assert_eq!(notation::line_load(&format!("{load} N/mm")).unwrap().newtons_per_mm(), load);
        prop_assert_eq!(notation::mass(&format!("{grams} g")).unwrap().grams(), grams);
        prop_assert_eq!(notation::duration(&format!("{seconds} s")).unwrap().seconds(), seconds);
        match notation::strain_microstrain(&format!("{micro}")) {
            Ok(read) => prop_assert!(near(read.microstrain(), micro, 1e-15)),
            // So small a number is taken for a ratio.
            Err(_) => prop_assert!(micro.abs() < 1.0),
        }
        let read = notation::strain_microstrain(&format!("{micro} microstrain")).unwrap().microstrain();
        prop_assert!(near(read, micro, 1e-15));
    }
}
