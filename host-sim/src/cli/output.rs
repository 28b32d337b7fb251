//! Where data and talk go. A reader that closes its end early is no fault.

use std::io::{ErrorKind, Write};

use super::{Exit, Refusal};

/// Data for stdout and talk for stderr.
pub struct Output<'w> {
    data: &'w mut dyn Write,
    talk: &'w mut dyn Write,
}

impl<'w> Output<'w> {
    /// Output to these two.
    pub fn new(data: &'w mut dyn Write, talk: &'w mut dyn Write) -> Self {
        Self { data, talk }
    }

    /// Writes data as it is.
    ///
    /// # Errors
    /// [`Refusal`] when it cannot be written, except that a closed pipe is success.
    pub fn data(&mut self, text: &str) -> Result<(), Refusal> {
        match self.data.write_all(text.as_bytes()).and_then(|()| self.data.flush()) {
            Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Refusal(format!("cannot write the output: {e}"))),
            _ => Ok(()),
        }
    }

    /// Writes a line of talk. Nobody is left to hear that it failed.
    pub fn talk(&mut self, line: &str) {
        let _ = writeln!(self.talk, "{line}");
    }

    /// Prints what the argument parser has to say: help and version are data, errors are talk.
    pub(super) fn clap(&mut self, message: &clap::Error) -> Exit {
        if message.use_stderr() {
            self.talk(message.render().to_string().trim_end());
            return Exit::CouldNotRun;
        }
        match self.data(&message.render().to_string()) {
            Ok(()) => Exit::Fine,
            Err(_) => Exit::CouldNotRun,
        }
    }
}

impl std::fmt::Debug for Output<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Output").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Pipe(ErrorKind);

    impl Write for Pipe {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_closed_pipe_is_success_and_a_full_disk_is_not() {
        let mut talk = Vec::new();
        assert!(Output::new(&mut Pipe(ErrorKind::BrokenPipe), &mut talk).data("x").is_ok());
        assert!(Output::new(&mut Pipe(ErrorKind::StorageFull), &mut talk).data("x").is_err());
    }
}
