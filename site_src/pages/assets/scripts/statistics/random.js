// The random numbers that the builder draws for a seed: NumPy's default generator, PCG64 (M. E. O'Neill, Harvey Mudd
// College HMC-CS-2014-0905) from its SeedSequence, and NumPy's ways to shuffle and to choose with them.

const POOL = 4;
const MASK_128 = (1n << 128n) - 1n;
const MULTIPLIER = 0x2360ed051fc65da44385df649fccf645n;

export class Generator {
  /** @param {number} seed a whole number from 0 to 2³² − 1 */
  constructor(seed) {
    const [high = 0n, low = 0n, incHigh = 0n, incLow = 0n] = seeded(seed);
    this.increment = (((incHigh << 64n) | incLow) << 1n | 1n) & MASK_128;
    this.state = 0n;
    this.step();
    this.state = (this.state + ((high << 64n) | low)) & MASK_128;
    this.step();
    /** The upper half of a number whose lower half was drawn. @type {number | null} */
    this.left = null;
  }

  step() {
    this.state = (this.state * MULTIPLIER + this.increment) & MASK_128;
  }

  /** 32 random bits. */
  next() {
    if (this.left !== null) {
      const kept = this.left;
      this.left = null;
      return kept;
    }
    this.step();
    const folded = (this.state >> 64n) ^ (this.state & 0xffffffffffffffffn);
    const turn = this.state >> 122n;
    const drawn = ((folded >> turn) | (folded << (64n - turn))) & 0xffffffffffffffffn;
    this.left = Number(drawn >> 32n);
    return Number(drawn & 0xffffffffn);
  }

  /** A whole number from 0 to `most` (D. Lemire, ACM Trans. Model. Comput. Simul. 2019;29:3); none is drawn for 0. */
  upTo(/** @type {number} */ most) {
    if (most === 0) return 0;
    const range = BigInt(most + 1);
    let scaled = BigInt(this.next()) * range;
    if ((scaled & 0xffffffffn) < range) {
      const threshold = (0xffffffffn - BigInt(most)) % range;
      while ((scaled & 0xffffffffn) < threshold) scaled = BigInt(this.next()) * range;
    }
    return Number(scaled >> 32n);
  }

  /** The same by throwing away what is too large, as NumPy does where it shuffles. */
  below(/** @type {number} */ most) {
    const mask = 2 ** Math.ceil(Math.log2(most + 1)) - 1;
    for (;;) {
      const drawn = (this.next() & mask) >>> 0;
      if (drawn <= most) return drawn;
    }
  }

  /**
   * A shuffled copy.
   * @template Item
   * @param {readonly Item[]} items
   * @returns {Item[]}
   */
  shuffled(items) {
    const out = [...items];
    for (let place = out.length - 1; place > 0; place -= 1) {
      const other = this.below(place);
      [out[place], out[other]] = /** @type {[Item, Item]} */ ([out[other], out[place]]);
    }
    return out;
  }

  /**
   * One of some items, of which there is at least one.
   * @template Item
   * @param {readonly Item[]} items
   * @returns {Item}
   */
  choice(items) {
    return /** @type {Item} */ (items[this.upTo(items.length - 1)]);
  }
}

/** Four 64-bit numbers from a seed, as SeedSequence mixes it. */
function seeded(/** @type {number} */ seed) {
  let hash = 0x43b0d7e5;
  const hashed = (/** @type {number} */ value, /** @type {number} */ multiplier) => {
    let mixed = (value ^ hash) >>> 0;
    hash = Math.imul(hash, multiplier) >>> 0;
    mixed = Math.imul(mixed, hash) >>> 0;
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  const mix = (/** @type {number} */ x, /** @type {number} */ y) => {
    const mixed = (Math.imul(0xca01f9dd, x) - Math.imul(0x4973f715, y)) >>> 0;
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  const pool = Array.from({ length: POOL }, (_, place) => hashed(place ? 0 : seed >>> 0, 0x931e8875));
  for (let from = 0; from < POOL; from += 1) {
    for (let to = 0; to < POOL; to += 1) {
      if (from !== to) pool[to] = mix(pool[to] ?? 0, hashed(pool[from] ?? 0, 0x931e8875));
    }
  }
  hash = 0x8b51f9dd;
  const words = Array.from({ length: 8 }, (_, place) => BigInt(hashed(pool[place % POOL] ?? 0, 0x58f38ded)));
  return [0, 2, 4, 6].map((place) => (words[place] ?? 0n) | ((words[place + 1] ?? 0n) << 32n));
}
