//! The box's image for the Arm MPS2 board with AN386.
#![cfg_attr(target_os = "none", no_std, no_main)]

#[cfg(target_os = "none")]
#[cortex_m_rt::entry]
fn main() -> ! {
    underfoot_firmware::app::run(&underfoot_firmware::boards::mps2_an386::BOARD)
}

#[cfg(not(target_os = "none"))]
fn main() {}
