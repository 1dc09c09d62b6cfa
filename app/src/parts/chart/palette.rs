//! The chart's colors, read from the theme's custom properties.

use leptos::prelude::window;
use plotters::style::RGBColor;
use web_sys::{CssStyleDeclaration, Element};

use super::spec::Role;

/// The colors of the theme in force.
///
/// Read once per theme change and handed to the chart, since reading a computed style is slow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Palette {
    pub(super) ground: RGBColor,
    pub(super) ink: RGBColor,
    pub(super) quiet: RGBColor,
    pub(super) edge: RGBColor,
    pub(super) grid: RGBColor,
    on_car: RGBColor,
    on_try: RGBColor,
}

impl Palette {
    /// The sun theme; also what stands in for a property that is missing or no color.
    pub const SUN: Self = Self {
        ground: RGBColor(0xFF, 0xFD, 0xF6),
        ink: RGBColor(0x15, 0x14, 0x0F),
        quiet: RGBColor(0x4B, 0x47, 0x3C),
        edge: RGBColor(0x6E, 0x6A, 0x5E),
        grid: RGBColor(0xD9, 0xD5, 0xC7),
        on_car: RGBColor(0x7A, 0x33, 0x00),
        on_try: RGBColor(0x0A, 0x3F, 0x9C),
    };

    /// Reads the custom properties `--ground`, `--ink`, `--quiet`, `--edge`, `--grid`, `--on-car`
    /// and `--try` in force at an element.
    pub fn read(element: &Element) -> Self {
        let Ok(Some(style)) = window().get_computed_style(element) else {
            return Self::SUN;
        };
        let sun = Self::SUN;
        Self {
            ground: property(&style, "--ground").unwrap_or(sun.ground),
            ink: property(&style, "--ink").unwrap_or(sun.ink),
            quiet: property(&style, "--quiet").unwrap_or(sun.quiet),
            edge: property(&style, "--edge").unwrap_or(sun.edge),
            grid: property(&style, "--grid").unwrap_or(sun.grid),
            on_car: property(&style, "--on-car").unwrap_or(sun.on_car),
            on_try: property(&style, "--try").unwrap_or(sun.on_try),
        }
    }

    /// The color of a line and of its label.
    pub(super) fn role(&self, role: Role) -> RGBColor {
        match role {
            Role::OnCar => self.on_car,
            Role::Try => self.on_try,
            Role::Load | Role::LoadStrong | Role::Plain => self.ink,
        }
    }
}

fn property(style: &CssStyleDeclaration, name: &str) -> Option<RGBColor> {
    let text = style.get_property_value(name).ok()?;
    hex(&text).or_else(|| computed(&text))
}

/// As the browser writes a color that it has worked out: a system color too.
fn computed(text: &str) -> Option<RGBColor> {
    let inner = text.trim().strip_prefix("rgb(")?.strip_suffix(')')?;
    let mut parts = inner.split(',').map(|part| part.trim().parse().ok());
    Some(RGBColor(parts.next()??, parts.next()??, parts.next()??))
}

fn hex(text: &str) -> Option<RGBColor> {
    let digits = text.trim().strip_prefix('#')?;
    if digits.len() != 6 {
        return None;
    }
    let value = u32::from_str_radix(digits, 16).ok()?;
    let [_, r, g, b] = value.to_be_bytes();
    Some(RGBColor(r, g, b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_color_is_read_as_the_stylesheet_writes_it() {
        assert_eq!(hex(" #7A3300 "), Some(RGBColor(0x7A, 0x33, 0x00)));
        assert_eq!(hex("#7a3300"), Some(RGBColor(0x7A, 0x33, 0x00)));
        assert_eq!(hex("7A3300"), None);
        assert_eq!(hex("#FFF"), None);
        assert_eq!(hex("#GGGGGG"), None);
        assert_eq!(hex("#ÿÿÿ"), None);
        assert_eq!(computed("rgb(122, 51, 0)"), Some(RGBColor(0x7A, 0x33, 0)));
        assert_eq!(computed("rgb(122, 51)"), None);
        assert_eq!(computed("CanvasText"), None);
    }
}
