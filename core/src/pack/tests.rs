use std::vec;
use std::vec::Vec;

use super::*;
use crate::checksum::CRC;
use crate::limits;
use crate::show::{Mark, Name, Show, ShowFault};
use crate::test_support::samples;

fn packed(show: &Show) -> Vec<u8> {
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = encode(show, &mut bytes).unwrap();
    bytes.truncate(len);
    bytes
}

/// Puts a body into a fresh, correct guard.
fn guard(body: &[u8]) -> Vec<u8> {
    let mut bytes = envelope::header(body.len() as u32).to_vec();
    bytes.extend_from_slice(body);
    bytes.extend_from_slice(&CRC.checksum(&bytes).to_le_bytes());
    bytes
}

#[test]
fn a_show_comes_back_equal() {
    let show = samples::small();
    assert_eq!(decode(&packed(&show)).unwrap(), show);
}

#[test]
fn the_body_is_what_the_serialiser_library_writes_and_reads() {
    // Outside check: postcard's own derived code, which shares nothing with the item-by-item reader.
    let show = samples::small();
    let bytes = packed(&show);
    let body = &bytes[HEADER_BYTES..bytes.len() - 4];
    let mut other = vec![0; limits::PACK_BYTES];
    assert_eq!(body, postcard::to_slice(&show, &mut other).unwrap());
    assert_eq!(postcard::from_bytes::<Show>(body).unwrap(), show);
}

#[test]
fn old_content_of_the_place_is_gone() {
    let mut place = samples::small();
    let mut other = samples::small();
    other.marks.clear();
    other.cue_places.iter_mut().for_each(|p| p.mark = None);
    decode_into(&packed(&other), &mut place).unwrap();
    assert_eq!(place, other);
}

#[test]
fn every_single_damaged_byte_is_refused_and_leaves_an_empty_place() {
    let show = samples::small();
    let good = packed(&show);
    for at in 0..good.len() {
        let mut bad = good.clone();
        bad[at] ^= 0x10;
        let mut place = show.clone();
        assert!(decode_into(&bad, &mut place).is_err(), "byte {at}");
        assert_eq!(place, Show::default());
    }
}

#[test]
fn every_cut_is_refused() {
    let good = packed(&samples::small());
    for len in 0..good.len() {
        assert!(decode(&good[..len]).is_err(), "length {len}");
    }
}

#[test]
fn each_check_names_itself_with_expected_and_got() {
    let good = packed(&samples::small());
    let len = good.len();
    let with = |at: usize, bytes: &[u8]| {
        let mut bad = good.clone();
        bad[at..at + bytes.len()].copy_from_slice(bytes);
        decode(&bad).unwrap_err()
    };
    assert_eq!(decode(&[]).unwrap_err(), PackError::TooShort { expected: 14, got: 0 });
    assert_eq!(with(0, b"ZIP!"), PackError::Magic { got: *b"ZIP!" });
    assert_eq!(with(4, &[2, 0]), PackError::Version { min: 1, current: 1, got: 2 });
    assert_eq!(with(6, &[1, 0, 0, 0]), PackError::Length { expected: 15, got: len });
    assert!(
        matches!(with(len - 1, &[good[len - 1] ^ 1]), PackError::Crc { expected, got } if expected ^ got == 1 << 24)
    );
    let long = vec![0; limits::PACK_BYTES + 1];
    assert_eq!(decode(&long).unwrap_err(), PackError::TooLong { expected: 32_768, got: 32_769 });
}

#[test]
fn bytes_left_over_inside_a_correct_guard_are_refused() {
    let good = packed(&samples::small());
    let mut body = good[HEADER_BYTES..good.len() - 4].to_vec();
    body.push(0);
    assert_eq!(decode(&guard(&body)).unwrap_err(), PackError::Trailing { got: 1 });
}

#[test]
fn a_list_too_long_names_both_numbers() {
    // Title, frame rate, allowance, latency, look and control as in the sample; then a canvas list of 9 items.
    let show = samples::small();
    let mut head = vec![0; 256];
    let fields =
        (&show.title, show.frame_rate, show.survey_allowance_m, show.latency_ms, show.look, show.control, 9u32);
    let body = postcard::to_slice(&fields, &mut head).unwrap();
    let full = PackError::Full { field: "canvases", expected: limits::CANVASES, got: 9 };
    assert_eq!(decode(&guard(body)).unwrap_err(), full);
}

#[test]
fn a_show_that_validation_refuses_is_neither_written_nor_read() {
    let mut show = samples::small();
    show.marks[0].at.x = f32::NAN;
    let mut bytes = vec![0; limits::PACK_BYTES];
    let refused = encode(&show, &mut bytes).unwrap_err();
    assert!(matches!(refused, PackError::Show(e) if e.list == "marks" && e.fault == ShowFault::NotFinite));
    let mut body = vec![0; limits::PACK_BYTES];
    let body = postcard::to_slice(&show, &mut body).unwrap();
    assert_eq!(decode(&guard(body)).unwrap_err(), refused);
}

#[test]
fn a_small_buffer_is_told_the_size_needed() {
    let show = samples::small();
    let need = encoded_len(&show).unwrap();
    assert_eq!(encode(&show, &mut vec![0; need - 1]), Err(PackError::TooLong { expected: need - 1, got: need }));
    assert_eq!(encode(&show, &mut vec![0; need]), Ok(need));
}

#[test]
fn codes_change_with_one_name_and_use_no_look_alikes() {
    let show = samples::small();
    let mut other = show.clone();
    other.marks[0].name = Name::try_from("other").unwrap();
    let code = ShowCode::of_pack(&packed(&show)).unwrap();
    assert_ne!(code, ShowCode::of_pack(&packed(&other)).unwrap());
    assert_eq!(code.as_str().len(), 4);
    for pair in ["0O", "1I", "1L", "2Z", "5S", "6G", "69", "8B", "UV", "MW", "OQ"] {
        let both = pair.bytes().all(|b| code::ALPHABET.contains(&b));
        assert!(!both, "{pair} are look-alikes (common practice)");
    }
}

#[test]
fn codes_are_base_18_digits() {
    assert_eq!(ShowCode::of_crc(0).as_str(), "2222");
    assert_eq!(ShowCode::of_crc(18).as_str(), "2232");
    // 0xCBF43926 = 3,421,780,262 = (… × 18 + 15) × 18³ + 0 × 18² + 3 × 18 + 8, by long division.
    assert_eq!(ShowCode::of_crc(0xCBF4_3926).as_str(), "X27J");
}

#[test]
fn usage_counts_every_list() {
    let show = samples::small();
    let all = usage(&show);
    let marks = all.iter().find(|u| u.field == "marks").unwrap();
    let expected =
        Usage { field: "marks", used: show.marks.len(), capacity: limits::MARKS, item_bytes: size_of::<Mark>() };
    assert_eq!(*marks, expected);
    let lists: usize = all.iter().map(|u| u.capacity * u.item_bytes).sum();
    assert!(lists < size_of::<Show>() && size_of::<Show>() < lists + 1024, "{lists} of {}", size_of::<Show>());
}

#[test]
fn random_bodies_in_a_correct_guard_never_panic() {
    let mut state = 0x9E37_79B9_7F4A_7C15u64;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state
    };
    let good = packed(&samples::small());
    for _ in 0..2000 {
        let mut body: Vec<u8> = good[HEADER_BYTES..good.len() - 4].to_vec();
        for _ in 0..1 + next() % 8 {
            let at = next() as usize % body.len();
            body[at] = next() as u8;
        }
        body.truncate(1 + next() as usize % body.len());
        let _ = decode(&guard(&body));
        let noise: Vec<u8> = (0..next() % 64).map(|_| next() as u8).collect();
        let _ = decode(&noise);
        let _ = decode(&guard(&noise));
    }
}
