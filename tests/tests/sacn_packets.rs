//! E1.31 packets against what others make of them: kept packets, the `sacn` crate's writer and its reader.

use std::collections::BTreeMap;
use std::panic::catch_unwind;
use std::path::Path;

use sacn::packet::{
    AcnRootLayerProtocol, DataPacketDmpLayer, DataPacketFramingLayer, E131RootLayer, E131RootLayerData,
    SynchronizationPacketFramingLayer,
};
use underfoot_core::sacn::packet::PACKET_BYTES;
use underfoot_core::sacn::{Cid, Data, Header, Packet, Sync, read, write, write_sync};
use underfoot_tests::dice::Dice;
use uuid::Uuid;

const OURS: Cid = Cid([16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31]);

fn kept() -> BTreeMap<String, Vec<u8>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/sacn/packets.txt");
    let text = std::fs::read_to_string(path).expect("the kept packets");
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let byte = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).expect("a byte");
    lines
        .map(|line| {
            let (name, hex) = line.split_once(" = ").expect("a name and bytes");
            (name.to_owned(), hex.as_bytes().chunks(2).map(byte).collect())
        })
        .collect()
}

fn header() -> Header<'static> {
    Header {
        cid: OURS,
        name: b"floor",
        priority: 100,
        sync_address: 0,
        sequence: 7,
        preview: false,
        terminated: false,
        force_sync: false,
        universe: 258,
    }
}

fn written(data: &Data<'_>) -> Vec<u8> {
    let mut bytes = [0xEE; PACKET_BYTES];
    let len = write(data, &mut bytes).expect("a packet");
    bytes[..len].to_vec()
}

fn written_sync(sync: &Sync) -> Vec<u8> {
    let mut bytes = [0xEE; 64];
    let len = write_sync(sync, &mut bytes).expect("a packet");
    bytes[..len].to_vec()
}

#[test]
fn kept_packets_are_read_and_written() {
    let kept = kept();
    let mut full = [0; 512];
    full[..4].copy_from_slice(&[0xFF, 0x80, 0x40, 0x01]);
    for (name, slots) in
        [("data_130_4slots_univ258_seq7_prio100", &full[..4]), ("data_638_univ258_seq7_prio100", &full[..])]
    {
        let data = Data { header: header(), start_code: 0, slots };
        assert_eq!(read(&kept[name]), Ok(Packet::Data(data)), "{name}");
        assert_eq!(written(&data), kept[name], "{name}");
    }
    let (name, sync) = ("sync_49_addr7962_seq9", Sync { cid: OURS, sequence: 9, address: 7962 });
    assert_eq!(read(&kept[name]), Ok(Packet::Sync(sync)));
    assert_eq!(written_sync(&sync), kept[name]);
    assert_eq!(read(&kept["discovery_126_univ_1_2_258"]), Ok(Packet::Discovery));
    assert_eq!(kept.len(), 4, "each kept packet is looked at");
}

/// A packet as the crate has it, with room for what a case changes.
#[derive(Clone)]
struct Case {
    cid: [u8; 16],
    name: String,
    options: [bool; 3],
    numbers: [u16; 4],
    values: Vec<u8>,
}

impl Case {
    fn thrown(dice: &mut Dice) -> Self {
        let letters = ["a", "Ä", "-", "灯", "9"];
        let name: String = (0..dice.below(20)).map(|_| letters[dice.below(5)]).collect();
        let len = [0, 1, 9, 10, 510, 512, dice.below(513)][dice.below(7)];
        let universe = [1, 63_999, 1 + dice.below(63_999) as u16][dice.below(3)];
        let sync = [0, universe, 63_999, dice.below(64_000) as u16][dice.below(4)];
        Self {
            cid: std::array::from_fn(|_| dice.byte()),
            name: name
                .chars()
                .scan(0, |used, c| Some((*used += c.len_utf8(), *used, c)))
                .filter(|x| x.1 < 64)
                .map(|x| x.2)
                .collect(),
            options: std::array::from_fn(|_| dice.one_in(2)),
            numbers: [dice.below(201) as u16, sync, dice.byte().into(), universe],
            values: (0..=len).map(|i| if i == 0 && !dice.one_in(4) { 0 } else { dice.byte() }).collect(),
        }
    }

    fn by_crate(&self) -> AcnRootLayerProtocol<'_> {
        let ([preview_data, stream_terminated, force_synchronization], [priority, sync, sequence, universe]) =
            (self.options, self.numbers);
        let data = E131RootLayerData::DataPacket(DataPacketFramingLayer {
            source_name: self.name.as_str().into(),
            priority: priority as u8,
            synchronization_address: sync,
            sequence_number: sequence as u8,
            preview_data,
            stream_terminated,
            force_synchronization,
            universe,
            data: DataPacketDmpLayer { property_values: self.values.as_slice().into() },
        });
        AcnRootLayerProtocol { pdu: E131RootLayer { cid: Uuid::from_bytes(self.cid), data } }
    }

    fn ours(&self) -> Data<'_> {
        let ([preview, terminated, force_sync], [priority, sync_address, sequence, universe]) =
            (self.options, self.numbers);
        let (cid, name) = (Cid(self.cid), self.name.as_bytes());
        let (priority, sequence) = (priority as u8, sequence as u8);
        let header = Header { cid, name, priority, sync_address, sequence, preview, terminated, force_sync, universe };
        Data { header, start_code: self.values[0], slots: &self.values[1..] }
    }
}

#[test]
fn random_packets_are_the_same_to_both() {
    let mut dice = Dice::new(0x5AC7);
    for turn in 0..4_000 {
        let case = Case::thrown(&mut dice);
        let bytes = case.by_crate().pack_alloc().expect("the crate writes it");
        assert_eq!(read(&bytes), Ok(Packet::Data(case.ours())), "turn {turn}");
        assert_eq!(written(&case.ours()), bytes, "turn {turn}");

        let sync = Sync { cid: Cid(case.cid), sequence: dice.byte(), address: case.numbers[3] };
        let framing =
            SynchronizationPacketFramingLayer { sequence_number: sync.sequence, synchronization_address: sync.address };
        let data = E131RootLayerData::SynchronizationPacket(framing);
        let pdu = E131RootLayer { cid: Uuid::from_bytes(case.cid), data };
        let bytes = AcnRootLayerProtocol { pdu }.pack_alloc().expect("the crate writes it");
        assert_eq!(read(&bytes), Ok(Packet::Sync(sync)), "turn {turn}");
        assert_eq!(written_sync(&sync), bytes, "turn {turn}");
    }
}

/// Bytes with a few of them changed: what we take, the crate takes and reads alike; what we refuse and it takes is one of
/// the strictnesses named here, and each of them occurs.
#[test]
fn damaged_packets_are_refused_by_both_but_for_named_strictness() {
    let mut dice = Dice::new(0xDA3A);
    let (mut taken, mut refused, mut stricter) = (0, 0, BTreeMap::new());
    std::panic::set_hook(Box::new(|_| {}));
    for turn in 0..60_000 {
        let mut case = Case::thrown(&mut dice);
        case.name.retain(|c| c.is_ascii());
        let mut bytes = case.by_crate().pack_alloc().expect("the crate writes it");
        damage(&mut dice, &mut bytes);
        // The crate's reader slices before it looks: what breaks it counts as refused.
        let theirs =
            catch_unwind(|| AcnRootLayerProtocol::parse(&bytes)).unwrap_or_else(|_| AcnRootLayerProtocol::parse(&[]));
        match (read(&bytes), theirs) {
            (Ok(packet), Ok(theirs)) => {
                assert!(is_same(&packet, &theirs), "turn {turn}: {packet:?} {theirs:?}");
                taken += 1;
            }
            (Err(_), Err(_)) => refused += 1,
            (Err(error), Ok(_)) => *stricter.entry(format!("{:?}", error.check)).or_insert(0) += 1,
            // A list of universes is not read to its end.
            (Ok(Packet::Discovery), Err(_)) => {}
            (Ok(packet), Err(error)) => panic!("turn {turn}: {packet:?} is refused by the crate: {error:?}"),
        }
    }
    drop(std::panic::take_hook());
    println!("taken {taken}, refused {refused}, stricter {stricter:?}");
    assert!(taken > 1_000 && refused > 1_000);
    // Flags, and lengths that do not reach the packet's end; a data packet without a start code.
    let named = ["RootLength", "FramingLength", "DmpLength", "Count"];
    assert!(stricter.keys().all(|check| named.contains(&check.as_str())), "{stricter:?}");
}

fn damage(dice: &mut Dice, bytes: &mut Vec<u8>) {
    for _ in 0..dice.below(3) {
        let at = if dice.one_in(2) { dice.below(bytes.len().min(126)) } else { dice.below(bytes.len()) };
        match dice.below(6) {
            // Not in the name, of which only the crate wants UTF-8.
            0 | 1 if !(44..108).contains(&at) => bytes[at] ^= 1 << dice.below(8),
            2 if !(44..108).contains(&at) => bytes[at] = dice.byte(),
            3 => bytes.truncate(bytes.len() - dice.below(8).min(bytes.len() - 1)),
            4 => bytes.extend((0..dice.below(8)).map(|_| dice.byte())),
            _ => {}
        }
    }
}

fn is_same(packet: &Packet<'_>, theirs: &AcnRootLayerProtocol<'_>) -> bool {
    match (packet, &theirs.pdu.data) {
        (Packet::Data(ours), E131RootLayerData::DataPacket(data)) => {
            let header = ours.header;
            Cid(theirs.pdu.cid.into_bytes()) == header.cid
                && (header.priority, header.sync_address) == (data.priority, data.synchronization_address)
                && (header.sequence, header.universe) == (data.sequence_number, data.universe)
                && (header.preview, header.terminated) == (data.preview_data, data.stream_terminated)
                && header.force_sync == data.force_synchronization
                && data.data.property_values.split_first() == Some((&ours.start_code, ours.slots))
        }
        (Packet::Sync(ours), E131RootLayerData::SynchronizationPacket(sync)) => {
            (ours.sequence, ours.address) == (sync.sequence_number, sync.synchronization_address)
        }
        (Packet::Discovery, E131RootLayerData::UniverseDiscoveryPacket(_)) => true,
        _ => false,
    }
}
