//! The standard normal: quantiles and chances.

use std::f64::consts::SQRT_2;
use std::sync::LazyLock;

/// Standard normal quantile: the value that a share of all draws stays below.
///
/// `share` must lie between 0 and 1; at 0 and 1 the answer is infinite. Wichura, algorithm AS 241 (PPND16), Applied Statistics 37
/// (1988) 477-484: right to about 1 part in 1e16; its constants from memory,
/// checked against another method and a printed table. It needs no more than a logarithm and a square root, so that all machines give the same bits.
#[must_use]
pub fn normal_quantile(share: f64) -> f64 {
    let from_middle = share - 0.5;
    if from_middle.abs() <= 0.425 {
        let r = 0.180_625 - from_middle * from_middle;
        return from_middle * ratio(&AS241_MIDDLE, r);
    }
    let tail = if from_middle < 0.0 {
        share
    } else {
        1.0 - share
    };
    if tail <= 0.0 {
        return f64::INFINITY.copysign(from_middle);
    }
    let r = (-libm::log(tail)).sqrt();
    let away = if r <= 5.0 {
        ratio(&AS241_TAIL, r - 1.6)
    } else {
        ratio(&AS241_FAR, r - 5.0)
    };
    away.copysign(from_middle)
}

/// A ratio of two polynomials, constant terms first.
fn ratio([above, below]: &[[f64; 8]; 2], x: f64) -> f64 {
    let at = |terms: &[f64; 8]| terms.iter().rev().fold(0.0, |sum, term| sum * x + term);
    at(above) / at(below)
}

/// Shares within 0.425 of the middle.
const AS241_MIDDLE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_5,
        1.331_416_678_917_843_8e2,
        1.971_590_950_306_551_3e3,
        1.373_169_376_550_946e4,
        4.592_195_393_154_987e4,
        6.726_577_092_700_87e4,
        3.343_057_558_358_813e4,
        2.509_080_928_730_122_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091e1,
        6.871_870_074_920_579e2,
        5.394_196_021_424_751e3,
        2.121_379_430_158_659_7e4,
        3.930_789_580_009_271e4,
        2.872_908_573_572_194_3e4,
        5.226_495_278_852_854e3,
    ],
];

/// Beyond, down to shares of e^-25.
const AS241_TAIL: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
];

/// Beyond that.
const AS241_FAR: [[f64; 8]; 2] = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

/// Share of a standard normal below `z`.
#[must_use]
pub fn normal_chance(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Where the table of [`normal_chance_tabled`] ends: beyond it less than 1e-15 is left.
const TABLE_ENDS: f64 = 8.0;
/// Steps of the table in one standard deviation.
const TABLE_STEPS: f64 = 64.0;

/// The share below a node and what it grows by in one step at the density there.
static NORMAL_TABLE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    (0..=(2.0 * TABLE_ENDS * TABLE_STEPS) as usize)
        .map(|node| {
            let z = node as f64 / TABLE_STEPS - TABLE_ENDS;
            let density = libm::exp(-0.5 * z * z) / std::f64::consts::TAU.sqrt();
            (normal_chance(z), density / TABLE_STEPS)
        })
        .collect()
});

/// The same to within 4e-10 for the many chances that are averaged: a cubic through the shares and densities of a table.
#[must_use]
pub fn normal_chance_tabled(z: f64) -> f64 {
    let place = (z + TABLE_ENDS) * TABLE_STEPS;
    let table = &*NORMAL_TABLE;
    if place.is_nan() || place < 0.0 {
        return if place.is_nan() { f64::NAN } else { 0.0 };
    }
    let node = place as usize;
    let Some(&[(low, rise_low), (high, rise_high)]) = table.get(node..node.saturating_add(2))
    else {
        return 1.0;
    };
    let t = place - node as f64;
    let (grown, back) = (high - low, 1.0 - t);
    low + t * (t * (3.0 - 2.0 * t) * grown + back * (back * rise_low - t * rise_high))
}

/// Half the width of the band that holds nine of ten, in standard deviations: the 95 % quantile of the standard normal.
pub const NINE_IN_TEN: f64 = 1.644_853_626_951_472_7;
