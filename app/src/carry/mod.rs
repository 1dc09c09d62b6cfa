//! Cars on their way out of this phone and into it: squeezed into a link or codes, seen by the camera, handed to
//! the phone's own share sheet. Whatever comes in is hostile until core has read it.

pub mod camera;
mod finder;
pub mod hand;
pub mod link;
pub mod scanner;
mod squeeze;

use crate::parts::field::Fault;
use crate::words::{faults, received as words};
use laneside_core::car::Car;
use laneside_core::car::file::LONGEST;
use laneside_core::car::several::{self, Carried};
use squeeze::Trouble;

/// The bytes of a car, squeezed; without its kept passes, which are too long for a link or a code.
pub async fn pack(car: &Car) -> Result<Vec<u8>, Fault> {
    let text = car.to_short_file().map_err(|error| faults::file(&error))?;
    squeeze::deflate(text.as_bytes()).await.map_err(trouble)
}

/// The cars in squeezed bytes.
pub async fn unpack(bytes: &[u8]) -> Result<Vec<Carried>, Fault> {
    let text = squeeze::inflate(bytes, 2 * LONGEST)
        .await
        .map_err(trouble)?;
    let text = String::from_utf8(text).map_err(|_| words::broken())?;
    several::read(&text).map_err(|error| faults::file(&error))
}

fn trouble(trouble: Trouble) -> Fault {
    match trouble {
        Trouble::NoStreams => words::no_streams(),
        Trouble::Broken => words::broken(),
        Trouble::TooLong => words::swollen(2 * LONGEST / 1024),
    }
}
