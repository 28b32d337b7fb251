//! Packets, sequence numbers, groups.

use super::*;

#[test]
fn what_is_written_is_read() {
    let slots: Vec<u8> = (0..512).map(|i| (i * 7) as u8).collect();
    for len in [0, 1, 4, 511, 512] {
        let header = Header { preview: true, force_sync: true, sync_address: 9, ..HEADER };
        let bytes = sent(header, 0xDD, &slots[..len]);
        assert_eq!(bytes.len(), HEADER_BYTES + len);
        assert_eq!(read(&bytes), Ok(Packet::Data(Data { header, start_code: 0xDD, slots: &slots[..len] })));
    }
    let sync = Sync { cid: Cid([3; 16]), sequence: 255, address: 63_999 };
    let mut bytes = [0xAA; 49];
    assert_eq!(write_sync(&sync, &mut bytes), Some(49));
    assert_eq!(read(&bytes), Ok(Packet::Sync(sync)));
}

#[test]
fn what_does_not_fit_is_not_written() {
    let long = [0; 513];
    let mut bytes = [0; 700];
    assert_eq!(write(&Data { header: HEADER, start_code: 0, slots: &long }, &mut bytes), None);
    assert_eq!(write(&Data { header: HEADER, start_code: 0, slots: &[1; 4] }, &mut bytes[..129]), None);
    assert_eq!(write_sync(&Sync { cid: Cid([3; 16]), sequence: 0, address: 1 }, &mut bytes[..48]), None);
    let name = [b'n'; 70];
    let packet = sent(Header { name: &name, ..HEADER }, 0, &[]);
    assert_eq!(packet[44 + 63], 0, "the name ends in a zero");
}

/// Each fixed field, spoilt by one bit, fails its own check and no other.
#[test]
fn errors_name_the_check() {
    let good = sent(HEADER, 0, &[1, 2, 3, 4]);
    for (at, check) in [
        (1, Check::Preamble),
        (3, Check::Postamble),
        (4, Check::Identifier),
        (15, Check::Identifier),
        (16, Check::RootLength),
        (17, Check::RootLength),
        (21, Check::RootVector),
        (39, Check::FramingLength),
        (43, Check::FramingVector),
        (116, Check::DmpLength),
        (117, Check::DmpVector),
        (118, Check::AddressType),
        (120, Check::FirstAddress),
        (122, Check::Increment),
        (124, Check::Count),
    ] {
        let mut bytes = good.clone();
        bytes[at] ^= 1;
        assert_eq!(read(&bytes).unwrap_err().check, check, "byte {at}");
    }
    let refused = |header| read(&sent(header, 0, &[])).unwrap_err();
    assert_eq!(
        refused(Header { priority: 201, ..HEADER }),
        WireError { check: Check::Priority, expected: 200, got: 201 }
    );
    assert_eq!(refused(Header { universe: 0, ..HEADER }).check, Check::Universe);
    assert_eq!(refused(Header { universe: 64_000, ..HEADER }).check, Check::Universe);
    assert_eq!(refused(Header { sync_address: 64_000, ..HEADER }).check, Check::SyncAddress);
    assert_eq!(read(&[]), Err(WireError { check: Check::Short, expected: 49, got: 0 }));
    assert_eq!(read(&good[..125]).unwrap_err().check, Check::RootLength);
}

/// ANSI E1.31-2018, 6.7.2, the rule applied by hand: last number, number, taken.
#[test]
fn late_packets_are_dropped() {
    for (last, number, taken) in [
        (10, 11, true),
        (10, 10, false),
        (10, 9, false),
        (20, 1, false),
        (20, 0, true),
        (255, 0, true),
        (0, 255, false),
        (5, 242, false),
        (5, 241, true),
        (0, 128, true),
        (0, 127, true),
    ] {
        assert_eq!(sequence::follows(last, number), taken, "{last} then {number}");
    }
}

#[test]
fn the_groups_are_those_of_the_standard() {
    for (universe, address) in
        [(1, [239, 255, 0, 1]), (256, [239, 255, 1, 0]), (7962, [239, 255, 31, 26]), (63_999, [239, 255, 249, 255])]
    {
        assert_eq!(group(universe), address);
    }
}
