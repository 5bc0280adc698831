// Reading the data files beside a page, and where pages and files lie.
import { LANGUAGE } from "../words/language.js";

/** Where the pages in the first language are, and all files that languages share. */
const SITE = new URL("../../../", import.meta.url);
/** Where the pages in this page's language are. */
export const PAGES = new URL(LANGUAGE.folder, SITE);

/**
 * Where a file is that holds no words, and so lies beside the page in the first language alone.
 * @param {string} file as seen from this page
 */
export function atRoot(file) {
  if (!LANGUAGE.folder) return file;
  return new URL(new URL(file, location.href).pathname.slice(PAGES.pathname.length), SITE).href;
}

/**
 * Reads a file, also one that is packed. What it holds is for its reader to say: the builder wrote it.
 * @param {string} file
 * @param {RequestInit} [options]
 * @returns {Promise<unknown>}
 */
export async function load(file, options) {
  const response = await fetch(file, options);
  if (!response.ok) throw new Error(`${file}: ${response.status}`);
  if (!file.endsWith(".packed")) return response.json();
  return new Response(response.body?.pipeThrough(new DecompressionStream("deflate"))).json();
}

/**
 * Files that are fetched once each; one that failed is tried again when it is next asked for.
 * @template Content
 */
export class Kept {
  /** @param {(name: string) => Promise<Content>} fetched */
  constructor(fetched) {
    this.fetched = fetched;
    /** @type {Map<string, Promise<Content>>} */
    this.files = new Map();
  }

  /**
   * @param {string} name
   * @returns {Promise<Content>}
   */
  get(name) {
    const kept = this.files.get(name);
    if (kept) return kept;
    const file = this.fetched(name);
    this.files.set(name, file);
    file.catch(() => this.files.delete(name));
    return file;
  }
}
