//! Linker arguments of the device images; nothing on a host.

use std::path::Path;
use std::{env, fs};

/// Images and the memory layout each is linked for.
const IMAGES: [(&str, &str); 4] =
    [("box_an386", "an386"), ("box_an500", "an500"), ("rig_an386", "rig"), ("rig_an500", "rig")];

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=memory");
    if env::var("CARGO_CFG_TARGET_OS").as_deref() != Ok("none") {
        return;
    }
    let out = env::var("OUT_DIR").expect("cargo sets OUT_DIR");
    for board in ["an386", "an500", "rig"] {
        let folder = Path::new(&out).join(board);
        fs::create_dir_all(&folder).expect("a writable OUT_DIR");
        fs::copy(Path::new("memory").join(format!("{board}.x")), folder.join("memory.x")).expect("the memory layout");
    }
    for (image, board) in IMAGES {
        println!("cargo:rustc-link-arg-bin={image}=-L{out}/{board}");
    }
    println!("cargo:rustc-link-arg-bins=--nmagic");
    println!("cargo:rustc-link-arg-bins=-Tlink.x");
    println!("cargo:rustc-link-arg-bins=-Tdefmt.x");
}
