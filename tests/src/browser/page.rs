//! What a person does with a page, and what a test reads from it.

use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fantoccini::actions::{
    Actions, InputSource, MOUSE_BUTTON_LEFT, MouseActions, PointerAction, TouchActions,
};
use fantoccini::elements::Element;
use fantoccini::key::Key;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, Locator};
use http::Method;
use serde_json::{Value, json};
use url::{ParseError, Url};

/// How long a test waits for what should happen soon.
pub(super) const PATIENCE: Duration = Duration::from_secs(30);
pub(super) const GLANCE: Duration = Duration::from_millis(25);

/// Is the middle of the element in sight and at rest, and is it the element itself that is there?
const REACHABLE: &str = "
    const [element] = arguments;
    const moves = (motion) =>
        motion.playState === 'running' && motion.effect?.target?.contains(element);
    if (document.getAnimations().some(moves)) return 'a motion that goes on';
    const seen = () => {
        const box = element.getBoundingClientRect();
        const x = box.x + box.width / 2, y = box.y + box.height / 2;
        const hit = document.elementFromPoint(x, y);
        return hit && (element.contains(hit) || hit.contains(element) && hit.matches('label'))
            ? null : hit?.outerHTML.slice(0, 160) ?? 'nothing';
    };
    if (seen() !== null) element.scrollIntoView({ block: 'center', behavior: 'instant' });
    return seen();";

/// A page in a browser; every action waits for its element first.
#[derive(Debug)]
pub struct Browser {
    client: Client,
    touch: bool,
    taps: AtomicUsize,
}

impl Browser {
    pub(super) fn new(client: Client, touch: bool) -> Self {
        Self {
            client,
            touch,
            taps: AtomicUsize::new(0),
        }
    }

    /// The WebDriver session, for what has no helper here.
    #[must_use]
    pub fn client(&self) -> &Client {
        &self.client
    }

    /// Opens an address and waits until the app has drawn something.
    ///
    /// # Errors
    ///
    /// The page does not load, or stays empty.
    pub async fn open(&self, url: &str) -> Result<()> {
        self.client.goto(url).await?;
        self.drawn().await
    }

    /// Loads the page again and waits until the app has drawn something.
    ///
    /// # Errors
    ///
    /// The page does not load, or stays empty.
    pub async fn reload(&self) -> Result<()> {
        self.load_again().await?;
        self.drawn().await
    }

    /// Loads the page again as a person has it loaded: Firefox's driver by itself goes past the service worker.
    ///
    /// # Errors
    ///
    /// No page comes.
    pub async fn load_again(&self) -> Result<()> {
        let leave = "window.isLeft = true; location.reload()";
        self.script(leave, vec![]).await?;
        let come = "return !window.isLeft && document.readyState === 'complete'";
        let end = Instant::now() + PATIENCE;
        // Between two pages there is none to ask.
        while !matches!(self.script(come, vec![]).await, Ok(Value::Bool(true))) {
            ensure!(Instant::now() < end, "the page does not load again");
            tokio::time::sleep(GLANCE).await;
        }
        Ok(())
    }

    async fn drawn(&self) -> Result<()> {
        let text = "return document.body?.innerText.trim().length > 0";
        self.wait_until("the app to draw", text, vec![]).await
    }

    /// Waits for the element to be there and shown.
    ///
    /// # Errors
    ///
    /// It does not show in time.
    pub async fn wait_for(&self, css: &str) -> Result<Element> {
        let end = Instant::now() + PATIENCE;
        loop {
            if let Ok(element) = self.client.find(Locator::Css(css)).await
                && element.is_displayed().await.unwrap_or(false)
            {
                return Ok(element);
            }
            ensure!(Instant::now() < end, "{css} does not show");
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// Waits until the element is gone or hidden.
    ///
    /// # Errors
    ///
    /// It still shows in the end.
    pub async fn wait_gone(&self, css: &str) -> Result<()> {
        let shown = "return Boolean(document.querySelector(arguments[0])?.checkVisibility())";
        let end = Instant::now() + PATIENCE;
        while self.script(shown, vec![json!(css)]).await? == json!(true) {
            ensure!(Instant::now() < end, "{css} still shows");
            tokio::time::sleep(GLANCE).await;
        }
        Ok(())
    }

    /// Waits until the shown text of the element contains the text.
    ///
    /// # Errors
    ///
    /// It does not in time; the error tells what it says instead.
    pub async fn wait_text(&self, css: &str, part: &str) -> Result<()> {
        let end = Instant::now() + PATIENCE;
        loop {
            let text = self.text(css).await?;
            if text.contains(part) {
                return Ok(());
            }
            ensure!(
                Instant::now() < end,
                "{css} does not say {part:?}: {text:?}"
            );
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// Waits until the script returns true.
    ///
    /// # Errors
    ///
    /// It does not in time, or throws.
    pub async fn wait_until(&self, what: &str, script: &str, arguments: Vec<Value>) -> Result<()> {
        let end = Instant::now() + PATIENCE;
        while self.script(script, arguments.clone()).await? != json!(true) {
            ensure!(Instant::now() < end, "waited in vain for {what}");
            tokio::time::sleep(GLANCE).await;
        }
        Ok(())
    }

    /// Taps the middle of the element with a finger (a click on a screen that is not touched).
    ///
    /// # Errors
    ///
    /// It does not show, or something else covers it.
    pub async fn tap(&self, css: &str) -> Result<()> {
        let element = self.wait_for(css).await?;
        let end = Instant::now() + PATIENCE;
        loop {
            let handle = serde_json::to_value(&element)?;
            match self.script(REACHABLE, vec![handle]).await? {
                Value::Null => break,
                other => ensure!(Instant::now() < end, "{css} is covered by {other}"),
            }
            tokio::time::sleep(GLANCE).await;
        }
        let steps = [
            PointerAction::MoveToElement {
                element,
                duration: None,
                x: 0.0,
                y: 0.0,
            },
            PointerAction::Down {
                button: MOUSE_BUTTON_LEFT,
            },
            PointerAction::Pause {
                duration: Duration::from_millis(20),
            },
            PointerAction::Up {
                button: MOUSE_BUTTON_LEFT,
            },
        ];
        self.point(steps)
            .await
            .with_context(|| format!("tap {css}"))?;
        self.taps.fetch_add(1, Ordering::Relaxed);
        Ok(())
    }

    /// How often something was tapped so far.
    #[must_use]
    pub fn taps(&self) -> usize {
        self.taps.load(Ordering::Relaxed)
    }

    /// Puts the finger (or the mouse) through a sequence of steps.
    ///
    /// # Errors
    ///
    /// The session is gone, or a step leaves the screen.
    pub async fn point(&self, steps: impl IntoIterator<Item = PointerAction>) -> Result<()> {
        let actions: Actions = if self.touch {
            steps
                .into_iter()
                .fold(TouchActions::new("finger".into()), InputSource::then)
                .into()
        } else {
            steps
                .into_iter()
                .fold(MouseActions::new("mouse".into()), InputSource::then)
                .into()
        };
        self.client.perform_actions(actions).await?;
        self.client.release_actions().await?;
        Ok(())
    }

    /// Types with the system's keyboard into the element.
    ///
    /// # Errors
    ///
    /// It does not show, or takes no typing.
    pub async fn type_text(&self, css: &str, text: &str) -> Result<()> {
        let field = self.wait_for(css).await?;
        // Not every driver takes the end of a line for a key.
        let keys = text.replace('\n', &char::from(Key::Enter).to_string());
        field
            .send_keys(&keys)
            .await
            .with_context(|| format!("type into {css}"))
    }

    /// Replaces what the field holds, typing with the system's keyboard; an empty text clears it.
    ///
    /// # Errors
    ///
    /// It does not show, or takes no typing.
    pub async fn retype(&self, css: &str, text: &str) -> Result<()> {
        let field = self.wait_for(css).await?;
        // In a window that is not in front a driver's keys land behind what is selected.
        let erase = "
            const [field] = arguments;
            field.focus();
            field.select();
            field.setRangeText('');
            field.dispatchEvent(new InputEvent('input', { bubbles: true, inputType: 'deleteContentBackward' }))";
        self.script(erase, vec![serde_json::to_value(&field)?])
            .await?;
        if text.is_empty() {
            // WebKit's driver types nothing but something.
            return Ok(());
        }
        self.type_text(css, text).await
    }

    /// The shown text of the element; a blank at which no line may end is a blank like any other.
    ///
    /// # Errors
    ///
    /// It does not show.
    pub async fn text(&self, css: &str) -> Result<String> {
        let read = "
            const element = document.querySelector(arguments[0]);
            return element && (element.innerText ?? '').replaceAll('\\u00a0', ' ').trim()";
        self.shown(css, read).await
    }

    /// What a field holds.
    ///
    /// # Errors
    ///
    /// It does not show, or is no field.
    pub async fn value(&self, css: &str) -> Result<String> {
        let read = "return document.querySelector(arguments[0]).value";
        self.shown(css, read).await
    }

    /// How many elements match, shown or not.
    ///
    /// # Errors
    ///
    /// The selector is not valid.
    pub async fn count(&self, css: &str) -> Result<usize> {
        Ok(self.client.find_all(Locator::Css(css)).await?.len())
    }

    /// Runs a script in the page; `arguments` holds its arguments, `return` gives its result.
    ///
    /// # Errors
    ///
    /// The script throws.
    pub async fn script(&self, script: &str, arguments: Vec<Value>) -> Result<Value> {
        Ok(self.client.execute(script, arguments).await?)
    }

    /// Runs a script that answers later, through the last of its arguments.
    ///
    /// # Errors
    ///
    /// The script throws, or does not answer in time.
    pub async fn script_later(&self, script: &str, arguments: Vec<Value>) -> Result<Value> {
        Ok(self.client.execute_async(script, arguments).await?)
    }

    /// The role and the name that the browser computes of an element for a screen reader.
    ///
    /// # Errors
    ///
    /// The element is gone, or the driver does not tell them.
    pub async fn heard(&self, element: &Element) -> Result<(String, String)> {
        let id = element.element_id().to_string();
        let mut told = Vec::with_capacity(2);
        for what in ["computedrole", "computedlabel"] {
            let command = Told(format!("element/{id}/{what}"));
            let found = self.client.issue_cmd(command).await?;
            told.push(found.as_str().unwrap_or_default().to_owned());
        }
        let name = told.pop().unwrap_or_default();
        Ok((told.pop().unwrap_or_default(), name))
    }

    /// Sends a command beyond the WebDriver standard, under the session's address.
    pub(super) async fn vendor(&self, path: &'static str, body: Value) -> Result<Value> {
        Ok(self.client.issue_cmd(Vendor { path, body }).await?)
    }

    /// What the script reads of the element once that shows. A page that is left at this very moment answers with
    /// nothing (Firefox) or fails: the one that comes is asked.
    async fn shown(&self, css: &str, read: &str) -> Result<String> {
        let end = Instant::now() + PATIENCE;
        loop {
            self.wait_for(css).await?;
            let told = self.script(read, vec![json!(css)]).await;
            if let Ok(Value::String(text)) = told {
                return Ok(text);
            }
            ensure!(Instant::now() < end, "{css} tells no text: {told:?}");
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// Takes a picture of the screen into `LANESIDE_SHOTS`, or into the build folder.
    ///
    /// # Errors
    ///
    /// The picture cannot be taken or written.
    pub async fn screenshot(&self, name: impl Display) -> Result<PathBuf> {
        let folder = match std::env::var_os("LANESIDE_SHOTS") {
            Some(folder) => PathBuf::from(folder),
            None => super::workspace()?.join("target").join("screenshots"),
        };
        let path = folder.join(format!("{name}.png"));
        self.screenshot_to(&path).await?;
        Ok(path)
    }

    /// Takes a picture of the screen into the file.
    ///
    /// # Errors
    ///
    /// The picture cannot be taken or written.
    pub async fn screenshot_to(&self, path: &Path) -> Result<()> {
        let picture = self.client.screenshot().await?;
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        std::fs::write(path, picture).with_context(|| path.display().to_string())
    }
}

/// A command beyond the WebDriver standard.
#[derive(Debug)]
struct Vendor {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for Vendor {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        let session = session.unwrap_or_default();
        base.join(&format!("session/{session}/{}", self.path))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.body.to_string()))
    }
}

/// A question about the session's page that has no name of its own in the client.
#[derive(Debug)]
struct Told(String);

impl WebDriverCompatibleCommand for Told {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        let session = session.unwrap_or_default();
        base.join(&format!("session/{session}/{}", self.0))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::GET, None)
    }
}
