// The face model: what to expect of every configuration on one face, before anything is told of it.
import { embed } from "./face-features.js";
import { at } from "./small-matrices.js";

/**
 * @typedef {import("./face-features.js").Face} Face
 * @typedef {import("./face-features.js").Embedding} Embedding
 *
 * @typedef {object} Posterior One posterior of the model, its texts read: rows of numbers, one after the other.
 * @property {Published.Scales} scales
 * @property {number} weight among all posteriors
 * @property {number} r directions of what masks share
 * @property {number} q directions of what is each mask's own
 * @property {Float64Array} mean (C)
 * @property {Float64Array} bridgeMean what the nose bridge adds by each part (P)
 * @property {Float64Array} styleMean (S × (1 + features))
 * @property {Float64Array} maskMean (M × few features)
 * @property {Float64Array} loading (C × r)
 * @property {Float64Array} bridgeLoading (P × r)
 * @property {Float64Array} styleLoading (S × (1 + features) × r)
 * @property {Float64Array} maskLoading (M × few features × r)
 * @property {Float64Array} ownLoading (C × q)
 * @property {Float64Array} ownMaskLoading (M × few features × q)
 * @property {Float64Array} left (C)
 *
 * @typedef {object} Model
 * @property {Published.FaceModel} published
 * @property {Map<string, number>} number place of each configuration
 * @property {number[][]} members configurations of each mask
 * @property {Posterior[]} posteriors
 *
 * @typedef {object} Outlook True ln fit factors of all configurations on one face, by one posterior.
 * @property {Posterior} posterior
 * @property {Float64Array} mean (C)
 * @property {Float64Array} loading shared, (C × r)
 * @property {Float64Array} ownLoading (C × q)
 * @property {Float64Array} known variance from how little is known of each configuration
 * @property {number} own variance between people with this face
 * @property {number} common covariance of any two configurations beside the loadings
 * @property {number} sameStyle
 * @property {number} sameMask
 * @property {number} alone variance of the person in each configuration
 * @property {number} donning variance of one donning
 */

/**
 * Reads the texts of the published model.
 * @param {Published.FaceModel} published
 * @returns {Model}
 */
export function readModel(published) {
  const { catalogue, features, posteriors, steps } = published;
  const { configurations, mask, style, styles } = catalogue;
  const [every, few] = features.turns.map(({ mean }) => mean.length);
  if (every === undefined || few === undefined) throw new Error("the model's features are missing");
  const rows = { style: (styles.length + 1) * (1 + every), mask: style.length * few };
  /** @type {number[][]} */
  const members = style.map(() => []);
  mask.forEach((of, place) => at(members, of).push(place));
  return {
    published,
    number: new Map(configurations.map((id, place) => [id, place])),
    members,
    posteriors: posteriors.map((text) => {
      const { scales, directions: r, own_directions: q } = text;
      const read = (/** @type {string} */ of, /** @type {number} */ length, /** @type {number} */ columns) =>
        rowByRow(numbers(of, steps.loading), length, columns);
      return {
        scales,
        weight: text.weight,
        r,
        q,
        mean: numbers(text.mean, steps.mean),
        bridgeMean: numbers(text.bridge_mean, steps.mean),
        styleMean: numbers(text.style_mean, steps.mean),
        maskMean: numbers(text.mask_mean, steps.mean),
        loading: read(text.loading, configurations.length, r),
        bridgeLoading: read(text.bridge_loading, catalogue.parts, r),
        styleLoading: read(text.style_loading, rows.style, r),
        maskLoading: read(text.mask_loading, rows.mask, r),
        ownLoading: read(text.own_loading, configurations.length, q),
        ownMaskLoading: read(text.own_mask_loading, rows.mask, q),
        left: numbers(text.left, steps.left),
      };
    }),
  };
}

/**
 * What each posterior expects on a face that nobody has tested.
 * @param {Model} model
 * @param {Face} face
 * @returns {{face: Embedding, outlooks: Outlook[]}}
 */
export function outlooksOn(model, face) {
  const embedding = embed(model.published.features, face);
  return { face: embedding, outlooks: model.posteriors.map((posterior) => outlookOn(model, posterior, embedding)) };
}

/**
 * Mean and loading of a mask of a style that is not listed, or of none that the model has.
 * @param {Model} model
 * @param {Posterior} posterior
 * @param {Embedding} face
 * @param {number} style place among the styles, behind the last for none of them
 */
export function unlisted(model, posterior, face, style) {
  const width = 1 + face.every.length;
  const first = style * width;
  const { styleMean, styleLoading, r } = posterior;
  const mean = [1, ...face.every].reduce((sum, value, k) => sum + value * at(styleMean, first + k), 0);
  const loading = new Float64Array(r);
  [1, ...face.every].forEach((value, k) => add([loading, 0], [styleLoading, (first + k) * r], r, value));
  const { scales } = posterior;
  let unknown = scales.mask ** 2 + scales.configuration ** 2 + scales.face_mask ** 2 * face.fewSize;
  if (style === model.published.catalogue.styles.length) unknown += scales.style ** 2 + scales.face_style ** 2 * face.size;
  return { mean, loading, unknown };
}

/**
 * @param {Model} model
 * @param {Posterior} posterior
 * @param {Embedding} face
 * @returns {Outlook}
 */
function outlookOn(model, posterior, face) {
  const { catalogue } = model.published;
  const { scales, r, q } = posterior;
  const loading = posterior.loading.slice();
  const ownLoading = posterior.ownLoading.slice();
  const mean = posterior.mean.slice();
  const width = 1 + face.every.length;
  const ofStyle = catalogue.styles.map((_, style) => {
    const sum = new Float64Array(r);
    const slope = face.every.reduce((total, value, k) => {
      add([sum, 0], [posterior.styleLoading, (style * width + 1 + k) * r], r, value);
      return total + value * at(posterior.styleMean, style * width + 1 + k);
    }, 0);
    return { sum, slope };
  });
  const few = face.few.length;
  catalogue.style.forEach((style, mask) => {
    const { sum: fromStyle, slope } = at(ofStyle, style);
    const sum = fromStyle.slice();
    const own = new Float64Array(q);
    const moved = face.few.reduce((total, value, k) => {
      add([sum, 0], [posterior.maskLoading, (mask * few + k) * r], r, value);
      add([own, 0], [posterior.ownMaskLoading, (mask * few + k) * q], q, value);
      return total + value * at(posterior.maskMean, mask * few + k);
    }, slope);
    for (const c of at(model.members, mask)) {
      mean[c] = at(mean, c) + moved;
      add([loading, c * r], [sum, 0], r, 1);
      add([ownLoading, c * q], [own, 0], q, 1);
    }
  });
  if (face.bridge) {
    catalogue.held.forEach((parts, c) => {
      for (const part of parts) {
        mean[c] = at(mean, c) + face.bridge * at(posterior.bridgeMean, part);
        add([loading, c * r], [posterior.bridgeLoading, part * r], r, face.bridge);
      }
    });
  }
  // What truncation loses is as unknown as the rest of the smooth terms; spread is between people.
  const smooth = scales.face ** 2 + scales.face_style ** 2;
  const lost = smooth * face.truncated + scales.face_mask ** 2 * face.fewTruncated;
  const known = mean.map((_, c) => squared(loading, c * r, r) + squared(ownLoading, c * q, q) + at(posterior.left, c) + lost);
  const common = scales.wearer ** 2 + scales.face ** 2 * face.spread;
  const sameStyle = scales.face_style ** 2 * face.spread;
  const sameMask = scales.wearer_mask ** 2 + scales.face_mask ** 2 * face.spread;
  const alone = scales.wearer_configuration ** 2;
  return {
    posterior,
    mean,
    loading,
    ownLoading,
    known,
    own: common + sameStyle + sameMask + alone,
    common: common + scales.face ** 2 * face.truncated,
    sameStyle: sameStyle + scales.face_style ** 2 * face.truncated,
    sameMask: sameMask + scales.face_mask ** 2 * face.fewTruncated,
    alone,
    donning: scales.redonning ** 2,
  };
}

/** Adds `factor` times `count` numbers from one place to those at another. */
function add(
  /** @type {[Float64Array, number]} */ [to, place],
  /** @type {[Float64Array, number]} */ [from, start],
  /** @type {number} */ count,
  /** @type {number} */ factor,
) {
  for (let k = 0; k < count; k += 1) to[place + k] = at(to, place + k) + factor * at(from, start + k);
}

function squared(/** @type {Float64Array} */ row, /** @type {number} */ start, /** @type {number} */ count) {
  let sum = 0;
  for (let k = start; k < start + count; k += 1) sum += at(row, k) ** 2;
  return sum;
}

/** Reads a text of one character a number: 0, −1, 1, −2 … from "(" on, without backslash and control characters. */
export function numbers(/** @type {string} */ text, /** @type {number} */ step) {
  const found = new Float64Array(text.length);
  for (let place = 0; place < text.length; place += 1) {
    let code = text.charCodeAt(place);
    if (code >= 0xa0) code -= 0xa0 - 0x7f;
    if (code > 0x5c) code -= 1;
    code -= 0x28;
    found[place] = step * (code % 2 ? -(code + 1) / 2 : code / 2);
  }
  return found;
}

/** Turns numbers written column by column into rows. */
function rowByRow(/** @type {Float64Array} */ columns, /** @type {number} */ rows, /** @type {number} */ width) {
  const found = new Float64Array(columns.length);
  for (let row = 0; row < rows; row += 1) {
    for (let column = 0; column < width; column += 1) found[row * width + column] = at(columns, column * rows + row);
  }
  return found;
}
