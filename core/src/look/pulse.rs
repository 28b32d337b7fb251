//! The stand-by pulse: a slow sine, never a snap.

/// Share of the light that the pulse takes away at its darkest.
pub const DEPTH: f32 = 0.6;

/// Light of a pulsing mark, of 255, at a phase in 256ths of its period. Phase 0 is full.
pub fn envelope(phase: u8) -> u8 {
    // A coarse cosine is enough: its error stays under one level, which a test pins.
    let cos = micromath::F32(f32::from(phase) * (core::f32::consts::TAU / 256.0)).cos().0;
    let light = 1.0 - DEPTH * 0.5 * (1.0 - cos);
    libm::roundf(255.0 * libm::fminf(libm::fmaxf(light, 0.0), 1.0)) as u8
}
