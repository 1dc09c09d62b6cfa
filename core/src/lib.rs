//! Charging-system physics for race cars.
