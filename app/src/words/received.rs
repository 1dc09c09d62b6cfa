//! The words of cars that came from elsewhere.

use crate::carry::camera::Blind;
use crate::parts::field::Fault;
use laneside_core::carry::parts::Refused;

pub fn strip() -> &'static str {
    say!("A car from elsewhere")
}
pub fn not_kept() -> &'static str {
    say!("Received, not kept")
}
pub fn looked_at() -> &'static str {
    say!("You look at it only: nothing of it can be changed until you keep it.")
}
pub fn aside() -> &'static str {
    say!("Your own car is open.")
}
pub fn being_written() -> &'static str {
    say!("The received car is being put by, to wait until you keep it or leave it.")
}
pub fn waits() -> &'static str {
    say!("The received car waits on this phone until you keep it or leave it.")
}
pub fn fleeting() -> &'static str {
    say!("This phone cannot let the received car wait: it is gone once the app is closed.")
}
pub fn not_changed() -> &'static str {
    say!("Not changed. Keep this car first, then change it.")
}
pub fn keep() -> &'static str {
    say!(in "received", "Keep it")
}
pub fn leave() -> &'static str {
    say!("Leave it")
}
pub fn look() -> &'static str {
    say!("Look at it")
}
pub fn next() -> &'static str {
    say!("Next one")
}
pub fn unknown_needed() -> &'static str {
    say!("Needed for them: a newer version of the app.")
}

pub fn taking() -> &'static str {
    say!("Reading the link.")
}
pub fn to_cars() -> &'static str {
    say!("To your cars")
}
pub fn own_safe() -> &'static str {
    say!("Your own cars are as they were.")
}

pub fn scan_note() -> &'static str {
    say!(
        "Hold this phone over the other one, so that the whole code is in the picture. Nothing is recorded or sent."
    )
}
pub fn scan_start() -> &'static str {
    say!("Scan with the camera")
}
pub fn scan_stop() -> &'static str {
    say!("Stop")
}
pub fn scan_opening() -> &'static str {
    say!("Asking for the camera.")
}
pub fn scan_looking() -> &'static str {
    say!("Looking for the first code.")
}
pub fn scan_left() -> &'static str {
    say!("The camera is off: the app was left. Scan on when you are back.")
}
pub fn scan_picture() -> &'static str {
    say!("What the camera sees")
}

/// A car of several in one file.
pub fn of(name: &str, (place, count): (usize, usize)) -> String {
    if count > 1 {
        say!("{name} ({place} of {count})")
    } else {
        name.to_owned()
    }
}

pub fn keep_all(count: usize) -> String {
    say!("Keep all {count}")
}

pub fn leave_all(count: usize) -> String {
    say!("Leave all {count}")
}

/// What stands behind a name that is taken.
pub fn numbered(number: usize) -> String {
    format!(" ({number})")
}

pub fn unknown(count: usize) -> String {
    if count == 1 {
        say!("1 of its kept passes cannot be read by this version and stays behind.").to_owned()
    } else {
        say!("{count} of its kept passes cannot be read by this version and stay behind.")
    }
}

/// How many of the car's passes are more than can be taken.
pub fn surplus(count: usize, most: usize) -> String {
    if count == 1 {
        say!("Of its kept passes the oldest one stays behind: {most} at the most can be taken.")
    } else {
        say!("Of its kept passes the {count} oldest stay behind: {most} at the most can be taken.")
    }
}

fn fault(found: impl Into<String>, needed: impl Into<String>) -> Fault {
    Fault {
        found: found.into(),
        needed: needed.into(),
    }
}

/// What a stopped app gave out holds cars that cannot be read, beside those that were opened, if any.
pub fn unread(count: usize) -> Fault {
    let found = if count == 1 {
        say!("Found one car in it that cannot be read.").to_owned()
    } else {
        say!("Found {count} cars in it that cannot be read.")
    };
    fault(
        found,
        say!("Needed for them: a newer version of the app. Keep the file."),
    )
}

/// A file of no or too many cars.
pub fn count(found: usize, most: usize) -> Fault {
    fault(
        say!("Found {found} cars in it."),
        say!("Needed: 1 to {most}."),
    )
}

/// One of several cars does not hold.
pub fn one_of(place: usize, inner: Fault) -> Fault {
    fault(
        say!("In car {place} of the file: {}", inner.found),
        inner.needed,
    )
}

pub fn no_car() -> Fault {
    fault(
        say!("Found a link that carries no car."),
        say!("Needed: the whole link, as it was sent."),
    )
}

pub fn broken() -> Fault {
    fault(
        say!("Found something that is no whole car: it was cut short or changed on its way."),
        say!(
            "Needed: the link or the code as it was sent. Ask for it again, or for the car as a file."
        ),
    )
}

pub fn swollen(most_kb: usize) -> Fault {
    fault(
        say!("Found more than {most_kb} kB packed into it: no car is that long."),
        say!("Needed: a link or codes from this app."),
    )
}

pub fn long_link(found: usize, most: usize) -> Fault {
    fault(
        say!("Found a link of {found} characters."),
        say!("Needed: {most} at the most. Ask for the car as a file."),
    )
}

pub fn no_streams() -> Fault {
    fault(
        say!("Found a browser that cannot pack or unpack a link or codes."),
        say!("Needed: a newer browser, or the car as a file."),
    )
}

pub fn too_many(most: usize) -> Fault {
    fault(
        say!("Found more cars than can wait."),
        say!("Needed: {most} at the most. Keep or leave some first."),
    )
}

/// Why a code was not taken.
pub fn refused(refused: Refused) -> Fault {
    match refused {
        Refused::Foreign => fault(
            say!("Found a code of something else."),
            say!("Needed: a code that this app shows, at Cars, Show codes."),
        ),
        Refused::Newer => fault(
            say!("Found a code from a newer Laneside."),
            say!("Needed: this app in its newest version. Open it once with signal."),
        ),
        Refused::OtherCar => fault(
            say!("Found a code of another car. What was scanned before stays."),
            say!(
                "Needed: the other codes of the car begun with. Stop and scan anew to take the other car."
            ),
        ),
        Refused::Damaged => fault(
            say!("Found all codes, but they do not make a whole car."),
            say!("Needed: all of them again, from the other phone."),
        ),
    }
}

/// How far the codes are in.
pub fn progress(taken: usize, count: usize, wanted: &[usize]) -> String {
    let wanted: Vec<String> = wanted.iter().map(ToString::to_string).collect();
    say!(
        "{taken} of {count} codes taken. Wanted: {}.",
        wanted.join(", ")
    )
}

/// Why the camera does not see.
pub fn blind(blind: Blind) -> Fault {
    match blind {
        Blind::Insecure => fault(
            say!("Found a page that was not loaded safely."),
            say!("Needed: the app from its https address."),
        ),
        Blind::Old => fault(
            say!("Found a browser that cannot scan."),
            say!("Needed: a newer browser, or the car by link or file."),
        ),
        Blind::Refused => fault(
            say!("Found the camera closed to this app."),
            say!(
                "Needed: leave to use it, in the browser's settings for this page. Or take the car by link or file."
            ),
        ),
        Blind::Missing => fault(
            say!("Found no camera."),
            say!("Needed: a phone with one. Or take the car by link or file."),
        ),
        Blind::Busy => fault(
            say!("Found the camera busy, or it stopped."),
            say!("Needed: no other app with it. Then scan again."),
        ),
    }
}
