//! A hidden display, and somebody who types and clicks on it: the XTEST extension of X11, spoken by hand.

use std::io::{IoSlice, Read};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use x11rb::connection::{Connection, RequestConnection};
use x11rb::protocol::xproto::{AtomEnum, ConnectionExt, InputFocus, Window};
use x11rb::rust_connection::RustConnection;

/// How long the program gets after each thing done to it.
const PAUSE: Duration = Duration::from_millis(220);
/// Types of the XTEST event to send: X11 core events.
const KEY_PRESS: u8 = 2;
const BUTTON_PRESS: u8 = 4;
const MOTION: u8 = 6;
/// Keysyms. Source: X11 keysymdef.
const RETURN: u32 = 0xff0d;
const CONTROL: u32 = 0xffe3;

/// An Xvfb of one's own; ends with it.
pub(crate) struct Hidden {
    server: Child,
    name: String,
}

impl Hidden {
    /// Starts Xvfb on a display number it chooses.
    pub(crate) fn start() -> Result<Self, String> {
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "1440x900x24", "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|why| format!("Xvfb cannot be started ({why})"))?;
        let mut number = String::new();
        let mut byte = [0u8; 1];
        let mut out = server.stdout.take().ok_or("Xvfb says nothing")?;
        while out.read(&mut byte).is_ok_and(|count| count == 1) && byte[0] != b'\n' {
            number.push(char::from(byte[0]));
        }
        if number.is_empty() {
            let _ended = server.kill();
            return Err("Xvfb offers no display".into());
        }
        Ok(Self { server, name: format!(":{number}") })
    }

    pub(crate) fn name(&self) -> &str {
        &self.name
    }
}

impl Drop for Hidden {
    fn drop(&mut self) {
        let _ended = self.server.kill();
        let _waited = self.server.wait();
    }
}

/// A connection that types and clicks.
pub(crate) struct Display {
    connection: RustConnection,
    root: Window,
    xtest: u8,
    /// Keycode and whether shift is wanted, by keysym.
    keys: Vec<(u32, u8)>,
}

impl Display {
    pub(crate) fn open(name: &str) -> Result<Self, String> {
        let (connection, screen) = x11rb::connect(Some(name)).map_err(|why| why.to_string())?;
        let root = connection.setup().roots[screen].root;
        let extension = connection.query_extension(b"XTEST").ok().and_then(|cookie| cookie.reply().ok());
        let extension = extension.filter(|found| found.present).ok_or("the display lacks XTEST")?;
        let (first, last) = (connection.setup().min_keycode, connection.setup().max_keycode);
        let map = connection.get_keyboard_mapping(first, last - first + 1).map_err(|why| why.to_string())?;
        let map = map.reply().map_err(|why| why.to_string())?;
        let each = usize::from(map.keysyms_per_keycode);
        let keys = map
            .keysyms
            .chunks(each)
            .enumerate()
            .map(|(at, symbols)| (symbols[0], first + u8::try_from(at).unwrap_or(0)))
            .collect();
        Ok(Self { connection, root, xtest: extension.major_opcode, keys })
    }

    /// One fake event: request 2 of XTEST. Source: X Test Extension Protocol, XTestFakeInput.
    fn fake(&self, kind: u8, detail: u8, [x, y]: [i16; 2]) {
        let mut request = vec![self.xtest, 2, 9, 0, kind, detail, 0, 0];
        request.extend(0u32.to_ne_bytes());
        request.extend(if kind == MOTION { self.root } else { 0 }.to_ne_bytes());
        request.extend([0; 8]);
        request.extend(x.to_ne_bytes());
        request.extend(y.to_ne_bytes());
        request.extend([0; 8]);
        assert_eq!(request.len(), 36);
        self.connection.send_request_without_reply(&[IoSlice::new(&request)], vec![]).unwrap();
        self.connection.flush().unwrap();
    }

    pub(crate) fn point(&self, x: i16, y: i16) {
        self.fake(MOTION, 0, [x, y]);
        std::thread::sleep(PAUSE);
    }

    pub(crate) fn click(&self, x: i16, y: i16) {
        self.point(x, y);
        for kind in [BUTTON_PRESS, BUTTON_PRESS + 1] {
            self.fake(kind, 1, [0, 0]);
            std::thread::sleep(PAUSE / 2);
        }
        std::thread::sleep(PAUSE);
    }

    fn press(&self, symbol: u32, with: Option<u32>) {
        let code = |symbol: u32| self.keys.iter().find(|(known, _)| *known == symbol).map_or(0, |(_, code)| *code);
        let held: Vec<u8> = with.into_iter().chain([symbol]).map(code).collect();
        for code in &held {
            self.fake(KEY_PRESS, *code, [0, 0]);
            // On a busy machine a frame takes long, and keys that come and go within one cannot be told apart.
            std::thread::sleep(if with.is_some() { 4 * PAUSE } else { PAUSE / 4 });
        }
        for code in held.iter().rev() {
            self.fake(KEY_PRESS + 1, *code, [0, 0]);
        }
        std::thread::sleep(PAUSE);
    }

    /// A letter or digit as on a plain keyboard.
    pub(crate) fn key(&self, letter: char) {
        self.press(if letter == '\n' { RETURN } else { u32::from(letter) }, None);
    }

    pub(crate) fn write(&self, text: &str) {
        text.chars().for_each(|letter| self.key(letter));
    }

    pub(crate) fn save(&self) {
        self.press(u32::from('s'), Some(CONTROL));
    }

    fn window(&self, word: &str) -> Option<Window> {
        let tree = self.connection.query_tree(self.root).ok()?.reply().ok()?;
        tree.children.into_iter().find(|window| {
            let name = self.connection.get_property(false, *window, AtomEnum::WM_NAME, AtomEnum::ANY, 0, 256);
            let name = name.ok().and_then(|cookie| cookie.reply().ok());
            name.is_some_and(|name| String::from_utf8_lossy(&name.value).contains(word))
        })
    }

    pub(crate) fn has_window(&self, word: &str) -> bool {
        self.window(word).is_some()
    }

    /// Without a window manager nobody hands the keyboard to a window.
    pub(crate) fn focus(&self, word: &str) {
        if let Some(window) = self.window(word) {
            let _cookie = self.connection.set_input_focus(InputFocus::PARENT, window, x11rb::CURRENT_TIME);
            let _flushed = self.connection.flush();
        }
        std::thread::sleep(PAUSE);
    }
}
