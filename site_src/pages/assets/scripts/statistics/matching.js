// A largest matching of a bipartite graph (J. E. Hopcroft and R. M. Karp, SIAM J. Comput. 1973;2:225–231). Of several
// largest ones it finds the one that SciPy's maximum_bipartite_matching does.

/**
 * The partner of each place on one side, −1 for none.
 * @param {number[][]} edges of each place, to as many places on the other side
 * @returns {number[]}
 */
export function largestMatching(edges) {
  const partner = edges.map(() => -1);
  const holder = edges.map(() => -1);
  for (;;) {
    const { levels, end } = levelsOf(edges, partner, holder);
    if (end === Infinity) return partner;
    for (const root of edges.keys()) if (partner[root] === -1) augment(root, { edges, partner, holder, levels, end });
  }
}

/** How many steps of the search each place is away from one without a partner, and how many the nearest free end is. */
function levelsOf(/** @type {number[][]} */ edges, /** @type {number[]} */ partner, /** @type {number[]} */ holder) {
  const levels = partner.map((other) => (other === -1 ? 0 : Infinity));
  const queue = [...edges.keys()].filter((place) => partner[place] === -1);
  let end = Infinity;
  for (const place of queue) {
    const next = (levels[place] ?? 0) + 1;
    if (next > end) continue;
    for (const to of edges[place] ?? []) {
      const held = holder[to] ?? -1;
      if (held === -1) end = Math.min(end, next);
      else if (levels[held] === Infinity) {
        levels[held] = next;
        queue.push(held);
      }
    }
  }
  return { levels, end };
}

/**
 * Takes a shortest way from a place without a partner to a free end, if there is one, and turns its pairs round.
 * @param {number} root
 * @param {{edges: number[][], partner: number[], holder: number[], levels: number[], end: number}} search
 */
function augment(root, { edges, partner, holder, levels, end }) {
  /** @type {Map<number, number>} */
  const before = new Map();
  const stack = [root];
  for (let place = stack.pop(); place !== undefined; place = stack.pop()) {
    const next = (levels[place] ?? 0) + 1;
    for (const to of edges[place] ?? []) {
      const held = holder[to] ?? -1;
      if (held === -1 && next === end) {
        turnRound(place, to, { partner, holder, before });
        return;
      }
      if (held !== -1 && levels[held] === next) {
        before.set(held, place);
        stack.push(held);
      }
    }
  }
}

/**
 * @param {number} last
 * @param {number} end
 * @param {{partner: number[], holder: number[], before: Map<number, number>}} way
 */
function turnRound(last, end, { partner, holder, before }) {
  let to = end;
  for (let place = /** @type {number | undefined} */ (last); place !== undefined; place = before.get(place)) {
    const old = partner[place] ?? -1;
    partner[place] = to;
    holder[to] = place;
    to = old;
  }
}
