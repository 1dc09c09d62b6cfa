//! The reader of logs for a page: bytes in, the sums of the columns out.

use laneside_core::log::channels::guess;
use laneside_core::log::read::{Options, Reader};
use wasm_bindgen::prelude::*;

/// A file being read.
#[wasm_bindgen]
pub struct Log(Reader);

#[wasm_bindgen]
impl Log {
    /// A file of so many bytes.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new(bytes: u32) -> Self {
        Self(Reader::new(Options {
            total_bytes: Some(u64::from(bytes)),
            ..Options::default()
        }))
    }

    /// The next piece.
    ///
    /// # Errors
    /// What the reader says.
    pub fn feed(&mut self, piece: &[u8]) -> Result<(), String> {
        self.0.feed(piece).map_err(|error| error.to_string())
    }

    /// Ends the file: the sum of each column, then how many channels stand clear.
    ///
    /// # Errors
    /// What the reader says.
    pub fn finish(self) -> Result<Vec<f64>, String> {
        let read = self.0.finish().map_err(|error| error.to_string())?;
        let columns = read.table.columns().iter();
        let mut sums: Vec<f64> = columns
            .map(|column| column.values().iter().copied().map(f64::from).sum())
            .collect();
        let choice = guess(&read.table, None).choice(&read.table);
        sums.push(choice.picks.len() as f64);
        Ok(sums)
    }
}

/// Bytes of memory that the module has taken so far; it never gives any back.
#[wasm_bindgen]
#[must_use]
pub fn memory_bytes() -> f64 {
    #[cfg(target_arch = "wasm32")]
    let pages = core::arch::wasm32::memory_size(0);
    #[cfg(not(target_arch = "wasm32"))]
    let pages = 0;
    pages as f64 * 65_536.0
}
