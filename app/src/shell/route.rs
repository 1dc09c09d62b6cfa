//! Where the person is: one page a hash, one listener, and the last page of each place remembered.
//!
//! A hash is `#/pulleys`, or `#/car/limiter` to land on one field of a page.

use super::words;
use crate::browser;
use leptos::{ev, prelude::*};
use web_sys::Element;

/// A page of the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Route {
    /// The first visit: what brings you?
    Welcome,
    /// The entries without which there is no answer, one at a time.
    Board,
    /// The list of saved cars.
    Cars,
    /// What have I got?
    Car,
    /// Which pulley?
    Pulleys,
    /// Will it fit?
    Belt,
    /// What will the voltage do down the track?
    Pass,
    /// Will it last all rounds?
    Day,
    /// How do I do it?
    Swap,
    /// What did it really do?
    Log,
    /// How does it get to somebody else?
    HandOn,
    /// A car as codes, to be scanned.
    Codes,
    /// A car from another phone's codes.
    Scan,
    /// A car from a link, which the hash carries.
    Take,
    /// The verdict on one screen.
    Card,
    /// The study to print.
    Report,
}

/// One of the four places of the bottom bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The car as it stands.
    Car,
    /// Choosing the pulley and its belt.
    Choose,
    /// The pass and the whole day.
    RaceDay,
    /// The swap and the log that proves it.
    Prove,
}

impl Route {
    const ALL: [Self; 16] = [
        Self::Welcome,
        Self::Board,
        Self::Cars,
        Self::Car,
        Self::Pulleys,
        Self::Belt,
        Self::Pass,
        Self::Day,
        Self::Swap,
        Self::Log,
        Self::HandOn,
        Self::Codes,
        Self::Scan,
        Self::Take,
        Self::Card,
        Self::Report,
    ];

    /// The page's own part of the hash.
    const fn slug(self) -> &'static str {
        match self {
            Self::Welcome => "welcome",
            Self::Board => "board",
            Self::Cars => "cars",
            Self::Car => "car",
            Self::Pulleys => "pulleys",
            Self::Belt => "belt",
            Self::Pass => "pass",
            Self::Day => "day",
            Self::Swap => "swap",
            Self::Log => "log",
            Self::HandOn => "share",
            Self::Codes => "codes",
            Self::Scan => "scan",
            Self::Take => "take",
            Self::Card => "card",
            Self::Report => "report",
        }
    }

    /// The link to this page, as `href` takes it.
    pub fn href(self) -> String {
        format!("#/{}", self.slug())
    }

    /// The link to one field of this page, by the field's id.
    pub fn href_to(self, field: &str) -> String {
        format!("#/{}/{field}", self.slug())
    }

    /// The place this page belongs to.
    pub const fn place(self) -> Place {
        match self {
            Self::Welcome
            | Self::Board
            | Self::Cars
            | Self::Car
            | Self::HandOn
            | Self::Codes
            | Self::Scan
            | Self::Take
            | Self::Card
            | Self::Report => Place::Car,
            Self::Pulleys | Self::Belt => Place::Choose,
            Self::Pass | Self::Day => Place::RaceDay,
            Self::Swap | Self::Log => Place::Prove,
        }
    }
}

impl Place {
    /// All places, in the order of the bottom bar.
    pub const ALL: [Self; 4] = [Self::Car, Self::Choose, Self::RaceDay, Self::Prove];

    /// The pages behind this place's switch.
    pub const fn pages(self) -> &'static [Route] {
        match self {
            Self::Car => &[Route::Car],
            Self::Choose => &[Route::Pulleys, Route::Belt],
            Self::RaceDay => &[Route::Pass, Route::Day],
            Self::Prove => &[Route::Swap, Route::Log],
        }
    }
}

/// The page of a hash and the id of the field in it, if it names one; `None` for a hash of no page.
fn parse(hash: &str) -> Option<(Route, Option<&str>)> {
    let path = hash.strip_prefix("#/")?;
    let (slug, field) = match path.split_once('/') {
        Some((slug, field)) => (slug, Some(field).filter(|f| !f.is_empty())),
        None => (path, None),
    };
    let route = Route::ALL.into_iter().find(|r| r.slug() == slug)?;
    Some((route, field))
}

/// Goes to a page.
pub fn go(route: Route) {
    browser::set_hash(&route.href());
}

/// The current page, for the frame and whoever else must know.
#[derive(Clone, Copy)]
pub struct Nav {
    route: RwSignal<Route>,
    last: RwSignal<[Route; 4]>,
}

impl Nav {
    /// Reads the hash and starts listening to it. An empty hash is `first`, an unknown one the Car page.
    pub fn start(first: Route) -> Self {
        let hash = browser::hash();
        let route = if hash.len() < 2 {
            first
        } else {
            parse(&hash).map_or(Route::Car, |(route, _)| route)
        };
        let nav = Self {
            route: RwSignal::new(route),
            last: RwSignal::new(Place::ALL.map(remembered)),
        };
        nav.enter(route);
        let _ = window_event_listener(ev::hashchange, move |_| {
            let hash = browser::hash();
            let (route, field) = parse(&hash).unwrap_or((Route::Car, None));
            nav.enter(route);
            let landing = Landing::new(&hash, field);
            // The new page is in the document only once the reactive system has run.
            request_animation_frame(move || landing.land());
        });
        nav
    }

    /// The current page, tracked.
    pub fn route(self) -> Route {
        self.route.get()
    }

    /// The page that a tap on a place of the bottom bar leads to.
    pub fn last_of(self, place: Place) -> Route {
        self.last.get()[place as usize]
    }

    fn enter(self, route: Route) {
        let place = route.place();
        if place.pages().contains(&route) {
            self.last.update(|last| last[place as usize] = route);
            browser::store(&place_key(place), route.slug());
        }
        if self.route.get_untracked() != route {
            self.route.set(route);
        }
        document().set_title(&format!("{} - {}", words::title(route), words::APP));
    }
}

fn place_key(place: Place) -> String {
    format!("laneside.place.{}", place as usize)
}

/// The page of this place that was open last, or its first.
fn remembered(place: Place) -> Route {
    let pages = place.pages();
    browser::stored(&place_key(place))
        .and_then(|slug| pages.iter().copied().find(|r| r.slug() == slug))
        .unwrap_or(pages[0])
}

/// Whether a link leads to one field of a page.
pub fn names_field(hash: &str) -> bool {
    parse(hash).is_some_and(|(_, field)| field.is_some())
}

/// Goes to a field of the page that is open.
pub fn land_on(hash: &str) {
    Landing::new(hash, parse(hash).and_then(|(_, field)| field)).land();
}

/// On the way to where a hash leads.
struct Landing {
    hash: String,
    field: Option<String>,
    /// Where the focus was when it led there.
    focus: Option<Element>,
}

impl Landing {
    fn new(hash: &str, field: Option<&str>) -> Self {
        Self {
            hash: hash.to_owned(),
            field: field.map(str::to_owned),
            focus: document().active_element(),
        }
    }

    /// Whether the person is elsewhere by now: on another way, or in another field. What had the focus may have gone with
    /// its page, which leaves it to the body.
    fn is_off(&self) -> bool {
        let focus = document().active_element();
        let body = document().body().map(Element::from);
        browser::hash() != self.hash || (focus != self.focus && focus.is_some() && focus != body)
    }

    /// Moves sight and focus there: the named field, else the heading at the top.
    fn land(self) {
        if self.is_off() {
            return;
        }
        let found = self.field.as_deref().and_then(browser::by_id);
        if let Some(found) = found {
            browser::reveal(&found);
        } else if self.field.is_some() && browser::is_unfinished() {
            // Its piece of the page is not made yet.
            request_animation_frame(move || self.land());
        } else {
            window().scroll_to_with_x_and_y(0.0, 0.0);
            if let Some(heading) = browser::by_id("title") {
                browser::focus(&heading);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Place, Route, parse};

    #[test]
    fn every_page_reads_back_from_its_own_link() {
        for route in Route::ALL {
            assert_eq!(parse(&route.href()), Some((route, None)));
            assert_eq!(
                parse(&route.href_to("limiter")),
                Some((route, Some("limiter")))
            );
        }
    }

    #[test]
    fn a_hash_of_no_page_is_none() {
        for hash in ["", "#", "#main", "#/", "#/nowhere", "#/car2", "car"] {
            assert_eq!(parse(hash), None, "{hash}");
        }
    }

    #[test]
    fn every_page_of_a_switch_belongs_to_its_place() {
        for place in Place::ALL {
            assert!(place.pages().iter().all(|r| r.place() == place));
        }
    }
}
