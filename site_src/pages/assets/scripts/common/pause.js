/** Lets the page answer, and be drawn, between two pieces of long work. @returns {Promise<void>} */
export function pause() {
  return new Promise((resume) => {
    setTimeout(resume);
  });
}
