// The service worker of the bench page: answers for all that the page needs from what one build published, so that the
// page works without network. The build lists the files: builder/site/offline.py.
(() => {
  /**
   * @typedef {{waitUntil: (done: Promise<unknown>) => void}} Phase
   * @typedef {Phase & {request: Request, respondWith: (answer: Promise<Response>) => void}} Asked
   * @typedef {object} Worker_ what a service worker is, as far as it is used here
   * @property {{build: string, files: Record<string, string>}} sealbookOffline addresses of the files with their digests
   * @property {{scope: string}} registration
   * @property {() => Promise<void>} skipWaiting
   * @property {{claim: () => Promise<void>}} clients
   * @property {(kind: string, heard: (event: any) => void) => void} addEventListener
   */
  const worker = /** @type {Worker_} */ (/** @type {unknown} */ (self));
  const { build, files } = worker.sealbookOffline;
  const { scope } = worker.registration;
  const ours = `sealbook-bench ${scope} `;
  const name = `${ours}${build}`;
  const places = new Map(Object.entries(files).map(([path, digest]) => [addressOf(path), digest]));

  /** Where a file is, by which the page asks for it. */
  function addressOf(/** @type {string} */ path) {
    return new URL(path === "index.html" ? "./" : path, scope).href;
  }

  async function take() {
    const cache = await caches.open(name);
    const requests = [...places].map(([address, integrity]) => {
      return new Request(address, { cache: "no-cache", ...(integrity ? { integrity } : {}) });
    });
    await cache.addAll(requests);
  }

  async function begin() {
    const old = (await caches.keys()).filter((other) => other.startsWith(ours) && other !== name);
    await Promise.all(old.map((other) => caches.delete(other)));
    await worker.clients.claim();
  }

  async function answer(/** @type {Request} */ request, /** @type {string} */ address) {
    const cache = await caches.open(name);
    return (await cache.match(address)) ?? fetch(request);
  }

  worker.addEventListener("install", (/** @type {Phase} */ event) => event.waitUntil(take()));
  worker.addEventListener("activate", (/** @type {Phase} */ event) => event.waitUntil(begin()));
  worker.addEventListener("message", ({ data }) => {
    if (data === "use") worker.skipWaiting();
  });
  worker.addEventListener("fetch", (/** @type {Asked} */ event) => {
    const { request } = event;
    const address = request.url.replace(/[?#].*$/, "").replace(/\/index\.html$/, "/");
    if (request.method === "GET" && places.has(address)) event.respondWith(answer(request, address));
  });
})();
