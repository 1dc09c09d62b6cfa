//! Links that carry a car, made without the app: Base64 (RFC 4648, section 5) of what DEFLATE (RFC 1951) makes of a file.

use std::io::Write;

use anyhow::Result;
use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use flate2::Compression;
use flate2::write::DeflateEncoder;

/// What stands behind the app's address in a link with this car file.
///
/// # Errors
///
/// The text cannot be packed.
pub fn hash(text: &str) -> Result<String> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(text.as_bytes())?;
    let packed = BASE64_URL_SAFE_NO_PAD.encode(encoder.finish()?);
    Ok(format!("#/take/{packed}"))
}
