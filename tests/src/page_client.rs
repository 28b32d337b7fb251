//! A rehearse page of a show in this process, and a browser that only asks.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::{Arc, mpsc};
use std::thread;

use underfoot_sim::demos::text_of;
use underfoot_sim::project::parse;
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::{House, Listening, Settings, serve};

/// A page, for as long as the process runs.
#[derive(Clone, Debug)]
pub struct Page {
    /// "127.0.0.1:40123".
    host: String,
    cookie: String,
}

/// What the page answered.
#[derive(Clone, Debug)]
pub struct Reply {
    /// HTTP's number.
    pub status: u16,
    /// Header lines.
    pub head: String,
    /// All that follows.
    pub body: Vec<u8>,
}

impl Page {
    /// Opens the page of a demo.
    ///
    /// # Panics
    /// When it cannot be opened.
    pub fn of(demo: &str) -> Self {
        let project = parse(demo, text_of(demo).expect("a demo")).expect("a demo loads");
        let (tell, told) = mpsc::channel();
        thread::spawn(move || {
            let open = |door| {
                let house = Arc::new(House::new(door, Draft::new(project, None))?);
                house.start().map(|()| house)
            };
            let ready = |listening: &Listening| tell.send(listening.here.clone()).expect("somebody waits");
            serve(&Settings::default(), open, ready, std::future::pending()).expect("the page runs");
        });
        let here: String = told.recv().expect("an address");
        let (host, entry) = here.strip_prefix("http://").and_then(|rest| rest.split_once('/')).expect("an address");
        let mut page = Self { host: host.to_owned(), cookie: String::new() };
        let entered = page.get(&format!("/{entry}"));
        let cookie = entered.header("set-cookie").and_then(|cookie| cookie.split(';').next()).expect("a cookie");
        page.cookie = cookie.to_owned();
        page
    }

    /// Asks for an address.
    ///
    /// # Panics
    /// When the page is gone.
    pub fn get(&self, address: &str) -> Reply {
        self.ask(address, "")
    }

    /// Asks with further header lines, each with its end.
    ///
    /// # Panics
    /// When the page is gone.
    pub fn ask(&self, address: &str, more: &str) -> Reply {
        let Self { host, cookie } = self;
        let mut socket = TcpStream::connect(host).expect("the page is there");
        let cookie = if cookie.is_empty() { String::new() } else { format!("Cookie: {cookie}\r\n") };
        let ask = format!("GET {address} HTTP/1.1\r\nHost: {host}\r\n{cookie}{more}Connection: close\r\n\r\n");
        socket.write_all(ask.as_bytes()).expect("an ask");
        let mut all = Vec::new();
        socket.read_to_end(&mut all).expect("an answer");
        let end = all.windows(4).position(|four| four == b"\r\n\r\n").expect("a head");
        let head = String::from_utf8_lossy(&all[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|number| number.parse().ok()).expect("a status");
        Reply { status, head, body: all[end + 4..].to_vec() }
    }
}

impl Reply {
    /// The value of a header, by its name in small letters.
    pub fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines.filter(|(key, _)| key.eq_ignore_ascii_case(name)).map(|(_, value)| value).next()
    }

    /// The body as words.
    pub fn words(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

/// Width and samples of a PNG with 8 bits a sample, row by row.
///
/// # Panics
/// When it is none.
pub fn samples(png: &[u8]) -> (u32, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let frame = reader.next_frame(&mut pixels).expect("a picture");
    (frame.width, pixels)
}

/// The samples of a PNG file.
///
/// # Panics
/// When there is none.
pub fn samples_of(path: &Path) -> (u32, Vec<u8>) {
    samples(&std::fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display())))
}
