//! What makes battery and wiring valid, beside the ranges of their numbers.

use super::Fault;
use crate::car::{Battery, Wiring};

pub(super) fn check(battery: &Battery, wiring: &Wiring) -> Result<(), Fault> {
    let allowed = battery.chemistry.unwrap_or_default().cells();
    if let Some(found) = battery.cells
        && !allowed.contains(&found)
    {
        return Err(Fault::Cells { found, allowed });
    }
    for (what, size) in [
        ("wiring.lead.size", wiring.lead.size),
        ("wiring.ground.size", wiring.ground.size),
    ] {
        if let Some(found) = size
            && !found.exists()
        {
            return Err(Fault::Wire { what, found });
        }
    }
    Ok(())
}
