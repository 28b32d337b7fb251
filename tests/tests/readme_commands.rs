//! The README's commands are run as they are written, but for those that run tests.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn commands() -> Vec<String> {
    let text = fs::read_to_string(root().join("README.md")).expect("a README");
    let blocks = text.split("```sh\n").skip(1).filter_map(|rest| rest.split("```").next());
    blocks
        .flat_map(|b| b.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#')).map(String::from))
        .collect()
}

#[test]
fn the_readme_opens_with_the_job_and_its_picture_exists() {
    let text = fs::read_to_string(root().join("README.md")).expect("a README");
    let paragraph = text.lines().find(|l| !l.starts_with('#') && !l.trim().is_empty()).expect("a paragraph");
    assert!(paragraph.contains("LED"), "{paragraph}");
    let picture = text.split("](").find_map(|rest| rest.split(')').next().filter(|f| f.ends_with(".png")));
    assert!(root().join(picture.expect("a picture")).is_file());
}

/// Runs until it is told to end: here until the address that it prints was opened.
fn opens_a_page(command: &str, rest: &str) {
    let arguments = ["run", "--quiet", "-p", "underfoot-sim", "--"].into_iter().chain(rest.split_whitespace());
    let cargo = Command::new(env!("CARGO")).current_dir(root()).args(arguments).stdout(Stdio::piped()).spawn();
    let mut running = cargo.expect("cargo runs");
    let mut address = String::new();
    BufReader::new(running.stdout.take().expect("its output")).read_line(&mut address).expect("a line");
    let (host, path) = address.trim().strip_prefix("http://").and_then(|a| a.split_once('/')).expect("an address");
    let mut page = TcpStream::connect(host).unwrap_or_else(|e| panic!("{command}: nothing at {address}: {e}"));
    write!(page, "GET /{path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").expect("it listens");
    let mut answer = String::new();
    page.read_to_string(&mut answer).expect("it answers");
    // Where there is `exec`, the command has taken cargo's place.
    let _ = running.kill().and_then(|()| running.wait());
    assert!(answer.starts_with("HTTP/1.1 303") && answer.contains("set-cookie: "), "{command}: {answer}");
}

#[test]
fn every_readme_command_runs() {
    let commands = commands();
    assert!(commands.iter().any(|c| c == "cargo run -p underfoot-tests --bin verify"), "{commands:?}");
    let mut ran = 0;
    let tests = commands.iter().filter_map(|c| c.strip_prefix("cargo test -p underfoot-tests --test "));
    for test in tests {
        // Run with all the others; here it is enough that it exists.
        assert!(root().join(format!("tests/tests/{test}.rs")).is_file(), "there is no test {test}");
    }
    for command in commands.iter().filter(|c| !c.ends_with("--bin verify") && !c.starts_with("cargo test ")) {
        let Some(rest) = command.strip_prefix("cargo run -p underfoot-sim -- ") else {
            panic!("a README command of a kind that this test does not know: {command}");
        };
        if rest.starts_with("rehearse") {
            opens_a_page(command, rest);
            ran += 1;
            continue;
        }
        let output = Command::new(env!("CARGO"))
            .current_dir(root())
            .args(["run", "--quiet", "-p", "underfoot-sim", "--"])
            .args(rest.split_whitespace())
            .output()
            .expect("cargo runs");
        let text = String::from_utf8_lossy(&output.stdout);
        let expected = if rest.starts_with("check") { [0, 1] } else { [0, 0] };
        let code = output.status.code().unwrap_or(-1);
        assert!(expected.contains(&code), "{command} ended with {code}: {}", String::from_utf8_lossy(&output.stderr));
        if let Some(folder) = rest.split("--draw ").nth(1) {
            assert!(text.contains("NOT checked"), "{command} printed no report");
            let pictures = fs::read_dir(root().join(folder.trim())).expect("a folder of pictures");
            assert!(pictures.count() >= 9, "{command} drew too little");
            let readme = fs::read_to_string(root().join("README.md")).expect("a README");
            for line in
                readme.lines().filter(|l| l.starts_with("STOP ") || l.starts_with("FIX ") || l.ends_with(" waived."))
            {
                assert!(text.lines().any(|printed| printed == line), "the README shows what is not printed: {line}");
            }
        }
        ran += 1;
    }
    assert!(ran >= 1);
}
