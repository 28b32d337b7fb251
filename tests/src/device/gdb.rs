//! A debugger on the emulated processor, by the remote serial protocol of GDB (its manual, appendix E): memory and
//! registers, so that a test can break the box in ways that its own code offers nobody.

use std::io::{self, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::Path;
use std::time::Duration;

use object::{Object, ObjectSymbol, SymbolKind};

/// A debugger that has stopped the processor. Dropping it lets the processor go on.
#[derive(Debug)]
pub struct Gdb(TcpStream);

impl Gdb {
    /// Stops the processor behind a port.
    ///
    /// # Errors
    /// When nobody is there.
    pub fn attach(port: u16) -> io::Result<Self> {
        let line = TcpStream::connect((Ipv4Addr::LOCALHOST, port))?;
        line.set_read_timeout(Some(Duration::from_secs(20)))?;
        let mut gdb = Self(line);
        gdb.ask("?");
        Ok(gdb)
    }

    /// Sends a packet and returns the answer.
    ///
    /// # Panics
    /// When there is none.
    fn ask(&mut self, what: &str) -> String {
        let sum = what.bytes().fold(0_u8, u8::wrapping_add);
        self.0.write_all(format!("${what}#{sum:02x}").as_bytes()).expect("the debugger's line");
        loop {
            let answer = self.hear(what);
            // That the processor stopped is told once more by itself.
            if what == "?" || !answer.starts_with("T05") {
                return answer;
            }
        }
    }

    /// The next packet.
    fn hear(&mut self, what: &str) -> String {
        let (mut answer, mut byte) = (String::new(), [0]);
        let mut inside = false;
        loop {
            self.0.read_exact(&mut byte).unwrap_or_else(|e| panic!("no answer to {what}: {e}"));
            match byte[0] {
                b'$' => inside = true,
                b'#' if inside => break,
                other if inside => answer.push(other.into()),
                _ => {}
            }
        }
        self.0.read_exact(&mut [0; 2]).expect("a checksum");
        self.0.write_all(b"+").expect("the debugger's line");
        answer
    }

    /// Writes memory.
    ///
    /// # Panics
    /// When the processor has none there.
    pub fn write(&mut self, at: u32, bytes: &[u8]) {
        let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(self.ask(&format!("M{at:x},{:x}:{hex}", bytes.len())), "OK");
    }

    /// Sets a register by its number; 15 is the program counter.
    ///
    /// # Panics
    /// When it is refused.
    pub fn set_register(&mut self, number: u8, value: u32) {
        let hex: String = value.to_le_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(self.ask(&format!("P{number:x}={hex}")), "OK");
    }

    /// Lets the processor go on.
    ///
    /// # Panics
    /// When it is refused.
    pub fn detach(mut self) {
        assert_eq!(self.ask("D"), "OK");
    }
}

/// Address of the first function of an image whose name has all of `parts` in it, without the bit that says Thumb.
///
/// # Panics
/// When there is none.
pub fn function(image: &Path, parts: &[&str]) -> u32 {
    let bytes = std::fs::read(image).expect("the image");
    let elf = object::File::parse(&*bytes).expect("an ELF file");
    let named = |name: &str| parts.iter().all(|part| name.contains(part));
    let found = elf
        .symbols()
        .find(|symbol| symbol.size() > 0 && symbol.kind() == SymbolKind::Text && symbol.name().is_ok_and(named));
    found.unwrap_or_else(|| panic!("no function {parts:?}")).address() as u32 & !1
}
