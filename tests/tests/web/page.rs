//! The page as a person uses it: looked at on the screen, and pressed by mouse, finger or keyboard.

use crate::browser::Browser;
use bevelbook_keypad::keys::Key;
use bevelbook_tests::build::{root, run, target};
use bevelbook_tests::emulator::Picture;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How long a picture may take to come: a console that left counts as there for three seconds.
const PATIENCE: Duration = Duration::from_secs(20);

/// The keypad ignores presses for 300 ms after an outcome; a person takes longer than that to read.
const PACE: Duration = Duration::from_millis(350);

/// What a key is pressed by.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Way {
    Mouse,
    Finger,
    Keyboard,
}

/// The size of the window in CSS pixels, and how many dots of the screen one of them has.
#[derive(Clone, Copy)]
pub(crate) struct Window {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) dots: u32,
}

/// The page in a browser.
pub(crate) struct Page {
    browser: Browser,
    window: Window,
}

fn built() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let mut command = Command::new(root().join("firmware-example/boards/web/build"));
        let said = run("page", command.env("CARGO_TARGET_DIR", target("boards").unwrap()));
        said.unwrap_or_else(|why| panic!("{why}")).lines().last().unwrap().into()
    })
}

/// Bytes that were written in base 64, as the browser hands pictures over.
fn from_base64(text: &str) -> Vec<u8> {
    let value = |letter: u8| match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let letters: Vec<u8> = text.trim_end_matches('=').bytes().map(value).collect();
    let bits =
        |four: &[u8]| four.iter().zip([18, 12, 6, 0]).fold(0, |bits, (six, by)| bits | u32::from(*six) << by);
    letters.chunks(4).flat_map(|four| bits(four).to_be_bytes()[1..four.len()].to_vec()).collect()
}

impl Page {
    /// Opens the page from its file; none where there is no browser.
    pub(crate) fn open(window: Window) -> Option<Self> {
        let mut browser = Browser::start()?;
        let Window { width, height, dots } = window;
        let screen =
            json!({ "width": width, "height": height, "deviceScaleFactor": dots, "mobile": dots > 1 });
        browser.call("Emulation.setDeviceMetricsOverride", screen);
        let mut page = Self { browser, window };
        page.load();
        Some(page)
    }

    /// Loads the page, or loads it again.
    pub(crate) fn load(&mut self) {
        self.browser.call("Page.navigate", json!({ "url": format!("file://{}", built().display()) }));
        self.browser.until("Page.loadEventFired");
    }

    pub(crate) fn value(&mut self, script: &str) -> Value {
        self.browser.value(script)
    }

    /// The screen within `selector`, as a PNG.
    fn seen(&mut self, selector: &str) -> Vec<u8> {
        let script = format!(
            "(() => {{ const {{ x, y, width, height }} = document.querySelector('{selector}').getBoundingClientRect();
              return {{ x: x + scrollX, y: y + scrollY, width, height, scale: 1 }} }})()"
        );
        let clip = self.value(&script);
        let params = json!({ "format": "png", "clip": clip, "captureBeyondViewport": true });
        let picture = self.browser.call("Page.captureScreenshot", params);
        from_base64(picture["data"].as_str().unwrap())
    }

    /// What the screen shows of the display.
    fn picture(&mut self) -> Option<Picture> {
        let png = self.seen("#display");
        let path = self.browser.folder.path().join("display.png");
        std::fs::write(&path, png).unwrap();
        Some(Picture::load(&path)?.in_two())
    }

    /// Waits until the display on the screen is `expected`.
    pub(crate) fn until_shown(&mut self, expected: &Picture, when: &str) {
        let begun = Instant::now();
        loop {
            let shown = self.picture();
            if shown.as_ref() == Some(expected) {
                return;
            }
            assert!(begun.elapsed() < PATIENCE, "{when} it shows {shown:?}\nand not {expected:?}");
            sleep(Duration::from_millis(50));
        }
    }

    /// What the page says in letters, without the empty rows at its end.
    pub(crate) fn letters(&mut self) -> String {
        self.value("document.getElementById('letters').textContent").as_str().unwrap().to_owned()
    }

    /// Leaves a picture of the page where pictures are wanted.
    pub(crate) fn keep_picture(&mut self, name: &str) {
        if let Some(folder) = std::env::var_os("BEVELBOOK_PICTURES") {
            let png = self.seen("body");
            std::fs::write(Path::new(&folder).join(name), png).unwrap();
        }
    }

    /// As who prefers dark pages sees it.
    pub(crate) fn darken(&mut self) {
        let dark = json!([{ "name": "prefers-color-scheme", "value": "dark" }]);
        self.browser.call("Emulation.setEmulatedMedia", json!({ "features": dark }));
    }

    /// The middle of what `selector` finds, scrolled to where it can be reached.
    fn middle(&mut self, selector: &str) -> [f64; 2] {
        let script = format!(
            "(() => {{ const thing = document.querySelector('{selector}');
              thing.scrollIntoView({{ block: 'nearest' }});
              const {{ x, y, width, height }} = thing.getBoundingClientRect();
              return [x + width / 2, y + height / 2] }})()"
        );
        serde_json::from_value(self.value(&script)).unwrap()
    }

    /// Presses a key for so long.
    pub(crate) fn press(&mut self, way: Way, key: Key, ms: u64) {
        let selector = format!("[data-key=\"{}\"]", key as u8);
        let ends: [(&str, Value); 2] = match way {
            Way::Mouse => {
                let [x, y] = self.middle(&selector);
                ["mousePressed", "mouseReleased"].map(|kind| {
                    let event = json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 });
                    ("Input.dispatchMouseEvent", event)
                })
            }
            Way::Finger => {
                let [x, y] = self.middle(&selector);
                [("touchStart", json!([{ "x": x, "y": y }])), ("touchEnd", json!([]))].map(
                    |(kind, points)| {
                        ("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points }))
                    },
                )
            }
            Way::Keyboard => {
                let code = ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight", "Enter"][key as usize];
                ["rawKeyDown", "keyUp"].map(|kind| {
                    ("Input.dispatchKeyEvent", json!({ "type": kind, "key": code, "code": code }))
                })
            }
        };
        let [(method, down), (_, up)] = ends;
        self.browser.call(method, down);
        sleep(Duration::from_millis(ms));
        self.browser.call(method, up);
        sleep(PACE);
    }

    /// Clicks on what `selector` finds.
    pub(crate) fn click(&mut self, selector: &str) {
        let [x, y] = self.middle(selector);
        for kind in ["mousePressed", "mouseReleased"] {
            let event = json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 });
            self.browser.call("Input.dispatchMouseEvent", event);
        }
    }

    /// How wide the page is, of the width there is.
    pub(crate) fn overhang(&mut self) -> i64 {
        self.value("document.documentElement.scrollWidth").as_i64().unwrap() - i64::from(self.window.width)
    }
}
