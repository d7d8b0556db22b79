//! The digest by which bytes are known again.

/// The digest of bytes: their length and two sums of them (FNV-1a, 64 bits, forward and of every byte turned over). It
/// tells files apart that differ by chance or by hand; it is no signature.
#[must_use]
pub fn digest(bytes: &[u8]) -> String {
    let (mut one, mut two) = (0xcbf2_9ce4_8422_2325_u64, 0x8422_2325_cbf2_9ce4_u64);
    for byte in bytes {
        one = (one ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        two = (two ^ u64::from(!*byte)).wrapping_mul(0x0100_0000_01b3);
    }
    format!("{:x}-{one:016x}{two:016x}", bytes.len())
}
