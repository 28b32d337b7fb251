//! What must hold for any bytes whatsoever: the bodies of the fuzz targets in `tests/fuzz`, which the seeded
//! test `decoders_random` runs as well.
//!
//! No decoder may panic, and what one accepts must mean something: written again and read again it is the
//! same, or a door let in what the house cannot hold.

use underfoot_core::checksum::CRC;
use underfoot_core::link::frame::{self, MAX_WIRE_BYTES};
use underfoot_core::link::{Answer, Decoder, Request};
use underfoot_core::pack;
use underfoot_core::sacn::{self, Check};
use underfoot_sim::project;

/// How far some bytes got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reached {
    /// Refused as a whole.
    Refused,
    /// Past the guard (length, checksum, syntax), and refused inside.
    Opened,
    /// Taken.
    Accepted,
}

/// Bytes as they come over the link. Whatever they are, a whole frame after them must get through.
pub fn link(bytes: &[u8]) -> Reached {
    let mut reached = Reached::Refused;
    let mut decoder = Decoder::new();
    for &byte in bytes {
        if let Some(Ok(frame)) = decoder.push(byte) {
            reached = reached.max(message(frame.sequence, frame.message));
        }
    }
    let mut wire = [0; MAX_WIRE_BYTES];
    let length = frame::write(7, &Request::Off, &mut wire).expect("a short message fits");
    // The first delimiter ends whatever was open.
    decoder.push(0);
    let heard = wire[..length].iter().fold(false, |heard, &byte| {
        heard | decoder.push(byte).is_some_and(|f| f.is_ok_and(|f| f.sequence == 7 && f.message == [7]))
    });
    assert!(heard, "a whole frame after noise was not heard");
    reached
}

fn message(sequence: u8, bytes: &[u8]) -> Reached {
    let mut wire = [0; MAX_WIRE_BYTES];
    let mut reached = Reached::Opened;
    if let Ok((request, _)) = postcard::take_from_bytes::<Request<'_>>(bytes) {
        let length = frame::write(sequence, &request, &mut wire).expect("what came in a frame fits a frame");
        heard_again(&wire[..length], |again| postcard::from_bytes(again) == Ok(request));
        reached = Reached::Accepted;
    }
    if let Ok((answer, _)) = postcard::take_from_bytes::<Answer>(bytes) {
        let length = frame::write(sequence, &answer, &mut wire).expect("what came in a frame fits a frame");
        heard_again(&wire[..length], |again| postcard::from_bytes(again) == Ok(answer));
        reached = Reached::Accepted;
    }
    reached
}

fn heard_again(wire: &[u8], same: impl Fn(&[u8]) -> bool) {
    let mut decoder = Decoder::new();
    let again = wire.iter().any(|&byte| decoder.push(byte).is_some_and(|f| f.is_ok_and(|f| same(f.message))));
    assert!(again, "a message written again was not read again");
}

/// A datagram at the door of sACN. What is read is written alike: all but the name's padding and bits without a meaning.
pub fn sacn(bytes: &[u8]) -> Reached {
    let mut again = [0; sacn::packet::PACKET_BYTES];
    let (packet, len) = match sacn::read(bytes) {
        Ok(packet @ sacn::Packet::Data(data)) => (packet, sacn::write(&data, &mut again)),
        Ok(packet @ sacn::Packet::Sync(sync)) => (packet, sacn::write_sync(&sync, &mut again)),
        Ok(sacn::Packet::Discovery) => return Reached::Opened,
        Err(error) => {
            let outer = [Check::Short, Check::Preamble, Check::Postamble, Check::Identifier, Check::RootLength];
            return if outer.contains(&error.check) { Reached::Refused } else { Reached::Opened };
        }
    };
    let len = len.expect("what was read can be written");
    assert_eq!(len, bytes.len());
    // A name that fills its field has no room for the zero at its end, and is cut.
    let is_cut = matches!(packet, sacn::Packet::Data(data) if data.header.name.len() == sacn::packet::NAME_BYTES);
    assert!(is_cut || sacn::read(&again[..len]) == Ok(packet), "a packet changed on its way");
    Reached::Accepted
}

/// Bytes as they come out of a store: a pack, or anything.
pub fn pack(bytes: &[u8]) -> Reached {
    let opened = pack::open(bytes).is_ok();
    match pack::decode(bytes) {
        Err(_) if opened => Reached::Opened,
        Err(_) => Reached::Refused,
        Ok(show) => {
            assert!(opened && show.validate().is_ok(), "a bad show was accepted");
            let mut again = vec![0; bytes.len() + 1024];
            let length = pack::encode(&show, &mut again).expect("what was decoded can be encoded");
            assert_eq!(pack::decode(&again[..length]).as_ref(), Ok(&show), "a show changed on its way");
            Reached::Accepted
        }
    }
}

/// The same, with a guard that fits whatever body stands in `bytes`, so that the body is read too.
pub fn sealed_pack(body: &[u8]) -> Reached {
    pack(&seal(body))
}

/// A pack's guard around any body, by the layout that `core/docs/pack.md` gives.
pub fn seal(body: &[u8]) -> Vec<u8> {
    let mut bytes = pack::MAGIC.to_vec();
    bytes.extend(pack::CURRENT.to_le_bytes());
    bytes.extend((body.len() as u32).to_le_bytes());
    bytes.extend(body);
    bytes.extend(CRC.checksum(&bytes).to_le_bytes());
    bytes
}

/// Bytes of a show file. What loads must also fit a pack, or say so; what does not must say where and why.
pub fn show_file(bytes: &[u8]) -> Reached {
    let text = String::from_utf8_lossy(bytes);
    match project::parse("random.toml", &text) {
        Ok(project) => {
            let mut buffer = vec![0; underfoot_core::limits::PACK_BYTES];
            if let Ok(length) = pack::encode(&project.show, &mut buffer) {
                assert_eq!(pack::decode(&buffer[..length]).as_ref(), Ok(&*project.show), "a show changed on its way");
            }
            Reached::Accepted
        }
        Err(errors) => {
            let lines = text.lines().count().max(1) + 1;
            assert!(errors.iter().count() > 0, "refused without a fault");
            for fault in errors.iter() {
                assert!((1..=lines).contains(&fault.line) && fault.column > 0, "a fault is nowhere: {fault:?}");
                assert!(!fault.what.is_empty() && !fault.remedy.is_empty(), "a fault says nothing: {fault:?}");
            }
            if errors.iter().any(|f| f.line > 1) { Reached::Opened } else { Reached::Refused }
        }
    }
}
