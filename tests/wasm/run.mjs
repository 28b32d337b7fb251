// Runs the module over a file of cases and prints one line for each view, its checksum or "none", and one for each
// zone and each walk line, the bytes of its answer.
//
// node run.mjs MODULE CASES, where CASES holds, again and again: length of a pack (4 bytes, little-endian),
// the pack, number of views (4 bytes), the views of VIEW_BYTES bytes each, number of zones (4 bytes), the zones of
// 3 bytes each: cue, mark, class, number of walk lines (4 bytes), the questions about them of WALK_BYTES bytes each.
import { readFileSync } from "node:fs";

const VIEW_BYTES = 204;
const WALK_BYTES = 11;
const [module, cases] = process.argv.slice(2).map((path) => readFileSync(path));
const { instance } = await WebAssembly.instantiate(module, {});
const { memory, pack_place, view_place, take_pack, paint_view, answer_place, trace_zone } = instance.exports;
const { walk_place, plan_walk } = instance.exports;
const write = (place, bytes) => new Uint8Array(memory.buffer, place, bytes.length).set(bytes);
const printAnswer = (length) => console.log(Buffer.from(memory.buffer, answer_place(), length).toString("hex"));

let at = 0;
const number = () => cases.readUInt32LE((at += 4) - 4);
const bytes = (count) => cases.subarray(at, (at += count));
while (at < cases.length) {
  const pack = bytes(number());
  write(pack_place(), pack);
  if (take_pack(pack.length) !== 1) throw new Error("the pack was refused");
  for (let left = number(); left > 0; left--) {
    write(view_place(), bytes(VIEW_BYTES));
    const crc = BigInt.asUintN(64, paint_view());
    console.log(crc < 1n << 32n ? crc.toString(16) : "none");
  }
  for (let left = number(); left > 0; left--) {
    printAnswer(trace_zone(...bytes(3)));
  }
  for (let left = number(); left > 0; left--) {
    write(walk_place(), bytes(WALK_BYTES));
    printAnswer(plan_walk());
  }
}
