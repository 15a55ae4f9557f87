//! Chromium without a window, over a pipe: its DevTools protocol, JSON between zeros. Nothing listens on a port.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;
use tempfile::TempDir;

/// How long any answer may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// It looks for nothing in the network by itself. As root it does without its sandbox.
const FLAGS: [&str; 11] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
    "about:blank",
];

/// A browser with one page.
pub(crate) struct Browser {
    child: Child,
    input: ChildStdin,
    messages: Receiver<Value>,
    asked: u64,
    session: Value,
    /// Gone when the browser is.
    pub(crate) folder: TempDir,
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program, or none where there is none to be had, and that was said.
fn program() -> Option<PathBuf> {
    match std::env::var_os("BEVELBOOK_BROWSER") {
        Some(none) if none == "none" => {
            eprintln!("not tested: there is no browser (BEVELBOOK_BROWSER=none)");
            None
        }
        Some(named) => Some(named.into()),
        None => Some("chromium".into()),
    }
}

impl Browser {
    /// Starts it; none where there is none.
    pub(crate) fn start() -> Option<Self> {
        let program = program()?;
        let folder = TempDir::new().unwrap();
        // It reads from its fourth file and writes to its fifth.
        let mut command = Command::new("sh");
        command.args(["-c", r#"exec "$0" "$@" 3<&0 4>&1 </dev/null >/dev/null 2>&1"#]).arg(&program);
        command.args(FLAGS).arg(format!("--user-data-dir={}", folder.path().display()));
        command.stdin(Stdio::piped()).stdout(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let (input, output) = (child.stdin.take().unwrap(), child.stdout.take().unwrap());
        let (sender, messages) = channel();
        std::thread::spawn(move || {
            let mut messages = BufReader::new(output).split(0).map_while(Result::ok);
            messages.try_for_each(|message| sender.send(serde_json::from_slice(&message).unwrap()))
        });
        let mut browser = Self { child, input, messages, asked: 0, session: Value::Null, folder };
        let target = browser.call("Target.createTarget", json!({ "url": "about:blank" }))["targetId"].take();
        let attached = browser.call("Target.attachToTarget", json!({ "targetId": target, "flatten": true }));
        browser.session = attached["sessionId"].clone();
        browser.call("Page.enable", json!({}));
        Some(browser)
    }

    /// Asks for `method` and waits for its answer. What is asked of a person meanwhile is answered yes.
    #[expect(clippy::needless_pass_by_value, reason = "written out at each call")]
    pub(crate) fn call(&mut self, method: &str, params: Value) -> Value {
        let asked = self.send(method, &params);
        loop {
            let mut message = self.message(method);
            if message["method"] == "Page.javascriptDialogOpening" {
                self.send("Page.handleJavaScriptDialog", &json!({ "accept": true }));
            }
            if message["id"] == asked {
                assert!(message["error"].is_null(), "{method}: {message}");
                return message["result"].take();
            }
        }
    }

    /// Waits until the page says `event`.
    pub(crate) fn until(&mut self, event: &str) {
        while self.message(event)["method"] != event {}
    }

    fn send(&mut self, method: &str, params: &Value) -> u64 {
        self.asked += 1;
        let mut message = json!({ "id": self.asked, "method": method, "params": params });
        if !self.session.is_null() {
            message["sessionId"] = self.session.clone();
        }
        write!(self.input, "{message}\0").unwrap();
        self.asked
    }

    fn message(&self, wanted: &str) -> Value {
        let why = "is the browser there? Debian's package is chromium";
        self.messages.recv_timeout(PATIENCE).unwrap_or_else(|_| panic!("no answer to {wanted}: {why}"))
    }

    /// What `script` is worth on the page.
    pub(crate) fn value(&mut self, script: &str) -> Value {
        let params = json!({ "expression": script, "returnByValue": true, "awaitPromise": true });
        let mut answer = self.call("Runtime.evaluate", params);
        assert!(answer["exceptionDetails"].is_null(), "{script}: {answer}");
        answer["result"]["value"].take()
    }
}
