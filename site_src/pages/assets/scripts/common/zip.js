// A ZIP archive of texts, stored as they are (PKWARE APPNOTE.TXT 6.3.10): the same files make the same bytes.

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
/** Version 2.0, for folders in names. */
const VERSION = 20;
/** Names are in UTF-8. */
const UTF_8 = 0x0800;
/** 1 January 1980, the first day that an archive knows. */
const DAY = 0x21;

/**
 * @param {{path: string, text: string}[]} files
 * @returns {Blob}
 */
export function zip(files) {
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const bodies = [];
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const places = [];
  let offset = 0;
  for (const { path, text } of files) {
    const [name, content] = [bytes(path), bytes(text)];
    const about = [VERSION, UTF_8, 0, 0, DAY];
    const sizes = [checksum(content), content.length, content.length];
    const local = record([[LOCAL], about, sizes, [name.length, 0]], [4, 2, 4, 2]);
    bodies.push(local, name, content);
    const central = [[CENTRAL], [VERSION, ...about], sizes, [name.length, 0, 0, 0, 0], [0, offset]];
    places.push(record(central, [4, 2, 4, 2, 4]), name);
    offset += local.length + name.length + content.length;
  }
  const size = places.reduce((sum, part) => sum + part.length, 0);
  const end = record([[END], [0, 0, files.length, files.length], [size, offset], [0]], [4, 2, 4, 2]);
  return new Blob([...bodies, ...places, end], { type: "application/zip" });
}

function bytes(/** @type {string} */ text) {
  return new TextEncoder().encode(text);
}

/**
 * Numbers as bytes, the lowest first.
 * @param {number[][]} groups
 * @param {number[]} widths in bytes of the numbers of each group
 */
function record(groups, widths) {
  const each = groups.flatMap((group, place) => group.map((value) => ({ value, width: widths[place] ?? 2 })));
  return new Uint8Array(each.flatMap(({ value, width }) => Array.from({ length: width }, (_, byte) => (value >>> (8 * byte)) & 0xff)));
}

/** CRC-32 as archives have it (ISO 3309). */
function checksum(/** @type {Uint8Array} */ content) {
  let crc = 0xffffffff;
  for (const byte of content) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
